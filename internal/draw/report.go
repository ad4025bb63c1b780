package draw

// This file writes the report: one page that goes to the bench with the ring.

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"math"
	"strings"
	"sync"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// ReportData is what a report tells of.
type ReportData struct {
	// Name is the ring's name; empty for its two designations.
	Name string
	// Read is what was read or measured beforehand, a sentence each; may be empty.
	Read []string
	Plan ring.Plan
	// Measured is of the finished file; nil if it was not measured.
	Measured *caliper.Report
	Checks   []check.Finding
	// Files are the names of the files made.
	Files []string
	// View is a PNG of the part (see Shade), shown beside the drawing; nil for none.
	View []byte
}

//go:embed report.html
var reportPage string

var reportTemplate = Page("report", reportPage)

// pageStyle is what all pages look like; a page adds its own to it.
//
//go:embed style.html
var pageStyle string

// Page makes a page that may take in the common style, when it is first asked for.
func Page(name, text string) func() *template.Template {
	return sync.OnceValue(func() *template.Template {
		return template.Must(template.Must(template.New(name).Parse(pageStyle)).Parse(text))
	})
}

// page is what the template shows.
type page struct {
	Caution, Shared, Name, Layout, Height, Scale, Printer, CheckSum string
	Tapered                                                         bool
	Read                                                            []string
	Bench                                                           []passage
	Threads                                                         []threadView
	Drawing, Job                                                    template.HTML
	View                                                            template.URL
	Checks                                                          []checkView
	Files                                                           []string
}

type threadView struct {
	Where, Designation, NotMeasured string
	Rows                            []rowView
}

type rowView struct {
	Name  string
	Cells []cellView
}

// cellView is a length; Inch is empty where there is none.
type cellView struct{ MM, Inch string }

type checkView struct{ Class, Level, Text string }

// Report writes the page: one file that asks for nothing else. Printed it lies, and its drawing is to scale.
func Report(w io.Writer, r ReportData) error {
	var drawing, job bytes.Buffer
	scale, err := SectionView(&drawing, r.Plan)
	if err == nil {
		err = JobView(&job, r.Plan)
	}
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	p := r.Plan
	v := page{
		Caution: check.Caution, Shared: check.Shared(p.Inner.Thread, p.Outer.Thread), Name: r.Name, Read: phrases(r.Read), Files: r.Files,
		Layout: sentence(p.LayoutWhy), Height: "Height " + p.Height.String() + ": " + p.HeightWhy + ".",
		Printer: printerWords(p), Scale: scale,
		Drawing: template.HTML(drawing.String()), // our own drawings; their words are escaped there
		Job:     template.HTML(job.String()),
		Bench:   benchPassages(p),
		Tapered: p.Inner.Thread.Taper > 0 || p.Outer.Thread.Taper > 0,
	}
	if v.Name == "" {
		v.Name = p.Designations()
	}
	if r.View != nil {
		v.View = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(r.View))
	}
	var inner, outer *caliper.Thread
	innerWhy, outerWhy := "not measured", "not measured"
	if m := r.Measured; m != nil {
		inner, outer, innerWhy, outerWhy = m.Inner, m.Outer, "not measured: "+m.InnerWhy, "not measured: "+m.OuterWhy
	}
	v.Threads = []threadView{
		viewThread("Inside the ring", p.Inner, +1, inner, innerWhy),
		viewThread("Outside the ring", p.Outer, -1, outer, outerWhy),
	}
	count := map[check.Level]int{}
	for _, l := range levels {
		for _, f := range r.Checks {
			if f.Level == l.level && f.Text != check.Caution { // which stands at the head and the foot
				count[l.level]++
				v.Checks = append(v.Checks, checkView{string(l.level), l.word, f.Text})
			}
		}
	}
	v.CheckSum = fmt.Sprintf("%d OK, %d to note, %d to be warned of, %d that stop.", count[check.OK], count[check.Note], count[check.Warn], count[check.Stop])
	return reportTemplate().Execute(w, v)
}

// phrases takes the full stops off sentences, to be joined into one.
func phrases(sentences []string) []string {
	var out []string
	for _, s := range sentences {
		out = append(out, strings.TrimSuffix(strings.TrimSpace(s), "."))
	}
	return out
}

// levels are what checks come to, the worst first, with their words.
var levels = []struct {
	level check.Level
	word  string
}{{check.Stop, "STOP"}, {check.Warn, "Warning"}, {check.Note, "Note"}, {check.OK, "OK"}}

// sentence gives words a capital and a full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:] + "."
}

// viewThread tells one thread in figures. Sign is +1 where a gap makes the thread larger.
func viewThread(where string, s ring.Side, sign unit.Length, measured *caliper.Thread, why string) threadView {
	v := threadView{Where: where, Designation: s.Thread.Designation}
	if measured == nil {
		v.NotMeasured = why
	}
	for _, d := range []struct {
		name string
		of   func(thread.Diameters) unit.Length
		file func(*caliper.Thread) float64
	}{
		{"major", func(d thread.Diameters) unit.Length { return d.Major }, func(t *caliper.Thread) float64 { return t.MajorMM }},
		{"pitch", func(d thread.Diameters) unit.Length { return d.Pitch }, func(t *caliper.Thread) float64 { return t.PitchDMM }},
		{"minor", func(d thread.Diameters) unit.Length { return d.Minor }, func(t *caliper.Thread) float64 { return t.MinorMM }},
	} {
		row := rowView{d.name, []cellView{
			length(d.of(s.Nominal)), change(sign * s.Clearance), length(d.of(s.Wanted)), change(d.of(s.Modelled) - d.of(s.Wanted)), length(d.of(s.Modelled)),
			{MM: "—"},
			printed(d.of(s.Printed), d.of(s.PrintedU)),
		}}
		if measured != nil {
			row.Cells[5] = length(unit.MM(d.file(measured)))
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}

// length and change print a diameter and what is added to it.
func length(l unit.Length) cellView {
	return cellView{fmt.Sprintf("%.3f", positive(l.MM(), 0.0005)), fmt.Sprintf("%.4f", positive(l.Inches(), 0.00005))}
}

// printed prints a diameter with its uncertainty, 95 %.
func printed(l, u unit.Length) cellView {
	c := length(l)
	c.MM += fmt.Sprintf(" ± %.2f", 2*u.MM())
	return c
}

func change(l unit.Length) cellView {
	if math.Abs(l.MM()) < 0.0005 {
		return cellView{"0", ""}
	}
	return cellView{fmt.Sprintf("%+.3f", l.MM()), fmt.Sprintf("%+.4f", positive(l.Inches(), 0.00005))}
}
