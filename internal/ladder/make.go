package ladder

// This file makes a ladder's files: every rung proved like a ring, the plates, the page and the table.

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"runtime"
	"sync"

	"tryring/internal/build"

	"golang.org/x/sync/errgroup"

	"tryring/internal/draw"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Make makes all files of l in its folder. Existing files are replaced only with force, and unless forced nothing is
// made when one exists. When ctx is cancelled, the files that are there are whole, and table and page are not.
func Make(ctx context.Context, l Planned, tables *thread.Tables, force bool, progress build.Progress) (Result, error) {
	out, err := l.Table(tables)
	if err != nil {
		return Result{}, err
	}
	plates := l.plates
	if !force {
		if err := l.free(); err != nil {
			return Result{}, err
		}
	}
	count := tally{all: len(l.Rungs) + len(plates), progress: progress}
	work, at := errgroup.WithContext(ctx)
	work.SetLimit(runtime.NumCPU())
	for i, r := range l.Rungs {
		work.Go(func() error {
			made, err := build.Make(at, r.Asked, r.Plan, force)
			if err != nil {
				return fmt.Errorf("rung %s: %w", r.Rung, err)
			}
			out.Rungs[i].Files = made.Files
			out.Rungs[i].WallMM = made.MinWallMM
			count.step()
			return nil
		})
	}
	if err := work.Wait(); err != nil {
		return Result{}, count.stopped(ctx, err)
	}
	for k, plate := range plates {
		if err := ctx.Err(); err != nil {
			return Result{}, count.stopped(ctx, err)
		}
		made, err := build.MakePlate(l.Asked.PlatePath(k, len(plates)), l.Rungs[0].Plan.Designations(), l.standing(), plate, l.Asked.Spec.Printer, force)
		if err != nil {
			return Result{}, err
		}
		out.Plates = append(out.Plates, made)
		count.step()
	}
	for _, r := range out.Rungs {
		out.Files = append(out.Files, r.Files...)
	}
	for _, p := range out.Plates {
		out.Files = append(out.Files, p.File)
	}
	out.Files = append(out.Files, l.Asked.Path(".html"), l.Asked.Path(".json"))
	if err := whole.Write(l.Asked.Path(".html"), force, func(w io.Writer) error { return draw.Ladder(w, out.page(build.BedWords(l.Asked.Spec.Printer))) }); err != nil {
		return Result{}, err
	}
	out.drawn()
	return out, whole.Write(l.Asked.Path(".json"), force, out.encode)
}

// drawn lets go of what only the drawings on the page needed.
func (r Result) drawn() {
	for _, rung := range r.Rungs {
		for i := range rung.Made {
			rung.Made[i].Inner.lies, rung.Made[i].Outer.lies = draw.FitData{}, draw.FitData{}
		}
	}
}

// tally counts finished pieces, in any goroutine, and tells of each.
type tally struct {
	lock      sync.Mutex
	done, all int
	progress  build.Progress
}

// step counts one more piece.
func (t *tally) step() {
	t.lock.Lock()
	defer t.lock.Unlock()
	if t.done++; t.progress != nil {
		t.progress(t.done, t.all)
	}
}

// stopped says how far the work came when it was called off, and is err otherwise.
func (t *tally) stopped(ctx context.Context, err error) error {
	if ctx.Err() == nil {
		return err
	}
	return fmt.Errorf("called off with %d of %d rungs and plates made, each of them whole: %w", t.done, t.all, ctx.Err())
}

// free reports the files of l that exist already.
func (l Planned) free() error {
	var paths []string
	for _, r := range l.Rungs {
		for _, ending := range build.Endings {
			paths = append(paths, r.Asked.Path(ending))
		}
	}
	for k := range l.plates {
		paths = append(paths, l.Asked.PlatePath(k, len(l.plates)))
	}
	return allFree(append(paths, l.Asked.Path(".html"), l.Asked.Path(".json")))
}

// allFree reports the first of the paths at which something stands already.
func allFree(paths []string) error {
	for _, path := range paths {
		if _, err := os.Lstat(path); err == nil {
			return fmt.Errorf("%s: %w", path, whole.ErrExists)
		} else if !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// encode writes r as the JSON file that scripts and trials read.
func (r Result) encode(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(r)
}

// page is what the page of the ladder shows, for a bed in words.
func (r Result) page(bed string) draw.LadderData {
	d := draw.LadderData{Name: r.Name, Pairs: r.Pairs, Inner: r.Inner, Outer: r.Outer, Printer: r.Printer, Printers: r.Printers, Bed: bed}
	for _, rung := range r.Rungs {
		row := draw.LadderRung{Name: rung.Rung, Label: rung.Label, WallMM: rung.WallMM}
		if r.Pairs { // both halves of the gap
			rung.Inner.ClearanceMM = unit.Round(rung.Inner.ClearanceMM + rung.Outer.ClearanceMM)
		}
		for _, m := range rung.Made {
			row.Inner = append(row.Inner, m.Inner.draw(rung.Inner, m.WallMM))
			row.Outer = append(row.Outer, m.Outer.draw(rung.Outer, m.WallMM))
		}
		row.Inner[0].Lies, row.Outer[0].Lies = &rung.Made[0].Inner.lies, &rung.Made[0].Outer.lies // what is compensated for comes first
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

func (s MadeSide) draw(designed RungSide, wall float64) draw.LadderSide {
	return draw.LadderSide{
		DesignedMM: designed.ClearanceMM, ClearanceMM: s.PitchClearanceMM, UMM: s.UMM, FlankGapMM: s.FlankGapMM, AxialPlayMM: s.AxialPlayMM,
		EngagementPercent: s.EngagementPercent, WallMM: wall, Verdict: s.Verdict, Chance: s.Chance, Chances: s.Chances, Why: s.Why,
	}
}
