package main

// This file holds `tryring inspect` of G-code: what the tool path will make of a ring's threads, said before it is printed.

import (
	"context"
	"errors"
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
}

// pathThread is one of the two threads.
type pathThread struct {
	Designation string `json:"designation"`
	toolpath.Wall
	// Printed is what is felt with what the printer adds or takes as well, PrintedU its standard uncertainty on the pitch diameter.
	Printed  thread.Diameters `json:"printed"`
	PrintedU unit.Length      `json:"printed_u_mm"`
	// Wanted is what a mate should feel: with the clearance taken where the ring is known, else the basic size.
	Wanted thread.Diameters `json:"wanted"`
	// Left is the clearance of what is printed; ClearanceWantedMM is the ring's, null where it is not known.
	Left              unit.Length `json:"clearance_printed_mm"`
	ClearanceWantedMM *float64    `json:"clearance_wanted_mm"`
	// Verdict is that of what is printed, Chance the chance that it goes, by that uncertainty.
	Verdict fit.Verdict `json:"verdict"`
	Chance  float64     `json:"chance"`
	Why     string      `json:"why"`
}

// askedPath is one thread that the G-code should make.
type askedPath struct {
	side  string
	as    toolpath.Drawn
	known *build.ThreadResult
	to    **pathThread
}

// inspectPath tells what the G-code at path makes of the threads.
func inspectPath(cmd *cobra.Command, opt *shared, path string, flags inspectFlags) error {
	found := pathInfo{Checks: []check.Finding{}, Caution: []string{check.Caution}}
	asked, err := flags.asked(cmd.Context(), opt, &found)
	if err != nil {
		return badInput(err)
	}
	p, err := toolpath.Load(cmd.Context(), path)
	if err != nil {
		return badInput(err)
	}
	found.Print = p
	var walls []toolpath.Wall
	var drawn []toolpath.Drawn
	for _, a := range asked {
		if found.judge(p, a) {
			walls, drawn = append(walls, (*a.to).Wall), append(drawn, a.as)
		}
	}
	if found.ring != nil && len(walls) > 0 {
		found.compare(toolpath.Compare(walls, drawn))
	}
	err = opt.show(cmd, found, func(s *screen) string { return found.tell(s, path, flags) })
	if err == nil && check.Worst(found.Checks) == check.Stop {
		err = errNo
	}
	return err
}

// asked settles which threads are wanted, of which ring, by which printer.
func (f inspectFlags) asked(ctx context.Context, opt *shared, to *pathInfo) (asked []askedPath, err error) {
	if f.ring != "" && (f.inner != "" || f.outer != "") {
		return nil, fault.At("ring", f.ring, "it names both threads; leave out --inner and --outer")
	}
	names, by := [2]string{f.inner, f.outer}, f.printer
	if f.ring != "" {
		r, _, err := trial.LoadResult(ctx, f.ring)
		if err != nil {
			return nil, flagFault("ring", err)
		}
		if to.ring, names = &r, [2]string{r.Inner.Designation, r.Outer.Designation}; by == "" {
			by = r.Printer
		}
	}
	printers, err := opt.profiles()
	if err != nil {
		return nil, err
	}
	if to.printer, err = printers.Find(by); err != nil {
		return nil, flagFault("printer", err)
	}
	to.Printer = to.printer.Name
	tables, err := opt.tables()
	if err != nil {
		return nil, err
	}
	var faults []error
	for k, side := range []askedPath{{side: "inner", to: &to.Inner}, {side: "outer", to: &to.Outer}} {
		if names[k] == "" {
			continue
		}
		side.as.External = side.side == "outer"
		t, err := tables.Parse(names[k])
		if err != nil {
			field := side.side
			if f.ring != "" {
				field = "ring"
			}
			faults = append(faults, flagFault(field, err))
			continue
		}
		side.as.Thread, side.as.Modelled = t, t.Basic
		if to.ring != nil {
			side.known = &to.ring.Inner
			if side.as.External {
				side.known = &to.ring.Outer
			}
			side.as.Modelled = side.known.Modelled
		}
		asked = append(asked, side)
	}
	return asked, errors.Join(faults...)
}

// find adds a finding.
func (f *pathInfo) find(id string, level check.Level, text string, args ...any) {
	f.Checks = append(f.Checks, check.Finding{ID: id, Level: level, Text: fmt.Sprintf(text, args...)})
}

// judge lays the mate of a thread over its beads; false where the thread is not there.
func (f *pathInfo) judge(p *toolpath.Print, a askedPath) bool {
	wanted := toolpath.Wanted{Thread: a.as.Thread, External: a.as.External}
	if f.ring != nil {
		wanted.HeightMM = f.ring.HeightMM
	}
	w, err := p.Thread(wanted)
	if err != nil {
		f.find("thread-"+a.side, check.Stop, "%s: %s.", upper(a.side), err)
		return false
	}
	t := &pathThread{Designation: a.as.Designation, Wall: w, Wanted: a.as.Basic}
	own, u := f.own(a.as)
	t.PrintedU = u
	t.Printed, t.Left = w.On(a.as.Thread, a.as.External, own)
	if a.known != nil {
		t.Wanted, t.ClearanceWantedMM = a.known.Wanted, &a.known.ClearanceMM
	}
	t.judge(a.as)
	*a.to = t
	level := check.OK
	if !t.goes() {
		level = check.Stop
	} else if t.Verdict == fit.Loose {
		level = check.Warn
	}
	f.find("fit-"+a.side, level, "The %s thread: %s %s; %s.", a.side, a.as.Designation, t.Verdict, t.Why)
	if w.OtherMM > otherMM {
		f.find("space-"+a.side, check.Stop, "%.0f mm of lines stand in the space of the %s thread, supports or a wall in pieces: slice it without supports there.", w.OtherMM, a.side)
	}
	if w.Down || a.known != nil && w.Turned(a.known.ZMM, f.ring.HeightMM) {
		f.find("upright-"+a.side, check.Stop, "The %s thread stands upside down: turn the ring over, flange on the bed.", a.side)
	}
	return true
}

// own is what the printer does to the diameters beside what the path does: plain size, scale, and what its share of the layers lacks.
// With it comes the standard uncertainty of the pitch diameter.
func (f *pathInfo) own(a toolpath.Drawn) (own thread.Diameters, u unit.Length) {
	p, side, sign := f.printer, printer.Inside, unit.Length(-1)
	if a.External {
		side, sign = printer.Outside, 1
	}
	p.Layer = unit.MM(f.LayerMM)
	layers, made := p.Layers(a.Thread, side), p.Makes(a.Thread, side)
	return thread.Diameters{Major: made.Major.By - sign*layers.Major, Pitch: made.Pitch.By - sign*layers.Pitch, Minor: made.Minor.By - sign*layers.Minor}, made.Pitch.U
}

// otherMM is the length of lines that a thread's space may hold: the end of a seam, a drop.
const otherMM = 5

func (t *pathThread) goes() bool { return t.Verdict.Usable() || t.Verdict == fit.Loose }

// judge judges what is printed against a mate of basic size.
func (t *pathThread) judge(a toolpath.Drawn) {
	if t.Verdict = fit.Binds; t.Other(a.Thread) {
		t.Why = fmt.Sprintf("its loops climb %s a pitch and the mate %s", t.Pitch, a.Pitch)
		return
	}
	own := a.Thread
	own.Hand = t.Hand
	e, i, opt := own, a.Thread, fit.Options{External: fit.Side{Given: &t.Printed, U: t.PrintedU}, Internal: fit.Side{Given: &a.Basic}}
	if !a.External {
		e, i, opt.External, opt.Internal = i, e, opt.Internal, opt.External
	}
	r, err := fit.Judge(e, i, opt)
	switch {
	case err != nil: // no such section can be
		t.Why = "the beads of neighbouring ridges close the groove"
	case r.Verdict.Usable() && t.Left < -fit.Touch && a.Taper <= 0:
		t.Why, t.Chance = fmt.Sprintf("its beads overlap the mate by %s", -t.Left), r.Chance
	default:
		t.Verdict, t.Why, t.Chance = r.Verdict, r.Why, r.Chance
	}
}

// compare tells how the print differs from the ring.
func (f *pathInfo) compare(c toolpath.Change) {
	level := check.OK
	if made := f.ring.LayerMM; made > 0 {
		if far(f.LayerMM-made, layerTolMM) {
			level = check.Warn
		}
		f.find("layer", level, "It is sliced in layers of %s; the ring was made for %s.", unit.MM(f.LayerMM), unit.MM(made))
	}
	level = check.OK
	if far(c.Across-1, toolpath.ScaleTol) || far(c.Along-1, toolpath.ScaleTol) {
		level = check.Warn
	}
	f.find("scale", level, "It is scaled to %.2f %% across and %.2f %% along the axis.", 100*c.Across, 100*c.Along)
	level = check.OK
	if far(c.GrownMM, toolpath.GrownTolMM) {
		level = check.Warn
	}
	way := "out"
	if c.GrownMM < 0 {
		way = "in"
	}
	f.find("outline", level, "Its outlines are moved %s by %s on each side.", way, unit.MM(math.Abs(c.GrownMM)))
}

// layerTolMM is how far a layer may differ from the one that a ring was made for: the last digit that slicers show.
const layerTolMM = 0.005

func far(x, tol float64) bool { return x > tol || x < -tol }

// tell tells a person: which threads will go, the figures, what is wrong, and the next step.
func (f pathInfo) tell(s *screen, path string, asked inspectFlags) string {
	var verdicts []string
	var threads []*pathThread
	head := []string{""}
	for _, side := range []struct {
		name string
		t    *pathThread
	}{{"inner", f.Inner}, {"outer", f.Outer}} {
		if side.t == nil {
			continue
		}
		head, threads = append(head, side.name), append(threads, side.t)
		verdicts = append(verdicts, fmt.Sprintf("%s thread %s %s, %s (it goes at %.0f %%)", side.name, side.t.Designation, side.t.Verdict, left(side.t.Left), 100*side.t.Chance))
	}
	switch {
	case len(verdicts) > 0:
		s.say("%s, as sliced: %s.", path, strings.Join(verdicts, "; "))
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
	if len(threads) > 0 {
		by := f.Printer
		if by == printer.Unnamed().Name {
			by = "The middle of all printers, since none is named,"
		}
		s.add("%s adds %s outside and takes %s inside; that is counted in what is left when printed.", by, f.printer.OutsideAdds, f.printer.InsideTakes)
		s.table(head, feltRows(threads, s.details)...)
	}
	s.gap()
	s.checks(f.Checks)
	switch {
	case len(threads) == 0 && asked.ring == "" && asked.inner == "" && asked.outer == "":
		return command("inspect", path, "--ring", strings.TrimSuffix(path, filepath.Ext(path))+".json")
	case f.ring != nil && check.Worst(f.Checks) == check.Stop:
		return command("ring", "--inner", f.ring.Inner.Designation, "--outer", f.ring.Outer.Designation, "--printer", f.Printer,
			"--clearance", fmt.Sprintf("%.2fmm", f.ring.ClearanceMM+missing(threads)), "--name", f.ring.Name, "--force")
	case s.details:
		return ""
	}
	return command(append(asked.words(path), "--details")...)
}

// missing is what the clearance lacks so that all threads go, in steps of a twentieth of a millimetre.
func missing(threads []*pathThread) (mm float64) {
	for _, t := range threads {
		mm = max(mm, math.Ceil((fit.SnugBelow-t.Left).MM()*20)/20)
	}
	return mm
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

// feltRows are the rows of a table of threads; what explains the rest comes with all.
func feltRows(threads []*pathThread, all bool) (rows [][]string) {
	for _, figure := range []struct {
		name    string
		details bool
		of      func(*pathThread) string
	}{
		{"felt: pitch diameter", false, func(t *pathThread) string { return t.Felt.Pitch.String() }},
		{"major diameter", true, func(t *pathThread) string { return t.Felt.Major.String() }},
		{"minor diameter", true, func(t *pathThread) string { return t.Felt.Minor.String() }},
		{"wanted: pitch diameter", false, func(t *pathThread) string { return t.Wanted.Pitch.String() }},
		{"clearance wanted", true, func(t *pathThread) string {
			if t.ClearanceWantedMM == nil {
				return "not known"
			}
			return unit.MM(*t.ClearanceWantedMM).String()
		}},
		{"left by the path", false, func(t *pathThread) string { return t.Clearance.String() }},
		{"left when printed", false, func(t *pathThread) string {
			return fmt.Sprintf("%.3f ± %.2f mm (95 %%)", t.Left.MM(), 2*t.PrintedU.MM())
		}},
		{"met first", false, func(t *pathThread) string { return fmt.Sprintf("layer %d, z %.2f mm", t.BindingLayer, t.BindingMM) }},
		{"seam", false, func(t *pathThread) string {
			if t.SeamSpreadDeg > evenSeamDeg {
				return "all about"
			}
			return fmt.Sprintf("at %.0f degrees", t.SeamDeg)
		}},
	} {
		if figure.details && !all {
			continue
		}
		row := []string{figure.name}
		for _, t := range threads {
			row = append(row, figure.of(t))
		}
		rows = append(rows, row)
	}
	return rows
}
