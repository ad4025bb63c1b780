package trial

// This file describes a ring that was tried on the real thread, and finds tries that cannot all be right.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// JobSide is the side of a job that a side of the ring meets: its inner thread what goes in, its outer thread what stays.
func JobSide(ringSide string) string {
	if ringSide == outerSide {
		return job.Stays
	}
	return job.Goes
}

// RingSide reads a side of a ring, or the side of a job that it meets.
func RingSide(text string) (string, error) {
	switch text {
	case innerSide, job.Goes:
		return innerSide, nil
	case outerSide, job.Stays:
		return outerSide, nil
	}
	return "", fault.At("side", text, "it is inner (the ring's inside thread was tried, on what goes in) or outer (on what stays)")
}

// Of are the tries on one side of a job.
func Of(side string, tries []job.Try) []job.Try {
	return slices.DeleteFunc(slices.Clone(tries), func(t job.Try) bool { return JobSide(t.Side) != side })
}

// NewTry describes the ring of r on one side, as printer p makes it in the layers of the ring.
func NewTry(r build.Result, side string, p printer.Profile, tables *thread.Tables, result string) (job.Try, error) {
	felt, err := printer.ParseFelt(result)
	if err != nil {
		return job.Try{}, fault.In("result", err)
	}
	if side, err = RingSide(side); err != nil {
		return job.Try{}, err
	}
	of, printed, sign := r.Inner, printer.Inside, unit.Length(-1)
	if side == outerSide {
		of, printed, sign = r.Outer, printer.Outside, 1
	}
	own, err := tables.Parse(of.Designation)
	if err != nil {
		return job.Try{}, fault.In("thread", err)
	}
	if r.LayerMM > 0 {
		p.Layer = unit.MM(r.LayerMM)
	}
	made := p.Makes(own, printed)
	t := job.Try{
		Side: side, Ring: r.Name, Thread: of.Designation, MajorMM: unit.RoundMM(of.Modelled.Major), PitchDMM: unit.RoundMM(of.Modelled.Pitch), MinorMM: unit.RoundMM(of.Modelled.Minor),
		EngagedMM: unit.Round(of.ZMM[1] - of.ZMM[0]), Printer: p.Name, LayerMM: unit.RoundMM(p.Layer), OffMM: unit.RoundMM(sign * made.Plain.By), FlanksMM: unit.RoundMM(sign * made.Layer.By), UMM: unit.RoundMM(made.Pitch.U),
		Result: felt.String(),
	}
	if m := of.Measured; m != nil {
		t.MajorMM, t.PitchDMM, t.MinorMM = unit.Round(m.MajorMM), unit.Round(m.PitchDMM), unit.Round(m.MinorMM)
	}
	return t, checkFigures(t)
}

// checkFigures reports what cannot be in a try that was read from a file, but for its thread.
func checkFigures(t job.Try) error {
	var faults []error
	bad := func(field, format string, args ...any) { faults = append(faults, fault.At(field, "", format, args...)) }
	if t.Side != innerSide && t.Side != outerSide {
		bad("side", "it is %q; it is inner or outer", t.Side)
	}
	if !(t.MajorMM > t.PitchDMM && t.PitchDMM > t.MinorMM && t.MinorMM > 0 && t.MajorMM < mostDiameterMM) {
		bad("pitch_diameter_mm", "diameters %g, %g and %g mm; major, pitch and minor must fall in this order", t.MajorMM, t.PitchDMM, t.MinorMM)
	}
	if !(t.EngagedMM > 0 && t.EngagedMM < mostDiameterMM) {
		bad("engaged_mm", "it is %g; it must be above 0", t.EngagedMM)
	}
	if !(math.Abs(t.OffMM) <= 1) || !(math.Abs(t.FlanksMM) <= 5) || !(t.UMM >= 0 && t.UMM <= 1) {
		bad("off_mm", "off_mm %g and u_mm %g must lie within 1 mm, flanks_mm %g within 5", t.OffMM, t.UMM, t.FlanksMM)
	}
	if _, err := printer.ParseFelt(t.Result); err != nil {
		faults = append(faults, fault.In("result", err))
	}
	return errors.Join(faults...)
}

// mostDiameterMM is more than any ring has.
const mostDiameterMM = 300

// Check reports what cannot be in a try that was read from a file or an address.
func Check(t job.Try, tables *thread.Tables) error {
	_, err := meet(t, tables)
	return err
}

// tried is a try, read.
type tried struct {
	job.Try
	own   thread.Thread
	felt  printer.Felt
	turns float64
}

// meet reads one try.
func meet(t job.Try, tables *thread.Tables) (tried, error) {
	if err := checkFigures(t); err != nil {
		return tried{}, err
	}
	own, err := tables.Parse(t.Thread)
	if err != nil {
		return tried{}, fault.In("thread", err)
	}
	felt, err := printer.ParseFelt(t.Result)
	return tried{t, own, felt, t.EngagedMM / own.Lead().MM()}, err
}

// meetAll reads tries; the fault of one names it.
func meetAll(tries []job.Try, tables *thread.Tables) ([]tried, error) {
	var out []tried
	for i, t := range tries {
		one, err := meet(t, tables)
		switch {
		case err != nil && t.ID != 0:
			return nil, fault.In(strconv.Itoa(t.ID), err)
		case err != nil:
			return nil, fmt.Errorf("try %d: %w", i+1, err)
		}
		out = append(out, one)
	}
	return out, nil
}

// ring is what makes one printed ring the same as another, on the side that was tried: its figures as near as a file is proved.
func (t tried) ring() string {
	return fmt.Sprintf("%s %s %.2f %.1f %s", t.Side, t.Thread, t.PitchDMM, t.EngagedMM, t.Printer)
}

// printed are the diameters of the ring's thread as printed, in the mean.
func (t tried) printed() thread.Diameters {
	d := thread.Diameters{Major: unit.MM(t.MajorMM), Pitch: unit.MM(t.PitchDMM), Minor: unit.MM(t.MinorMM)}
	sign := 1.0
	if t.Side == innerSide {
		sign = -1
	}
	d.Pitch += unit.MM(sign * t.FlanksMM)
	return d.Plus(unit.MM(sign * t.OffMM))
}

// clearanceMM is that of the ring as printed against a part of basic size, on the diameter.
func (t tried) clearanceMM() float64 {
	if c := (t.printed().Pitch - t.own.Basic.Pitch).MM(); t.Side == innerSide {
		return c
	}
	return (t.own.Basic.Pitch - t.printed().Pitch).MM()
}

// Doubts lists what cannot all be right in the tries of a job: rings that contradict each other on one thread, and what was
// doubted when it was kept.
func Doubts(tries []job.Try, tables *thread.Tables) ([]printer.Doubt, error) {
	all, err := meetAll(tries, tables)
	if err != nil {
		return nil, err
	}
	var out []printer.Doubt
	var met []printer.Met
	for _, t := range all {
		if t.Doubt != "" {
			out = append(out, printer.Doubt{Text: fmt.Sprintf("%s was kept all the same: %s", printer.Entrant("try", t.ID), t.Doubt), IDs: []int{t.ID}})
		}
		what := "the ring"
		if t.Ring != "" {
			what += " " + t.Ring
		}
		met = append(met, printer.Met{
			ID: t.ID, Mate: t.Side + " " + t.Thread, Thing: t.ring(), What: fmt.Sprintf("%s (%s side)", what, t.Side), RoomMM: t.clearanceMM(), Felt: t.felt,
		})
	}
	return append(out, printer.Clashes("try", met)...), nil
}
