package main

// This file holds `tryring inspect` of G-code: what the tool path will make of a ring's threads, said before it is printed.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/toolpath"
	"tryring/internal/trial"
	"tryring/internal/unit"
)

// pathEnds are the ends of the names of G-code files.
var pathEnds = []string{".gcode", ".gco", ".g", ".nc", ".bgcode"}

func isPath(name string) bool {
	return slices.Contains(pathEnds, strings.ToLower(filepath.Ext(name)))
}

// pathInfo is what was found of G-code, as scripts read it.
type pathInfo struct {
	*toolpath.Print
	Inner   *pathThread     `json:"inner"`
	Outer   *pathThread     `json:"outer"`
	Checks  []check.Finding `json:"checks"`
	Caution []string        `json:"caution"`
	// Printer is the profile whose own error is counted in what is printed, "none" for the middle of all.
	Printer string `json:"printer"`
	printer printer.Profile
	ring    *build.Result
	threads []*pathThread
}

// pathThread is one of the two threads.
type pathThread struct {
	Designation string `json:"designation"`
	toolpath.Printed
	// Wanted is what a mate should feel: with the clearance taken where the ring is known, else the basic size.
	Wanted thread.Diameters `json:"wanted"`
	// ClearanceWantedMM is the ring's, null where it is not known.
	ClearanceWantedMM *float64 `json:"clearance_wanted_mm"`
	side              string
}

// inspectPath tells what the G-code at path makes of the threads.
func inspectPath(cmd *cobra.Command, opt *shared, path string, flags inspectFlags) error {
	found := pathInfo{Checks: []check.Finding{}, Caution: []string{check.Caution}}
	if err := found.read(cmd.Context(), opt, path, flags); err != nil {
		return badInput(err)
	}
	return orNo(opt.show(cmd, found, func(s *screen) string { return found.tell(s, path, flags) }), check.Worst(found.Checks) == check.Stop)
}

// read settles which threads are wanted, of which ring, by which printer, and lays their mates over the path.
func (f *pathInfo) read(ctx context.Context, opt *shared, path string, flags inspectFlags) error {
	var known [2]*build.ThreadResult
	if flags.ring != "" {
		if flags.inner != "" || flags.outer != "" {
			return fault.At("ring", flags.ring, "it names both threads; leave out --inner and --outer")
		}
		r, _, err := trial.LoadResult(ctx, flags.ring)
		if err != nil {
			return flagFault("ring", err)
		}
		f.ring, known = &r, [2]*build.ThreadResult{&r.Inner, &r.Outer}
		flags.inner, flags.outer = r.Inner.Designation, r.Outer.Designation
		if flags.printer == "" {
			flags.printer = r.Printer
		}
	}
	p, named, err := flags.named(opt)
	if err != nil {
		return err
	}
	f.printer, f.Printer = p, p.Name
	if f.Print, err = toolpath.Load(ctx, path); err != nil {
		return err
	}
	var walls []toolpath.Wall
	for k, to := range []**pathThread{&f.Inner, &f.Outer} {
		if named[k] == nil {
			continue
		}
		if t := f.lay(*named[k], k == 1, known[k]); t != nil {
			*to, f.threads, walls = t, append(f.threads, t), append(walls, t.Wall)
		}
	}
	if f.ring != nil && len(walls) > 0 {
		f.compare(toolpath.Compare(walls))
	}
	return nil
}

// find adds a finding.
func (f *pathInfo) find(id string, level check.Level, text string, args ...any) {
	f.Checks = append(f.Checks, check.Finding{ID: id, Level: level, Text: fmt.Sprintf(text, args...)})
}

// lay lays the mate of a thread over its beads, known being how the ring's file knows it; nil where the thread is not there.
func (f *pathInfo) lay(of thread.Thread, external bool, known *build.ThreadResult) *pathThread {
	t := &pathThread{Designation: of.Designation, Wanted: of.Basic, side: "inner"}
	if external {
		t.side = "outer"
	}
	want := toolpath.Wanted{Thread: of, External: external, Modelled: of.Basic}
	if known != nil {
		want.Modelled, want.HeightMM = known.Modelled, f.ring.HeightMM
		t.Wanted, t.ClearanceWantedMM = known.Wanted, &known.ClearanceMM
	}
	w, err := f.Thread(want)
	if err != nil {
		f.find("thread-"+t.side, check.Stop, "%s: %s.", upper(t.side), err)
		return nil
	}
	t.Printed = w.By(f.printer)
	level := check.OK
	if !t.Goes() {
		level = check.Stop
	} else if t.Verdict == fit.Loose {
		level = check.Warn
	}
	f.find("fit-"+t.side, level, "The %s thread: %s %s; %s.", t.side, t.Designation, t.Verdict, t.Why)
	if t.Crowded() {
		f.find("space-"+t.side, check.Stop, "%.0f mm of lines stand in the space of the %s thread, supports or a wall in pieces: slice it without supports there.", t.OtherMM, t.side)
	}
	turned := t.Down || known != nil && t.Turned(known.ZMM, f.ring.HeightMM)
	lower, upper := want.Form.Flanks() // alike, they do not tell which end is down
	switch over := f.ring != nil && f.ring.TurnOver; {
	case turned && !over:
		f.find("upright-"+t.side, check.Stop, "The %s thread stands upside down: turn the ring over, flange on the bed.", t.side)
	case over && !turned && lower != upper:
		f.find("upright-"+t.side, check.Warn, "The undersides of this ring's flanks lie too flat in the air: turn it over, as its sheet says.")
	}
	return t
}

// compare tells how the print differs from the ring.
func (f *pathInfo) compare(c toolpath.Change) {
	warnIf := func(differs bool) check.Level {
		if differs {
			return check.Warn
		}
		return check.OK
	}
	if made := f.ring.LayerMM; made > 0 {
		f.find("layer", warnIf(!f.InLayersOf(made)), "It is sliced in layers of %s; the ring was made for %s.", unit.MM(f.LayerMM), unit.MM(made))
	}
	f.find("scale", warnIf(c.Scaled()), "It is scaled to %.2f %% across and %.2f %% along the axis.", 100*c.Across, 100*c.Along)
	if whole := f.ring.HeightMM * c.Along; f.EndsBefore(whole) {
		f.find("height", check.Stop, "The path ends at %s and the ring is %s tall: the file is cut short, or a part was cut off.", unit.MM(f.HeightMM), unit.MM(whole))
	}
	way := "out"
	if c.GrownMM < 0 {
		way = "in"
	}
	f.find("outline", warnIf(c.Grown()), "Its outlines are moved %s by %s on each side.", way, unit.MM(math.Abs(c.GrownMM)))
}

// tell tells a person: which threads will go, the figures, what is wrong, and the next step.
func (f pathInfo) tell(s *screen, path string, asked inspectFlags) string {
	var verdicts []string
	head, more, as := []string{""}, 0.0, "as sliced"
	if check.Worst(f.Checks) == check.Stop && !slices.ContainsFunc(f.threads, func(t *pathThread) bool { return !t.Goes() }) {
		as = "not to be printed as it is"
	}
	for _, t := range f.threads {
		head, more = append(head, t.side), max(more, t.Missing())
		verdicts = append(verdicts, fmt.Sprintf("%s thread %s %s, %s (it goes at %.0f %%)", t.side, t.Designation, t.Verdict, left(t.Left), 100*t.Chance))
	}
	switch {
	case len(verdicts) > 0:
		s.say("%s, %s: %s.", path, as, strings.Join(verdicts, "; "))
	case len(f.Checks) > 0:
		s.say("%s: no thread was found.", path)
	default:
		s.say("%s: %s; name the threads to have a mate laid over them.", path, number(f.Layers, "layer", "layers"))
	}
	s.gap()
	s.add("%s of %s, lines %s wide, %s about the axis.", number(f.Layers, "layer", "layers"), unit.MM(f.LayerMM), unit.MM(f.LineMM), number(f.Walls, "wall", "walls"))
	if f.FilamentFrom == "assumed" {
		s.add("The width is told for filament of %.2f mm, which the file does not say.", f.FilamentMM)
	}
	if len(f.threads) > 0 {
		by := f.Printer
		if by == printer.Unnamed().Name {
			by = "The middle of all printers, since none is named,"
		}
		s.add("%s adds %s outside and takes %s inside; that is counted in what is left when printed.", by, f.printer.OutsideAdds, f.printer.InsideTakes)
		s.table(head, feltRows(f.threads, s.details)...)
	}
	s.gap()
	s.checks(f.Checks)
	switch {
	case len(f.Checks) == 0: // no thread was named
		return command("inspect", path, "--ring", strings.TrimSuffix(path, filepath.Ext(path))+".json")
	case f.ring != nil && check.Worst(f.Checks) == check.Stop && more > 0 && !math.IsInf(more, 1): // else it is to be sliced again
		return command("ring", "--inner", f.ring.Inner.Designation, "--outer", f.ring.Outer.Designation, "--printer", f.Printer,
			"--layer", fmt.Sprintf("%smm", unit.Short(cmp.Or(f.ring.LayerMM, f.printer.Layer.MM()))), "--clearance", fmt.Sprintf("%.2fmm", f.ring.ClearanceMM+more), "--name", f.ring.Name, "--force")
	case s.details:
		return ""
	}
	return command(append(asked.words(path), "--details")...)
}

// left is what a clearance is in words.
func left(l unit.Length) string {
	if l < 0 {
		return (-l).String() + " too tight"
	}
	return l.String() + " left"
}

// evenSeamDeg is the spread from which on a seam stands nowhere in particular.
const evenSeamDeg = 40

// feltRows are the rows of a table of threads; the last ones, which explain the rest, come with all.
func feltRows(threads []*pathThread, all bool) (rows [][]string) {
	for k, t := range threads {
		seam, wanted, meets := "all about", "not known", fmt.Sprintf("layer %d, z %.2f mm", t.BindingLayer, t.BindingMM)
		if t.BindsAll {
			meets = "at every layer"
		}
		if t.SeamSpreadDeg < evenSeamDeg {
			seam = fmt.Sprintf("at %.0f degrees", t.SeamDeg)
		}
		if t.ClearanceWantedMM != nil {
			wanted = unit.MM(*t.ClearanceWantedMM).String()
		}
		cells := [][2]string{
			{"felt: pitch diameter", t.Felt.Pitch.String()},
			{"wanted: pitch diameter", t.Wanted.Pitch.String()},
			{"left by the path", t.Clearance.String()},
			{"left when printed", fmt.Sprintf("%.3f ± %.2f mm (95 %%)", t.Left.MM(), 2*t.PrintedU.MM())},
			{"met first", meets},
			{"seam", seam},
		}
		if all {
			cells = append(cells, [][2]string{{"felt: major diameter", t.Felt.Major.String()}, {"minor diameter", t.Felt.Minor.String()}, {"clearance wanted", wanted}}...)
		}
		for row, cell := range cells {
			if k == 0 {
				rows = append(rows, []string{cell[0]})
			}
			rows[row] = append(rows[row], cell[1])
		}
	}
	return rows
}
