package photo

// This file traces the part's two outlines along a frame, to a fraction of a pixel.

import (
	"math"
	"math/cmplx"
	"slices"
)

// side is +1 for the outline at the larger t, -1 for the other.
type side float64

const (
	right side = 1
	left  side = -1
)

// outline is where one edge of the part runs.
type outline struct {
	side side
	// out is the distance of the edge from the frame's s axis, one per step of 1 pixel of s; NaN where it is not seen.
	out []float64
	// spread is the standard deviation of the edge's blur in pixels.
	spread float64
	// weak is the share of rows on which the edge could not be told.
	weak float64
}

// outlines are both edges, from s0 on in steps of one pixel.
type outlines struct {
	frame       frame
	s0          float64
	left, right outline
}

const (
	// inward is how far inside the mask's edge the part's edge is looked for, as a share of the part's width: a soft
	// shadow may have widened the mask.
	inward = 0.10
	// edgeSmooth is the standard deviation, in pixels, over which brightness is smoothed across the edge.
	edgeSmooth = 1.0
	// maxJump is by how many pixels an edge may move from one row to the next: flanks of 60 degree threads move 1.7.
	maxJump = 3
	// jumpCost is what a move of one pixel costs, as a share of a good edge's worth.
	jumpCost = 0.04
	// levelFrom and levelTo are where, in pixels from the edge, the brightness of part and ground beside it is taken.
	levelFrom, levelTo = 4, 8
)

// trace follows both edges along the frame. ok is false where the part is too short or too narrow to trace.
func trace(grey *plane, p *part, f frame) (o outlines, ok bool) {
	from, low, high := p.extent(f)
	if len(low) < minRows {
		return o, false
	}
	widths := make([]float64, len(low))
	for i := range low {
		widths[i] = high[i] - low[i]
	}
	width := median(widths)
	if width < 2*levelTo {
		return o, false
	}
	o = outlines{frame: f, s0: from}
	o.right = p.edge(grey, f, from, high, width, right)
	for i := range low {
		low[i] = -low[i]
	}
	o.left = p.edge(grey, f, from, low, width, left)
	return o, true
}

// edge follows one edge, darker or lighter than what is beside it. Where neither is known it looks through the filter that parts both, and takes
// the edge that ripples most purely: darker, lighter, or now the one and now the other.
func (p *part) edge(grey *plane, f frame, from float64, near []float64, width float64, side side) (best outline) {
	l := &light{plane: grey, y: 1}
	signs := []float64{1, -1, 0}
	switch {
	case p.contrast != 0:
		signs = []float64{math.Copysign(1, p.contrast)}
	case p.blue != nil:
		l.blue, l.red = p.blue, p.red
		if l.filter(f, from, near, float64(side), p.period) {
			signs = signs[:1]
		}
	}
	b := newBand(l, f, from, near, width, side, p)
	most, fold := math.Inf(-1), b.fold
	for _, b.fold = range slices.Compact([]float64{0, fold}) {
		for _, sign := range signs {
			o := b.follow(sign)
			pure := 0.0
			if v, ok := levelled(o.out[len(near)/5 : len(near)-len(near)/5]); ok {
				one, _ := purity(v, p.period)
				two, _ := purity(v, 2*p.period) // two bright lines on each crest
				pure = math.Max(one, two)
			}
			if b.fold > 0 { // what periods above and below show is likely pure
				pure -= foldedPure
			}
			if pure -= o.weak; pure > most {
				best, most = o, pure
			}
		}
	}
	return best
}

// faintContrast is the least difference, in grey levels, of what lies inside and outside of an edge that is looked for where the ripple ends.
const faintContrast = 5.0

// foldedPure is by how much purer an edge must ripple that was followed on three periods laid over one another.
const foldedPure = 0.1

// faintGain is the least step at an edge of which no more is seen, as a share of a good one.
const faintGain = 0.3

// clearTint is by how many levels colour must part the part from its ground to be looked at.
const clearTint = 12

// filter chooses the filter through which what lies inside an edge looks darkest beside what lies outside; ok is false where colour parts them
// less than a little: then only light does, and which is darker is open.
func (l *light) filter(f frame, from float64, near []float64, side, period float64) bool {
	var in, out [3]float64
	n := 0.0
	for i := 0; i < len(near); i += 3 {
		for k := 0.3; k < 2.5; k += 0.3 {
			for j, sums := range []*[3]float64{&in, &out} {
				x, y := f.at(from+float64(i), side*(near[i]+(float64(2*j)-1)*(k+0.5)*period))
				sums[0] += l.plane.at(x, y)
				sums[1] += l.blue.at(x/2, y/2)
				sums[2] += l.red.at(x/2, y/2)
			}
			n++
		}
	}
	dy, db, dr := (out[0]-in[0])/n, (out[1]-in[1])/n, (out[2]-in[2])/n
	tint := math.Hypot(db, dr)
	if tint < clearTint || tint < math.Abs(dy)/2 {
		return false
	}
	// Light counts less than colour: on a shiny face it is dark and bright by turns.
	dy /= 2
	all := math.Hypot(dy, tint)
	l.y, l.b, l.r = dy/all, db/all, dr/all
	l.c = 128 - (l.y*(in[0]+out[0])+l.b*(in[1]+out[1])+l.r*(in[2]+out[2]))/2/n
	return true
}

// minRows is the shortest part, in pixels along its axis, that is looked at: four pitches of five pixels.
const minRows = 20

// extent returns, for each step of one pixel of s from from on, the outermost t of the part's mask.
func (p *part) extent(f frame) (from float64, low, high []float64) {
	step := float64(p.step)
	type span struct{ low, high float64 }
	spans := map[int]span{}
	half := (step - 1) / 2
	for y := range p.h {
		for x := range p.w {
			if !p.mask[y*p.w+x] {
				continue
			}
			s, t := f.to(float64(x)*step+half, float64(y)*step+half)
			k := int(math.Floor(s / step))
			v, seen := spans[k]
			if !seen {
				v = span{t, t}
			}
			spans[k] = span{math.Min(v.low, t), math.Max(v.high, t)}
		}
	}
	var keys []int
	for k := range spans {
		keys = append(keys, k)
	}
	if len(keys) < 2 {
		return 0, nil, nil
	}
	slices.Sort(keys)
	first, last := keys[0], keys[len(keys)-1]
	for k := first; k <= last; k++ {
		v, seen := spans[k]
		if !seen {
			v = spans[k-1]
			spans[k] = v
		}
		for range p.step {
			low, high = append(low, v.low), append(high, v.high)
		}
	}
	return float64(first) * step, low, high
}

// band is what the light is along an edge, row by row.
type band struct {
	outline side
	light   *light
	frame   frame
	from    float64
	// base is t of the first column of each row, w how many columns are searched; rows have margin more on both sides.
	base []int
	w    int
	rows [][]float32
	// fold is the outline's period in rows, 0 where it is not known; least the least step of light at an edge.
	fold, least float64
}

// margin is how many columns a band has beside those that are searched.
const margin = levelTo + 3

// newBand samples the light along where the mask says that an edge is.
func newBand(l *light, f frame, from float64, near []float64, width float64, side side, p *part) *band {
	inner, outer := int(math.Max(12, inward*width)), 8+2*p.step
	b := &band{outline: side, light: l, frame: f, from: from, least: leastContrast / 2.0, base: make([]int, len(near)), rows: make([][]float32, len(near))}
	if p.band > 0 {
		inner, outer, b.least = p.band, p.band, faintContrast
	}
	b.w = inner + outer + 1
	raw := make([]float32, b.w+2*margin)
	for i, v := range runningMedian(near, 2*p.step+1) {
		b.base[i] = int(math.Round(v)) - inner
		for k := range raw {
			x, y := f.at(from+float64(i)+0.5, float64(side)*float64(b.base[i]+k-margin))
			raw[k] = float32(l.at(x, y))
		}
		b.rows[i] = smoothed(raw)
	}
	if p.period > 0 {
		b.fold = b.repeats(p.period)
	}
	return b
}

// repeats is the period with which the light in the band repeats the most, somewhat shorter than that on the face, which is nearer.
func (b *band) repeats(face float64) (best float64) {
	most := 0.0
	waves := make([]complex128, len(b.rows))
	for q := 0.74 * face; q < 1.04*face; q *= 1.015 {
		for i := range waves {
			waves[i] = cmplx.Rect(1-math.Cos(2*math.Pi*(float64(i)+0.5)/float64(len(waves))), 2*math.Pi*float64(i)/q)
		}
		sum := 0.0
		for k := margin; k < margin+b.w; k += 2 {
			var c, mean complex128
			for i, w := range waves {
				c, mean = c+w*complex(float64(b.rows[i][k]), 0), mean+complex(float64(b.rows[i][k]), 0)/complex(float64(len(waves)), 0)
			}
			for _, w := range waves {
				c -= w * mean
			}
			sum += square(cmplx.Abs(c))
		}
		if sum > most {
			best, most = q, sum
		}
	}
	return best
}

// gains are the steps of light of a sign, either for 0. Where the outline's period is known, three periods are laid over one another, and what is
// alike over a whole period is taken off: a shadow's edge or a streak of shine that runs along the part.
func (b *band) gains(sign float64) (gain []float32, usual float64) {
	n, w := len(b.rows), b.w
	gain = make([]float32, n*w)
	for i, row := range b.rows {
		for k := range w {
			g := (row[k+margin+1] - row[k+margin-1]) / 2
			if sign == 0 {
				g = max(g, -g)
			}
			gain[i*w+k] = max(0, g*float32(sign+1-math.Abs(sign)))
		}
	}
	if q := int(math.Round(b.fold)); q > 2 && n > 3*q {
		folded := make([]float32, n*w)
		at := func(i, k int) float32 { return gain[min(max(i, 0), n-1)*w+k] }
		for k := range w {
			var alike float32
			for i := -q / 2; i < q-q/2; i++ {
				alike += at(i, k)
			}
			for i := range n {
				folded[i*w+k] = max(0, (at(i, k)*2+at(i-q, k)+at(i+q, k))/4-alike/float32(q))
				alike += at(i+q-q/2, k) - at(i-q/2, k)
			}
		}
		gain = folded
	}
	best := make([]float64, n)
	for i := range n {
		best[i] = float64(slices.Max(gain[i*w : (i+1)*w]))
	}
	return gain, median(best)
}

// follow traces the edge: the smoothest path over strong steps of brightness of the right sign (dynamic programming), then the place on it where
// brightness is halfway between part and ground.
func (b *band) follow(sign float64) outline {
	n, w := len(b.rows), b.w
	gain, usual := b.gains(sign)
	// A step half as strong as most rows have is as good as any: shine and shade vary along an edge.
	cap := float32(math.Max(0.5*usual, 2))
	path := smoothest(gain, b.base, n, w, cap)
	o := outline{side: b.outline, out: make([]float64, n)}
	in, out := make([]float64, n), make([]float64, n)
	for i, k := range path {
		at := k + margin
		in[i], out[i] = mean32(b.rows[i][at-levelTo:at-levelFrom+1]), mean32(b.rows[i][at+levelFrom:at+levelTo+1])
	}
	in, out = runningMedian(in, 15), runningMedian(out, 15)
	var spreads []float64
	lost := 0
	for i, k := range path {
		o.out[i] = math.NaN()
		way := sign
		if way == 0 {
			way = math.Copysign(1, out[i]-in[i])
		}
		step := way * (out[i] - in[i])
		x, y := b.frame.at(b.from+float64(i)+0.5, float64(b.outline)*float64(b.base[i]+k))
		at, slope, ok := halfway(b.rows[i], k+margin, way, (in[i]+out[i])/2)
		switch seen := b.light.inside(x, y, levelTo); {
		case seen && ok && step >= b.least:
			o.out[i] = float64(b.base[i]-margin) + at
			spreads = append(spreads, step/(slope*math.Sqrt(2*math.Pi)))
		case seen && b.fold > 0 && gain[i*w+k] > faintGain*cap && b.own(i, k) > faintGain*float64(cap): // periods above and below show it too
			o.out[i] = float64(b.base[i] + k)
		default:
			lost++
		}
	}
	o.weak = float64(lost) / float64(n)
	if len(spreads) > 0 {
		slices.Sort(spreads)
		// Flanks lie slanting to the row and look softer; crests and roots, a fifth of the rows at least, lie square.
		o.spread = spreads[len(spreads)/5]
	}
	return o
}

// own is the strongest step of light, of either sign, in a row within two columns.
func (b *band) own(i, k int) (most float64) {
	for j := k + margin - 2; j <= k+margin+2; j++ {
		most = math.Max(most, math.Abs(float64(b.rows[i][j+1]-b.rows[i][j-1]))/2)
	}
	return most
}

// halfway finds where brightness crosses level, nearest to index k and at most levelFrom away, and how steep it is there.
func halfway(row []float32, k int, sign, level float64) (at, slope float64, ok bool) {
	nearest := math.Inf(1)
	for i := max(0, k-levelFrom); i < min(len(row)-1, k+levelFrom); i++ {
		a, b := sign*(float64(row[i])-level), sign*(float64(row[i+1])-level)
		if a <= 0 && b > 0 {
			x := float64(i) + a/(a-b)
			if d := math.Abs(x - float64(k)); d < nearest {
				nearest, at, slope = d, x, b-a
			}
		}
	}
	return at, slope, !math.IsInf(nearest, 1)
}

// smoothest returns the column of each row on the path of the most gain, capped, less the cost of moving.
func smoothest(gain []float32, base []int, n, w int, cap float32) []int {
	score := make([]float32, w)
	next := make([]float32, w)
	back := make([]int8, n*w)
	for i := range n {
		for k := range w {
			value := min(gain[i*w+k], cap) / cap
			if i == 0 {
				next[k] = value
				continue
			}
			shift := base[i] - base[i-1]
			bestScore, bestMove := float32(math.Inf(-1)), 0
			for move := -maxJump; move <= maxJump; move++ {
				from := k + shift + move
				if from < 0 || from >= w {
					continue
				}
				if v := score[from] - jumpCost*float32(max(move, -move)); v > bestScore {
					bestScore, bestMove = v, move
				}
			}
			if math.IsInf(float64(bestScore), -1) { // the window itself jumped: start afresh from its middle
				from := min(max(k+shift, 0), w-1)
				bestScore, bestMove = score[from]-maxJump*jumpCost*4, from-k-shift
				bestMove = min(max(bestMove, -127), 127)
			}
			next[k] = value + bestScore
			back[i*w+k] = int8(bestMove)
		}
		score, next = next, score
	}
	path := make([]int, n)
	for k := range w {
		if score[k] > score[path[n-1]] {
			path[n-1] = k
		}
	}
	for i := n - 1; i > 0; i-- {
		k := path[i]
		from := k + base[i] - base[i-1] + int(back[i*w+k])
		path[i-1] = min(max(from, 0), w-1)
	}
	return path
}

// smoothed returns row smoothed with a normal kernel of edgeSmooth pixels.
func smoothed(row []float32) []float32 {
	const reach = 3
	var kernel [2*reach + 1]float64
	var sum float64
	for i := range kernel {
		d := float64(i-reach) / edgeSmooth
		kernel[i] = math.Exp(-d * d / 2)
		sum += kernel[i]
	}
	out := make([]float32, len(row))
	for i := range row {
		var v float64
		for k, c := range kernel {
			v += c * float64(row[min(max(i+k-reach, 0), len(row)-1)])
		}
		out[i] = float32(v / sum)
	}
	return out
}

// runningMedian returns the medians of windows of n values, n odd; NaN values are left out.
func runningMedian(v []float64, n int) []float64 {
	out := make([]float64, len(v))
	window := make([]float64, 0, n)
	for i := range v {
		window = window[:0]
		for _, x := range v[max(0, i-n/2):min(len(v), i+n/2+1)] {
			if !math.IsNaN(x) {
				window = append(window, x)
			}
		}
		if len(window) == 0 {
			out[i] = math.NaN()
			continue
		}
		slices.Sort(window)
		out[i] = window[len(window)/2]
	}
	return out
}

func mean32(v []float32) float64 {
	var sum float64
	for _, x := range v {
		sum += float64(x)
	}
	return sum / float64(len(v))
}
