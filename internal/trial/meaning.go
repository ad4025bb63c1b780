package trial

// This file says in words what a result means, in figures of the ring that was tried.

import (
	"fmt"
	"math"

	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Meaning says what the result of t may come from, a sentence each, the first the nearest.
func Meaning(t job.Try, tables *thread.Tables) ([]string, error) {
	met, err := meet(t, tables)
	if err != nil {
		return nil, err
	}
	m := newMeaning(met)
	switch n, stopped := met.felt.Stopped(); {
	case stopped:
		return m.stops(n), nil
	case met.felt == printer.DoesNotStart:
		return m.notStart(), nil
	case met.felt == printer.Snug:
		return m.snug(), nil
	case met.felt == printer.Goes:
		return m.goes(), nil
	case met.felt == printer.EntryTight:
		return append([]string{"The first turn is tight and the rest runs free: the first layer has spread at the ring's entry, or the part's first turn is bruised. Cut the edge back and try again."}, m.goes()...), nil
	case met.felt == printer.DropsIn:
		return m.dropsIn(), nil
	}
	return m.rattles(), nil
}

// meaning holds the figures of a try.
type meaning struct {
	tried
	// clearance is that of the ring as printed against a part of basic size, on the diameter; low and high hold it with 95 %
	// chance. All in mm.
	clearance, low, high float64
	// tan is the mean tangent of the flank angles: a clearance c leaves c x tan of axial play.
	tan float64
	// larger and smaller are the words for a part with more material and with less, part is that for the part.
	larger, smaller, part string
}

// sure is how many standard uncertainties hold a value with 95 % chance.
const sure = 1.96

func newMeaning(t tried) meaning {
	m := meaning{tried: t, clearance: t.clearanceMM(), tan: t.own.Form.Tan(), larger: "larger", smaller: "smaller", part: "the part that goes in"}
	if t.Side == outerSide {
		m.larger, m.smaller, m.part = "smaller", "larger", "the fitting's thread"
	}
	m.low, m.high = m.clearance-sure*t.UMM, m.clearance+sure*t.UMM
	return m
}

// size says by how much the part's pitch diameter has more material than the basic one of the ring's thread, between low and
// high; one of them may be infinite.
func (m meaning) size(low, high float64) string {
	var by string
	switch words := m.by; {
	case math.IsInf(high, 1) && low >= 0:
		by = "at least " + words(low)
	case math.IsInf(high, 1):
		by = "at most " + words(low)
	case math.IsInf(low, -1) && high >= 0:
		by = "at most " + words(high)
	case math.IsInf(low, -1):
		by = "at least " + words(high)
	default:
		by = "between " + words(low) + " and " + words(high)
	}
	return fmt.Sprintf("%s measures %s at the pitch line than the %s of %s", m.part, by, m.own.Basic.Pitch, m.own.Designation)
}

// by tells more material, or less.
func (m meaning) by(x float64) string {
	if x < 0 {
		return fmt.Sprintf("%.2f mm %s", -x, m.smaller)
	}
	return fmt.Sprintf("%.2f mm %s", x, m.larger)
}

func (m meaning) goes() []string {
	most := math.Max(0, m.high) * m.tan / m.turns
	return []string{
		fmt.Sprintf("It goes all the way: over %.1f turns the pitch is within %.3f mm of the ring's %s, or the axial play of the ring would be used up.",
			m.turns, most, pitchText(m.own.Pitch.MM())),
		"The size fits as well: " + m.size(math.Inf(-1), m.high+fit.Touch.MM()) + ".",
	}
}

func (m meaning) snug() []string {
	return []string{
		"It goes with little to spare: " + m.size(m.low-fit.SnugBelow.MM(), m.high+fit.Touch.MM()) + ", if the pitch is the ring's.",
		fmt.Sprintf("Or the pitch is off by up to %.3f mm, and the last turns use up the play.", math.Max(0, m.high)*m.tan/m.turns),
	}
}

func (m meaning) stops(n float64) []string {
	p := m.own.Pitch.MM()
	var out []string
	if m.high > 0 {
		// The play is used up after n turns when the lead differs by play over turns; counts are good to about a turn.
		least := math.Max(0, m.low) * m.tan / (n + printer.TurnsOff) / float64(m.own.Starts)
		most := m.high * m.tan / math.Max(0.5, n-printer.TurnsOff) / float64(m.own.Starts)
		out = append(out, fmt.Sprintf("Stops after %s: the pitch is a little off, %.3f to %.3f mm or %.3f to %.3f mm fits what you saw (the ring has %s).",
			turnText(n), p-most, p-least, p+least, p+most, pitchText(p)))
		out = append(out, "Or the part is over size, and plastic gave for some turns: "+m.size(math.Max(0, m.low), math.Inf(1))+".")
		if m.own.Taper <= 0 {
			// A taper of 1 in 16 on the diameter takes lead/16 of the clearance with each turn.
			lead := m.own.Lead().MM()
			out = append(out, fmt.Sprintf("Or it is a taper thread: one of 1 in 16 wedges in this ring after about %s.", turnText(math.Max(0, m.clearance)*16/lead)))
		}
		return out
	}
	return append(out, fmt.Sprintf("Stops after %s, as it must: this ring came out about %.2f mm too tight for its own thread.", turnText(n), -m.clearance))
}

func (m meaning) notStart() []string {
	out := []string{"Does not start: " + m.size(m.low+fit.Touch.MM(), math.Inf(1)) + "."}
	if m.own.Starts == 1 {
		out = append(out, "Or its pitch is so far off that not a quarter turn meets, or it has another hand or several starts: look at the end of the thread.")
	} else {
		out = append(out, fmt.Sprintf("Or it has another hand, or other than %d starts: look at the end of the thread.", m.own.Starts))
	}
	return out
}

func (m meaning) rattles() []string {
	loose := math.Max(fit.LooseAbove.MM(), fit.LooseAbovePitches*m.own.Pitch.MM())
	return []string{
		"It goes and rattles: " + m.size(math.Inf(-1), m.high-loose) + ", if the pitch is the ring's.",
		"Or the pitch is another one, and the crests only slide past each other: turn it, and see whether it moves along by a pitch a turn.",
	}
}

func (m meaning) dropsIn() []string {
	return []string{
		"It drops in without being turned, so that the crests pass each other: " + m.size(math.Inf(-1), m.high-(m.own.Basic.Major-m.own.Basic.Minor).MM()) + ", whatever its pitch.",
		"That is another size of thread: read it over the crests again.",
	}
}

// turnText prints a number of turns.
func turnText(n float64) string {
	if text := unit.Short(math.Round(n*10) / 10); text != "1" {
		return text + " turns"
	}
	return "1 turn"
}

// pitchText prints a pitch.
func pitchText(mm float64) string { return fmt.Sprintf("%.3f mm", mm) }
