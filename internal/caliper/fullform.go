package caliper

// This file finds the usual form of a thread, and the heights at which all sections show it.

import (
	"math"
	"slices"
)

const (
	// formBins are the places along one pitch at which the form is known, twice as many where between two of them it changes by more than
	// binShare of the depth: on flanks steeper than those of pipe threads.
	formBins = 64
	binShare = 0.06
	// formSteps is how many heights a pitch are looked at, mostRows how many heights in all.
	formSteps = 32
	mostRows  = 3000
	// formShare of the depth is how far the line may leave the usual form before it is no full form.
	formShare = 0.04
	// cutShape is that where else there would be little of it: facets larger than the crests cut them, here more and there less.
	cutShape = 0.15
	// strays is the share of sections that may do so at one height, roughStrays where lines are rough or crests are cut here and there.
	strays, roughStrays = 0.02, 0.08
)

// rows are the heights at which lines are looked at, each in the middle of its step, so that none is on an end plane.
type rows struct {
	lo, step float64
	n        int
	// radii are those of each line, row by row, on the thread's own axis and with its cone taken off; NaN where there is no wall.
	radii [][]float64
}

func (g *rows) z(row int) float64 { return g.lo + (float64(row)+0.5)*g.step }

// rowsOf looks at the lines where the thread t may be.
func (t *fitted) rowsOf(lines []line) rows {
	bottom, top := math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		if n := len(l.spots); n > 0 {
			bottom, top = min(bottom, l.spots[0].z), max(top, l.spots[n-1].z)
		}
	}
	lo, hi := max(t.zMid-t.zHalf-1.5*t.pitch, bottom), min(t.zMid+t.zHalf+1.5*t.pitch, top)
	g := rows{lo: lo, radii: make([][]float64, len(lines))}
	g.n = max(0, int((hi-lo)/max(t.pitch/formSteps, (hi-lo)/mostRows)))
	g.step = (hi - lo) / float64(max(g.n, 1))
	for i := range lines {
		g.radii[i] = make([]float64, g.n)
		lines[i].sample(g.z(0), g.step, g.radii[i])
		for row, r := range g.radii[i] {
			g.radii[i][row] = t.onAxis(&lines[i], g.z(row), r)
		}
	}
	return g
}

// form is the usual form of a thread: radii at even places along one pitch.
type form struct {
	radii []float64
	// near is how far along the pitch, each way, is as good as here.
	near float64
}

// formOf returns the usual form, from the rows within half of the thread's middle.
func (t *fitted) formOf(lines []line, g *rows, half float64) form {
	n, f := formBins, form{}
	if t.pitch > binShare*t.depth*formBins*min(t.flanks[0].run, -t.flanks[1].run) {
		// A hair along the axis is much on the radius: what is usual there is anything within a bin.
		n *= 2
		f.near = 1 / float64(n)
	}
	bins := make([][]float64, n)
	for i := range lines {
		for row, r := range g.radii[i] {
			if math.Abs(g.z(row)-t.zMid) <= half && !math.IsNaN(r) {
				u := t.phase(0, lines[i].theta, g.z(row))
				b := min(int((u-math.Floor(u))*float64(n)), n-1)
				bins[b] = append(bins[b], r)
			}
		}
	}
	f.radii = make([]float64, n)
	for b := range bins {
		full := b
		for k := 0; len(bins[full]) == 0 && k < n; k++ {
			full = (full + 1) % n // of so few sections a bin may be empty
		}
		f.radii[b] = median(bins[full])
	}
	return f
}

// at returns the radius at u pitches above an up flank.
func (f *form) at(u float64) float64 {
	n := len(f.radii)
	x := (u-math.Floor(u))*float64(n) - 0.5
	b := int(math.Floor(x))
	x -= float64(b)
	return f.radii[(b+n)%n]*(1-x) + f.radii[(b+1)%n]*x
}

// off returns how far the radius r stands off the form there.
func (f *form) off(u, r float64) float64 {
	at, before, after := f.at(u), f.at(u-f.near), f.at(u+f.near)
	return max(0, min(at, before, after)-r, r-max(at, before, after))
}

// extremes returns the largest and the smallest radius, each a mean of three neighbours.
func (f *form) extremes() (crest, root float64) {
	crest, root = math.Inf(-1), math.Inf(1)
	for b, n := 0, len(f.radii); b < n; b++ {
		r := (f.radii[b] + f.radii[(b+1)%n] + f.radii[(b+2)%n]) / 3
		crest, root = max(crest, r), min(root, r)
	}
	return crest, root
}

// fullForm returns the heights between which all sections show the thread's usual form, whose extremes it notes.
func (t *fitted) fullForm(lines []line) [2]float64 {
	g := t.rowsOf(lines)
	if g.n < 3 {
		return [2]float64{g.lo, g.lo + float64(max(g.n, 1))*g.step}
	}
	// The usual form, from the middle of the thread.
	half := min(max(0.7*t.zHalf, 0.6*t.pitch), 2*t.pitch)
	usual := t.formOf(lines, &g, half)
	t.crest, t.root = usual.extremes()
	off := g.radii // from here on it holds how far each stands off that
	var usually []float64
	for i := range lines {
		for row, r := range off[i] {
			off[i][row] = usual.off(t.phase(0, lines[i].theta, g.z(row)), r)
			if math.Abs(g.z(row)-t.zMid) <= half && !math.IsNaN(r) {
				usually = append(usually, off[i][row])
			}
		}
	}
	noise := median(usually)
	return t.longest(lines, &g, noise, half)
}

// longest returns the heights of the longest stretch of rows at which few lines stand off the usual form; in g are how far they do, noise
// is how far they usually do, and what is usual is so within half of the middle.
func (t *fitted) longest(lines []line, g *rows, noise, half float64) [2]float64 {
	var full span
	// longer looks for a longer one at which few lines stand off by more than least of the depth and so many times the noise, or not many
	// more than usually do, and on which the flanks are that the fit foretells.
	longer := func(least, wide, few, usual, share float64) {
		gate := max(least*t.depth, wide*noise)
		bad := make([]int, g.n)
		var usually []int
		for row := range bad {
			for _, off := range g.radii {
				if !(off[row] <= gate) {
					bad[row]++
				}
			}
			if math.Abs(g.z(row)-t.zMid) <= half {
				usually = append(usually, bad[row])
			}
		}
		slices.Sort(usually)
		allowed := int(few * float64(len(g.radii)))
		if n := len(usually); n > 0 {
			allowed += int(usual * float64(usually[int(share*float64(n-1))]))
		}
		start, before := 0, full
		for row := range bad {
			if bad[row] > allowed {
				start = row + 1
			} else if here := (span{g.z(start) - g.step/2, g.z(row) + g.step/2}); here.len() > full.len()+g.step/2 {
				full = here
			}
		}
		if !(t.covered(lines, [2]float64{full.lo, full.hi}) > leastCover) {
			full = before
		}
	}
	longer(formShare, 5, strays, 3, 0.5)
	if t.rough > circle*t.depth || full.len() < t.zHalf {
		longer(formShare, 8, roughStrays, 1.4, 0.8)
	}
	if full.len() < t.zHalf {
		longer(cutShape, 8, roughStrays, 1.4, 0.8)
	}
	if full.len() < 0.3*t.pitch {
		return [2]float64{t.zMid - t.zHalf, t.zMid + t.zHalf}
	}
	return [2]float64{full.lo, full.hi}
}

// sample writes the radii of l at the heights z0, z0+step, … to out; NaN where there is no wall.
func (l *line) sample(z0, step float64, out []float64) {
	for i := range out {
		out[i] = math.NaN()
	}
	for _, p := range l.pieces {
		if p.z1 <= p.z0 {
			continue
		}
		slope := (p.m1 - p.m0) / (p.z1 - p.z0)
		first := max(math.Ceil((p.z0-z0)/step), 0)
		for i := first; i < float64(len(out)); i++ {
			z := z0 + i*step
			if z > p.z1 {
				break
			}
			out[int(i)] = p.m0 + slope*(z-p.z0)
		}
	}
}
