// Package ladder makes one ring, or plugs and rings, at stepped clearances, and the table that compares them.
package ladder

// This file holds a ladder as it is asked for: one ring at stepped clearances.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/build"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Ladder is a ladder as it is asked for.
type Ladder struct {
	// Ring is the ring that all rungs are made from; its clearances stay empty.
	Ring job.Ring
	// From, To and Step are the clearances on the diameter, both threads alike.
	From, To, Step *unit.Length
	// Rungs are clearances named one by one in their place: "0.20", or "0.05/0.20" for inside and outside.
	Rungs []string
	// Pairs is the thread of plugs and rings that are tried on each other, in the place of Ring's two threads; "" for rings.
	Pairs string
	// Compare names further printers that the same files might be printed on.
	Compare []string
}

// Rung is the clearance of one ring on the diameter, inside and outside, to a hundredth of a millimetre.
type Rung struct{ Inner, Outer unit.Length }

const (
	// MaxRungs is the most rings of one ladder: more than fill a day of printing.
	MaxRungs = 40
	// rungStep is the step of clearances: two decimals are engraved, and no printer holds a finer step.
	rungStep = 0.01 * unit.Millimetre
)

// String is the rung's name: what is engraved, such as "0.20", or "0.05/0.20" where the sides differ.
func (r Rung) String() string {
	inner, outer := fmt.Sprintf("%.2f", r.Inner.MM()), fmt.Sprintf("%.2f", r.Outer.MM())
	if inner == outer {
		return inner
	}
	return inner + "/" + outer
}

// file is the rung's name as a part of a file name.
func (r Rung) file() string {
	return "gap-" + strings.NewReplacer("-", "minus-", "/", "-").Replace(r.String())
}

// Hundredths rounds l to what is engraved.
func Hundredths(l unit.Length) unit.Length {
	return unit.MM(math.Round(l.MM()/rungStep.MM())*rungStep.MM() + 0) // + 0 turns -0 into 0
}

// ParseRung reads a rung's name: one clearance for both sides, or two with a slash between.
func ParseRung(text string) (Rung, error) {
	inner, outer, both := strings.Cut(text, "/")
	if !both {
		outer = inner
	}
	var r Rung
	for _, side := range []struct {
		text string
		to   *unit.Length
	}{{inner, &r.Inner}, {outer, &r.Outer}} {
		l, err := unit.ParseSigned(side.text)
		if err != nil {
			return Rung{}, fmt.Errorf(`%q is no clearance: %w; write "0.20", or "0.05/0.20" for inside and outside`, text, err)
		}
		*side.to = Hundredths(l)
	}
	return r, nil
}

// Clearances lists the rungs in the order asked for. Errors name the flag.
func (l Ladder) Clearances() ([]Rung, error) {
	rungs, err := l.stepped()
	if len(l.Rungs) > 0 {
		rungs, err = l.named()
	}
	if err != nil {
		return nil, err
	}
	if len(rungs) > MaxRungs {
		return nil, fmt.Errorf("--rungs: %d rungs; a ladder has at most %d", len(rungs), MaxRungs)
	}
	seen := map[string]bool{}
	for _, r := range rungs {
		if name := r.String(); seen[name] {
			return nil, fmt.Errorf("two rungs would both be engraved %s; clearances are engraved to 0.01 mm", name)
		}
		seen[r.String()] = true
	}
	return rungs, nil
}

// named reads Rungs.
func (l Ladder) named() ([]Rung, error) {
	if l.From != nil || l.To != nil || l.Step != nil {
		return nil, errors.New("--rungs names every clearance; leave --from, --to and --step out")
	}
	var rungs []Rung
	for _, text := range l.Rungs {
		r, err := ParseRung(text)
		if err != nil {
			return nil, fmt.Errorf("--rungs: %w", err)
		}
		rungs = append(rungs, r)
	}
	return rungs, nil
}

// stepped lists the clearances From to To.
func (l Ladder) stepped() ([]Rung, error) {
	var faults []error
	for _, f := range []struct {
		flag  string
		value *unit.Length
	}{{"--from", l.From}, {"--to", l.To}, {"--step", l.Step}} {
		if f.value == nil {
			faults = append(faults, fmt.Errorf("%s: missing; a ladder is asked for like --from 0.10mm --to 0.40mm --step 0.05mm, or by name with --rungs", f.flag))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	from, to, step := *l.From, *l.To, *l.Step
	switch {
	case !(step > 0):
		return nil, fmt.Errorf("--step %s: it must be above 0", step.TextMM())
	case step < rungStep-closeMM:
		return nil, fmt.Errorf("--step %s: it must be at least %s, which is what is engraved and what printers can hold", step.TextMM(), rungStep.TextMM())
	case from > to:
		return nil, fmt.Errorf("--from %s is above --to %s; a ladder goes up", from.TextMM(), to.TextMM())
	}
	n := math.Floor((to-from).MM()/step.MM()+closeSteps) + 1
	if n > MaxRungs {
		return nil, fmt.Errorf("--step %s: %.0f rungs; a ladder has at most %d", step.TextMM(), n, MaxRungs)
	}
	rungs := make([]Rung, int(n))
	for i := range rungs {
		c := Hundredths(from + unit.Length(i)*step)
		rungs[i] = Rung{c, c}
	}
	return rungs, nil
}

const (
	// closeSteps is how far short of a whole step the last rung may come: float64 noise of decimals.
	closeSteps = 1e-6
	closeMM    = 1e-9
)

// PlannedRung is one ring of a ladder, ready to be made.
type PlannedRung struct {
	Rung  Rung
	Asked build.Asked
	Plan  ring.Plan
}

// Planned is a ladder with everything settled.
type Planned struct {
	// Asked is the job that all rungs share.
	Asked build.Asked
	Rungs []PlannedRung
	// Printers are the profile compensated for and those to compare with.
	Printers []printer.Profile
	// plates is how the rungs stand on the bed.
	plates [][]build.Placed
}

// Plan settles the ladder and plans each rung. When the widest clearance leaves no wall for nested threads, all rungs
// are stacked, so that nothing but the clearance differs between them.
func (l Ladder) Plan(tables *thread.Tables, printers printer.Profiles) (Planned, error) {
	rungs, err := l.Clearances()
	if err != nil {
		return Planned{}, err
	}
	a, err := build.Resolve(l.Ring, tables, printers)
	if err != nil {
		return Planned{}, err
	}
	if l.Ring.Name == "" {
		a.Name = "ladder-" + a.Name
	}
	out := Planned{Asked: a}
	if out.Printers, err = l.compared(a.Spec.Printer, printers); err != nil {
		return Planned{}, err
	}
	if out.Rungs, err = planRungs(a, rungs); err != nil {
		return Planned{}, err
	}
	layouts := map[ring.Layout]bool{}
	for _, r := range out.Rungs {
		layouts[r.Plan.Layout] = true
	}
	if len(layouts) > 1 {
		a.Spec.Layout = ring.Stacked
		if out.Rungs, err = planRungs(a, rungs); err != nil {
			return Planned{}, err
		}
		for i := range out.Rungs {
			out.Rungs[i].Plan.LayoutWhy = "stacked, like all rungs: the wall of the widest would be too thin when nested"
		}
	}
	out.plates, err = build.LayPlates(out.standing(), a.Spec.Printer)
	return out, err
}

// compared is the printer that is compensated for, and those to compare with.
func (l Ladder) compared(first printer.Profile, printers printer.Profiles) ([]printer.Profile, error) {
	out := []printer.Profile{first}
	for _, name := range l.Compare {
		p, err := printers.Find(name)
		if err != nil {
			return nil, fmt.Errorf("--compare: %w", err)
		}
		for _, q := range out {
			if q.Name == p.Name {
				return nil, fmt.Errorf("--compare: %s is compared with itself; name another printer", p.Name)
			}
		}
		out = append(out, p)
	}
	return out, nil
}

// planRungs plans every rung of a.
func planRungs(a build.Asked, rungs []Rung) ([]PlannedRung, error) {
	var out []PlannedRung
	for _, r := range rungs {
		one := a
		one.Name = a.Name + "-" + r.file()
		one.Spec.InnerClearance, one.Spec.OuterClearance = r.Inner, r.Outer
		if one.Spec.Label != "" {
			one.Spec.Label += " GAP " + r.String()
		}
		p, err := ring.New(one.Spec)
		if err != nil {
			return nil, fmt.Errorf("rung %s: %w", r, err)
		}
		out = append(out, PlannedRung{Rung: r, Asked: one, Plan: p})
	}
	return out, nil
}

// standing lists the rings of l.
func (l Planned) standing() []build.Standing {
	var out []build.Standing
	for _, r := range l.Rungs {
		out = append(out, build.Standing{Rung: r.Rung.String(), Name: r.Asked.Name, STL: r.Asked.Path(".stl"), Shape: r.Plan.Shape})
	}
	return out
}
