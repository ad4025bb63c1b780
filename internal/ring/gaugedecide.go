package ring

// This file works out what a printed pair of gauges really decides, the printer's uncertainty taken into account.

import (
	"fmt"

	"tryring/internal/unit"
)

// coverage widens a standard uncertainty to the expanded one, U, of about 95 % (JCGM 100:2008, G.1.3: k = 2).
const coverage = 2

// Decision is what the pair of a go and a no-go gauge tells of a part's pitch diameter, by the decision rule of
// ISO 14253-1: conformity is proved inside the tolerance reduced by U at each end, non-conformity outside the tolerance
// widened by U, and nothing is proved between. All lengths are on the diameter.
type Decision struct {
	// PitchMin and PitchMax are the part's limits.
	PitchMin, PitchMax unit.Length
	// U is the expanded uncertainty of the printed gauge's pitch diameter.
	U unit.Length
	// Resolves says that some part is surely in: that U is less than half the tolerance.
	Resolves bool
	// InFrom to InTo is surely in, when Resolves; below OutBelow and above OutAbove is surely out. What lies between is undecided.
	InFrom, InTo, OutBelow, OutAbove unit.Length
	// Taper is that of the thread, 0 for a straight one, and Pitch its pitch. On a taper all diameters are those in the gauge
	// plane, and each shows as a place along the axis, further from that plane by the diameter over the taper.
	Taper float64
	Pitch unit.Length
}

// Decision returns what the gauge and its mate decide when both come from the profile's printer.
func (g Gauge) Decision() Decision { return g.GaugeSpec.decision() }

func (s GaugeSpec) decision() Decision {
	u := s.Printer.Makes(s.Thread, s.Kind.side()).Pitch.U
	d := Decision{PitchMin: *s.Limits.PitchMin, PitchMax: *s.Limits.PitchMax, U: coverage * u, Taper: s.Thread.Taper, Pitch: s.Thread.Pitch}
	d.InFrom, d.InTo = d.PitchMin+d.U, d.PitchMax-d.U
	d.OutBelow, d.OutAbove = d.PitchMin-d.U, d.PitchMax+d.U
	d.Resolves = d.InFrom < d.InTo
	if !d.Resolves {
		d.InFrom, d.InTo = 0, 0
	}
	return d
}

// Tolerance is the part's tolerance of the pitch diameter.
func (d Decision) Tolerance() unit.Length { return d.PitchMax - d.PitchMin }

// StandOff is how far l of diameter moves the place where a part of a taper thread stops: in mm along the axis, and in turns.
func (d Decision) StandOff(l unit.Length) (along unit.Length, turns float64) {
	along = l / unit.Length(d.Taper)
	return along, float64(along / d.Pitch)
}

// standOffWords say the decision of a taper thread's gauge.
func (d Decision) standOffWords() string {
	say := func(l unit.Length) string {
		along, turns := d.StandOff(l)
		return fmt.Sprintf("%.1f mm (%.1f turns)", along.MM(), turns)
	}
	half := d.Tolerance() / 2
	if d.Resolves {
		return fmt.Sprintf("Surely in: a part that stops within %s of the middle between the steps. Surely out: one that stops more than %s from it. Between, the gauge does not decide (U = %s on the diameter is %s along the taper; ISO 14253-1).",
			say(half-d.U), say(half+d.U), d.U.TextMM(), say(d.U))
	}
	return fmt.Sprintf("This printer cannot resolve the thread's tolerance: a printed gauge is uncertain by %s on the diameter (95 %%), which is %s along the taper, and the steps stand only %s from their middle. No part is proved good; surely out is only one that stops more than %s from the middle (ISO 14253-1).",
		d.U.TextMM(), say(d.U), say(half), say(half+d.U))
}

// Words say the decision in a sentence or two.
func (d Decision) Words() string {
	if d.Taper > 0 {
		return d.standOffWords()
	}
	if d.Resolves {
		return fmt.Sprintf("Surely in, and passed by both gauges: pitch diameter %s to %s. Surely out, and refused by one: below %s or above %s. Between, the pair does not decide, and may pass a part or refuse it (U = %s, ISO 14253-1).",
			d.InFrom, d.InTo, d.OutBelow, d.OutAbove, d.U.TextMM())
	}
	return fmt.Sprintf("This printer cannot resolve the thread's tolerance: a printed gauge is uncertain by %s (95 %%), and half the tolerance of %s is no more than that. No part is proved good; surely out is only a pitch diameter below %s or above %s (ISO 14253-1).",
		d.U.TextMM(), d.Tolerance().TextMM(), d.OutBelow, d.OutAbove)
}
