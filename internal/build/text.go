package build

// This file tells a finished ring to a person: a table in both systems, the checks, the files, the caution.

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"tryring/internal/check"
	"tryring/internal/unit"
)

// Paint dresses a word for a level on the screen, such as in colour; it must not change the word's letters.
type Paint func(level check.Level, word string) string

// Plain paints nothing.
func Plain(_ check.Level, word string) string { return word }

// WriteText tells r to a person.
func (r Result) WriteText(w io.Writer, paint Paint) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Ring %s, %s, %s tall, least wall %s.\n", r.Name, r.Layout, mm(r.HeightMM), mm(r.MinWallMM))
	fmt.Fprintf(&b, "  Layout: %s.\n  Height: %s.\n", r.LayoutWhy, r.HeightWhy)
	if r.Printer == "none" {
		b.WriteString("  No printer named: the model has the wanted sizes, nothing is compensated.\n")
	} else {
		fmt.Fprintf(&b, "  Compensated for the printer %s.\n", r.Printer)
	}
	r.Inner.write(&b, "Inside")
	r.Outer.write(&b, "Outside")
	if len(r.Checks) > 0 {
		b.WriteString("\nChecks\n")
		WriteChecks(&b, r.Checks, paint)
	}
	fmt.Fprintf(&b, "\nMesh: %d triangles, within %s of the ideal surface, %.2f cm3.\n", r.Mesh.Triangles, mm(r.Mesh.ChordMM), r.Mesh.VolumeMM3/1000)
	if len(r.Paths) > 0 {
		b.WriteString("\nFiles\n")
		for _, f := range r.Paths {
			fmt.Fprintf(&b, "  %s\n", f)
		}
	}
	b.WriteString("\n")
	for _, c := range r.Caution {
		fmt.Fprintf(&b, "%s\n", c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// WriteChecks lists findings, one a line.
func WriteChecks(b *strings.Builder, findings []check.Finding, paint Paint) {
	for _, c := range findings {
		fmt.Fprintf(b, "  %s%s  %s\n", paint(c.Level, string(c.Level)), strings.Repeat(" ", len(check.Warn)-len(c.Level)), c.Text)
	}
}

// write tells one thread as a table: each diameter as published, as wanted, as modelled and as measured.
func (t ThreadResult) write(w io.Writer, where string) {
	fmt.Fprintf(w, "\n%s: %s (%s hand, clearance %s on the diameter)\n", where, t.Designation, t.Hand, mm(t.ClearanceMM))
	tab := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "  \tbasic\twanted\tmodelled\tmeasured")
	measured := func(x func() float64) string {
		if t.Measured == nil {
			return "-"
		}
		return both(x())
	}
	row := func(name string, nominal, wanted, modelled float64, found func() float64) {
		fmt.Fprintf(tab, "  %s\t%s\t%s\t%s\t%s\n", name, both(nominal), both(wanted), both(modelled), measured(found))
	}
	row("major diameter", t.Nominal.MajorMM, t.Wanted.MajorMM, t.Modelled.MajorMM, func() float64 { return t.Measured.MajorMM })
	row("pitch diameter", t.Nominal.PitchDMM, t.Wanted.PitchDMM, t.Modelled.PitchDMM, func() float64 { return t.Measured.PitchDMM })
	row("minor diameter", t.Nominal.MinorMM, t.Wanted.MinorMM, t.Modelled.MinorMM, func() float64 { return t.Measured.MinorMM })
	lead := fine(t.LeadMM)
	fmt.Fprintf(tab, "  lead\t%s\t%s\t%s\t%s\n", lead, lead, lead, t.measuredLead())
	_ = tab.Flush() // into a strings.Builder, which cannot fail
}

// measuredLead is the lead found in the file, "-" before it was measured.
func (t ThreadResult) measuredLead() string {
	if t.Measured == nil {
		return "-"
	}
	return fine(t.Measured.LeadMM)
}

// fine prints a lead in both systems, with a digit more than diameters have: 1.5875 mm is 16 to the inch.
func fine(x float64) string { return fmt.Sprintf("%.4f mm (%.5f in)", x, unit.MM(x).Inches()) }

// both prints a length in both systems.
func both(x float64) string { return unit.MM(x).String() }

// mm prints a length in millimetres.
func mm(x float64) string { return unit.MM(x).TextMM() }
