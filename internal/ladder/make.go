package ladder

// This file makes a ladder's files: every rung proved, the plates, the page and the table.

import (
	"context"
	"fmt"
	"io"

	"tryring/internal/build"
	"tryring/internal/draw"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Make makes all files of l. Errors are those of build.Set.Make.
func (l Planned) Make(ctx context.Context, store whole.Store, progress build.Progress) (Result, error) {
	out, err := l.Table()
	if err != nil {
		return Result{}, err
	}
	set := build.Set{Name: l.Asked.Name, Bed: l.Asked.Spec.Printer}
	var rungOf []int // of each part
	for i, r := range l.Rungs {
		for _, part := range r.parts(&out.Rungs[i]) {
			set.Parts, rungOf = append(set.Parts, part), append(rungOf, i)
		}
	}
	for k, places := range l.plates {
		plate := build.Plate{Name: l.plateName(k), Title: ring.Engraved + " ladder " + l.of, Places: places}
		told := build.PlateResult{File: store.Path(plate.Name + ".3mf")}
		for _, at := range places {
			told.Parts = append(told.Parts, build.PlatePart{
				Rung: out.Rungs[rungOf[at.Part]].Rung, Name: set.Parts[at.Part].Name, XMM: unit.Round(at.X), YMM: unit.Round(at.Y),
			})
		}
		set.Plates, out.Plates = append(set.Plates, plate), append(out.Plates, told)
	}
	set.Sheets = []build.Sheet{{Name: l.Asked.Name + ".html", Write: func(w io.Writer) error {
		return draw.Ladder(w, out.page(l.Asked.Spec.Printer))
	}}}
	set.Manifest = func(f build.Files) any {
		paths := f.Paths
		for i, part := range set.Parts {
			n := len(part.Names())
			rung := &out.Rungs[rungOf[i]]
			rung.Files, paths = append(rung.Files, paths[:n]...), paths[n:]
		}
		out.Files = f
		return out
	}
	_, err = set.Make(ctx, store, progress)
	return out, err
}

// plateName is what plate k is called.
func (l Planned) plateName(k int) string {
	if len(l.plates) == 1 {
		return l.Asked.Name + "-plate"
	}
	return fmt.Sprintf("%s-plate-%d", l.Asked.Name, k+1)
}

// page is what the page of the ladder shows, for the bed of p.
func (r Result) page(p printer.Profile) draw.LadderData {
	bed := fmt.Sprintf("%s x %s mm", unit.Short(p.BedX.MM()), unit.Short(p.BedY.MM()))
	d := draw.LadderData{Name: r.Name, Pairs: r.Pairs, Inner: r.Inner, Outer: r.Outer, Printer: r.Printer, Printers: r.Printers, Bed: bed}
	for _, rung := range r.Rungs {
		row := draw.LadderRung{Name: rung.Rung, Label: rung.Label}
		if r.Pairs { // both halves of the gap
			rung.Inner.ClearanceMM = unit.Round(rung.Inner.ClearanceMM + rung.Outer.ClearanceMM)
		}
		for _, m := range rung.Made {
			row.Inner = append(row.Inner, draw.LadderSide{DesignedMM: rung.Inner.ClearanceMM, WallMM: m.WallMM, MadeSide: m.Inner})
			row.Outer = append(row.Outer, draw.LadderSide{DesignedMM: rung.Outer.ClearanceMM, WallMM: m.WallMM, MadeSide: m.Outer})
		}
		d.Rungs = append(d.Rungs, row)
	}
	for _, p := range r.Plates {
		plate := draw.LadderPlate{File: p.File}
		for _, part := range p.Parts {
			plate.Parts = append(plate.Parts, part.Rung)
		}
		d.Plates = append(d.Plates, plate)
	}
	return d
}
