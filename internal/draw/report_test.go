package draw

import (
	"bytes"
	"fmt"
	"html/template"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/ring"
)

// reportOn is a report with measured sizes that differ from the planned ones, so that a mix-up shows.
func reportOn(t testing.TB, p ring.Plan) ReportData {
	t.Helper()
	measured := func(s ring.Side, off float64) *caliper.Thread {
		return &caliper.Thread{MajorMM: s.Modelled.Major.MM() + off, PitchDMM: s.Modelled.Pitch.MM() + off, MinorMM: s.Modelled.Minor.MM() + off}
	}
	return ReportData{
		Name: "bench <1> & \"two\"", Read: []string{"Outside diameter 15.81 mm ± 0.05 mm.", "Bore not read"},
		Plan: p, Measured: &caliper.Report{Inner: measured(p.Inner, 0.0011), Outer: measured(p.Outer, -0.0013)},
		Checks: []check.Finding{
			{ID: "caution", Level: check.Note, Text: check.Caution},
			{ID: "sound", Level: check.OK, Text: "The file is closed: every edge has two faces."},
			{ID: "wall", Level: check.Warn, Text: "The wall of 1.10 mm is thinner than 1.20 mm <this> printer needs."},
			{ID: "stop", Level: check.Stop, Text: "It is too large for the bed."},
		},
		Files: []string{"bench.stl", "bench.3mf", "bench.svg"},
	}
}

func reportBytes(t testing.TB, r ReportData) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Report(&b, r))
	return b.String()
}

func TestReportTellsAll(t *testing.T) {
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			p := sm.plan(t)
			r := reportOn(t, p)
			r.Checks = append(r.Checks, check.All(check.Subject{Plan: &p, Printer: p.Printer})...)
			page := reportBytes(t, r)
			assert.Contains(t, page, "<strong>What was read:</strong> Outside diameter 15.81 mm ± 0.05 mm; Bore not read.</p>")
			keep(t, sm.name+".html", []byte(page))
			assert.Equal(t, page, reportBytes(t, r), "the same data must give the same bytes")
			assert.Equal(t, 2, strings.Count(page, `<p class="caution">`+check.Caution+"</p>"), "the caution stands first and last")
			assert.Contains(t, page, template.HTMLEscapeString(check.Shared(p.Inner.Thread, p.Outer.Thread)))
			assert.Less(t, strings.Index(page, check.Caution), strings.Index(page, "<h1>"))
			for _, side := range []struct {
				s        ring.Side
				measured *caliper.Thread
			}{{p.Inner, r.Measured.Inner}, {p.Outer, r.Measured.Outer}} {
				assert.Contains(t, page, side.s.Thread.Designation)
				for _, cells := range [][]cellView{
					{length(side.s.Nominal.Major), length(side.s.Wanted.Major), length(side.s.Modelled.Major)},
					{length(side.s.Nominal.Pitch), length(side.s.Wanted.Pitch), length(side.s.Modelled.Pitch)},
					{length(side.s.Nominal.Minor), length(side.s.Wanted.Minor), length(side.s.Modelled.Minor)},
				} {
					for _, c := range cells {
						assert.Contains(t, page, "<td>"+c.MM+" <small>"+c.Inch+" in</small></td>")
					}
				}
			}
			for _, want := range []string{
				"to be warned of, 1 that stop", "OK</span>", "Warning</span>", "STOP</span>", "bench &lt;1&gt; &amp; &#34;two&#34;", "&lt;this&gt;",
				"Never force it with a tool", "turn it backward until you feel it drop", "No supports in or on a thread", "bench.3mf", "<svg ", "15.81 mm",
			} {
				assert.Contains(t, page, want)
			}
		})
	}
}

// asksOutside finds whatever makes a browser fetch or run something.
var asksOutside = regexp.MustCompile(`(?i)<(script|link|img|iframe|object|embed|audio|video|form|base|use|image|a)[\s>]|\son[a-z]+=|(src|href|srcset|action)\s*=|url\(|@import|javascript:`)

func TestChecksWorstFirst(t *testing.T) {
	p := samples[3].plan(t)
	page := reportBytes(t, reportOn(t, p))
	assert.Contains(t, page, "1 OK, 0 to note, 1 to be warned of, 1 that stop.")
	assert.Less(t, strings.Index(page, "STOP</span>"), strings.Index(page, "Warning</span>"))
	assert.Less(t, strings.Index(page, "Warning</span>"), strings.Index(page, "OK</span>"))
}

func TestReportAsksForNothing(t *testing.T) {
	for _, sm := range samples {
		page := reportBytes(t, reportOn(t, sm.plan(t)))
		assert.Empty(t, asksOutside.FindAllString(page, -1), sm.name)
		outside := strings.ReplaceAll(page, "http://www.w3.org/2000/svg", "")
		assert.NotContains(t, outside, "://", sm.name)
	}
	for _, bad := range []string{`<script>`, `<img src=x>`, `<p onclick="x">`, `url(x)`, `<a href="x">`} {
		assert.Regexp(t, asksOutside, bad, "the search itself must find it")
	}
}

func TestReportWithoutMeasurement(t *testing.T) {
	p := samples[3].plan(t)
	page := reportBytes(t, ReportData{Plan: p})
	assert.Contains(t, page, "(not measured)")
	assert.Contains(t, page, "<td>—</td>")
	assert.Contains(t, page, "No check was run.")
	assert.Contains(t, page, "<h1>Test ring IN M8x1 OUT M16x1.5</h1>")

	r := reportOn(t, p)
	r.Measured.Inner, r.Measured.InnerWhy = nil, "fewer than two turns were found"
	assert.Contains(t, reportBytes(t, r), "not measured: fewer than two turns were found")
}

func TestReportRefusesEmptyPlan(t *testing.T) {
	assert.ErrorContains(t, Report(io.Discard, ReportData{}), "ring.New")
}

// failing is a writer that takes so many bytes.
type failing struct{ left int }

func (f *failing) Write(p []byte) (int, error) {
	if len(p) > f.left {
		n := f.left
		f.left = 0
		return n, io.ErrShortWrite
	}
	f.left -= len(p)
	return len(p), nil
}

func TestWriteErrorsComeBack(t *testing.T) {
	p := samples[3].plan(t)
	for _, room := range []int{0, 100, 2000, 12000} {
		require.ErrorIs(t, Section(&failing{room}, p, A4), io.ErrShortWrite, "section, %d bytes", room)
		require.ErrorIs(t, Report(&failing{room}, ReportData{Plan: p}), io.ErrShortWrite, "report, %d bytes", room)
	}
}

func TestSlicerHints(t *testing.T) {
	flange := strings.Join(SlicerHints(samples[3].plan(t)), " ")
	assert.Contains(t, flange, "Flange down")
	assert.Contains(t, flange, "5 walls") // M16x1.5 is 0.81 mm deep: three lines of 0.4 mm, and two more
	assert.NotContains(t, strings.Join(SlicerHints(samples[4].plan(t)), " "), "Flange")
	// Undersides of 87 degrees (45/3) print only with the other end down; hints say the end that the checks judged.
	turned := sample{"turned", "M42x1.5", "80mm x 4mm 3/45deg", nil}
	for g, want := range map[ring.Grip]string{ring.Scallop: "the other end down, flange up", ring.NoGrip: "the other end down, thread"} {
		turned.change = grip(g)
		p := turned.plan(t)
		hint := SlicerHints(p)[0]
		assert.Contains(t, hint, want)
		judged := ""
		for _, f := range check.All(check.Subject{Plan: &p, Printer: p.Printer}) {
			if f.ID == "overhang-outer" {
				judged = f.Text
			}
		}
		assert.True(t, strings.HasPrefix(judged, hint), judged)
	}
	assert.Contains(t, forward(samples[13].plan(t)), "both threads are left-hand")
}

// A caliper over crests reads what is in the file and what the printer does to plain size, not what its layers do to flanks.
func TestOnPrint(t *testing.T) {
	p := samples[7].plan(t)
	out, in := p.Outer.Modelled.Major+p.Outer.Made.Plain.By, p.Inner.Modelled.Minor+p.Inner.Made.Plain.By
	assert.Regexp(t, fmt.Sprintf(`caliper on the print: %.2f ± 0\.\d\d outside, %.2f ± 0\.\d\d in the bore$`, out.MM(), in.MM()), onPrint(p))
	assert.Empty(t, onPrint(samples[9].plan(t)), "tapers")
}
