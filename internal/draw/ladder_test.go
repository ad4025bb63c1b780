package draw

import (
	"encoding/xml"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

var svgPart = regexp.MustCompile(`(?s)<svg.*?</svg>`)

// drawings are the SVG pictures of a page; each must be well-formed XML.
func drawings(t *testing.T, page string) []string {
	t.Helper()
	assert.NotContains(t, page, "ZgotmplZ", "the template refused what it was given")
	assert.NotContains(t, page, "<script")
	all := svgPart.FindAllString(page, -1)
	for _, svg := range all {
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
	}
	return all
}

func ladderSide(chances ...float64) LadderSide {
	s := LadderSide{DesignedMM: 0.2, WallMM: 2, MadeSide: MadeSide{
		PitchClearanceMM: 0.25, UMM: 0.05, FlankGapMM: new(0.06), AxialPlayMM: new(0.14), EngagementPercent: 80, Verdict: fit.Goes, Why: "a < b",
	}}
	copy(s.Chances[:], chances)
	return s
}

// Each column is as high as its chances say, and all words are escaped.
func TestLadderPage(t *testing.T) {
	d := LadderData{Name: "l", Inner: "M12<1.5", Outer: "M20x2", Printer: "a", Printers: []string{"a", "none"}, Bed: "180 x 180 mm"}
	for _, name := range []string{"0.10", "0.20"} {
		d.Rungs = append(d.Rungs, LadderRung{
			Name: name, Inner: []LadderSide{ladderSide(0, 0.25, 0.25, 0.5, 0), ladderSide(1)}, Outer: []LadderSide{ladderSide(0, 0, 0, 0, 1), ladderSide(0, 0, 0, 1)},
		})
	}
	d.Plates = []LadderPlate{{File: "l-plate.3mf", Parts: []string{"0.10", "0.20"}}}
	var page strings.Builder
	require.NoError(t, Ladder(&page, d))
	all := drawings(t, page.String())
	require.Len(t, all, 4, "two sides on two printers")
	heights := regexp.MustCompile(`class="band"[^>]* height="([0-9.]+)"`).FindAllStringSubmatch(all[0], -1)
	require.Len(t, heights, 6, "three bands in each of two columns; a chance of nothing is not drawn")
	sum := 0.0
	for _, h := range heights {
		x, err := strconv.ParseFloat(h[1], 64)
		require.NoError(t, err)
		sum += x
	}
	assert.InDelta(t, 2*chartHigh, sum, 0.01)
	assert.Equal(t, 2, strings.Count(page.String(), check.Caution), "at the head and at the foot")
	assert.Contains(t, page.String(), "as modelled, on a printer that nothing is known of")
	assert.Contains(t, page.String(), "a &lt; b")
	assert.Contains(t, page.String(), "l-plate.3mf: 0.10, 0.20")
	var again strings.Builder
	require.NoError(t, Ladder(&again, d))
	assert.Equal(t, page.String(), again.String())
}

// Each rung that was judged is drawn in its mate; the likeliest is open.
func TestLadderShowsFits(t *testing.T) {
	d := LadderData{Name: "l", Inner: "M12x1.5", Outer: "M20x2", Printer: "a", Printers: []string{"a", "b"}, Bed: "180 x 180 mm"}
	for i, name := range []string{"0.10", "0.20", "0.30"} {
		judged := judgedFit(t, "M12x1.5", 0.1*float64(i+1))
		in, out := ladderSide(0, 0, 0.5, 0.5), ladderSide(0, 0, 0.5, 0.5)
		in.Lies, out.Lies = &judged, &judged
		in.Chance, out.Chance = []float64{0.2, 0.9, 0.4}[i], []float64{0.9, 0.9, 0.4}[i]
		d.Rungs = append(d.Rungs, LadderRung{Name: name, Inner: []LadderSide{in, ladderSide(1)}, Outer: []LadderSide{out, ladderSide(1)}})
	}
	var page strings.Builder
	require.NoError(t, Ladder(&page, d))
	assert.Len(t, drawings(t, page.String()), 4+2*3, "a chart a side and printer, and a drawing a rung and side")
	open := regexp.MustCompile(`<details open><summary>(.*?)</summary>`).FindAllStringSubmatch(page.String(), -1)
	require.Len(t, open, 2)
	assert.Contains(t, open[0][1], "Rung 0.20")
	assert.Contains(t, open[1][1], "Rung 0.10", "the first of those that are alike")
	var again strings.Builder
	require.NoError(t, Ladder(&again, d))
	assert.Equal(t, page.String(), again.String())
}

// judgedFit is a thread in its mate with a clearance in mm.
func judgedFit(t *testing.T, designation string, clearance float64) FitData {
	t.Helper()
	own, err := thread.BuiltIn().Parse(designation)
	require.NoError(t, err)
	made := own.Basic.Plus(unit.MM(clearance))
	o := fit.Options{Internal: fit.Side{Given: &made}, Engaged: unit.MM(10)}
	r, err := fit.Judge(own, own, o)
	require.NoError(t, err)
	return FitData{External: own, Internal: own, Options: o, Result: r}
}

// The curve that tells more stands higher, and the shade lies within the interval.
func TestTrialPage(t *testing.T) {
	p := printer.Unnamed()
	before := p.Learn(printer.Outside, nil)
	seen := printer.Trial{Readings: []printer.SeenReading{{Side: printer.Outside, ModelledMM: 40, MeasuredMM: 40.2, UMM: 0.02}}}
	after := p.Learn(printer.Outside, []printer.Trial{seen})
	var page strings.Builder
	require.NoError(t, Trial(&page, TrialData{Printer: "p<1", Trials: 1, Sides: []TrialSide{{Title: "Outside", Before: before, After: after, Words: []string{"w"}}}}))
	all := drawings(t, page.String())
	require.Len(t, all, 1)
	top := func(class string) float64 {
		d := regexp.MustCompile(`class="` + class + `" d="([^"]*)"`).FindStringSubmatch(all[0])
		require.NotNil(t, d, class)
		highest := beliefBase
		for _, point := range strings.FieldsFunc(d[1], func(r rune) bool { return strings.ContainsRune("MLZ", r) }) {
			xy := strings.Fields(point)
			require.Len(t, xy, 2)
			y, err := strconv.ParseFloat(xy[1], 64)
			require.NoError(t, err)
			highest = min(highest, y)
		}
		return beliefBase - highest
	}
	assert.InDelta(t, beliefHigh, top("after"), 0.01, "the higher curve fills the picture")
	assert.Less(t, top("before"), beliefHigh/2)
	assert.InDelta(t, beliefHigh, top("interval"), 0.01)
	assert.Contains(t, page.String(), "What 1 trial told of printer p&lt;1")
}
