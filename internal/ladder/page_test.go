package ladder

import (
	"encoding/xml"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// pageOf writes the page of r twice, which must be the same, and returns it with its pictures, each well-formed XML.
func pageOf(t *testing.T, r Result) (text string, drawings []string) {
	t.Helper()
	var page, again strings.Builder
	require.NoError(t, r.write(&page, printer.Unnamed()))
	require.NoError(t, r.write(&again, printer.Unnamed()))
	text = page.String()
	assert.Equal(t, text, again.String())
	assert.NotContains(t, text, "ZgotmplZ", "the template refused what it was given")
	assert.NotContains(t, text, "<script")
	drawings = regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(text, -1)
	for _, svg := range drawings {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
	}
	return text, drawings
}

func madeOf(chances ...float64) MadeSide {
	s := MadeSide{PitchClearanceMM: 0.25, UMM: 0.05, FlankGapMM: new(0.06), AxialPlayMM: new(0.14), EngagementPercent: 80, Verdict: fit.Goes, Why: "a < b"}
	copy(s.Chances[:], chances)
	return s
}

// Each side has a chart on each printer, with a column a rung, and all words are escaped.
func TestLadderPage(t *testing.T) {
	r := Result{Name: "l", Inner: "M12<1.5", Outer: "M20x2", Printer: "a", Printers: []string{"a", "none"}}
	plate := build.PlateResult{File: "l-plate.3mf"}
	for _, name := range []string{"0.10", "0.20"} {
		r.Rungs = append(r.Rungs, RungResult{Rung: name, Inner: RungSide{ClearanceMM: 0.2}, Outer: RungSide{ClearanceMM: 0.21}, Made: []MadeRung{
			{WallMM: 2, Inner: madeOf(0, 0.25, 0.25, 0.5, 0), Outer: madeOf(0, 0, 0, 0, 1)}, {WallMM: 1.9, Inner: madeOf(1), Outer: madeOf(0, 0, 0, 1)},
		}})
		plate.Parts = append(plate.Parts, build.PlatePart{Rung: name})
	}
	r.Plates = []build.PlateResult{plate}
	page, all := pageOf(t, r)
	require.Len(t, all, 4, "two sides on two printers")
	for i, bands := range []int{6, 2, 2, 2} {
		assert.Equal(t, bands, strings.Count(all[i], `class="band"`), "chart %d", i)
	}
	assert.Contains(t, page, "<td>0.10</td><td>0.20</td><td>0.25 ± 0.10</td><td>0.060</td><td>0.140</td><td>80 %</td><td>2.00</td>")
	assert.Contains(t, page, "<td>0.10</td><td>0.21</td><td>0.25 ± 0.10</td><td>0.060</td><td>0.140</td><td>80 %</td><td>1.90</td>")
	assert.Equal(t, 2, strings.Count(page, check.Caution), "at the head and at the foot")
	assert.Contains(t, page, "as the middle of what printers do makes it")
	assert.Contains(t, page, "a &lt; b")
	assert.Contains(t, page, "l-plate.3mf: 0.10, 0.20")
}

// Each rung that was judged is drawn in its mate; the likeliest is open.
func TestLadderShowsFits(t *testing.T) {
	d := Result{Name: "l", Inner: "M12x1.5", Outer: "M20x2", Printer: "a", Printers: []string{"a", "b"}}
	for i, name := range []string{"0.10", "0.20", "0.30"} {
		judged := judgedFit(t, "M12x1.5", 0.1*float64(i+1))
		in, out := madeOf(0, 0, 0.5, 0.5), madeOf(0, 0, 0.5, 0.5)
		in.Lies, out.Lies = &judged, &judged
		in.Chance, out.Chance = []float64{0.2, 0.9, 0.4}[i], []float64{0.9, 0.9, 0.4}[i]
		d.Rungs = append(d.Rungs, RungResult{Rung: name, Made: []MadeRung{{Inner: in, Outer: out}, {Inner: madeOf(1), Outer: madeOf(1)}}})
	}
	page, all := pageOf(t, d)
	assert.Len(t, all, 4+2*3, "a chart a side and printer, and a drawing a rung and side")
	open := regexp.MustCompile(`<details open><summary>(.*?)</summary>`).FindAllStringSubmatch(page, -1)
	require.Len(t, open, 2)
	assert.Contains(t, open[0][1], "Rung 0.20")
	assert.Contains(t, open[1][1], "Rung 0.10", "the first of those that are alike")
}

// judgedFit is a thread in its mate with a clearance in mm.
func judgedFit(t *testing.T, designation string, clearance float64) draw.FitData {
	t.Helper()
	own, err := thread.BuiltIn().Parse(designation)
	require.NoError(t, err)
	made := own.Basic.Plus(unit.MM(clearance))
	o := fit.Options{Internal: fit.Side{Given: &made}, Engaged: unit.MM(10)}
	r, err := fit.Judge(own, own, o)
	require.NoError(t, err)
	return draw.FitData{External: own, Internal: own, Options: o, Result: r}
}
