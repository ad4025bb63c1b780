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

// askedPath is one thread that the G-code should make, and how the ring's file knows it, nil for no file.
type askedPath struct {
	side string
	toolpath.Wanted
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
	for _, a := range asked {
		if found.judge(p, a) {
			walls = append(walls, (*a.to).Wall)
		}
	}
	if found.ring != nil && len(walls) > 0 {
		found.compare(toolpath.Compare(walls))
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
	want := func(a askedPath, name string, known func(*build.Result) *build.ThreadResult) {
		if name == "" {
			return
		}
		t, err := tables.Parse(name)
		if err != nil {
			flag := a.side
			if f.ring != "" {
				flag = "ring"
			}
			faults = append(faults, flagFault(flag, err))
			return
		}
		a.Thread, a.Modelled = t, t.Basic
		if to.ring != nil {
			a.known = known(to.ring)
			a.Modelled, a.HeightMM = a.known.Modelled, to.ring.HeightMM
		}
		asked = append(asked, a)
	}
	want(askedPath{side: "inner", to: &to.Inner}, names[0], func(r *build.Result) *build.ThreadResult { return &r.Inner })
	outer := askedPath{side: "outer", to: &to.Outer}
	outer.External = true
	want(outer, names[1], func(r *build.Result) *build.ThreadResult { return &r.Outer })
	return asked, errors.Join(faults...)
}

// find adds a finding.
func (f *pathInfo) find(id string, level check.Level, text string, args ...any) {
	f.Checks = append(f.Checks, check.Finding{ID: id, Level: level, Text: fmt.Sprintf(text, args...)})
}

// judge lays the mate of a thread over its beads; false where the thread is not there.
func (f *pathInfo) judge(p *toolpath.Print, a askedPath) bool {
	w, err := p.Thread(a.Wanted)
	if err != nil {
		f.find("thread-"+a.side, check.Stop, "%s: %s.", upper(a.side), err)
		return false
	}
	t := &pathThread{Designation: a.Designation, Wall: w, Wanted: a.Basic}
	own, u := f.own(a.Wanted)
	t.PrintedU = u
	t.Printed, t.Left = w.On(own)
	if a.known != nil {
		t.Wanted, t.ClearanceWantedMM = a.known.Wanted, &a.known.ClearanceMM
	}
	t.judge(a.Wanted)
	*a.to = t
	level := check.OK
	if !t.goes() {
		level = check.Stop
	} else if t.Verdict == fit.Loose {
		level = check.Warn
	}
	f.find("fit-"+a.side, level, "The %s thread: %s %s; %s.", a.side, a.Designation, t.Verdict, t.Why)
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
func (f *pathInfo) own(a toolpath.Wanted) (own thread.Diameters, u unit.Length) {
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
func (t *pathThread) judge(a toolpath.Wanted) {
	if t.Verdict = fit.Binds; t.Other() {
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
	if whole := f.ring.HeightMM * c.Along; f.HeightMM < whole-2*f.LayerMM {
		f.find("height", check.Stop, "The path ends at %s and the ring is %s tall: the file is cut short, or a part was cut off.", unit.MM(f.HeightMM), unit.MM(whole))
	}
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
	case f.ring != nil && check.Worst(f.Checks) == check.Stop && missing(threads) > 0: // else it is to be sliced again
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
		if t.Other() {
			return 0 // more clearance makes it no other thread
		}
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

// feltRows are the rows of a table of threads; the last ones, which explain the rest, come with all.
func feltRows(threads []*pathThread, all bool) [][]string {
	rows := [][]string{{"felt: pitch diameter"}, {"wanted: pitch diameter"}, {"left by the path"}, {"left when printed"}, {"met first"}, {"seam"}}
	if all {
		rows = append(rows, []string{"felt: major diameter"}, []string{"minor diameter"}, []string{"clearance wanted"})
	}
	for _, t := range threads {
		seam, wanted := "all about", "not known"
		if t.SeamSpreadDeg < evenSeamDeg {
			seam = fmt.Sprintf("at %.0f degrees", t.SeamDeg)
		}
		if t.ClearanceWantedMM != nil {
			wanted = unit.MM(*t.ClearanceWantedMM).String()
		}
		cells := []string{
			t.Felt.Pitch.String(), t.Wanted.Pitch.String(), t.Clearance.String(), fmt.Sprintf("%.3f ± %.2f mm (95 %%)", t.Left.MM(), 2*t.PrintedU.MM()),
			fmt.Sprintf("layer %d, z %.2f mm", t.BindingLayer, t.BindingMM), seam, t.Felt.Major.String(), t.Felt.Minor.String(), wanted,
		}
		for k := range rows {
			rows[k] = append(rows[k], cells[k])
		}
	}
	return rows
}
