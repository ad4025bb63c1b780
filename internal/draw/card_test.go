package draw

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func gaugeOf(t *testing.T, name string, kind ring.GaugeKind, limit ring.GaugeLimit, half unit.Length) ring.Gauge {
	t.Helper()
	th, err := thread.BuiltIn().Parse(name)
	require.NoError(t, err)
	s := ring.GaugeSpec{Thread: th, Kind: kind, Limit: limit, LimitsSource: th.Standard, Printer: printer.Unnamed()}
	if limit == ring.Steps {
		l, err := th.TaperLengths()
		require.NoError(t, err)
		s.StandOff = ring.StandOffOf(l, kind)
		s.Limits = ring.TaperLimits(th, s.StandOff)
	} else if half > 0 {
		s.Limits = ring.ReadingLimits(th, half, kind == ring.RingGauge)
	} else if s.Limits, err = th.Limits("", kind == ring.RingGauge); err != nil {
		t.Fatal(err)
	}
	g, err := ring.NewGauge(s)
	require.NoError(t, err)
	return g
}

func TestCard(t *testing.T) {
	gauges := []ring.Gauge{
		gaugeOf(t, "1/4-20 UNC", ring.RingGauge, ring.Go, 0),
		gaugeOf(t, "1/4-20 UNC", ring.RingGauge, ring.NoGo, 0),
		gaugeOf(t, "M20", ring.PlugGauge, ring.NoGo, 0),
		gaugeOf(t, "44.4mm x 12tpi", ring.RingGauge, ring.Go, 0.4),
	}
	var b bytes.Buffer
	d := CardData{Title: "Bench <1> & 2", Printer: printer.Unnamed(), Gauges: gauges, Places: []string{"tray 1, row 1, place 1", "here", "there", "no tray"}}
	require.NoError(t, Card(&b, d))
	page := b.String()
	for _, want := range []string{
		"Bench &lt;1&gt; &amp; 2: 4 gauges", check.Caution, "calibrated",
		"0.2164", "5.497", "0.2127", "5.403", // ASME B1.1, 1/4-20 UNC-2A: pitch diameter 0.2127 to 0.2164 in
		"18.600", "0.7323", // ISO 965-2, M20-6H: pitch diameter 18.600 mm at most
		"3 turns (ASME B1.2 (from memory)) or 2 turns (ISO 1502 (from memory))",
		"tray 1, row 1, place 1", "no tray", "Nothing is surely in", "Surely in from", "ISO 14253-1",
	} {
		assert.Contains(t, page, want)
	}
	for _, want := range []string{"at most 4.948", "at least 20.000", "white or the hatched"} { // minor diameter of 2A, major of 6H: limited one way
		assert.Contains(t, page, want)
	}
	assert.NotContains(t, page, "left-hand", "none is")
	assert.NotContains(t, page, "several starts")
	assert.Equal(t, 3, strings.Count(page, "limits of the part"), "gauges of the same parts stand together")
	assert.NotRegexp(t, `(?i)(src|href)=|@import|url\(`, page, "the page asks for nothing else")
	drawings := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1)
	require.Len(t, drawings, 4)
	for _, s := range drawings {
		dec := xml.NewDecoder(strings.NewReader(s))
		for {
			_, err := dec.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, s)
		}
	}
	var again bytes.Buffer
	require.NoError(t, Card(&again, d))
	assert.Equal(t, page, again.String())
}

// What a thread in the drawer is turned like is said where there is one.
func TestCardTellsOfHandAndStarts(t *testing.T) {
	var b bytes.Buffer
	left := gaugeOf(t, "44.4mm x 12tpi 2start LH", ring.RingGauge, ring.Go, 0.4)
	require.NoError(t, Card(&b, CardData{Title: "a", Printer: printer.Unnamed(), Gauges: []ring.Gauge{left}}))
	assert.Contains(t, b.String(), "left-hand")
	assert.Contains(t, b.String(), "several starts")
}

// The bar's blocks lie where the decision says, in order, and fill the bar.
func TestDecisionBar(t *testing.T) {
	for _, half := range []unit.Length{0.05, 0.3} {
		t.Run(half.TextMM(), func(t *testing.T) {
			d := gaugeOf(t, "44.4mm x 12tpi", ring.RingGauge, ring.Go, half).Decision()
			bar := decisionBar(d)
			x := 0.0
			var fills []string
			for _, m := range regexp.MustCompile(`<rect x="([\d.]+)" y="1.5" width="([\d.]+)" height="3" fill="(#\w+)"`).FindAllStringSubmatch(bar, -1) {
				var at, wide float64
				_, err := fmt.Sscan(m[1]+" "+m[2], &at, &wide)
				require.NoError(t, err)
				assert.InDelta(t, x, at, 0.01)
				x = at + wide
				fills = append(fills, m[3])
			}
			assert.InDelta(t, barWide, x, 0.01)
			if d.Resolves {
				assert.Equal(t, []string{"#000", "#fff", "#fff", "#fff", "#000"}, fills)
			} else {
				assert.Equal(t, []string{"#000", "#fff", "#000"}, fills)
			}
		})
	}
}

// A long card comes on several sheets: what judges the same parts stays together, and every sheet says which it is.
func TestCardOnSheets(t *testing.T) {
	var b bytes.Buffer
	d := CardData{Title: `Odd "title" </style>`, Printer: printer.Unnamed(), Gauges: []ring.Gauge{
		gaugeOf(t, "M20", ring.RingGauge, ring.Go, 0), gaugeOf(t, "M20", ring.RingGauge, ring.NoGo, 0), gaugeOf(t, "M24", ring.PlugGauge, ring.Go, 0),
	}}
	require.NoError(t, Card(&b, d))
	page := b.String()
	assert.Equal(t, 2, strings.Count(page, "<tbody>"), "one group for each kind of part")
	assert.Contains(t, page, `content: "sheet " counter(page) " of " counter(pages)`)
	assert.Equal(t, 1, strings.Count(page, "</style>"), "a title is no end of the style sheet")
}

// A card says how each kind of gauge on it is read, and of no other.
func TestCardOfSteps(t *testing.T) {
	card := func(gauges ...ring.Gauge) string {
		var b bytes.Buffer
		require.NoError(t, Card(&b, CardData{Title: "pipe", Printer: printer.Unnamed(), Gauges: gauges}))
		return b.String()
	}
	goes := gaugeOf(t, "M20", ring.RingGauge, ring.Go, 0)
	stepRing, stepPlug := gaugeOf(t, "1/2-14 NPT", ring.RingGauge, ring.Steps, 0), gaugeOf(t, "Rc 1", ring.PlugGauge, ring.Steps, 0)
	both := card(stepRing, stepPlug)
	for _, want := range []string{
		"<b>Step ring</b>", "<b>Step plug</b>", "STEP ring", "STEP plug",
		"stops between the steps, 3.6 mm apart", // ASME B1.20.1: one turn of 25.4/14 mm either way (from memory)
		"stops between the steps, 5.8 mm apart", // ISO 7-1 table 1: 2.9 mm either way for Rc 1 (from memory)
		"Cannot resolve steps 1.8 mm from their middle: uncertain by 3.7 mm, 2.0 turns.",
		"1 in 16",
	} {
		assert.Contains(t, both, want)
	}
	assert.NotContains(t, both, "No-go", "none lies in the drawer")
	assert.Equal(t, 3, strings.Count(both, "<svg"), "a drawing of the steps and two bars")
	assert.NotContains(t, card(goes), "Step", "none lies in the drawer")
	assert.NotContains(t, card(goes, stepRing), "<b>Step plug</b>")
	assert.Contains(t, card(goes, stepRing), "No-go")
}
