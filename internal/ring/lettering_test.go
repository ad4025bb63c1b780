package ring

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	v2 "github.com/deadsy/sdfx/vec/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// pens are the slimmest and the boldest that printers ask for.
func pens() []Pen {
	p := printer.Unnamed()
	spread := p
	spread.FirstLayerSpread = 0.4
	return []Pen{TopPen(p), BedPen(p), BedPen(spread)}
}

// within is the distance from p to the segment from a to b; beside says that it is taken from between the ends.
func within(p, a, b v2.Vec) (near float64, beside bool) {
	d, q := b.Sub(a), p.Sub(a)
	share := (q.X*d.X + q.Y*d.Y) / (d.X*d.X + d.Y*d.Y)
	return q.Sub(d.MulScalar(math.Max(0, math.Min(1, share)))).Length(), share >= 0 && share <= 1
}

// off is that distance alone.
func off(p, a, b v2.Vec) float64 {
	near, _ := within(p, a, b)
	return near
}

// inside counts how often a ray from p crosses a glyph's outlines.
func inside(g Glyph, p v2.Vec) bool {
	in := false
	for _, c := range g {
		for i, a := range c {
			b := c[(i+1)%len(c)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

// TestOutlinesHoldTheirStrokes compares the outlines with the strokes themselves: what lies within half a width of a centre line is
// cut out, and nothing farther from it than the corner of a square.
func TestOutlinesHoldTheirStrokes(t *testing.T) {
	signs, err := lettering()
	require.NoError(t, err)
	names := slices.Sorted(maps.Keys(signs))
	cut, left := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		pen := rapid.SampledFrom(pens()).Draw(rt, "pen")
		sign := rapid.SampledFrom(names).Draw(rt, "sign")
		half, step := pen.StrokeMM/2, pen.step()
		g := signs[sign].outlines(step, half)
		for range 20 {
			p := v2.Vec{X: rapid.Float64Range(-1, 6).Draw(rt, "x") * step, Y: rapid.Float64Range(-3, 6).Draw(rt, "y") * step}
			near, on := math.Inf(1), false
			for _, s := range signs[sign] {
				for i := 1; i < len(s); i++ {
					d, beside := within(p, s[i-1].MulScalar(step), s[i].MulScalar(step))
					near, on = math.Min(near, d), on || beside && d < half-sameMM
				}
			}
			switch {
			case on:
				cut++
				require.True(rt, inside(g, p), "%q keeps %v, %.3f mm off a stroke of %.3f", sign, p, near, pen.StrokeMM)
			case near > 1.42*half:
				left++
				require.False(rt, inside(g, p), "%q loses %v, %.3f mm off a stroke of %.3f", sign, p, near, pen.StrokeMM)
			}
		}
	})
	assert.Positive(t, cut)
	assert.Positive(t, left)
}

// TestIslets counts what tells signs apart when they are printed: the islets, each at least as wide as the pen promises.
func TestIslets(t *testing.T) {
	counts := map[rune]int{'#': 1, '°': 1}
	for islets, signs := range map[int]string{
		0: "1234 57 CEFGHIJKLMNSTUVWXYZ cfhijklmnrstuvwxyzüÜ .,:;-_/\\|+±=×()[]<>!?'\"&%*",
		1: "069 ADOPQR abdegopq äöÄÖ",
		2: "8B",
	} {
		for _, sign := range strings.ReplaceAll(signs, " ", "") {
			counts[sign] = islets
		}
	}
	signs, err := lettering()
	require.NoError(t, err)
	for _, pen := range pens() {
		for sign, drawn := range signs {
			g := drawn.outlines(pen.step(), pen.StrokeMM/2)
			islets := 0
			for _, c := range g {
				if c.Area() < 0 {
					islets++
					assert.GreaterOrEqual(t, c.width(), 0.85*pen.GapMM, "%q", sign)
				}
				keepApart(t, sign, c, g)
				for _, p := range c { // no tip stands out
					near := math.Inf(1)
					for _, stroke := range drawn {
						for i := 1; i < len(stroke); i++ {
							near = math.Min(near, off(p, stroke[i-1].MulScalar(pen.step()), stroke[i].MulScalar(pen.step())))
						}
					}
					assert.LessOrEqual(t, near, 0.73*pen.StrokeMM, "%q", sign)
				}
			}
			if wanted, ok := counts[sign]; ok {
				assert.Equal(t, wanted, islets, "%q", sign)
			} else {
				assert.Zero(t, islets, "%q", sign)
			}
		}
	}
}

// keepApart proves that an outline touches neither itself nor another of its sign.
func keepApart(t *testing.T, sign rune, c Contour, g Glyph) {
	t.Helper()
	for i, a := range c {
		b := c[(i+1)%len(c)]
		require.Greater(t, b.Sub(a).Length(), 0.01, "%q has a side of no length", sign)
		for _, other := range g {
			for j, p := range other {
				q := other[(j+1)%len(other)]
				if p == a || p == b || q == a {
					continue
				}
				require.Greater(t, off(p, a, b), 0.02, "%q touches itself at %v", sign, p)
			}
		}
	}
}

// TestEveryNameCanBeEngraved: whatever a thread is called, and whatever its class, has its signs.
func TestEveryNameCanBeEngraved(t *testing.T) {
	n := 0
	for _, th := range thread.BuiltIn().All() {
		_, err := letters(th.Designation+" "+th.WithClass("6g")+" "+th.WithClass(plusMinus+"0.1mm"), TopPen(printer.Unnamed()))
		assert.NoError(t, err)
		n++
	}
	assert.Greater(t, n, 1000)
	for _, r := range "漢ß@Ø\u0301" {
		_, err := letters(string(r), TopPen(printer.Unnamed()))
		assert.ErrorContains(t, err, "no letter is drawn")
	}
}

// TestPens: strokes and gaps are as wide as the printer's line asks, the first layer's spread taken off.
func TestPens(t *testing.T) {
	p := printer.Unnamed()
	for _, nozzle := range []float64{0.05, 0.25, 0.4, 0.6, 0.8} {
		for _, spread := range []float64{0, 0.15, 0.4} {
			p.Nozzle, p.FirstLayerSpread = unit.MM(nozzle), unit.MM(spread)
			top, bed := TopPen(p), BedPen(p)
			assert.GreaterOrEqual(t, top.StrokeMM, 1.2*nozzle)
			assert.GreaterOrEqual(t, bed.StrokeMM, 2*nozzle+2*spread-sameMM)
			for _, pen := range []Pen{top, bed} {
				assert.GreaterOrEqual(t, pen.GapMM, 1.75*nozzle)
				assert.GreaterOrEqual(t, pen.CapMM(), 3-sameMM)
				ls, err := letters("E", pen)
				require.NoError(t, err)
				low, high := math.Inf(1), math.Inf(-1)
				for _, q := range slices.Concat(ls[0].glyph...) {
					low, high = math.Min(low, q.Y), math.Max(high, q.Y)
				}
				assert.InDelta(t, 0, low, sameMM)
				assert.InDelta(t, pen.CapMM(), high, sameMM)
			}
		}
	}
}

// TestRowsKeepApart: texts do not run into one another, and few fit nearer to the axis than many.
func TestRowsKeepApart(t *testing.T) {
	pen := BedPen(printer.Unnamed())
	for _, texts := range [][]string{{Engraved}, {Engraved, "IN M12x1.5", "OUT M20x2"}, {strings.Repeat("M", 20), "x"}} {
		e, reach, err := engrave(pen, 8, texts...)
		require.NoError(t, err)
		for i, g := range e.Glyphs {
			for _, h := range e.Glyphs[:i] {
				for _, p := range slices.Concat(g...) {
					assert.Less(t, p.Length(), reach+0.3)
					assert.GreaterOrEqual(t, p.Length(), 8-sameMM)
					for _, c := range h {
						for k := range c {
							assert.Greater(t, off(p, c[k], c[(k+1)%len(c)]), 0.7*pen.GapMM)
						}
					}
				}
			}
		}
	}
}
