// Package trial turns what a ladder's rungs did, or a ring on the real thread, into what that says of printer and thread.
package trial

// This file reads what happened to a ladder's rungs, or what a caliper read off a print, into a trial of the printer.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Tried is what a person says happened.
type Tried struct {
	// Ladder is the ladder's JSON file, Rungs what its rungs did: "0.20=goes", "inner:0.05/0.10=snug".
	Ladder string
	Rungs  []string
	// Printed is the ladder itself, in place of its file.
	Printed *ladder.Result
	// Side is the side of all rungs that name none: "inner", "outer" or "both".
	Side string
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
	bothSides = "both"
)

// Trial turns what was said into a trial. All faults are reported at once, each with its flag.
func (a Tried) Trial(tables *thread.Tables) (printer.Trial, error) {
	t := printer.Trial{Date: a.Date, Note: a.Note, Ladder: a.Ladder}
	var faults []error
	fault := func(flag string, err error) {
		if err != nil {
			faults = append(faults, fmt.Errorf("--%s: %w", flag, err))
		}
	}
	for _, c := range []struct {
		flag  string
		side  printer.Side
		texts []string
	}{{"caliper-inside", printer.Inside, a.CaliperInside}, {"caliper-outside", printer.Outside, a.CaliperOutside}} {
		for _, text := range c.texts {
			r, err := seenReading(c.side, text)
			fault(c.flag, err)
			t.Readings = append(t.Readings, r)
		}
	}
	printed := a.Printed
	if printed == nil && a.Ladder != "" {
		l, err := ladder.Load(a.Ladder)
		if err != nil {
			return printer.Trial{}, errors.Join(append(faults, err)...)
		}
		printed = &l
	}
	switch tried := len(a.Rungs) + len(a.Plugs); {
	case tried > 0 && printed == nil:
		fault("ladder", errors.New("missing; name the JSON file that tryring ladder wrote, so that the rungs' modelled sizes are known"))
	case tried > 0:
		for _, text := range a.Rungs {
			fault("rung", a.addRung(&t, *printed, tables, text))
		}
		for _, text := range a.Plugs {
			fault("plug", addPlug(&t, *printed, text))
		}
	case a.Ladder != "":
		fault("rung", errors.New(`missing; say what each rung did, such as --rung inner:0.20=goes --rung inner:0.10="does not start"`))
	case len(t.Readings) == 0 && len(faults) == 0:
		faults = append(faults, errors.New("nothing was tried; give --ladder with --rung, --caliper-outside or --caliper-inside, or --job with --result"))
	}
	if len(faults) > 0 {
		return printer.Trial{}, errors.Join(faults...)
	}
	return t, t.Validate()
}

// seenReading reads "MODELLED=MEASURED".
func seenReading(side printer.Side, text string) (printer.SeenReading, error) {
	modelled, measured, ok := strings.Cut(text, "=")
	if !ok {
		return printer.SeenReading{}, fmt.Errorf("%q; write MODELLED=MEASURED, such as 47.32mm=47.45mm+-0.03", text)
	}
	was, err := unit.ParseLength(modelled)
	if err != nil {
		return printer.SeenReading{}, err
	}
	is, half, err := unit.ParseReading(measured)
	if err != nil {
		return printer.SeenReading{}, err
	}
	if half <= 0 {
		half = caliperHalf
	}
	if off := (is - was).MM(); math.Abs(off) > 1 {
		return printer.SeenReading{}, fmt.Errorf("%q: %s modelled and %s measured differ by more than 1 mm; that is another part, or a slip", text, was, is)
	}
	return printer.SeenReading{Side: side, ModelledMM: unit.RoundMM(was), MeasuredMM: unit.RoundMM(is), UMM: unit.RoundMM(fit.Rectangular(half))}, nil
}

// addPlug reads "RUNG=MEASURED", over the crests of that rung's plug, and adds it to t.
func addPlug(t *printer.Trial, ladder ladder.Result, text string) error {
	rung, measured, ok := strings.Cut(text, "=")
	if !ok {
		return fmt.Errorf("%q; write RUNG=MEASURED, such as 0.20=19.85mm+-0.03", text)
	}
	x, err := ladder.Find(rung)
	if err != nil {
		return err
	}
	if !ladder.Pairs || x.PlugCrestsMM <= 0 {
		return fmt.Errorf("%q: the ladder %s has no plugs; a reading of a ring is told as --caliper-outside or --caliper-inside MODELLED=MEASURED", text, ladder.Name)
	}
	r, err := seenReading(printer.Outside, fmt.Sprintf("%gmm=%s", x.PlugCrestsMM, measured))
	t.Readings = append(t.Readings, r)
	return err
}

// addRung reads "[inner:|outer:]RUNG=OUTCOME" and adds it to t.
func (a Tried) addRung(t *printer.Trial, ladder ladder.Result, tables *thread.Tables, text string) error {
	name, said, ok := strings.Cut(text, "=")
	if !ok {
		return fmt.Errorf(`%q; write RUNG=OUTCOME, such as 0.20=goes or inner:0.10="does not start"`, text)
	}
	if ladder.Pairs {
		return addPair(t, ladder, tables, name, said)
	}
	side, rung, named := strings.Cut(name, ":")
	if !named {
		side, rung = a.Side, name
	}
	sides := map[string][]string{innerSide: {innerSide}, outerSide: {outerSide}, bothSides: {innerSide, outerSide}}[strings.TrimSpace(side)]
	if sides == nil {
		return fmt.Errorf("%q: say which side was tried, as inner:%s or outer:%s, or for all rungs with --side inner, outer or both", text, name, name)
	}
	outcome, err := printer.ParseOutcome(strings.Trim(said, `"'`))
	if err != nil {
		return fmt.Errorf("%q: %w", text, err)
	}
	x, err := ladder.Find(rung)
	if err != nil {
		return err
	}
	for _, side := range sides {
		if err := a.addSide(t, ladder, tables, x, side, outcome); err != nil {
			return fmt.Errorf("%q: %w", text, err)
		}
	}
	return nil
}

// addSide adds one side of a rung, and describes its mating part when it is the first rung on it.
func (a Tried) addSide(t *printer.Trial, ladder ladder.Result, tables *thread.Tables, x ladder.RungResult, side string, outcome printer.Outcome) error {
	designation, reading, of, kind := ladder.Inner, a.PartInner, x.Inner, printer.Inside
	if side == outerSide {
		designation, reading, of, kind = ladder.Outer, a.PartOuter, x.Outer, printer.Outside
	}
	mate, err := tables.Parse(designation)
	if err != nil {
		return fmt.Errorf("%s thread: %w", side, err)
	}
	if mate.Taper > 0 {
		return fmt.Errorf("%s is a taper thread: it gets tight at any size, only sooner or later, and so tells little of the printer; read the print with a caliper", mate.Designation)
	}
	name := mate.Designation
	if a.Part != "" {
		name += ", " + a.Part
	}
	for _, r := range t.Rungs {
		if r.Side == kind && r.Rung == x.Rung {
			return fmt.Errorf("rung %s was named twice for its %s side", x.Rung, side)
		}
	}
	described := false
	for _, p := range t.Parts {
		described = described || p.Side == kind && p.Name == name
	}
	if !described {
		p, err := partRoom(mate, kind, reading, tables)
		if err != nil {
			return fmt.Errorf("--part-%s: %w", side, err)
		}
		p.Name = name
		t.Parts = append(t.Parts, p)
	}
	t.Rungs = append(t.Rungs, printer.SeenRung{
		Side: kind, Part: name, Rung: x.Rung, ModelledMM: of.ModelledClearanceMM, PitchMM: unit.RoundMM(mate.Pitch), Outcome: outcome,
	})
	return nil
}

// openRoomPitches is the room that a part leaves at most where no standard limits it, in pitches; as much as readings are
// weighed with (common practice, no published source).
const openRoomPitches = 0.15

// partRoom says what room the mating part leaves beside one of basic size: by the pitch diameter read off it, or else by its
// limits of size.
func partRoom(mate thread.Thread, kind printer.Side, reading string, tables *thread.Tables) (printer.Part, error) {
	sign := unit.Length(-1) // an external part leaves room as it is smaller
	if kind == printer.Outside {
		sign = 1
	}
	p := printer.Part{Side: kind}
	if reading != "" {
		at, half, err := unit.ParseReading(reading)
		if err != nil {
			return p, err
		}
		if half <= 0 {
			return p, fmt.Errorf("%q: say how well it is known, such as %s+-0.02mm", reading, strings.TrimSpace(reading))
		}
		room := unit.RoundMM(sign * (at - mate.Basic.Pitch))
		if math.Abs(room) > mate.Pitch.MM()/2 {
			return p, fmt.Errorf("%q is %.2f mm off the basic pitch diameter of %s, %s; give the pitch diameter, not that over the crests", reading, math.Abs(room), mate.Designation, mate.Basic.Pitch)
		}
		p.LeastMM, p.MostMM, p.UMM = room, room, unit.RoundMM(fit.Rectangular(half))
		return p, nil
	}
	limits, err := tables.Limits(mate, "", kind == printer.Inside)
	if err != nil || limits.PitchMin == nil || limits.PitchMax == nil {
		p.MostMM = unit.Round(openRoomPitches * mate.Pitch.MM())
		return p, nil
	}
	a, b := sign*(*limits.PitchMin-mate.Basic.Pitch), sign*(*limits.PitchMax-mate.Basic.Pitch)
	p.LeastMM, p.MostMM = unit.RoundMM(min(a, b)), unit.RoundMM(max(a, b))
	return p, nil
}
