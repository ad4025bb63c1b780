package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/check"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func sectionBytes(t testing.TB, p ring.Plan) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Section(&b, p, A4))
	return b.Bytes()
}

func TestLabelsKeepApart(t *testing.T) {
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			p := sm.plan(t)
			keep(t, sm.name+".svg", sectionBytes(t, p))
			for _, paper := range []Paper{A4, Letter} {
				assert.Empty(t, clashes(t, p, paper), paper.Name)
			}
		})
	}
}

// anySpec is a ring between random threads of 6 to 120 mm.
func anySpec(t *rapid.T) ring.Spec {
	outer := math.Round(rapid.Float64Range(6, 120).Draw(t, "outer")*10) / 10
	inner := math.Round(outer*rapid.Float64Range(0.5, 1.1).Draw(t, "share")*10) / 10
	pitch := rapid.SampledFrom([]float64{0.5, 0.75, 1, 1.5, 2, 3, 4, 6})
	tail := rapid.SampledFrom([]string{"", " LH", " 2start", " 4start LH", " 55deg"})
	write := func(d float64, name string) string {
		p := math.Min(pitch.Draw(t, name+" pitch"), math.Max(0.5, d/6))
		return fmt.Sprintf("%vmm x %.2fmm%s", d, p, tail.Draw(t, name+" tail"))
	}
	in, err := thread.BuiltIn().Parse(write(inner, "inner"))
	require.NoError(t, err)
	out, err := thread.BuiltIn().Parse(write(outer, "outer"))
	require.NoError(t, err)
	s := ring.DefaultSpec(in, out)
	s.Grip = rapid.SampledFrom([]ring.Grip{ring.NoGrip, ring.Scallop, ring.Flats}).Draw(t, "grip")
	s.Layout = rapid.SampledFrom([]ring.Layout{ring.Auto, ring.Stacked}).Draw(t, "layout")
	if rapid.Bool().Draw(t, "asked height") {
		s.Height = unit.MM(rapid.Float64Range(5, 250).Draw(t, "height"))
	}
	return s
}

// TestLabelsKeepApartOnAnyRing draws rings between random threads of 6 to 120 mm.
func TestLabelsKeepApartOnAnyRing(t *testing.T) {
	drawn := map[ring.Layout]int{}
	rapid.Check(t, func(t *rapid.T) {
		p, err := ring.New(anySpec(t))
		if err != nil {
			return // a ring that cannot be; counted below
		}
		drawn[p.Layout]++
		if found := clashes(t, p, rapid.SampledFrom([]Paper{A4, Letter}).Draw(t, "paper")); len(found) > 0 {
			t.Fatalf("%s, %s: %s", p.Designations(), p.Layout, strings.Join(found, "; "))
		}
	})
	assert.Positive(t, drawn[ring.Nested], "nested rings drawn")
	assert.Positive(t, drawn[ring.Stacked], "stacked rings drawn")
}

// clashes lists the labels that overlap, leave the frame, stand in the part or are crossed by a line.
func clashes(t require.TestingT, p ring.Plan, paper Paper) []string {
	s, err := newSection(p, paper)
	require.NoError(t, err)
	require.Greater(t, len(s.labels), 20)
	strokes := s.strokes()
	require.Greater(t, len(strokes), 20)
	require.Len(t, s.halves, 2)
	var found []string
	for i, a := range s.labels {
		if !a.box.within(s.frame) {
			found = append(found, fmt.Sprintf("label %q leaves the frame: %v", a.text, a.box))
		}
		for _, b := range s.labels[:i] {
			if a.box.overlaps(b.box) {
				found = append(found, fmt.Sprintf("labels %q and %q overlap: %v, %v", a.text, b.text, a.box, b.box))
			}
		}
		for _, line := range strokes {
			for k := 1; k < len(line); k++ {
				if a.box.crossedBy(line[k-1], line[k]) {
					found = append(found, fmt.Sprintf("label %q %v is crossed by the line from %v to %v", a.text, a.box, line[k-1], line[k]))
				}
			}
		}
		for _, face := range s.halves {
			if inside(face, at{(a.box.X0 + a.box.X1) / 2, (a.box.Y0 + a.box.Y1) / 2}) {
				found = append(found, fmt.Sprintf("label %q stands inside the part", a.text))
			}
		}
	}
	return found
}

// within tells whether b lies in another box.
func (b box) within(c box) bool { return b.X0 >= c.X0 && b.X1 <= c.X1 && b.Y0 >= c.Y0 && b.Y1 <= c.Y1 }

func TestBoxes(t *testing.T) {
	b := box{0, 0, 10, 5}
	assert.True(t, b.overlaps(box{9, 4, 12, 9}))
	assert.False(t, b.overlaps(box{10, 0, 12, 5}), "sharing an edge is no overlap")
	assert.True(t, b.crossedBy(at{-1, 1}, at{11, 4}))
	assert.True(t, b.crossedBy(at{4, 2}, at{5, 2}), "a line within the box")
	assert.False(t, b.crossedBy(at{-1, 4}, at{2, 9}), "past a corner")
	assert.False(t, b.crossedBy(at{0, 5}, at{10, 5}), "along the edge")
	assert.True(t, inside([]at{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, at{1, 1}))
	assert.False(t, inside([]at{{0, 0}, {4, 0}, {4, 4}, {0, 4}}, at{5, 1}))
}

// drawing is what an independent reader finds in the file.
type drawing struct {
	paths map[string][][]at
	texts []string
	sizes []float64
}

func readDrawing(t testing.TB, svg []byte) drawing {
	t.Helper()
	d := drawing{paths: map[string][][]at{}}
	dec := xml.NewDecoder(bytes.NewReader(svg))
	dec.Strict = true
	text := false
	for {
		tok, err := dec.Token()
		if err == io.EOF {
			return d
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			attr := map[string]string{}
			for _, a := range e.Attr {
				attr[a.Name.Local] = a.Value
			}
			text = e.Name.Local == "text"
			if text {
				size, err := strconv.ParseFloat(attr["font-size"], 64)
				require.NoError(t, err)
				d.sizes = append(d.sizes, size)
				d.texts = append(d.texts, "")
			}
			if e.Name.Local == "path" {
				d.paths[attr["class"]] = append(d.paths[attr["class"]], readPath(t, attr["d"]))
			}
		case xml.CharData:
			if text {
				d.texts[len(d.texts)-1] += string(e)
			}
		case xml.EndElement:
			text = false
		}
	}
}

func readPath(t testing.TB, d string) []at {
	t.Helper()
	var points []at
	for _, pair := range strings.FieldsFunc(d, func(r rune) bool { return strings.ContainsRune("MLZ", r) }) {
		xy := strings.Fields(pair)
		require.Len(t, xy, 2)
		x, err := strconv.ParseFloat(xy[0], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(xy[1], 64)
		require.NoError(t, err)
		points = append(points, at{x, y})
	}
	return points
}

// TestToScale reads the outlines back and compares the diameters on paper with those of the plan.
func TestToScale(t *testing.T) {
	const toleranceMM = 0.02 // on the part; the file rounds to 0.001 mm of the sheet
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			p := sm.plan(t)
			d := readDrawing(t, sectionBytes(t, p))
			factor := scaleOf(t, d.texts)
			require.Len(t, d.paths["axis"], 1)
			cx := d.paths["axis"][0][0].X
			require.Len(t, d.paths["cut right"], 1)
			require.Len(t, d.paths["cut left"], 1)
			right, left := d.paths["cut right"][0], d.paths["cut left"][0]
			bottom, top := math.Inf(-1), math.Inf(1)
			for _, q := range append(append([]at{}, right...), left...) {
				bottom, top = math.Max(bottom, q.Y), math.Min(top, q.Y)
			}
			assert.InDelta(t, p.Height.MM(), (bottom-top)/factor, toleranceMM, "height")

			for _, side := range []struct {
				name  string
				side  ring.Side
				wall  ring.Surface
				outer bool
			}{{"inner", p.Inner, p.Shape.Inner, false}, {"outer", p.Outer, p.Shape.Outer, true}} {
				for k, half := range [][]at{right, left} {
					most, least, count := 0.0, math.Inf(1), 0
					for _, q := range half {
						z, r := (bottom-q.Y)/factor, math.Abs(q.X-cx)/factor
						if z < side.side.FullMM[0]-sameMM || z > side.side.FullMM[1]+sameMM {
							continue
						}
						r -= side.wall.Profile.Slope * (z - side.wall.RefMM)
						if r > side.wall.Profile.MajorMM/2+0.05 || r < side.wall.Profile.MinorMM/2-0.05 {
							continue // the other wall
						}
						most, least, count = math.Max(most, r), math.Min(least, r), count+1
					}
					require.Greater(t, count, 4, "%s thread, half %d", side.name, k)
					assert.InDelta(t, side.wall.Profile.MajorMM, 2*most, toleranceMM, "%s major, half %d", side.name, k)
					assert.InDelta(t, side.wall.Profile.MinorMM, 2*least, toleranceMM, "%s minor, half %d", side.name, k)
				}
			}
		})
	}
}

// scaleOf finds the stated scale.
func scaleOf(t testing.TB, texts []string) float64 { return scaleAfter(t, texts, "scale ") }

// scaleAfter finds the scale that follows some words.
func scaleAfter(t testing.TB, texts []string, words string) float64 {
	t.Helper()
	for _, x := range texts {
		var a, b float64
		if rest, ok := strings.CutPrefix(x, words); ok {
			parts := strings.Split(rest, " : ")
			require.Len(t, parts, 2)
			var err error
			a, err = strconv.ParseFloat(parts[0], 64)
			require.NoError(t, err)
			b, err = strconv.ParseFloat(parts[1], 64)
			require.NoError(t, err)
			return a / b
		}
	}
	t.Fatal("the drawing states no scale")
	return 0
}

func TestSheetSaysAll(t *testing.T) {
	for _, sm := range samples {
		t.Run(sm.name, func(t *testing.T) {
			p := sm.plan(t)
			svg := sectionBytes(t, p)
			assert.Equal(t, svg, sectionBytes(t, p), "the same plan must give the same bytes")
			d := readDrawing(t, svg)
			all := strings.Join(d.texts, " ")
			for _, want := range []string{
				p.Inner.Thread.Designation, p.Outer.Thread.Designation, check.Caution, mmText(p.Height), inchText(p.Height),
				"internal, ", "external, ", mmText(p.Inner.Modelled.Minor), mmText(p.Outer.Modelled.Major), both(p.Wall),
			} {
				assert.Contains(t, all, want)
			}
			for _, size := range d.sizes {
				assert.GreaterOrEqual(t, size*capHeight, 2.5, "capitals must be at least 2.5 mm high")
			}
			assert.Contains(t, string(svg), `width="297mm" height="210mm" viewBox="0 0 297 210"`)
		})
	}
}

func TestSectionRefusesEmptyPlan(t *testing.T) {
	err := Section(io.Discard, ring.Plan{}, A4)
	assert.ErrorContains(t, err, "ring.New")
}
