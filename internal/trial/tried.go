// Package trial turns what a ladder's rungs did, or a ring on the real thread, into what that says of printer and thread.
package trial

// This file reads what happened to a ladder's rungs, or what a caliper read off a print, into a trial of the printer.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Tried is what a person says happened.
type Tried struct {
	// Ladder is the file of the ladder Printed; Rungs are what its rungs did: "0.20=goes", "inner:0.05/0.10=snug".
	Ladder  string
	Printed *ladder.Result
	Rungs   []string
	// Side is the side of all rungs that name none: "inner", "outer" or "both".
	Side string
	// FromTop says that the parts went in from the ends that were printed on top, where no first layer closes the entry.
	FromTop bool
	// Part tells mating parts of one thread apart. PartInner and PartOuter are the pitch diameters read off them, with their ±;
	// "" takes their limits of size.
	Part, PartInner, PartOuter string
	// CaliperInside and CaliperOutside are diameters of a print, "MODELLED=MEASURED".
	CaliperInside, CaliperOutside []string
	// Plugs are caliper readings over the crests of the plugs of a ladder of pairs, "0.20=19.85mm".
	Plugs []string
	// Date and Note are kept in the person's words.
	Date, Note string
}

// caliperHalf is within what a caliper reading of a print without its own ± surely lies: 0.03 mm of the instrument and
// 0.05 mm of handling (common practice, no published source), put together as JCGM 100:2008 5.1.2 has it.
var caliperHalf = unit.MM(math.Hypot(0.03, 0.05))

// The words for the sides of a ring.
const (
	innerSide = "inner"
	outerSide = "outer"
)

// sidesNamed are the sides of a print that a person's word means.
var sidesNamed = map[string][]printer.Side{
	innerSide: {printer.Inside}, outerSide: {printer.Outside}, "both": {printer.Inside, printer.Outside},
}

// ErrNothingTried is the cause of a fault where nothing was said to have happened.
var ErrNothingTried = errors.New("nothing was tried")

// Trial turns what was said into a trial. All faults are reported at once, each with its field.
func (a Tried) Trial(tables *thread.Tables) (printer.Trial, error) {
	t := printer.Trial{Date: a.Date, Note: a.Note, Ladder: a.Ladder}
	var faults []error
	each := func(field string, texts []string, read func(*printer.Trial, string) error) {
		for _, text := range texts {
			faults = append(faults, fault.In(field, read(&t, text)))
		}
	}
	each("caliper_inside", a.CaliperInside, func(t *printer.Trial, text string) error { return addReading(t, printer.Inside, text) })
	each("caliper_outside", a.CaliperOutside, func(t *printer.Trial, text string) error { return addReading(t, printer.Outside, text) })
	said := len(a.Rungs) + len(a.Plugs)
	switch {
	case said > 0 && a.Printed == nil:
		faults = append(faults, fault.At("ladder", "", "missing; name the JSON file of the ladder, so that the rungs' modelled sizes are known"))
	case said > 0:
		t.BuiltFor, t.LayerMM = a.Printed.Printer, a.Printed.LayerMM
		each("rung", a.Rungs, func(t *printer.Trial, text string) error { return a.addRung(t, tables, text) })
		each("plug", a.Plugs, a.addPlug)
	case a.Printed != nil:
		faults = append(faults, fault.At("rung", "", `missing; say what each rung did, such as inner:0.20=goes and inner:0.10="does not start"`))
	case len(a.CaliperInside)+len(a.CaliperOutside) == 0:
		faults = append(faults, fault.Fault{Want: "nothing was tried; say what a ladder's rungs did, what a caliper reads of a print, or what a job's ring did", Cause: ErrNothingTried})
	}
	if err := errors.Join(faults...); err != nil {
		return printer.Trial{}, err
	}
	return t, t.Validate()
}

// addReading reads "MODELLED=MEASURED" and adds it to t.
func addReading(t *printer.Trial, side printer.Side, text string) error {
	modelled, measured, ok := strings.Cut(text, "=")
	if !ok {
		return fault.At("", text, "write MODELLED=MEASURED, such as 47.32mm=47.45mm+-0.03")
	}
	was, err := unit.ParseLength(modelled)
	if err != nil {
		return err
	}
	is, half, err := unit.ParseReading(measured)
	if err != nil {
		return err
	}
	if half <= 0 {
		half = caliperHalf
	}
	if off := (is - was).MM(); math.Abs(off) > 1 {
		return fault.At("", text, "%s modelled and %s measured differ by more than 1 mm; that is another part, or a slip", was, is)
	}
	t.Readings = append(t.Readings, printer.SeenReading{Side: side, ModelledMM: unit.RoundMM(was), MeasuredMM: unit.RoundMM(is), UMM: unit.RoundMM(fit.Rectangular(half))})
	return nil
}

// addPlug reads "RUNG=MEASURED", over the crests of that rung's plug, and adds it to t.
func (a Tried) addPlug(t *printer.Trial, text string) error {
	rung, measured, ok := strings.Cut(text, "=")
	if !ok {
		return fault.At("", text, "write RUNG=MEASURED, such as 0.20=19.85mm+-0.03")
	}
	x, err := a.Printed.Find(rung)
	if err != nil {
		return err
	}
	if !a.Printed.Pairs || x.PlugCrestsMM <= 0 {
		return fault.At("", text, "the ladder %s has no plugs; a reading of a ring is told as MODELLED=MEASURED, inside or outside", a.Printed.Name)
	}
	return addReading(t, printer.Outside, fmt.Sprintf("%gmm=%s", x.PlugCrestsMM, measured))
}

// addRung reads "[inner:|outer:]RUNG=OUTCOME" and adds it to t.
func (a Tried) addRung(t *printer.Trial, tables *thread.Tables, text string) error {
	name, said, ok := strings.Cut(text, "=")
	if !ok {
		return fault.At("", text, `write RUNG=OUTCOME, such as 0.20=goes or inner:0.10="does not start"`)
	}
	side, rung, named := strings.Cut(name, ":")
	if !named {
		side, rung = a.Side, name
	}
	sides := sidesNamed[strings.TrimSpace(side)]
	switch {
	case a.Printed.Pairs && named:
		return fault.At("", text, "a pair has no sides; name its gap alone, such as 0.20=goes")
	case a.Printed.Pairs:
		sides = []printer.Side{printer.Pair}
	case sides == nil:
		return fault.At("", text, "say which side was tried, as inner:%s or outer:%s, or name one side for all rungs: inner, outer or both", rung, rung)
	}
	outcome, err := printer.ParseFelt(strings.Trim(said, `"'`))
	if err != nil {
		return err
	}
	x, err := a.Printed.Find(rung)
	if err != nil {
		return err
	}
	for _, side := range sides {
		if err := a.addSide(t, tables, x, side, outcome); err != nil {
			return err
		}
	}
	return nil
}

// addSide adds one side of a rung, and describes its mating part when it is the first rung on it.
func (a Tried) addSide(t *printer.Trial, tables *thread.Tables, x ladder.RungResult, side printer.Side, outcome printer.Felt) error {
	r := printer.SeenRung{Side: side, Rung: x.Rung, ModelledMM: x.Inner.ModelledClearanceMM, LayersMM: a.Printed.InnerLayersMM, FromTop: a.FromTop, Outcome: outcome}
	designation, reading, field := a.Printed.Inner, a.PartInner, "part_inner"
	switch side {
	case printer.Outside:
		designation, reading, field = a.Printed.Outer, a.PartOuter, "part_outer"
		r.ModelledMM, r.LayersMM = x.Outer.ModelledClearanceMM, a.Printed.OuterLayersMM
	case printer.Pair:
		r.ModelledMM = unit.Round(x.Inner.ModelledClearanceMM + x.Outer.ModelledClearanceMM)
		r.LayersMM = unit.Round(a.Printed.InnerLayersMM + a.Printed.OuterLayersMM)
	}
	mate, err := tables.Parse(designation)
	if err != nil {
		return err
	}
	part := printer.Part{Side: side, Name: mate.Designation}
	switch {
	case mate.Taper > 0:
		return fmt.Errorf("%s is a taper thread: it gets tight at any size, only sooner or later, and so tells little of the printer; read the print with a caliper", mate.Designation)
	case side == printer.Pair: // plug and ring are both prints: beside their own errors nothing is uncertain of them
		part.Name += " pairs"
	default:
		if err := setRoom(&part, mate, reading); err != nil {
			return fault.In(field, err)
		}
		if a.Part != "" {
			part.Name += ", " + a.Part
		}
	}
	if slices.ContainsFunc(t.Rungs, func(o printer.SeenRung) bool { return o.Side == side && o.Rung == x.Rung }) {
		return fault.At("", x.Rung, "this rung was named twice")
	}
	if !slices.ContainsFunc(t.Parts, func(p printer.Part) bool { return p.Side == side && p.Name == part.Name }) {
		t.Parts = append(t.Parts, part)
	}
	r.Part, r.PitchMM, r.DiameterMM = part.Name, unit.RoundMM(mate.Pitch), unit.RoundMM(mate.Basic.Pitch)
	t.Rungs = append(t.Rungs, r)
	return nil
}

// openRoomPitches is the room that a part leaves at most where no standard limits it, in pitches; as much as readings are
// weighed with (common practice, no published source).
const openRoomPitches = 0.15

// setRoom says what room the mating part leaves beside one of basic size: by the pitch diameter read off it, or else by its
// limits of size.
func setRoom(p *printer.Part, mate thread.Thread, reading string) error {
	sign := unit.Length(-1) // an external part leaves room as it is smaller
	if p.Side == printer.Outside {
		sign = 1
	}
	if reading != "" {
		at, half, err := unit.ParseReading(reading)
		if err != nil {
			return err
		}
		if half <= 0 {
			return fault.At("", reading, "say how well it is known, such as %s+-0.02mm", strings.TrimSpace(reading))
		}
		room := unit.RoundMM(sign * (at - mate.Basic.Pitch))
		if math.Abs(room) > mate.Pitch.MM()/2 {
			return fault.At("", reading, "it is %.2f mm off the basic pitch diameter of %s, %s; give the pitch diameter, not that over the crests", math.Abs(room), mate.Designation, mate.Basic.Pitch)
		}
		p.LeastMM, p.MostMM, p.UMM = room, room, unit.RoundMM(fit.Rectangular(half))
		return nil
	}
	limits, err := mate.Limits("", p.Side == printer.Inside)
	if err != nil || limits.PitchMin == nil || limits.PitchMax == nil {
		p.MostMM = unit.Round(openRoomPitches * mate.Pitch.MM())
		return nil
	}
	a, b := sign*(*limits.PitchMin-mate.Basic.Pitch), sign*(*limits.PitchMax-mate.Basic.Pitch)
	p.LeastMM, p.MostMM = unit.RoundMM(min(a, b)), unit.RoundMM(max(a, b))
	return nil
}
