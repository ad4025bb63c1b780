package photo

// This file leads from a picture to what it says.

import (
	"errors"
	"math"

	"tryring/internal/reading"
)

// Measure reads the picture. An error is a fault of the options; a picture that does not say enough gives a Result that is
// not answered, with reasons.
func Measure(p *Picture, o Options) (*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	grey, shrink := p.work()
	s, found := sheetIn(grey)
	if o.Other != nil {
		other, _ := o.Other.work()
		second, too := sheetIn(other)
		if !found || !too {
			return nil, errors.New("a second picture is of use where the sheet is seen in both")
		}
		return measureOnSheet([]onSheet{s, second}, shrink, o), nil
	}
	if found && o.Cast == nil {
		return measureOnSheet([]onSheet{s}, shrink, o), nil
	}
	r := &Result{Width: grey.w * shrink, Height: grey.h * shrink}
	blue, red := p.tints(shrink)
	m, why := look(grey, blue, red, o)
	if m != nil {
		m.grey, m.shrink = grey, shrink
		r.Traced = m.traced()
	}
	if why != "" {
		r.refuse(why, m.contrast(p)+"; "+fillAndLevel)
		r.refuse("it may be no thread seen from the side", castOfHole)
		return r, nil
	}
	m.grey, m.shrink, m.picture, m.options = grey, shrink, p, o
	rules := judgements
	if o.oneEdge() {
		rules = castJudgements
		m.evaluateEdge()
	} else {
		m.evaluate()
	}
	r.tell(m)
	for _, j := range rules {
		if why, mend := j(m); why != "" {
			r.refuse(why, mend)
		}
	}
	return r, nil
}

// measured is all that was measured on one picture.
type measured struct {
	grey    *plane
	shrink  int
	picture *Picture
	options Options

	part     *part
	outlines outlines
	stretch  stretch
	// a is the row of crests on the left outline, b that on the right.
	a, b train

	// period and width are in pixels, uPeriod in pixels; width is that between the crest lines, blur taken off.
	period, uPeriod float64
	width, uWidth   float64
	view            view
	// shift is by how much of a period the right outline's crests stand above the left one's, 0 to 1; uShift how well known.
	shift, uShift float64
	taper, uTaper float64
	angleDeg      float64
	// seen is what the part's face says.
	seen face
	// ratio is pitch over outside diameter.
	ratio reading.Estimate
	// pitch is in mm; nil without a scale.
	pitch *reading.Estimate
}

// squareTol is the angle within which a frame counts as straight along the axis: a row error far below a tenth of a
// crest's height over the part's width.
const squareTol = 0.0006

// look traces the part along each possible axis and keeps the one with the best ripple. Where there is none it comes with the reason, and what
// was traced.
func look(grey, blue, red *plane, o Options) (best *measured, why string) {
	var seen *measured
	way := along
	if o.oneEdge() {
		way = alongEdge
	}
	try := func(p *part, f frame) {
		m, ok := way(grey, p, f)
		if m != nil && (seen == nil || m.lost() < seen.lost()) {
			seen = m
		}
		if ok && (best == nil || m.worth() > best.worth()) {
			best = m
		}
	}
	repeats := findRepeats(grey)
	for _, p := range repeating(repeats, grey, blue, red) {
		if try(p, *p.frame); best != nil && best.plain() {
			break
		}
	}
	p, why := findPart(grey)
	if p != nil {
		why = "the outlines of what stands out from the ground do not ripple evenly on both sides"
		for _, f := range p.axes(repeats) {
			if best != nil && best.plain() {
				break
			}
			try(p, f)
		}
	}
	if best == nil {
		return seen, why
	}
	// The crest lines say better than the mask where the axis runs.
	for range 3 {
		off := (best.b.line[1] - best.a.line[1]) / 2
		if o.oneEdge() {
			off = float64(best.a.side) * best.a.line[1]
		}
		if math.Abs(off) < squareTol {
			break
		}
		m, ok := way(grey, best.part, best.outlines.frame.turned(off))
		if !ok || m.worth() < 0.5*best.worth() {
			break
		}
		best = m
	}
	return best, ""
}

// lost is on what share of the rows an edge was not seen, of the edge on which it is more.
func (m *measured) lost() float64 { return math.Max(m.outlines.left.weak, m.outlines.right.weak) }

// along traces the part along a frame; ok is false without a ripple, and m nil where nothing could be traced.
func along(grey *plane, p *part, f frame) (m *measured, ok bool) {
	o, ok := trace(grey, p, f)
	if !ok {
		return nil, false
	}
	return followed(o, p)
}

// followed finds the crests on both outlines; ok is false where there are too few beside each other.
func followed(o outlines, p *part) (m *measured, ok bool) {
	m = &measured{outlines: o, part: p}
	if m.stretch, ok = findStretch(o); !ok {
		return m, false
	}
	if m.a, ok = m.stretch.follow(o.left); !ok {
		return m, false
	}
	if m.b, ok = m.stretch.follow(o.right); !ok {
		return m, false
	}
	from, to := overlap(m.a, m.b)
	return m, to-from > leastPitches*m.stretch.period/2
}

// plain tells that what was found is so good that no other axis need be tried.
func (m *measured) plain() bool {
	const alike, crests = 0.9, 8
	off := math.Abs(m.b.line[1]-m.a.line[1]) / 2
	return m.stretch.alike > alike && m.stretch.pure > alike && min(len(m.a.crests), len(m.b.crests)) >= crests &&
		math.Max(m.a.uneven, m.b.uneven) < mostUneven/2 && off < sameAxis && m.a.depth > 2*leastDepth*m.a.period && m.b.depth > 2*leastDepth*m.b.period
}

// worth ranks what was found along different axes.
func (m *measured) worth() float64 {
	uneven := math.Max(m.a.uneven, m.b.uneven) / mostUneven
	return m.stretch.alike * m.stretch.pure * math.Sqrt(float64(min(len(m.a.crests), len(m.b.crests)))) / (1 + uneven*uneven)
}

// traced are the two edges as they were followed, in places of the original picture.
func (m *measured) traced() (lines [][]Mark) {
	for _, o := range []outline{m.outlines.left, m.outlines.right} {
		var line []Mark
		for i, t := range o.out {
			if !math.IsNaN(t) {
				line = append(line, m.mark(o.side, float64(i), t))
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// evaluate works out pitch, scale, taper and hand from both rows of crests.
func (m *measured) evaluate() {
	a, b := m.a, m.b
	from, to := overlap(a, b)
	middle := (from + to) / 2
	// Where the part leans, the period drifts along it: both outlines and the width are compared at one place.
	periodA, uA := a.periodAt(middle)
	periodB, uB := b.periodAt(middle)
	m.period, m.uPeriod = (periodA+periodB)/2, math.Hypot(uA, uB)/2
	raw := a.lineAt(middle) + b.lineAt(middle)
	spread := (m.outlines.left.spread + m.outlines.right.spread) / 2
	lengthwise := math.Sqrt(math.Max(spread*spread-edgeSmooth*edgeSmooth, 0.1))
	drawn := blurLoss(lengthwise/m.period, spread/m.period)
	m.width = raw + 2*drawn*m.period
	// The true crest may be a flat or an arc, sharp or worn: 0.4 of the correction. Light that creeps around the edge
	// moves it by 0.3 of the blur on both sides.
	m.uWidth = math.Sqrt(square(0.4*2*drawn*m.period) + square(0.3*spread) +
		(square(a.rough)+square(b.rough))/float64(min(len(a.crests), len(b.crests))))
	m.seeFrom(middle, from, to)
	m.seen = m.face(math.Atan(m.view.wide / 2))
	m.seeFrom(middle, from, to)
	// Both outlines show the same pitch; what they differ by beyond perspective, one of them may be wrong by.
	m.uPeriod = math.Hypot(m.uPeriod, m.period*math.Abs(periodB/periodA/m.view.sides-1)/2)

	wide := b.line[1] + a.line[1]
	length := to - from
	m.taper = wide + m.view.wide*m.view.lean
	m.uTaper = math.Hypot(m.view.wide*m.view.uLean, 2*math.Hypot(a.rough, b.rough)/length)
	reference, uReference := m.reference(middle)
	m.shift = math.Mod((b.near(middle)-a.near(middle))/m.period+2, 1)
	m.uShift = math.Hypot(0.003+m.view.wide*math.Abs(m.grey.beside(m.outlines.frame, (b.lineAt(middle)-a.lineAt(middle))/2))*0.5, 0.002) * m.width / m.period
	m.angleDeg = m.flanks()
	m.scale(reference, uReference)
}

func (m *measured) flanks() float64 {
	l, r := flankAngle(m.outlines.left, m.a), flankAngle(m.outlines.right, m.b)
	if l <= 0 || r <= 0 || math.Abs(l-r) > 3*uAngleDeg {
		return 0
	}
	return (l + r) / 2
}

// seeFrom reckons with the camera's place.
func (m *measured) seeFrom(middle, from, to float64) {
	centre := (m.b.lineAt(middle) - m.a.lineAt(middle)) / 2
	n := math.Max(leastPitches, (to-from)/m.period)
	uneven := (m.a.uneven + m.b.uneven) / 2
	q := m.options.seen(m.grey.size, m.outlines.frame, m.outlines.s0+middle+0.5, centre-m.width/2, centre+m.width/2, m.picture.focal35)
	q.cropped = m.picture.cropped
	q.drift = (m.a.drift + m.b.drift) / 2 / (to - from)
	// The quadratic coefficient over evenly spaced places has variance 45 sd^2/(4 n); neighbours share half their rows
	// (times 2), there are two outlines (half), and lenses bend lines by a few thousandths.
	q.uDrift = math.Hypot(4*uneven*math.Sqrt(45/(4*n))/(n/2), 0.004) / (to - from)
	q.face, q.radius = m.seen, m.width/2/m.period
	m.view = q.view()
}

func square(x float64) float64 { return x * x }

// tapers says "yes", "no" or "not told". Taper pipe threads widen by 1 in 16 (ASME B1.20.1, ISO 7-1), which is 0.0625; the
// straight ones do not.
func (m *measured) tapers() string {
	const half = 1.0 / 32
	switch t := math.Abs(m.taper); {
	case t-2*m.uTaper > half/2 && t > half && t < 4*half:
		return "yes"
	case t+2*m.uTaper < 1.5*half && t < half:
		return "no"
	}
	return "not told"
}
