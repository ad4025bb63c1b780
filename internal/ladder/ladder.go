// Package ladder makes one ring, or plugs and rings, at stepped clearances, and the table that compares them.
package ladder

// This file holds a ladder as it is asked for: one ring at stepped clearances.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/job"
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

// parseRung reads a rung's name: one clearance for both sides, or two with a slash between.
func parseRung(text string) (Rung, error) {
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

// Clearances lists the rungs in the order asked for. Its faults are laid to rungs, from, to and step.
func (l Ladder) Clearances() ([]Rung, error) {
	rungs, err := l.stepped()
	if len(l.Rungs) > 0 {
		rungs, err = l.named()
	}
	if err != nil {
		return nil, err
	}
	if len(rungs) > MaxRungs {
		return nil, fault.At("rungs", "", "%d rungs; a ladder has at most %d", len(rungs), MaxRungs)
	}
	seen := map[string]bool{}
	for _, r := range rungs {
		if name := r.String(); seen[name] {
			return nil, fault.At("rungs", "", "two rungs would both be engraved %s; clearances are engraved to 0.01 mm", name)
		}
		seen[r.String()] = true
	}
	return rungs, nil
}

// named reads Rungs.
func (l Ladder) named() ([]Rung, error) {
	if l.From != nil || l.To != nil || l.Step != nil {
		return nil, fault.At("rungs", "", "every clearance is named; leave from, to and step out")
	}
	var rungs []Rung
	for _, text := range l.Rungs {
		r, err := parseRung(text)
		if err != nil {
			return nil, fault.In("rungs", err)
		}
		rungs = append(rungs, r)
	}
	return rungs, nil
}

// stepped lists the clearances From to To.
func (l Ladder) stepped() ([]Rung, error) {
	var faults []error
	for _, f := range []struct {
		field string
		value *unit.Length
		usual string
	}{{"from", l.From, "0.10mm"}, {"to", l.To, "0.40mm"}, {"step", l.Step, "0.05mm"}} {
		if f.value == nil {
			faults = append(faults, fault.At(f.field, "", "missing; %s is usual, or name the rungs one by one", f.usual))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	from, to, step := *l.From, *l.To, *l.Step
	switch {
	case !(step > 0):
		return nil, fault.At("step", step.TextMM(), "it must be above 0")
	case step < rungStep-closeMM:
		return nil, fault.At("step", step.TextMM(), "it must be at least %s, which is what is engraved and what printers can hold", rungStep.TextMM())
	case from > to:
		return nil, fault.At("from", from.TextMM(), "it is above the end, %s; a ladder goes up", to.TextMM())
	}
	n := math.Floor((to-from).MM()/step.MM()+closeSteps) + 1
	if n > MaxRungs {
		return nil, fault.At("step", step.TextMM(), "%.0f rungs; a ladder has at most %d", n, MaxRungs)
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
