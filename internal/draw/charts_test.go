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

	"tryring/internal/printer"
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

// Each column is as high as its chances say, and all words are escaped.
func TestChances(t *testing.T) {
	rungs := []VerdictChances{{"0.10", [5]float64{0, 0.25, 0.25, 0.5, 0}}, {"0.<20", [5]float64{0, 0, 0, 0, 1}}, {"0.30", [5]float64{0.5, 0, 0.5}}}
	picture := string(Chances("a < b", "i0", rungs))
	require.Len(t, drawings(t, picture), 1)
	heights := regexp.MustCompile(`class="band"[^>]* height="([0-9.]+)"`).FindAllStringSubmatch(picture, -1)
	require.Len(t, heights, 6, "a chance of nothing is not drawn")
	sum := 0.0
	for _, h := range heights {
		x, err := strconv.ParseFloat(h[1], 64)
		require.NoError(t, err)
		sum += x
	}
	assert.InDelta(t, 3*chartHigh, sum, 0.01)
	assert.Contains(t, picture, "a &lt; b")
	assert.Contains(t, picture, "0.&lt;20")
}

// The curve that tells more stands higher, and the shade lies within the interval.
func TestTrialPage(t *testing.T) {
	p := printer.Unnamed()
	before := p.Learn(nil).Plain(printer.Outside, 40)
	seen := printer.Trial{Readings: []printer.SeenReading{{Side: printer.Outside, ModelledMM: 40, MeasuredMM: 40.2, UMM: 0.02}}}
	after := p.Learn([]printer.Trial{seen}).Plain(printer.Outside, 40)
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
