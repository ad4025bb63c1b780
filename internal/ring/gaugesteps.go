package ring

// This file decides on the gauge of a taper thread: one ring or plug that is turned hand tight, with two steps that the
// part's end must stop between.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// StandOff says where along the axis a part of a taper thread stops when it is hand tight.
type StandOff struct {
	// Gauge runs from the gauge plane, where the thread has its basic diameters, to the small end of an external part.
	Gauge unit.Length
	// Tolerance is how far the part may stop to either side of its place.
	Tolerance unit.Length
}

// StandOffOf picks what l says of the parts that a gauge of the kind judges.
func StandOffOf(l thread.TaperLengths, kind GaugeKind) StandOff {
	if kind == RingGauge {
		return StandOff{l.Gauge, l.ExternalTol}
	}
	return StandOff{l.Gauge, l.InternalTol}
}

func (o StandOff) validate() error {
	if !(o.Tolerance > 0 && o.Gauge > o.Tolerance) {
		return fmt.Errorf("gauge length %s give or take %s: both must be known, and the length must be the larger", o.Gauge.TextMM(), o.Tolerance.TextMM())
	}
	return nil
}

// TaperLimits are the limits of the pitch diameter in the gauge plane that a stand-off of o comes to: basic size give or take
// the taper over the tolerance. The other diameters stay open.
func TaperLimits(t thread.Thread, o StandOff) thread.Limits {
	half := o.Tolerance * unit.Length(t.Taper)
	return thread.Limits{PitchMin: new(t.Basic.Pitch - half), PitchMax: new(t.Basic.Pitch + half)}
}

// StepsUse says how a gauge with steps is read.
func StepsUse(k GaugeKind) string {
	if k == RingGauge {
		return "Turn the part in hand tight from the flange's side: its end must stop between the two steps, past the end of the gauge's thread and not above the rim."
	}
	return "Turn the gauge in hand tight: the part's face must stop between the two steps, past the last turn of the gauge's thread and short of the shoulder."
}

// stepDiameters are those in the gauge plane: the basic pitch diameter, with crests and roots cleared like those of a no-go
// gauge, so that flanks alone decide where the part stops.
func (s GaugeSpec) stepDiameters() thread.Diameters {
	cleared := s
	cleared.Limit = NoGo
	cleared.Limits = thread.Limits{PitchMin: &s.Thread.Basic.Pitch, PitchMax: &s.Thread.Basic.Pitch}
	return cleared.wantedDiameters()
}

// The steps of a gauge, millimetres; common practice, no published source.
const (
	// rimMM is the least step from the recess of a ring up to its rim.
	rimMM = 0.4
	// shoulderRiseMM is how far the shoulder of a plug falls from the neck to its rim: all but flat.
	shoulderRiseMM = 0.1
	// shoulderOutMM is how far the shoulder stands out past the thread.
	shoulderOutMM = 1.2
)

// stepRing sets the thread into a ring whose large end is the gauge plane. The part comes in there, and its small end must
// stop between the low step, where the thread of the gauge ends in a recess, and the high one, the rim around the recess.
func (g *Gauge) stepRing(s Surface) error {
	c, d := chamfer(s), depth(s)
	low, h := (g.StandOff.Gauge - g.StandOff.Tolerance).MM(), (g.StandOff.Gauge + g.StandOff.Tolerance).MM()
	floor := low - crestLeft*d // at 45 degrees from here, the crests begin to fade at low
	recess := s.MajorRadius(low) + crestLeft*d
	widened := floor + recess - (s.MinorRadius(floor) - crestLeft*d)
	if low-c < minTurns*g.Thread.Lead().MM() || widened+rimMM > h {
		return g.noRoom()
	}
	s.From, s.To = 0, h
	s.Lo = Line{
		s.knot(0, s.MajorRadius, -crestLeft), s.knot(c, s.MinorRadius, -crestLeft), s.knot(floor, s.MinorRadius, -crestLeft),
		{Z: widened, R: recess},
	}
	r := s.MajorRadius(0) + crestLeft*d + g.sturdy()
	g.Wall, g.StepsMM = unit.MM(g.sturdy()), [2]float64{low, h}
	g.LengthWhy = fmt.Sprintf("from the gauge plane to the low step; the rim stands %s above it", (2 * g.StandOff.Tolerance).TextMM())
	return g.around(s, Line{{Z: flangeMM, R: r}}, h, [2]float64{c, low})
}

func (g *Gauge) noRoom() error {
	return fmt.Errorf("%s: a gauge length of %s give or take %s leaves no room for thread and steps", g.Name(), g.StandOff.Gauge.TextMM(), g.StandOff.Tolerance.TextMM())
}

// stepPlug sets the thread onto a smooth neck above a shoulder. The face of the part comes down from the small end and must
// stop on the neck: past the last turn of the gauge, and short of the shoulder.
func (g *Gauge) stepPlug(s Surface) error {
	c, d, tol := chamfer(s), depth(s), g.StandOff.Tolerance.MM()
	shoulder := flangeMM + collarMM
	plane := shoulder + tol
	neck, h := plane+tol, plane+g.StandOff.Gauge.MM()
	s.RefMM = plane
	under := func(z float64) thread.Knot { return s.knot(z, s.MinorRadius, -crestLeft) }
	full := neck + (1+2*crestLeft)*d // the turns rise from the neck at 45 degrees
	if h-c-full < minTurns*g.Thread.Lead().MM() {
		return g.noRoom()
	}
	inner, err := g.bored(math.Max(s.MinorRadius(h)-g.sturdy(), smallestBoreMM), under(h).R, h)
	if err != nil {
		return err
	}
	rim := s.MajorRadius(shoulder) + crestLeft*d + shoulderOutMM
	s.From, s.To = flangeMM, h
	s.Lo = Line{{Z: flangeMM, R: rim}, {Z: shoulder - shoulderRiseMM, R: rim}, under(shoulder), under(h)}
	s.Hi = Line{
		{Z: shoulder - shoulderRiseMM, R: rim + cutMM},
		under(shoulder), under(neck),
		s.knot(full, s.MajorRadius, crestLeft), s.knot(h-c, s.MajorRadius, crestLeft), s.knot(h, s.MinorRadius, crestLeft),
	}
	g.LengthWhy = fmt.Sprintf("from the neck to the small end; the shoulder stands %s below the neck's end", (2 * g.StandOff.Tolerance).TextMM())
	g.finish(inner, s, h, [2]float64{full, h - c})
	g.StepsMM = [2]float64{shoulder, neck}
	return nil
}
