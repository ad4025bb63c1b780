package caliper

// This file tells what was measured of a thread, and finds where its full form stands.

import (
	"math"
	"slices"
)

// measure measures the thread of s, its diameters at the height refZ (NaN: in the middle of the full form), or says why there is none.
func (s *site) measure(refZ float64) (*Thread, fitted, string) {
	t, lines, why := fitThread(s)
	if why != "" {
		return nil, fitted{}, why
	}
	from, to := t.full[0], t.full[1]
	high, low, ok := t.extremes(lines, from, to)
	if !ok {
		return nil, fitted{}, whyRagged
	}
	if math.IsNaN(refZ) {
		refZ = (from + to) / 2
	}
	shift := t.cone * (refZ - t.zMid)
	half, why := t.middle(lines)
	flanks := &t
	if why != "" {
		flanks = &half
	}
	// Outside, the down flank faces up; inside, where material lies beyond the line, the up flank does.
	upper, lower := flanks.degrees(1), flanks.degrees(0)
	if !s.outer {
		upper, lower = lower, upper
	}
	th := &Thread{
		Turns:    (to - from) / (t.pitch * math.Abs(float64(t.turn))),
		MajorMM:  2 * (high.r + shift),
		PitchDMM: 2 * (t.pitchRadius() + shift),
		MinorMM:  2 * (low.r + shift),
		PitchMM:  t.pitch, LeadMM: t.pitch * math.Abs(float64(t.turn)),
		Starts: max(t.turn, -t.turn), Hand: "right",
		Taper: math.Abs(2 * t.cone), WidensUp: t.cone > 0,
		UpperFlankDeg: upper, LowerFlankDeg: lower, FlankDeg: [2]float64{lower, upper}, AngleDeg: upper + lower, FlankWhy: why,
		ZMM: [2]float64{from, to}, RefZMM: refZ,
	}
	if t.turn < 0 {
		th.Hand = "left"
	}
	t.sure(th, lines, &half, high, low)
	if !s.outer {
		th.UFlankDeg[0], th.UFlankDeg[1] = th.UFlankDeg[1], th.UFlankDeg[0]
	}
	th.leaveOut(t.depth, t.rough, sagitta(lines, t.full))
	return th, t, ""
}

const (
	// whyArcs is said of the angle of round forms.
	whyArcs = "the flanks are arcs: their angles are those near the pitch line"
	// straightRough is the roughness, in depths, below which flanks are straight; curvedDeg the difference of angle between the middle of
	// a flank and the whole band from which it is an arc.
	straightRough, curvedDeg = 1e-3, 1.0
)

// degrees is the angle of the flank k to the perpendicular of the axis.
func (t *fitted) degrees(k int) float64 {
	return math.Atan(1/math.Abs(1/t.flanks[k].run+t.cone)) * 180 / math.Pi
}

// middle returns the fit to LeastBand of the depth, t itself where nothing is left that it could tell, and why its flanks have the right
// angles where those of t have not: they are arcs.
func (t *fitted) middle(lines []line) (half fitted, why string) {
	half = *t
	half.band = LeastBand
	if t.rough < straightRough*t.depth || half.refine(lines, t.full) != "" {
		return *t, ""
	}
	if math.Abs(half.degrees(0)-t.degrees(0))+math.Abs(half.degrees(1)-t.degrees(1)) > curvedDeg {
		why = whyArcs
	}
	return half, why
}

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

// fullForm returns the heights between which all sections show the thread's usual form.
func (t *fitted) fullForm(lines []line) [2]float64 {
	lo, hi := t.zMid-t.zHalf-1.5*t.pitch, t.zMid+t.zHalf+1.5*t.pitch
	bottom, top := math.Inf(1), math.Inf(-1)
	for _, l := range lines {
		if n := len(l.spots); n > 0 {
			bottom, top = min(bottom, l.spots[0].z), max(top, l.spots[n-1].z)
		}
	}
	lo, hi = max(lo, bottom), min(hi, top)
	step := max(t.pitch/formSteps, (hi-lo)/mostRows)
	// Heights stand in the middle of their steps, so that none is on an end plane.
	rows := int((hi - lo) / step)
	if rows < 3 {
		return [2]float64{lo, hi}
	}
	step = (hi - lo) / float64(rows)
	height := func(row int) float64 { return lo + (float64(row)+0.5)*step }
	radii := make([]float64, rows*len(lines))
	for i := range lines {
		l := &lines[i]
		l.sample(height(0), step, radii[i*rows:(i+1)*rows])
		for row := range rows {
			if r := &radii[i*rows+row]; !math.IsNaN(*r) {
				*r = t.onAxis(l, height(row), *r)
			}
		}
	}
	// The usual form, from the middle of the thread.
	half := max(0.7*t.zHalf, 0.6*t.pitch)
	half = min(half, 2*t.pitch)
	n, near := formBins, 0.0
	if t.pitch > binShare*t.depth*formBins*min(t.flanks[0].run, -t.flanks[1].run) {
		// A hair along the axis is much on the radius: what is usual there is anything within a bin.
		n *= 2
		near = 1 / float64(n)
	}
	bins, form := make([][]float64, n), make([]float64, n)
	for i := range lines {
		for row := range rows {
			z, r := height(row), radii[i*rows+row]
			if math.Abs(z-t.zMid) <= half && !math.IsNaN(r) {
				u := t.phase(0, lines[i].theta, z)
				b := int((u - math.Floor(u)) * float64(n))
				bins[min(b, n-1)] = append(bins[min(b, n-1)], r)
			}
		}
	}
	var spread []float64
	for b := range bins {
		full := b
		for k := 0; len(bins[full]) == 0 && k < n; k++ {
			full = (full + 1) % n // of so few sections a bin may be empty
		}
		form[b] = median(bins[full])
	}
	t.crest, t.root = math.Inf(-1), math.Inf(1)
	for b := range form {
		r := (form[b] + form[(b+1)%n] + form[(b+2)%n]) / 3
		t.crest, t.root = max(t.crest, r), min(t.root, r)
	}
	usual := func(u float64) float64 {
		x := (u-math.Floor(u))*float64(n) - 0.5
		b := int(math.Floor(x))
		x -= float64(b)
		return form[(b+n)%n]*(1-x) + form[(b+1)%n]*x
	}
	off := func(u, r float64) float64 {
		at, before, after := usual(u), usual(u-near), usual(u+near)
		return max(0, min(at, before, after)-r, r-max(at, before, after))
	}
	// From here radii hold how far each stands off the usual form.
	for i := range lines {
		for row := range rows {
			r := &radii[i*rows+row]
			z := height(row)
			*r = off(t.phase(0, lines[i].theta, z), *r)
			if math.Abs(z-t.zMid) <= half && !math.IsNaN(*r) {
				spread = append(spread, *r)
			}
		}
	}
	bad, usually := make([]int, rows), make([]float64, 0, rows)
	best, from, to := 0, 0.0, 0.0
	longest := func(least, wide, few, usual, share float64) {
		gate := max(least*t.depth, wide*median(spread))
		usually = usually[:0]
		for row := range rows {
			bad[row] = 0
			for i := range lines {
				if !(radii[i*rows+row] <= gate) {
					bad[row]++
				}
			}
			if math.Abs(height(row)-t.zMid) <= half {
				usually = append(usually, float64(bad[row]))
			}
		}
		slices.Sort(usually)
		allowed := int(few * float64(len(lines)))
		if n := len(usually); n > 0 {
			allowed += int(usual * usually[int(share*float64(n-1))])
		}
		start := -1
		for row := 0; row <= rows; row++ {
			good := row < rows && bad[row] <= allowed
			switch {
			case good && start < 0:
				start = row
			case !good && start >= 0:
				if row-start > best {
					best = row - start
					from, to = height(start)-step/2, height(row)-step/2
				}
				start = -1
			}
		}
	}
	longest(formShare, 5, strays, 3, 0.5)
	if t.rough > circle*t.depth || float64(best)*step < t.zHalf {
		longest(formShare, 8, roughStrays, 1.4, 0.8)
	}
	if float64(best)*step < t.zHalf {
		longest(cutShape, 8, roughStrays, 1.4, 0.8)
	}
	if float64(best)*step < 0.3*t.pitch {
		return [2]float64{t.zMid - t.zHalf, t.zMid + t.zHalf}
	}
	return [2]float64{from, to}
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
