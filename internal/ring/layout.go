package ring

// This file sets the two threads into one part: nested in one another, or stacked end to end.

import (
	"fmt"
	"math"

	"tryring/internal/fault"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

const (
	// roundUpMM is the step to which a height that we choose is rounded up.
	roundUpMM = 0.5
	// stackedWallMM is the wall of a stacked ring, where there is room for a sturdy one.
	stackedWallMM = 2.0
	// leastWallMM is the wall below which a nested ring is refused whatever the printer.
	leastWallMM = 0.2
	// shoulderMM is how far the cup of a stacked ring stands out over the outer thread at least.
	shoulderMM = 0.3
)

// builder carries the parts of a plan while it is laid out. Its lengths are millimetres.
type builder struct {
	plan         *Plan
	inner, outer Surface
	// asked is the height asked for, 0 for none; floor the height of the flange.
	asked, floor float64
}

// depth is the height of the thread on the radius.
func depth(s Surface) float64 { return (s.Profile.MajorMM - s.Profile.MinorMM) / 2 }

// chamfer is the axial length of the lead-in at 45 degrees: from crestLeft of the depth at the face to as much past the far side.
func chamfer(s Surface) float64 { return depth(s) }

func (b *builder) layOut(asked Layout) error {
	wall := b.nestedWall(b.nestedHeight())
	least := b.plan.Printer.MinWall.MM()
	switch {
	case asked == Nested && wall < leastWallMM:
		return fault.In("layout", fmt.Errorf("%w: nested, %s inside %s would have %.2f mm of wall (at least %.1f mm is needed); use layout stacked",
			ErrNoWall, b.plan.Inner.Thread.Designation, b.plan.Outer.Thread.Designation, wall, leastWallMM))
	case asked == Nested || asked == Auto && wall >= least:
		b.plan.LayoutWhy = fmt.Sprintf("nested: %.2f mm of wall between the two threads", wall)
		if asked == Nested && wall < least {
			b.plan.LayoutWhy += fmt.Sprintf(", thinner than the %.2f mm this printer needs, as asked for", least)
		}
		return b.nested(wall)
	case asked == Stacked:
		b.plan.LayoutWhy = "stacked, as asked for"
	default:
		b.plan.LayoutWhy = fmt.Sprintf("stacked: nested, the wall would be %.2f mm and this printer needs %.2f mm", wall, least)
	}
	return b.stacked()
}

// nestedHeight is the height asked for, or that which gives both threads the engagement they need.
func (b *builder) nestedHeight() float64 {
	if b.asked > 0 {
		return b.asked
	}
	outer := b.outerStart() + b.plan.Outer.Engagement.MM() + chamfer(b.outer)
	inner := b.plan.Inner.Engagement.MM() + 2*chamfer(b.inner)
	return math.Ceil(math.Max(outer, inner)/roundUpMM-1e-9) * roundUpMM
}

// outerStart is where the outer thread's full form begins on a nested ring: at the flange, or past a lower chamfer.
func (b *builder) outerStart() float64 {
	if b.floor > 0 {
		return b.floor
	}
	return chamfer(b.outer)
}

// placeOuter sets the gauge plane of the outer thread for a ring of height h: its small end is the top.
func (b *builder) placeOuter(h float64) {
	b.outer.RefMM = h - b.plan.Outer.Thread.GaugeLength.MM()
	b.plan.Outer.RefMM = b.outer.RefMM
}

// nestedWall is the least wall between the roots of the two threads over a nested ring of height h.
func (b *builder) nestedWall(h float64) float64 {
	b.placeOuter(h)
	wall := math.Inf(1)
	for _, z := range []float64{b.floor, h} {
		wall = math.Min(wall, b.outer.MinorRadius(z)-b.inner.MajorRadius(z))
	}
	return b.across(wall)
}

// across is the least distance between two walls that stand so far apart square to the axis: on a taper the shortest way
// is square to the cone.
func (b *builder) across(gap float64) float64 {
	return gap / math.Hypot(1, math.Max(math.Abs(b.inner.Profile.Slope), math.Abs(b.outer.Profile.Slope)))
}

func (b *builder) nested(wall float64) error {
	h := b.nestedHeight()
	needed := math.Max(b.outerStart()+minTurns*b.outer.Profile.PitchMM+chamfer(b.outer), minTurns*b.inner.Profile.PitchMM+2*chamfer(b.inner))
	if h < needed {
		return tooLow(h, needed)
	}
	if bore := b.inner.MinorRadius(h); bore < smallestBoreMM {
		return fault.At("height", "", "at a height of %.2f mm the taper of %s would narrow the bore to %.2f mm (at least %.0f mm is needed); ask for a lower height or layout stacked",
			h, b.plan.Inner.Thread.Designation, 2*math.Max(bore, 0), 2*smallestBoreMM)
	}
	b.explainHeight("both threads at once")
	b.inner.From, b.inner.To = 0, h
	b.inner.Lo = Line{
		b.inner.knot(0, b.inner.MajorRadius, -crestLeft), b.inner.knot(chamfer(b.inner), b.inner.MinorRadius, -crestLeft),
		b.inner.knot(h-chamfer(b.inner), b.inner.MinorRadius, -crestLeft), b.inner.knot(h, b.inner.MajorRadius, -crestLeft),
	}
	b.outer.From, b.outer.To = b.floor, h
	top := Line{b.outer.knot(h-chamfer(b.outer), b.outer.MajorRadius, crestLeft), b.outer.knot(h, b.outer.MinorRadius, crestLeft)}
	bottom := Line{b.outer.knot(0, b.outer.MinorRadius, crestLeft), b.outer.knot(chamfer(b.outer), b.outer.MajorRadius, crestLeft)}
	if b.floor > 0 {
		bottom = Line{b.outer.knot(b.floor, b.outer.MajorRadius, crestLeft)}
	}
	b.outer.Hi = append(bottom, top...)
	b.plan.Inner.FullMM = [2]float64{chamfer(b.inner), h - chamfer(b.inner)}
	b.plan.Outer.FullMM = [2]float64{b.outerStart(), h - chamfer(b.outer)}
	b.finish(Nested, h, wall)
	return nil
}

// knot returns the point at z, the share of the depth away from the given cone.
func (s Surface) knot(z float64, cone func(float64) float64, share float64) thread.Knot {
	return thread.Knot{Z: z, R: cone(z) + share*depth(s)}
}

// stacked sets the inner thread into a cup below and the outer thread onto a spigot above, joined by a cone of 45
// degrees inside and outside, which a printer builds without support.
func (b *builder) stacked() error {
	innerLong, outerLong := b.plan.Inner.Engagement.MM(), b.plan.Outer.Engagement.MM()
	h, err := b.stack(innerLong, outerLong)
	if err != nil {
		return err
	}
	if b.asked > 0 {
		spare := h - innerLong - outerLong
		shorter := (b.asked - spare) / (innerLong + outerLong)
		least := math.Max(minTurns*b.inner.Profile.PitchMM/innerLong, minTurns*b.outer.Profile.PitchMM/outerLong)
		if shorter < least {
			return tooLow(b.asked, spare+least*(innerLong+outerLong))
		}
		if _, err := b.stack(innerLong*shorter, outerLong*shorter); err != nil {
			return err
		}
	}
	b.explainHeight("one thread above the other")
	return nil
}

// stack builds the two walls of a stacked ring with the given lengths of full thread, and returns its height.
func (b *builder) stack(innerLong, outerLong float64) (float64, error) {
	wall := math.Max(b.plan.Printer.MinWall.MM(), math.Min(stackedWallMM, b.outer.Profile.MinorMM/4))
	innerTop := chamfer(b.inner) + innerLong
	// Two parallel 45 degree walls are wall apart when the outer one starts wall*(sqrt 2 - 1) higher.
	coneFrom := math.Max(innerTop+wall*(math.Sqrt2-1), b.floor)
	// The cone's foot depends on the spigot's radius there, which on a taper depends on the height: two rounds settle it.
	cup := b.inner.MajorRadius(0) + depth(b.inner)*crestLeft + wall
	coneTo, h := coneFrom, coneFrom
	for range 4 {
		b.placeOuter(h)
		cup = math.Max(cup, b.outer.MajorRadius(b.floor)+shoulderMM)
		foot := b.outer.MinorRadius(coneTo) - crestLeft*depth(b.outer)
		coneTo = coneFrom + cup - foot
		h = coneTo + outerLong + chamfer(b.outer)
	}
	b.placeOuter(h)
	bore := math.Min(b.outer.MinorRadius(h)-wall, b.inner.MinorRadius(h)-crestLeft*depth(b.inner))
	if bore < smallestBoreMM {
		return 0, fault.At("layout", "", "stacked, the %s spigot is too thin: walls of %.2f mm leave it a bore of %.2f mm, and at least %.0f mm is needed",
			b.plan.Outer.Thread.Designation, wall, 2*math.Max(bore, 0), 2*smallestBoreMM)
	}
	rim := b.inner.MajorRadius(innerTop) + crestLeft*depth(b.inner)
	low := math.Min(b.inner.MinorRadius(innerTop), bore) - crestLeft*depth(b.inner)
	boreFrom := innerTop + rim - bore
	b.inner.From, b.inner.To = 0, h
	b.inner.Lo = Line{
		b.inner.knot(0, b.inner.MajorRadius, -crestLeft), b.inner.knot(chamfer(b.inner), b.inner.MinorRadius, -crestLeft),
		{Z: innerTop, R: low},
	}
	b.inner.Hi = Line{{Z: innerTop, R: rim}, {Z: boreFrom, R: bore}}
	if b.inner.Profile.Slope < 0 {
		b.inner.Hi = append(Line{{Z: 0, R: b.inner.MajorRadius(0) + crestLeft*depth(b.inner)}}, b.inner.Hi...)
	}
	b.outer.From, b.outer.To = b.floor, h
	foot := b.outer.MinorRadius(coneTo) - crestLeft*depth(b.outer)
	b.outer.Lo = Line{{Z: coneFrom, R: cup}, {Z: coneTo, R: foot}, b.outer.knot(h, b.outer.MinorRadius, -crestLeft)}
	b.outer.Hi = Line{
		{Z: coneFrom, R: cup + cutMM},
		b.outer.knot(coneTo, b.outer.MajorRadius, 1),
		b.outer.knot(h-chamfer(b.outer), b.outer.MajorRadius, crestLeft), b.outer.knot(h, b.outer.MinorRadius, crestLeft),
	}
	b.plan.Inner.FullMM = [2]float64{chamfer(b.inner), innerTop}
	b.plan.Outer.FullMM = [2]float64{coneTo, h - chamfer(b.outer)}
	b.finish(Stacked, h, b.across(math.Min(wall, b.outer.MinorRadius(h)-bore)))
	return h, nil
}

// finish writes what the layout came to into the plan.
func (b *builder) finish(l Layout, h, wall float64) {
	b.plan.Layout, b.plan.Height, b.plan.Wall = l, unit.MM(h), unit.MM(wall)
	b.plan.Shape = Shape{Inner: b.inner, Outer: b.outer, HeightMM: h}
}

func (b *builder) explainHeight(how string) {
	if b.asked > 0 {
		b.plan.HeightWhy = "as asked for"
		return
	}
	b.plan.HeightWhy = fmt.Sprintf("%s at their length of engagement: inner %.1f mm (%s), outer %.1f mm (%s), plus lead-in and flange",
		how, b.plan.Inner.Engagement.MM(), b.plan.Inner.Rule, b.plan.Outer.Engagement.MM(), b.plan.Outer.Rule)
}

func tooLow(h, needed float64) error {
	return fault.At("height", "", "%.2f mm is too low for one full turn of each thread with its lead-in: at least %.2f mm", h, math.Ceil(needed*100)/100)
}

// reach is the largest radius of the part.
func (b *builder) reach() float64 {
	r := math.Max(b.outer.MajorRadius(b.outer.From), b.outer.MajorRadius(b.outer.To))
	if b.outer.Lo != nil {
		r = math.Max(r, b.outer.Lo.At(b.outer.From))
	}
	if f := b.plan.Shape.Flange; f != nil {
		r = math.Max(r, f.reach())
	}
	return r
}
