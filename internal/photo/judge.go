package photo

// This file decides whether a picture says enough for an answer: one rule a function, each with what would mend it. A wrong
// answer that sounds sure is worse than none.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

// judgement returns why the picture is not enough and what would mend it, or nothing.
type judgement func(m *measured) (why, mend string)

var judgements = []judgement{
	enoughPixels, enoughCrests, bothSeen, deepEnough, alikeEnough, evenEnough, sameBothSides, climbs, sureEnough, possible,
}

const (
	// sureCrests is the fewest crests on either outline for an answer.
	sureCrests = 5
	// surePixels is the least period for an answer, in pixels.
	surePixels = 6.0
	// leastDepth and mostDepth are between which the ripple's depth over its period lies on a picture of a thread. A 60
	// degree thread has 0.54 to 0.61, 55 degrees 0.64; tilt and blur fill the roots.
	leastDepth, mostDepth = 0.14, 0.75
	// sureAlike and surePure are the least autocorrelation, and share of power at the period.
	sureAlike, surePure = 0.55, 0.6
	// mostUneven is the largest deviation of crests from an even row, as a share of the period.
	mostUneven = 0.05
	// sidesTol is by how much the two outlines' periods and depths may differ beyond chance: a part beside the middle of
	// the picture shows its nearer outline larger.
	sidesTol, sidesDepthTol = 0.04, 2.2
	// mostTPI is the largest 95 % half interval, in threads per inch, that is given as an answer: the tables hold 11, 11 1/2
	// and 12, so a half interval of less than half a thread leaves one of them.
	mostTPI = 0.4
	// mostBlank is the largest pitch over diameter of a thread whose face shows no crests: M8 has 0.156.
	mostBlank = 0.16
	// mostRatio is the same for an answer without a scale, as a share of the ratio.
	mostRatio = 0.06
)

func enoughPixels(m *measured) (string, string) {
	if m.period < surePixels {
		return fmt.Sprintf("a pitch has only %.1f pixels", m.period), "take the picture with more pixels on the part: " + fillAndLevel
	}
	return "", ""
}

func enoughCrests(m *measured) (string, string) {
	if n := min(len(m.a.crests), len(m.b.crests)); n < sureCrests {
		return tooFew(n)
	}
	return "", ""
}

// bothSeen asks that no outline shows less than half the crests of the other, or few beside them: glare and shadow at an edge
// bend what is left.
func bothSeen(m *measured) (string, string) {
	from, to := overlap(m.a, m.b)
	few, many := len(m.a.crests), len(m.b.crests)
	if few > many {
		few, many = many, few
	}
	if 2*few < many || to-from < leastPitches*m.period-m.period/2 {
		return fmt.Sprintf("one outline shows %s, the other %s, and too few of them lie side by side", crestsWord(few), crestsWord(many)), m.contrast(m.picture)
	}
	return "", ""
}

func deepEnough(m *measured) (string, string) {
	for _, t := range []train{m.a, m.b} {
		switch share := t.depth / t.period; {
		case share < leastDepth:
			return fmt.Sprintf("the %s outline's ripple is only %.0f %% of its period deep: no thread, or the picture is blurred or taken at a slant", t.side, 100*share), sharper + "; " + fillAndLevel
		case share > mostDepth:
			return fmt.Sprintf("the %s outline's ripple is %.0f %% of its period deep; threads have up to 65 %%", t.side, 100*share), fillAndLevel
		}
	}
	return "", ""
}

func alikeEnough(m *measured) (string, string) {
	if m.stretch.alike < sureAlike || m.stretch.pure < surePure {
		return "the outlines' ripple does not repeat well", sharper + "; " + m.contrast(m.picture)
	}
	return "", ""
}

func evenEnough(m *measured) (string, string) {
	for _, t := range []train{m.a, m.b} {
		if t.uneven > mostUneven {
			return fmt.Sprintf("the crests on the %s outline do not stand evenly", t.side), sharper + "; " + m.contrast(m.picture)
		}
	}
	return "", ""
}

func sameBothSides(m *measured) (string, string) {
	d := math.Abs(m.a.period-m.b.period) / m.period
	if d > sidesTol+3*math.Hypot(m.a.uPeriod, m.b.uPeriod)/m.period {
		return fmt.Sprintf("the two outlines' periods differ by %.0f %%", 100*d), fillAndLevel
	}
	if q := m.a.depth / m.b.depth; q > sidesDepthTol || q < 1/sidesDepthTol {
		return "one outline's ripple is far deeper than the other's", fillAndLevel
	}
	return "", ""
}

// oddClimb says what else crests are than those of a thread of one start that climb so many pitches a turn, on a part of so many pitches a
// diameter; "" for nothing else.
func oddClimb(climb, pitches float64) (why, mend string) {
	switch {
	case climb < leastClimb && pitches < fine:
		return "the crests on the part's face run square to its axis, as rings do", "if it is a thread of one start, hold the camera square to its axis"
	case climb > mostClimb:
		return fmt.Sprintf("the crests on the part's face climb %.1f pitches a turn, as on a thread of two starts or more", climb), "measure its lead by a ruler, over whole turns"
	}
	return "", ""
}

// climbs holds the outlines to what a thread of one start does: its crests on one side stand halfway between those on the
// other. The finer the crests on a wide part, the less well that step is known.
func climbs(m *measured) (string, string) {
	const near = 0.25
	odd := math.Abs(m.shift-0.5) < near && m.uShift < near/2
	switch climb := math.Abs(m.seen.climb); {
	case !m.seen.told && m.ratio.Value > mostBlank:
		return "no crest is to be seen on the face of so coarse a part, whose toothed edges may be anything's", "more light on the part's face, from the side of the camera"
	case !m.seen.told && m.mottled() > mostMottled:
		return "light and dark change on the part's face, and yet no crest can be followed across it: a spring, or glare", "turn the part until nothing shines in its face, or hold it before a bright window"
	case !m.seen.told || odd && climb < mostClimb+0.5:
	default:
		if why, mend := oddClimb(climb, m.width/m.period); why != "" {
			return why, mend
		}
	}
	allowed := math.Max(near, 2*m.uShift)
	if m.seen.hand() == 0 && m.uShift < 2*near { // nothing on the face speaks for a thread, so that level crests are likelier rings
		allowed = near
	}
	if off := math.Abs(m.shift - 0.5); off > allowed {
		return "the crests on both outlines stand level, as on rings, barbs or a thread of two starts, not halfway between each other",
			"if it is a thread of one start, hold the camera square to its axis"
	}
	return "", ""
}

// mostMottled is how much of the step between part and ground the light on a dark part's face may change by, as a standard deviation.
const mostMottled = 0.15

// mottled is by how much the light on the face changes, as a share of the step between part and ground.
func (m *measured) mottled() float64 {
	var v []float64
	from, to := overlap(m.a, m.b)
	for row := from; row < to; row += 2 {
		centre, half := (m.b.lineAt(row)-m.a.lineAt(row))/2, (m.b.lineAt(row)+m.a.lineAt(row))/2
		for _, share := range []float64{-0.4, 0, 0.4} {
			v = append(v, m.grey.at(m.outlines.frame.at(m.outlines.s0+row+0.5, centre+share*half)))
		}
	}
	in, out, ok := m.levels()
	if !ok || len(v) == 0 {
		return 0
	}
	return stat.StdDev(v, nil) / math.Max(math.Abs(in-out), 1)
}

// sureShift is how well the step between the outlines must be known, in pitches, for climbs to tell anything: it is half a
// pitch at most.
const sureShift = 0.25

func sureEnough(m *measured) (string, string) {
	e := m.ratio
	if m.pitch == nil {
		low, high := e.Interval()
		if (high-low)/2 > mostRatio*e.Value {
			return fmt.Sprintf("pitch over diameter is not known better than %.0f %%", 50*(high-low)/e.Value), m.mendUnsure()
		}
		return "", ""
	}
	// How well the diameter is known is the reader's own: a rough one makes a rough pitch, and is told so.
	low, high := e.Interval()
	if o := m.options.Outside; o != nil {
		low, high = low*o.Value, high*o.Value
	} else {
		low, high = m.pitch.Interval()
	}
	if half := (unit.MMPerInch/math.Max(low, 1e-9) - unit.MMPerInch/high) / 2; half > mostTPI {
		return fmt.Sprintf("the pitch is not known better than %.1f threads to the inch either way", half), m.mendUnsure()
	}
	return "", ""
}

// mendUnsure names what would help against the largest part of the uncertainty.
func (m *measured) mendUnsure() string {
	e := m.ratio
	if m.pitch != nil {
		e = *m.pitch
	}
	largest := slices.MaxFunc(e.Parts, func(a, b reading.Part) int { return cmp.Compare(a.U, b.U) })
	switch {
	case m.view.uNear*e.Value >= largest.U*0.999 && m.picture.cropped:
		return "take the camera's own file, not cropped nor sent smaller by a messenger; or " + farther
	case m.view.uNear*e.Value >= largest.U*0.999:
		return farther
	case m.view.uShort*e.Value >= largest.U*0.999:
		return fillAndLevel
	}
	return sharper + " (what is least known: " + largest.What + ")"
}

func possible(m *measured) (string, string) {
	// Between a coarse bolt and the finest thread on a wide part; ratios of the tables run from 1/120 to 1/4.
	const most, least = 0.3, 1.0 / 150
	if r := m.ratio.Value; r > most || r < least {
		return fmt.Sprintf("pitch over diameter would be %.3f, which no usual thread has", r), fillAndLevel
	}
	return "", ""
}

func (s side) String() string {
	if s == right {
		return "right"
	}
	return "left"
}
