package ladder

// This file holds a rung that is a pair: a plug and a ring of one thread, tried on each other.

import (
	"sync"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/gauge"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// pairRung is one pair.
type pairRung struct{ ring, plug gauge.Asked }

// planPairs plans a pair of the thread l.Pairs at every clearance.
func (l Ladder) planPairs(rungs []Rung, tables *thread.Tables, printers printer.Profiles) (Planned, error) {
	if r := l.Ring; r.Inner != "" || r.Outer != "" || r.Height != "" || r.Grip != "" || r.Layout != "" || r.Label != "" {
		return Planned{}, fault.At("pairs", "", "a pair has one thread and a body of its own; leave inner, outer, height, grip, layout and label out")
	}
	t, err := tables.Parse(l.Pairs)
	if err != nil {
		return Planned{}, fault.In("pairs", err)
	}
	l.Ring.Inner, l.Ring.Outer = l.Pairs, l.Pairs
	a, err := build.Resolve(l.Ring, tables, printers)
	if err != nil {
		return Planned{}, err
	}
	if l.Ring.Name == "" {
		a.Name = "pairs-" + whole.FileName(t.Designation)
	}
	out := Planned{Asked: a, pairs: true, of: "of pairs " + t.Designation}
	for _, r := range rungs {
		if r.Inner != r.Outer {
			return Planned{}, fault.At("rungs", r.String(), "a pair has one gap; write it as 0.20")
		}
		bore, plug, err := ring.NewPair(t, r.Inner, a.Spec.Printer)
		if err != nil {
			return Planned{}, inRung(r, err)
		}
		name, chord := a.Name+"-"+r.file(), min(a.Chord, gauge.MaxChord)
		out.Rungs = append(out.Rungs, PlannedRung{r, name, pairRung{
			ring: gauge.Asked{Name: name + "-ring", Gauge: bore, Chord: chord}, plug: gauge.Asked{Name: name + "-plug", Gauge: plug, Chord: chord},
		}})
	}
	return out, nil
}

func (r pairRung) shapes() []ring.Shape { return []ring.Shape{r.ring.Shape, r.plug.Shape} }

// pairLayout is what is told in the place of a ring's layout.
const pairLayout = "pair"

func (r pairRung) row() RungResult {
	return RungResult{
		Label: r.ring.Label, Layout: pairLayout, WallMM: unit.RoundMM(min(r.ring.Wall, r.plug.Wall)),
		Inner: pairSide(r.ring, +1), Outer: pairSide(r.plug, -1), PlugCrestsMM: unit.RoundMM(r.plug.Modelled.Major),
	}
}

func (r pairRung) parts(row *RungResult) []build.Part {
	var out []build.Part
	var lock sync.Mutex // the two are judged at once
	for _, g := range []gauge.Asked{r.ring, r.plug} {
		var made gauge.Result
		part := g.Part(&made)
		judge := part.Judge
		part.Judge = func(s build.Solid) error {
			err := judge(s)
			lock.Lock()
			defer lock.Unlock()
			row.Cost = row.Cost.Plus(made.Cost)
			return err
		}
		out = append(out, part)
	}
	return out
}

// pairSide tells one part of a pair: its share of the gap, sign being +1 for the ring, which the gap makes larger.
func pairSide(g gauge.Asked, sign unit.Length) RungSide {
	basic := g.Thread.Basic.Pitch
	return RungSide{
		ClearanceMM: unit.RoundMM(sign * (g.Wanted.Pitch - basic)), CompensationMM: unit.RoundMM(g.Compensation),
		ModelledClearanceMM: unit.RoundMM(sign * (g.Modelled.Pitch - basic)),
	}
}

// madeBy says how the plug goes with the ring when p prints both. The one verdict of a pair stands on both its sides.
func (r pairRung) madeBy(p printer.Profile) (MadeRung, error) {
	makesIn, makesOut := p.Makes(r.ring.Thread, printer.Inside), p.Makes(r.plug.Thread, printer.Outside)
	inside, outside := makesIn.On(r.ring.Modelled), makesOut.On(r.plug.Modelled)
	side, err := madeSide(r.plug.Thread, r.ring.Thread, inside.Pitch-outside.Pitch, printer.Combine(makesIn.Pitch.U, makesOut.Pitch.U), fit.Options{
		External: fit.Side{Given: &outside, U: makesOut.Pitch.U}, Internal: fit.Side{Given: &inside, U: makesIn.Pitch.U},
		Engaged: min(r.ring.Length, r.plug.Length),
	})
	wall := min(r.ring.Wall-makesIn.Plain.By/2, r.plug.Wall+makesOut.Plain.By/2)
	return MadeRung{Printer: p.Name, WallMM: unit.RoundMM(wall), Inner: side, Outer: side}, err
}
