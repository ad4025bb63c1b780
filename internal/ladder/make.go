package ladder

// This file makes a ladder's files: every rung proved, the plates, the page and the table.

import (
	"context"
	"fmt"
	"io"

	"tryring/internal/build"
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
		return out.write(w, l.Asked.Spec.Printer)
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
