package ladder

// This file holds a rung that is a ring.

import (
	"fmt"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// ringRung is one ring.
type ringRung struct {
	asked build.Asked
	plan  ring.Plan
}

// planRings plans a ring at every clearance.
func (l Ladder) planRings(rungs []Rung, tables *thread.Tables, printers printer.Profiles) (Planned, error) {
	a, err := build.Resolve(l.Ring, tables, printers)
	if err != nil {
		return Planned{}, err
	}
	if l.Ring.Name == "" {
		a.Name = "ladder-" + a.Name
	}
	rings, err := ringsOf(a, rungs)
	if err != nil {
		return Planned{}, err
	}
	layouts := map[ring.Layout]bool{}
	for _, r := range rings {
		layouts[r.plan.Layout] = true
	}
	if len(layouts) > 1 {
		a.Spec.Layout = ring.Stacked
		if rings, err = ringsOf(a, rungs); err != nil {
			return Planned{}, err
		}
		for i := range rings {
			rings[i].plan.LayoutWhy = "stacked, like all rungs: the wall of the widest would be too thin when nested"
		}
	}
	out := Planned{Asked: a, of: rings[0].plan.Designations()}
	for i, r := range rings {
		out.Rungs = append(out.Rungs, PlannedRung{rungs[i], r.asked.Name, r})
	}
	return out, nil
}

// ringsOf plans the ring of a at every clearance.
func ringsOf(a build.Asked, rungs []Rung) ([]ringRung, error) {
	var out []ringRung
	for _, r := range rungs {
		one := a
		one.Name = a.Name + "-" + r.file()
		one.Spec.InnerClearance, one.Spec.OuterClearance = r.Inner, r.Outer
		if one.Spec.Label != "" {
			one.Spec.Label += " GAP " + r.String()
		}
		p, err := check.Plan(one.Spec)
		if err != nil {
			return nil, inRung(r, err)
		}
		out = append(out, ringRung{one, p})
	}
	return out, nil
}

func (r ringRung) shapes() []ring.Shape { return []ring.Shape{r.plan.Shape} }

func (r ringRung) row() RungResult {
	return RungResult{
		Label: r.plan.Label, Layout: string(r.plan.Layout), WallMM: unit.RoundMM(r.plan.Wall),
		Inner: rungSide(r.plan.Inner, +1), Outer: rungSide(r.plan.Outer, -1),
	}
}

func (r ringRung) parts(row *RungResult) []build.Part {
	part, made := build.RingPart(r.asked, r.plan)
	judge := part.Judge
	part.Judge = func(s build.Solid) error {
		err := judge(s)
		row.WallMM, row.Cost = made.MinWallMM, made.Cost
		return err
	}
	return []build.Part{part}
}

// rungSide tells one side; sign is +1 for the inner thread, whose clearance makes it larger.
func rungSide(s ring.Side, sign unit.Length) RungSide {
	return RungSide{
		ClearanceMM: unit.RoundMM(s.Clearance), CompensationMM: unit.RoundMM(s.Compensation),
		ModelledClearanceMM: unit.RoundMM(sign * (s.Modelled.Pitch - s.Nominal.Pitch)),
	}
}

func (r ringRung) madeBy(p printer.Profile) (MadeRung, error) {
	in, out := r.plan.Inner, r.plan.Outer
	makesIn, makesOut := p.Makes(in.Thread, printer.Inside), p.Makes(out.Thread, printer.Outside)
	bore, crests, u := makesIn.On(in.Modelled), makesOut.On(out.Modelled), makesIn.Pitch.U
	inner, err := madeSide(in.Thread, in.Thread, bore.Pitch-in.Nominal.Pitch, u, fit.Options{Internal: fit.Side{Given: &bore, U: u}, Engaged: engaged(in)})
	if err != nil {
		return MadeRung{}, fmt.Errorf("inside: %w", err)
	}
	u = makesOut.Pitch.U
	outer, err := madeSide(out.Thread, out.Thread, out.Nominal.Pitch-crests.Pitch, u, fit.Options{External: fit.Side{Given: &crests, U: u}, Engaged: engaged(out)})
	if err != nil {
		return MadeRung{}, fmt.Errorf("outside: %w", err)
	}
	// The plan's wall is that of the model, and on the radius.
	wall := r.plan.Wall + (makesOut.Plain.By-makesIn.Plain.By)/2
	return MadeRung{Printer: p.Name, WallMM: unit.RoundMM(wall), Inner: inner, Outer: outer}, nil
}

// engaged is the length over which a ring meets its mate: what the mate needs, but no more than the ring has. 0 leaves
// it to the taper's own rule.
func engaged(s ring.Side) unit.Length {
	if s.Thread.Taper > 0 {
		return 0
	}
	return min(s.Engagement, unit.MM(s.FullMM[1]-s.FullMM[0]))
}
