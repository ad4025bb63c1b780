package photo

// This file traces the part's two outlines along a frame, to a fraction of a pixel.

import (
	"math"
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
