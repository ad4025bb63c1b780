package main

// This file tells people what was made: a ring, gauges, a drawer, a ladder.

import (
	"fmt"
	"path/filepath"
	"strings"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/gauge"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// tellRing tells a ring that was made, of the job in file or of none.
func tellRing(s *screen, r build.Result, file string) string {
	s.say("Ring %s is made, %s: %s inside, %s outside, %s tall.", r.Name, r.Layout, r.Inner.Designation, r.Outer.Designation, unit.MM(r.HeightMM).TextMM())
	s.gap()
	both := func(name string, inner, outer unit.Length) []string {
		return []string{name, inner.String(), outer.String()}
	}
	in, out := r.Inner, r.Outer
	s.table([]string{"as printed", "inside", "outside"},
		both("clearance", unit.MM(in.ClearanceMM), unit.MM(out.ClearanceMM)),
		both("major diameter", in.Printed.Major, out.Printed.Major),
		both("pitch diameter", in.Printed.Pitch, out.Printed.Pitch),
		both("minor diameter", in.Printed.Minor, out.Printed.Minor))
	s.add("A mate feels these sizes, ± %.2f mm inside and ± %.2f mm outside on the pitch diameter (95 %%). %s", 2*in.PrintedU.Pitch.MM(), 2*out.PrintedU.Pitch.MM(), compensated(r.Printer, r.LayerMM))
	seam := ""
	if r.Grams["resin"] <= 0 {
		seam = "seam in one line, "
	}
	s.add("To slice: layers of %s, %sno supports, size 100 %%. It takes %s.", unit.MM(r.LayerMM).TextMM(), seam, r.Cost.Words())
	if s.details {
		s.add("The minutes are an estimate: %s.", r.Basis)
		s.add("Layout: %s. Height: %s.", r.LayoutWhy, r.HeightWhy)
		s.add("Mesh: %s, within %s of the ideal surface, %.2f cm3.", unit.Counted(r.Mesh.Triangles, "triangle"), unit.MM(r.Mesh.ChordMM).TextMM(), r.Mesh.VolumeMM3/1000)
		for _, t := range []build.ThreadResult{in, out} {
			s.gap()
			s.table([]string{t.Designation, "basic", "wanted", "modelled", "as printed", "measured"}, sizes(t.Measured, t.Nominal, t.Wanted, t.Modelled, t.Printed)...)
		}
	}
	tellFiles(s, r.Paths)
	s.gap()
	s.checks(r.Checks)
	if file != "" {
		return command("trial", "--job", file, "--side", "outer", "--result", "goes")
	}
	words := []string{"ladder", "--inner", in.Designation, "--outer", out.Designation, "--from", "0.1mm", "--to", "0.5mm", "--step", "0.1mm"}
	if r.Printer != printer.Unnamed().Name {
		words = append(words, "--printer", r.Printer)
	}
	return command(words...)
}

// sizes are the rows of a table of diameters in mm, what was measured last.
func sizes(measured *caliper.Thread, columns ...thread.Diameters) [][]string {
	if m := measured; m != nil {
		columns = append(columns, thread.Diameters{Major: unit.MM(m.MajorMM), Pitch: unit.MM(m.PitchDMM), Minor: unit.MM(m.MinorMM)})
	}
	rows := [][]string{{"major diameter"}, {"pitch diameter"}, {"minor diameter"}}
	for _, d := range columns {
		for k, x := range []unit.Length{d.Major, d.Pitch, d.Minor} {
			rows[k] = append(rows[k], fmt.Sprintf("%.3f", x.MM()))
		}
	}
	return rows
}

// compensated says what is done about the printer's own error and its layers, whose height is 0 where it is not said.
func compensated(name string, layerMM float64) string {
	layers := ""
	if layerMM > 0 {
		layers = " in layers of " + unit.MM(layerMM).TextMM()
	}
	if name == printer.Unnamed().Name {
		return fmt.Sprintf("No printer is named: modelled for the middle of what printers do%s.", layers)
	}
	return fmt.Sprintf("Compensated for the printer %s%s.", name, layers)
}

// tellFiles names files, those of one name together.
func tellFiles(s *screen, paths []string) {
	var all []string
	for i, path := range paths {
		ending := filepath.Ext(path)
		if i > 0 && strings.TrimSuffix(path, ending) == strings.TrimSuffix(paths[i-1], filepath.Ext(paths[i-1])) {
			path = ending
		}
		all = append(all, path)
	}
	s.add("Files: %s", strings.Join(all, ", "))
}

// learning is the command that learns the error of a printer, or lists those that there are.
func learning(name string) string {
	if name == printer.Unnamed().Name {
		return command("printers")
	}
	return command("ladder", "--pairs", "M20x2", "--from", "-0.5mm", "--to", "0.5mm", "--step", "0.25mm", "--printer", name)
}

// tellGauges tells the gauges of one thread.
func tellGauges(s *screen, r gauge.SetResult) string {
	var names []string
	var findings []check.Finding
	for _, g := range r.Gauges {
		names = append(names, g.Label)
		findings = append(findings, g.Checks...)
	}
	s.say("Made: %s; limits of %s.", strings.Join(names, ", "), r.Gauges[0].LimitsSource)
	s.gap()
	var cost printer.Cost
	for _, g := range r.Gauges {
		cost = cost.Plus(g.Cost)
		s.add("%s: %s", g.Label, g.Use())
		s.add("Thread %s long, %s tall; pitch diameter %s.", unit.MM(g.LengthMM).TextMM(), unit.MM(g.HeightMM).TextMM(), g.Wanted.Pitch)
		if s.details {
			s.add("The length is %s.", g.LengthWhy)
			rows := sizes(g.Measured, g.Wanted, g.Modelled)
			l := g.Limits
			mm := func(l unit.Length) string { return fmt.Sprintf("%.3f", l.MM()) }
			for k, limits := range [][2]*unit.Length{{l.MajorMin, l.MajorMax}, {l.PitchMin, l.PitchMax}, {l.MinorMin, l.MinorMax}} {
				rows[k] = append(rows[k], limitWords(limits[0], limits[1], mm))
			}
			s.table([]string{"mm", "wanted", "modelled", "measured", "part's limits"}, rows...)
			s.gap()
		}
	}
	s.add("%s Together %s.", compensated(r.Printer, 0), cost.Words())
	tellFiles(s, r.Paths)
	s.gap()
	s.checks(findings)
	return learning(r.Printer)
}

// tellDrawer tells a drawer full of gauges.
func tellDrawer(s *screen, d gauge.DrawerRun) string {
	s.say("Drawer %s in %s: %s on %s, with %s.", d.Title, d.Folder, unit.Counted(len(d.Gauges), "gauge"), unit.Counted(len(d.Plates), "plate"), unit.Counted(len(d.Trays), "tray"))
	s.say("%s made, %s there already and stayed.", number(d.New, "file was", "files were"), number(d.Kept, "was", "were"))
	s.gap()
	for _, p := range d.Plates {
		s.add("%s: %s", p.File, unit.Counted(len(p.Parts), "gauge"))
	}
	for _, t := range d.Trays {
		s.add("%s and .stl: %s", t.File, unit.Counted(len(t.Wells), "well"))
	}
	s.add("gauges/: the gauges one by one; card.html: the index card; drawer.json: the record")
	s.add("%s", compensated(d.Printer, 0))
	s.add("Plates and trays together, taken as solid: %s.", d.Cost.Words())
	if len(d.Unused) > 0 {
		s.add("Columns of the list that are not used: %s.", strings.Join(d.Unused, ", "))
	}
	s.gap()
	s.checks(d.Findings())
	return learning(d.Printer)
}

// tellLadder tells a ladder: how each rung goes, as each printer makes it.
func tellLadder(s *screen, r ladder.Result) string {
	if r.Pairs {
		s.say("Ladder %s is made: %s of plug and ring, %s.", r.Name, unit.Counted(len(r.Rungs), "pair"), r.Inner)
	} else {
		s.say("Ladder %s is made: %s, %s inside, %s outside.", r.Name, unit.Counted(len(r.Rungs), "rung"), r.Inner, r.Outer)
	}
	for k, name := range r.Printers {
		s.gap()
		if k == 0 {
			s.add("%s", compensated(name, 0))
		} else {
			s.add("The same files on the printer %s:", name)
		}
		s.tableOfRungs(r, k)
	}
	s.gap()
	s.add("Clearances in mm on the diameter, ± 95 %%; the chance is that it goes by hand and holds. Try the ends printed on top; a first layer may close the others.")
	for _, p := range r.Plates {
		var rungs []string
		for _, part := range p.Parts {
			rungs = append(rungs, part.Rung)
		}
		s.add("%s: %s", p.File, strings.Join(rungs, ", "))
	}
	if n := len(r.Paths); n > 0 {
		var cost printer.Cost
		for _, x := range r.Rungs {
			cost = cost.Plus(x.Cost)
		}
		s.add("%s, %s; the table is %s.", unit.Counted(n, "file"), cost.Words(), r.Paths[n-2])
	}
	if r.Printer == printer.Unnamed().Name {
		return learning(r.Printer)
	}
	side := "inner:"
	if r.Pairs {
		side = ""
	}
	return command("trial", "--printer", r.Printer, "--ladder", r.Paths[len(r.Paths)-1], "--from-top", "--rung", side+r.Rungs[0].Rung+"=goes")
}

// tableOfRungs tells all rungs on one of the printers, both sides beside each other; with details, all figures.
func (s *screen) tableOfRungs(r ladder.Result, k int) {
	sides := []string{"inside", "outside"}
	if r.Pairs {
		sides = []string{"plug in ring"}
	}
	head := []string{"rung"}
	for _, side := range sides {
		head = append(head, side, "", "chance")
	}
	var rows [][]string
	for _, x := range r.Rungs {
		row := []string{x.Rung}
		for _, made := range []ladder.MadeSide{x.Made[k].Inner, x.Made[k].Outer}[:len(sides)] {
			row = append(row, fmt.Sprintf("%.2f ± %.2f", made.PitchClearanceMM, 2*made.UMM), string(made.Verdict), fmt.Sprintf("%.0f %%", 100*made.Chance))
		}
		rows = append(rows, row)
		if s.details {
			rows = append(rows, []string{fmt.Sprintf("wall %.2f mm", x.Made[k].WallMM)})
			for i, made := range []ladder.MadeSide{x.Made[k].Inner, x.Made[k].Outer}[:len(sides)] {
				rows = append(rows, []string{fmt.Sprintf("%s: flank gap %s, axial play %s, engaged %.0f %%", sides[i], orDash(made.FlankGapMM), orDash(made.AxialPlayMM), made.EngagementPercent)})
			}
		}
	}
	s.table(head, rows...)
}

// orDash is a length in mm, or a dash where there is none.
func orDash(x *float64) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.3f mm", *x)
}
