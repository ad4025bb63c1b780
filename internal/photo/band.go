package photo

// This file follows an edge along a band of light, row by row, where it is known to be within some columns.

import (
	"math"
	"math/cmplx"
	"slices"
)

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
