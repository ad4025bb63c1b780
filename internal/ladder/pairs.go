package ladder

// This file holds a ladder of pairs: a plug and a ring of one thread at every gap, tried on each other.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"tryring/internal/build"

	"golang.org/x/sync/errgroup"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fit"
	"tryring/internal/gauge"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// PlannedPair is one rung of a ladder of pairs.
type PlannedPair struct {
	Rung       Rung
	Ring, Plug gauge.Asked
}

// PlannedPairs is a ladder of pairs with everything settled.
type PlannedPairs struct {
	// Asked has the names, the folder and the printer.
	Asked  build.Asked
	Thread thread.Thread
	Rungs  []PlannedPair
	// Printers are the profile compensated for and those to compare with.
	Printers []printer.Profile
	plates   [][]build.Placed
}

// PlanPairs settles a ladder whose rungs are pairs of the thread l.Pairs. Errors name the flag.
func (l Ladder) PlanPairs(tables *thread.Tables, printers printer.Profiles) (PlannedPairs, error) {
	if r := l.Ring; r.Inner != "" || r.Outer != "" || r.Height != "" || r.Grip != "" || r.Layout != "" || r.Label != "" {
		return PlannedPairs{}, errors.New("--pairs: a pair has one thread and a body of its own; leave --inner, --outer, --height, --grip, --layout and --label out")
	}
	rungs, err := l.Clearances()
	if err != nil {
		return PlannedPairs{}, err
	}
	t, err := tables.Parse(l.Pairs)
	if err != nil {
		return PlannedPairs{}, fmt.Errorf("--pairs: %w", err)
	}
	l.Ring.Inner, l.Ring.Outer = l.Pairs, l.Pairs
	a, err := build.Resolve(l.Ring, tables, printers)
	if err != nil {
		return PlannedPairs{}, err
	}
	if l.Ring.Name == "" {
		a.Name = "pairs-" + whole.FileName(t.Designation)
	}
	out := PlannedPairs{Asked: a, Thread: t}
	if out.Printers, err = l.compared(a.Spec.Printer, printers); err != nil {
		return PlannedPairs{}, err
	}
	for _, r := range rungs {
		if r.Inner != r.Outer {
			return PlannedPairs{}, fmt.Errorf("--rungs: %s: a pair has one gap; write it as 0.20", r)
		}
		ringGauge, plugGauge, err := ring.NewPair(t, r.Inner, a.Spec.Printer)
		if err != nil {
			return PlannedPairs{}, fmt.Errorf("rung %s: %w", r, err)
		}
		chord := min(a.Chord, gauge.MaxChord)
		base := a.Name + "-" + r.file()
		out.Rungs = append(out.Rungs, PlannedPair{
			Rung: r, Ring: gauge.Asked{Name: base + "-ring", Gauge: ringGauge, Chord: chord}, Plug: gauge.Asked{Name: base + "-plug", Gauge: plugGauge, Chord: chord},
		})
	}
	out.plates, err = build.LayPlates(out.standing(), a.Spec.Printer)
	return out, err
}

// standing lists rings and plugs, those of one gap beside each other.
func (l PlannedPairs) standing() []build.Standing {
	var out []build.Standing
	for _, r := range l.Rungs {
		for _, g := range []gauge.Asked{r.Ring, r.Plug} {
			out = append(out, build.Standing{Rung: r.Rung.String(), Name: g.Name, STL: filepath.Join(l.Asked.Out, g.Name+".stl"), Shape: g.Shape})
		}
	}
	return out
}

// Table compares the pairs without making anything. The one verdict of a pair stands on both its sides.
func (l PlannedPairs) Table(tables *thread.Tables) (Result, error) {
	out := Result{
		Name: l.Asked.Name, Caution: []string{check.Caution}, Pairs: true, Inner: l.Thread.Designation, Outer: l.Thread.Designation,
		Printer: l.Asked.Spec.Printer.Name, Plates: []build.PlateResult{}, Files: []string{},
	}
	for _, p := range l.Printers {
		out.Printers = append(out.Printers, p.Name)
	}
	for _, r := range l.Rungs {
		row := RungResult{
			Rung: r.Rung.String(), Name: l.Asked.Name + "-" + r.Rung.file(), Label: r.Ring.Label, Layout: pairLayout, WallMM: unit.RoundMM(min(r.Ring.Wall, r.Plug.Wall)),
			Inner: pairSide(r.Ring, +1), Outer: pairSide(r.Plug, -1), PlugCrestsMM: unit.RoundMM(r.Plug.Modelled.Major), Files: []string{},
		}
		for _, p := range l.Printers {
			made, err := r.madeBy(p, tables)
			if err != nil {
				return Result{}, fmt.Errorf("rung %s: %w", r.Rung, err)
			}
			row.Made = append(row.Made, made)
		}
		out.Rungs = append(out.Rungs, row)
	}
	return out, nil
}

// pairLayout is what is told in the place of a ring's layout.
const pairLayout = "pair"

// pairSide tells one part of a pair: its share of the gap, sign being +1 for the ring, which the gap makes larger.
func pairSide(g gauge.Asked, sign unit.Length) RungSide {
	basic := g.Thread.Basic.Pitch
	return RungSide{
		ClearanceMM: unit.RoundMM(sign * (g.Wanted.Pitch - basic)), CompensationMM: unit.RoundMM(g.Compensation),
		ModelledClearanceMM: unit.RoundMM(sign * (g.Modelled.Pitch - basic)),
	}
}

// madeBy says how the plug goes with the ring when p prints both.
func (r PlannedPair) madeBy(p printer.Profile, tables *thread.Tables) (MadeRung, error) {
	inside, outside := r.Ring.Modelled.Plus(-p.InsideTakes), r.Plug.Modelled.Plus(p.OutsideAdds)
	side, err := madeSide(r.Plug.Thread, r.Ring.Thread, inside.Pitch-outside.Pitch, printer.Combine(p.InsideU, p.OutsideU), fit.Options{
		External: fit.Side{Given: &outside, U: p.OutsideU}, Internal: fit.Side{Given: &inside, U: p.InsideU},
		Engaged: min(r.Ring.Length, r.Plug.Length), Tables: tables,
	})
	if err != nil {
		return MadeRung{}, err
	}
	wall := min(r.Ring.Wall+p.InsideTakes/2, r.Plug.Wall+p.OutsideAdds/2)
	return MadeRung{Printer: p.Name, WallMM: unit.RoundMM(wall), Inner: side, Outer: side}, nil
}

// MakePairs makes all files of l: every part proved like a gauge, the plates, the page and the table. Existing files are
// replaced only with force. When ctx is cancelled, the files that are there are whole, and table and page are not.
func MakePairs(ctx context.Context, l PlannedPairs, tables *thread.Tables, force bool, progress build.Progress) (Result, error) {
	out, err := l.Table(tables)
	if err != nil {
		return Result{}, err
	}
	parts := l.standing()
	if !force {
		paths := []string{l.Asked.Path(".html"), l.Asked.Path(".json")}
		for k := range l.plates {
			paths = append(paths, l.Asked.PlatePath(k, len(l.plates)))
		}
		for _, s := range parts {
			paths = append(paths, s.STL, threeMFOf(s.STL))
		}
		if err := allFree(paths); err != nil {
			return Result{}, err
		}
	}
	if err := os.MkdirAll(l.Asked.Out, 0o777); err != nil {
		return Result{}, fmt.Errorf("output folder: %w", err)
	}
	count := tally{all: len(parts) + len(l.plates), progress: progress}
	work, at := errgroup.WithContext(ctx)
	work.SetLimit(runtime.NumCPU())
	for _, r := range l.Rungs {
		for _, g := range []gauge.Asked{r.Ring, r.Plug} {
			work.Go(func() error {
				if err := at.Err(); err != nil {
					return err
				}
				err := g.MakePart(l.Asked.Out, force)
				if err == nil {
					count.step()
				}
				return err
			})
		}
	}
	if err := work.Wait(); err != nil {
		return Result{}, count.stopped(ctx, err)
	}
	for i, s := range parts {
		out.Rungs[i/2].Files = append(out.Rungs[i/2].Files, s.STL, threeMFOf(s.STL))
		out.Files = append(out.Files, s.STL, threeMFOf(s.STL))
	}
	for k, plate := range l.plates {
		if err := ctx.Err(); err != nil {
			return Result{}, count.stopped(ctx, err)
		}
		made, err := build.MakePlate(l.Asked.PlatePath(k, len(l.plates)), "of pairs "+l.Thread.Designation, parts, plate, l.Asked.Spec.Printer, force)
		if err != nil {
			return Result{}, err
		}
		out.Plates, out.Files = append(out.Plates, made), append(out.Files, made.File)
		count.step()
	}
	out.Files = append(out.Files, l.Asked.Path(".html"), l.Asked.Path(".json"))
	data := out.page(build.BedWords(l.Asked.Spec.Printer))
	if err := whole.Write(l.Asked.Path(".html"), force, func(w io.Writer) error { return draw.Ladder(w, data) }); err != nil {
		return Result{}, err
	}
	out.drawn()
	return out, whole.Write(l.Asked.Path(".json"), force, out.encode)
}

// threeMFOf is the path of the 3MF file beside an STL file.
func threeMFOf(stl string) string { return stl[:len(stl)-len(".stl")] + ".3mf" }
