package ladder

// This file settles a ladder: its rungs, planned, and how they stand on the printer's bed.

import (
	"fmt"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// Planned is a ladder with everything settled.
type Planned struct {
	// Asked is the job that all rungs share.
	Asked build.Asked
	Rungs []PlannedRung
	// Printers are the profile compensated for and those to compare with.
	Printers []printer.Profile
	// pairs says that the rungs are pairs, of what the parts are.
	pairs bool
	of    string
	// plates is how the parts of all rungs stand on the bed.
	plates [][]build.Placed
}

// PlannedRung is one rung of a ladder, ready to be made.
type PlannedRung struct {
	Rung Rung
	// Name begins the names of its files.
	Name string
	solids
}

// solids are what a rung is made of: a ring, or a plug and a ring that are tried on each other.
type solids interface {
	// row tells the rung as it is designed.
	row() RungResult
	// madeBy says what the printer makes of it.
	madeBy(p printer.Profile) (MadeRung, error)
	// shapes are those of the parts, in their order.
	shapes() []ring.Shape
	// parts are to be made; what is measured of them goes to row.
	parts(row *RungResult) []build.Part
}

// Plan settles the ladder and plans each rung. When the widest clearance leaves no wall for nested threads, all rungs
// are stacked, so that nothing but the clearance differs between them. Faults are laid to the ladder's and the ring's fields.
func (l Ladder) Plan(tables *thread.Tables, printers printer.Profiles) (Planned, error) {
	rungs, err := l.Clearances()
	if err != nil {
		return Planned{}, err
	}
	plan := l.planRings
	if l.Pairs != "" {
		plan = l.planPairs
	}
	out, err := plan(rungs, tables, printers)
	if err != nil {
		return Planned{}, err
	}
	if out.Printers, err = l.compared(out.Asked.Spec.Printer, printers); err != nil {
		return Planned{}, err
	}
	var standing []build.Standing
	for _, r := range out.Rungs {
		for _, s := range r.shapes() {
			standing = append(standing, build.Standing{Name: "rung " + r.Rung.String(), Shape: s})
		}
	}
	out.plates, err = build.Lay(standing, out.Asked.Spec.Printer, false)
	return out, err
}

// compared is the printer that is compensated for, and those to compare with.
func (l Ladder) compared(first printer.Profile, printers printer.Profiles) ([]printer.Profile, error) {
	out := []printer.Profile{first}
	for _, name := range l.Compare {
		p, err := printers.Find(name)
		if err != nil {
			return nil, fault.In("compare", err)
		}
		for _, q := range out {
			if q.Name == p.Name {
				return nil, fault.At("compare", p.Name, "it is compared with itself; name another printer")
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// inRung says which rung err is about.
func inRung(r Rung, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("rung %s: %w", r, err)
}
