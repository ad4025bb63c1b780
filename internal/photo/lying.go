package photo

// This file follows the outlines of a part that lies on the sheet, and reads where its crests end.

import (
	"math"
	"slices"
	"sync"

	"tryring/internal/pose"
)

const (
	// reaches is how far beyond the thread that was guessed outlines are followed, in lengths of it.
	reaches = 1.25
	// uRaised is how high over the sheet crests may lie, on burrs, dirt or waves of the paper: a standard deviation in mm.
	// Common practice, no published source.
	uRaised = 0.05
	// uPrint is how much more a printer may stretch one direction of a page than the other, as a share, a standard deviation. Common
	// practice, no published source.
	uPrint = 0.001
	// usualTilt is how level a part lies on its crests, radians, one standard deviation, 0.1 mm over 30: common practice, no published source.
	usualTilt = 0.0035
	// uForm is how far crests end from where a basic form of the same flanks has them, for wear, other forms and reflections, in pitches;
	// uFaint how much more where they hardly stand out, in pitches times grey levels, uLower where they may be their own shadow.
	uForm, uFaint, uLower = 0.02, 0.3, 0.4
	// uShine is how far light that moves along the crests moves the pitch, as a share. All these are standard deviations, of pictures that were
	// rendered.
	uShine = 0.0025
	// leastEdge is how well a stretch of an outline is known at best, in pixels.
	leastEdge = 0.1
	// muchWorse is how much less than the best an outermost edge may look like crests.
	muchWorse = 0.6
	// uClimb is how well light lets see by how many pitches crests climb a turn, a standard deviation of pictures that were rendered.
	uClimb = 0.2
	// rounds is how often pictures and cylinder are gone round, mostPast how much may repeat past an outline, as a share of what repeats on the
	// face, in squares.
	rounds, mostPast = 4, 0.25
	// oddTurns is by how much crests of one start may seem to climb more or less than a pitch a turn.
	oddTurns = 0.3
	// sureTilt is the largest tilt, beyond its uncertainty, of a part that lies on its crests, in radians.
	sureTilt = 0.015
)

// lying is what was read off one picture of a part on the sheet.
type lying struct {
	onSheet
	// reach is how far from the middle the thread is looked for, mm.
	reach    float64
	cylinder cylinder
	drawn    drawn
	face     crestsOnFace
	// edges are the stretches of the upper and of the lower outline.
	edges [2][]folded
	// paired is set where there is another picture.
	paired bool
}

// read finds pitch and outlines of a thread on one picture of it or on several, and solves for the cylinder that all of them show. What one of
// them says is where the thread is looked for on the others; without those, where they say nothing.
func read(pictures []onSheet) (all []lying, why string) {
	why = "no thread is seen in the free place of the sheet"
	for i, o := range pictures {
		guess, reach, ok := o.stripes()
		if !ok {
			continue
		}
		one := []lying{{onSheet: o, reach: reach * reaches, cylinder: guess}}
		if why = settle(one, 0); all == nil || why == "" {
			all = one
		}
		if why != "" || one[0].odd() || len(pictures) == 1 {
			continue
		}
		l := one[0]
		l.paired = true
		all = []lying{l}
		for k, other := range pictures {
			if k != i {
				all = append(all, lying{onSheet: other, reach: (l.face.to-l.face.from)/2 + 2*l.face.pitch, cylinder: l.cylinder, face: l.face, paired: true})
			}
		}
		if settle(all, 1) != "" || slices.ContainsFunc(all, lying.odd) {
			all = one
		}
		return all, ""
	}
	return all, why
}

// odd tells that the crests on the face are not seen to climb as those of one start do.
func (l lying) odd() bool {
	return l.face.pure < pureFace || math.Abs(math.Abs(l.face.turns)-1) > oddTurns
}

// settle goes round from pictures to cylinder and back until they agree; the first of these rounds looks farthest around.
func settle(all []lying, first int) (why string) {
	for round := first; round < rounds; round++ {
		var touches []touch
		var aims []aim
		for i := range all {
			l := &all[i]
			if why := l.trace(round); why != "" {
				return why
			}
			if round == rounds-1 && !l.ends() {
				return "the thread's upper outline does not stand out from what is behind it"
			}
			touches = append(touches, l.touches(l.view.Camera, [4]float64{})...)
			aims = append(aims, l.aims()...)
		}
		c, _, ok := lies(touches, aims, all[0].cylinder, 0, usualTilt)
		if !ok {
			return "no cylinder that lies on the sheet has the part's outlines"
		}
		for i := range all {
			all[i].cylinder = cylinder{c.near(all[i].cylinder.at), c.along, c.radius}
		}
	}
	return ""
}

// trace reads the face about where the cylinder is taken to lie, and finds where the crests end on all stretches of both outlines.
func (l *lying) trace(round int) (why string) {
	eye := l.view.At
	if l.cylinder.cut(eye).across[2] > 0 { // up is up on the picture
		l.cylinder.along = Vec{}.Plus(-1, l.cylinder.along)
	}
	inner := l.cylinder
	inner.radius -= math.Min(flankShare*l.face.pitch, inner.radius/3)
	if round == 0 {
		inner.radius *= 0.97
		if !l.head(&inner, l.reach) {
			return noRepeat
		}
		l.cylinder.along = inner.along
	}
	var ok bool
	if l.face, ok = l.unroll(inner, l.reach).read(l.face.pitch, l.paired); !ok {
		return noRepeat
	}
	// The middle of the thread is where the outlines tell most.
	middle := (l.face.from + l.face.to) / 2
	l.cylinder.at = l.cylinder.at.Plus(middle, l.cylinder.along)
	l.face.from, l.face.to = l.face.from-middle, l.face.to-middle
	cut := l.cylinder.cut(eye)
	wide := cut.half*1.4 + 3*l.face.pitch
	l.drawn = l.draw(cut, l.pixelsPerMM(cut.middle), -l.reach, l.reach, -wide, wide)
	half, period := cut.half*l.drawn.k, l.face.pitch*l.drawn.k
	near, far, slope := half-0.6*period, half+0.6*period, 0.01
	switch round {
	case 0:
		near, far, slope = 0.7*half-period, 1.35*half+period, 0.04
	case 1:
		near, far, slope = half-1.5*period-2, half+1.5*period+2, 0.02
	}
	var both sync.WaitGroup
	for i, side := range []side{left, right} {
		both.Go(func() { l.edges[i] = l.edge(side, near, far, slope) })
	}
	both.Wait()
	return ""
}

// ends tells whether the upper outline is one, beyond which the face does not go on.
func (l lying) ends() bool {
	if len(l.edges[0]) < 2 {
		return false
	}
	period, least := l.face.pitch*l.drawn.k, math.Inf(1)
	for _, e := range l.edges[0] {
		half := e.pitches * period / 2
		f := l.fold(l.drawn, left, period, e.s-half, e.s+half, e.crest-2*period, e.crest+2*period)
		face, past := f.between(e.crest-2*period, e.crest-period/2), f.between(e.crest+period/2, e.crest+2*period)
		if len(face.rows) > 0 && len(past.rows) > 0 {
			least = math.Min(least, past.all/face.all)
		}
	}
	return least < mostPast
}

// edge finds where crests end on an outline: first the line, of a slope up to one that is given, along which all stretches look most like
// it, then each stretch by itself.
func (l lying) edge(side side, near, far, steepest float64) (found []folded) {
	all := l.sheaves(side, near, far)
	var looks [][]ending
	for _, f := range all {
		looks = append(looks, f.look(l.formOf(side, f), near, far, side == left))
	}
	on := func(i int, out, slope float64) ending { // the one next to a line
		step := looks[i][1].tip - near
		k := int(math.Round((out + slope*(all[i].s-l.drawn.s00()) - near) / step))
		return looks[i][min(max(k, 0), len(looks[i])-1)]
	}
	// The outermost that is not much worse than the best, which may be a shine on the face.
	best := make([]struct{ slope, worth float64 }, len(looks[0]))
	most := 0.0
	for k, e := range looks[0] {
		for b := -steepest; b <= steepest; b += steepest / 8 {
			sum := 0.0
			for i := range looks {
				sum += on(i, e.tip, b).worth
			}
			if sum > best[k].worth {
				best[k].slope, best[k].worth = b, sum
				most = math.Max(most, sum)
			}
		}
	}
	k := len(best) - 1
	for k > 0 && best[k].worth < muchWorse*most {
		k--
	}
	for i := k; i >= 0 && looks[0][i].tip > looks[0][k].tip-all[0].period/2; i-- {
		if best[i].worth > best[k].worth {
			k = i
		}
	}
	out, slope := looks[0][k].tip, best[k].slope
	for i, f := range all {
		e := on(i, out, slope)
		if e.worth <= 0 {
			continue
		}
		if g, ok := f.crests(l.formOf(side, f), e.tip, e.phase); ok && g.share > leastExplained && math.Abs(g.crest-e.tip) < 0.4*f.period {
			g.pitches = f.pitches
			found = append(found, g)
		}
	}
	return found
}

// sheaves are the stretches of an outline.
func (l lying) sheaves(side side, near, far float64) (all []sheaf) {
	d, period := l.drawn, l.face.pitch*l.drawn.k
	from, to := (l.face.from-d.s0)*d.k+period/2, (l.face.to-d.s0)*d.k-period/2
	n := min(mostStretches, max(4, int((to-from)/(stretchPitches*period))))
	for k := range n {
		a, b := from+(to-from)*float64(k)/float64(n), from+(to-from)*float64(k+1)/float64(n)
		f := l.fold(d, side, period, a, b, near-0.9*period, far+0.6*period)
		f.pitches = (b - a) / period
		all = append(all, f)
	}
	return all
}

// formOf is how crests look on a stretch of an outline.
func (l lying) formOf(side side, f sheaf) form {
	d := l.drawn
	ray := d.at3(f.s, float64(side)*d.cut.half*d.k+d.middle()).Plus(-1, l.view.At).Unit()
	lean := pose.Dot(ray, d.cut.along)
	radius := l.cylinder.radius * d.k
	turns := 0.0
	if math.Abs(l.face.turns) < 1.6 {
		turns = math.Round(l.face.turns)
	}
	slant := radius*lean/math.Sqrt(1-lean*lean) - float64(side)*turns*f.period/(2*math.Pi)
	return newForm(f.period, usualBlur, slant, radius)
}

// usualBlur is that of a sharp picture, in pixels.
const usualBlur = 1.4

// crestLine is the line through the ends of an outline's crests: out = a + b s in pixels, and how well its ends are known. Where they
// cannot be told it is about where the face ends.
func (l lying) crestLine(side int) (a, b, u float64) {
	a = l.drawn.cut.half * l.drawn.k
	if len(l.edges[side]) < 2 {
		return a, 0, uFades * a
	}
	// Least squares, again and again, in which what stands off counts less.
	n := 0.0
	u = l.face.pitch * l.drawn.k / 4
	for range 6 {
		fit, off := newLeastSquares(2), 0.0
		n = 0
		for _, f := range l.edges[side] {
			s := f.s - l.drawn.s00()
			sure, away := square(f.u)+square(leastEdge), square(f.crest-a-b*s)
			w := 1 / (1 + away/(sure+square(u)))
			fit.add(w/sure, f.crest, 1, s)
			n, off = n+w, off+w*away
		}
		c, ok := fit.solve()
		if !ok {
			break
		}
		a, b, u = c[0], c[1], math.Sqrt(off/n)
	}
	return a, b, 2 * math.Max(u, leastEdge) / math.Sqrt(n)
}

// noRepeat tells that there is no thread to be seen.
const noRepeat = "nothing on the part's face repeats evenly, as the crests of a thread do"

// scaleOfPrint names that part of an uncertainty.
const scaleOfPrint = "the print's scale"

// uFades is how well it is known where the face ends by where its ripple fades, as a share of the radius.
const uFades = 0.08
