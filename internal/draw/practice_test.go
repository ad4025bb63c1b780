package draw

// This file holds drawings to the practice of the trade: hatching, arrows, leaders, the marks of modelled sizes.

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
)

// area is that of a closed outline.
func area(outline []at) float64 {
	sum := 0.0
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return math.Abs(sum) / 2
}

// TestEveryCutFaceIsHatched: hatch lines as long as face and distance ask for, along no edge that is long enough to be seen.
func TestEveryCutFaceIsHatched(t *testing.T) {
	cones := 0
	for _, sm := range samples {
		s, err := newView(sm.plan(t), A4)
		require.NoError(t, err)
		angles := map[float64]bool{}
		var lines [][]at
		for _, m := range s.marks {
			if m.class == "hatch" {
				lines = append(lines, m.runs...)
			}
		}
		for _, face := range s.halves {
			drawn := 0.0
			for _, l := range lines {
				if inside(face, at{(l[0].X + l[1].X) / 2, (l[0].Y + l[1].Y) / 2}) {
					drawn += math.Hypot(l[1].X-l[0].X, l[1].Y-l[0].Y)
					angles[math.Round(math.Atan2(l[0].Y-l[1].Y, l[1].X-l[0].X)*180/math.Pi)] = true
				}
			}
			assert.InEpsilon(t, area(face), drawn*hatchMM, 0.15, sm.name)
			for i, p := range face {
				q := face[(i+1)%len(face)]
				long := math.Hypot(q.X-p.X, q.Y-p.Y)
				if long < 1 {
					continue
				}
				edge := math.Abs(math.Atan2(math.Abs(q.Y-p.Y), math.Abs(q.X-p.X)) * 180 / math.Pi)
				for a := range angles {
					least := 8.0
					if long > 6 {
						least = 18
					}
					assert.Greater(t, math.Abs(edge-math.Abs(a)), least, "%s: an edge at %.1f degrees, hatched at %v", sm.name, edge, a)
				}
				if math.Abs(edge-45) < 1e-6 {
					cones++
				}
			}
		}
		assert.Len(t, angles, 1, "%s: one part, one hatching", sm.name)
	}
	assert.Greater(t, cones, 10, "edges at 45 degrees, along which lines at 45 degrees would be lost")
}

// nearest is how far a point is from the nearest line of marks of a class.
func nearest(marks []mark, p at, classes ...string) float64 {
	least := math.Inf(1)
	for _, m := range marks {
		for _, c := range classes {
			if m.class != c {
				continue
			}
			for _, line := range m.strokes() {
				for k := 1; k < len(line); k++ {
					a, b := line[k-1], line[k]
					dx, dy := b.X-a.X, b.Y-a.Y
					f := math.Max(0, math.Min(1, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/math.Max(dx*dx+dy*dy, 1e-12)))
					least = math.Min(least, math.Hypot(p.X-a.X-f*dx, p.Y-a.Y-f*dy))
				}
			}
		}
	}
	return least
}

// TestArrowsEndWhereTheirWordsSay: leaders touch an outline, or end in a face; the arrows of a dimension stand as far apart as its
// words say; nothing covers them, and their ground is light (4.5 : 1 at least, WCAG 2.2).
func TestArrowsEndWhereTheirWordsSay(t *testing.T) {
	leaders, dimensions := 0, 0
	for _, sm := range samples {
		p := sm.plan(t)
		s, err := newView(p, A4)
		require.NoError(t, err)
		for i, m := range s.marks {
			if m.class == "arrow" || m.class == "dot" {
				tip := m.runs[0][0]
				ground := white
				for k, other := range s.marks {
					if k == i || other.fill == "" || other.radius > 0 || other.class == "arrow" {
						continue
					}
					if inside(other.runs[0], tip) {
						require.Less(t, k, i, "%s: %s covers the tip at %v", sm.name, other.class, tip)
						ground = other.fill
					}
				}
				assert.GreaterOrEqual(t, (luminance(t, ground[1:])+0.05)/0.05, 4.5, sm.name)
			}
			switch m.class {
			case "leader":
				leaders++
				tip := m.runs[0][len(m.runs[0])-1]
				if end := s.marks[i+1]; end.class == "arrow" {
					assert.Equal(t, tip, end.runs[0][0], sm.name)
					assert.Less(t, nearest(s.marks, tip, "cut left", "cut right", "gauge plane"), 0.1, "%s: %v touches nothing", sm.name, tip)
				} else {
					assert.True(t, inside(s.halves[0], tip) || inside(s.halves[1], tip), "%s: %v is in no cut face", sm.name, tip)
				}
				for k := 1; k < len(m.runs[0]) && p.Inner.Modelled.Minor.MM()*s.scale.factor > 4; k++ { // else no leader goes into the bore
					a, b := m.runs[0][k-1], m.runs[0][k]
					short := 1 - 0.3/math.Hypot(b.X-a.X, b.Y-a.Y)
					b = at{a.X + (b.X-a.X)*short, a.Y + (b.Y-a.Y)*short}
					for _, face := range s.halves {
						if inside(face, tip) && s.marks[i+1].class != "arrow" {
							continue // it ends in it
						}
						for j := range face {
							assert.False(t, segmentsCross(a, b, face[j], face[(j+1)%len(face)]), "%s: a leader from %v to %v crosses the part", sm.name, a, tip)
						}
					}
				}
				if end := s.marks[i+1]; end.class == "dot" { // the wall: it is as thick there as its note says
					thick := 0.0
					for _, l := range s.labels {
						if rest, ok := strings.CutPrefix(l.text, "Wall "); ok {
							_, err := fmt.Sscanf(rest, "%f", &thick)
							require.NoError(t, err)
						}
					}
					z := (s.bottom - tip.Y) / s.scale.factor
					_, out := p.Shape.Outer.Ends(z)
					in, bore := p.Shape.Inner.Ends(z)
					if p.Layout == ring.Stacked {
						in = bore
					}
					assert.InDelta(t, out-in, thick, 0.02, "%s: the wall where the leader ends", sm.name)
				}
			case "dimension":
				a, b := s.marks[i+1].runs[0][0], s.marks[i+2].runs[0][0]
				var said float64
				least := math.Inf(1)
				for _, l := range s.labels {
					mid := at{(l.box.X0 + l.box.X1) / 2, (l.box.Y0 + l.box.Y1) / 2}
					var d float64
					if _, err := fmt.Sscanf(strings.TrimPrefix(l.text, "⌀"), "%f", &d); err != nil || strings.ContainsAny(l.text, "[ ") {
						continue
					}
					if off := nearest([]mark{m}, mid, "dimension"); off < least {
						least, said = off, d
					}
				}
				assert.InDelta(t, said, math.Hypot(b.X-a.X, b.Y-a.Y)/s.scale.factor, 0.0051, sm.name)
				dimensions++
			}
		}
	}
	assert.Greater(t, leaders, 3*len(samples))
	assert.Greater(t, dimensions, 5*len(samples))
}

// TestDetailsAreTied: each detail has its letter at itself and at a circle about its thread.
func TestDetailsAreTied(t *testing.T) {
	tied := 0
	for _, sm := range samples {
		p := sm.plan(t)
		s, err := newView(p, A4)
		require.NoError(t, err)
		letters := map[string][]box{}
		for _, l := range s.labels {
			if l.text == "A" || l.text == "B" {
				letters[l.text] = append(letters[l.text], l.box)
			}
		}
		var circles []mark
		for _, m := range s.marks {
			if m.class == "detail" {
				circles = append(circles, m)
			}
		}
		if s.newDetail().factor == 0 {
			assert.Empty(t, circles)
			continue
		}
		tied++
		require.Len(t, circles, 2, sm.name)
		for i, c := range circles {
			side, wall := p.Inner, p.Shape.Inner
			if i == 1 {
				side, wall = p.Outer, p.Shape.Outer
			}
			mid := (side.FullMM[0] + side.FullMM[1]) / 2
			centre := c.runs[0][0]
			assert.InDelta(t, s.y(mid), centre.Y, 1e-6, sm.name)
			assert.InDelta(t, wall.MajorRadius(mid)+wall.MinorRadius(mid), 2*math.Abs(centre.X-s.cx)/s.scale.factor, 1e-6, sm.name)
			two := letters[string(rune('A'+i))]
			require.Len(t, two, 2, sm.name)
			near := math.Hypot((two[1].X0+two[1].X1)/2-centre.X, (two[1].Y0+two[1].Y1)/2-centre.Y)
			assert.Less(t, near, c.radius+16, "%s: the letter stands by its circle", sm.name)
		}
	}
	assert.Greater(t, tied, 15)
}

// TestSheetsAreMarkedAndNumbered: sizes that are not the standard's are marked, the number follows the content.
func TestSheetsAreMarkedAndNumbered(t *testing.T) {
	numbers := map[string]string{}
	for _, sm := range samples {
		p := sm.plan(t)
		all := strings.Join(readDrawing(t, sectionBytes(t, p)).texts, "\n")
		for _, side := range []ring.Side{p.Inner, p.Outer} {
			mark := " MOD"
			if side.Thread.Standard == "" {
				mark = " SPECIAL"
			}
			assert.Contains(t, strings.ReplaceAll(all, "\n", " "), side.Thread.Designation+mark)
		}
		if p.Inner.Thread.Taper+p.Outer.Thread.Taper == 0 {
			assert.Contains(t, all, "caliper on the print")
		}
		_, rest, found := strings.Cut(all, "No. ")
		require.True(t, found)
		number := rest[:9]
		assert.Empty(t, numbers[number], "%s has the number of %s", sm.name, numbers[number])
		numbers[number] = sm.name
		assert.Contains(t, all, "sheet 1 of 1")
	}
	number := func(outer string) string {
		texts := readDrawing(t, sectionBytes(t, sample{inner: "M8x1", outer: outer, change: grip(ring.NoGrip)}.plan(t))).texts
		return texts[slices.IndexFunc(texts, func(s string) bool { return strings.HasPrefix(s, "No. ") })]
	}
	assert.NotEqual(t, number("M16x1.5"), number("M16x1.5-6g"), "words are content too")
	assert.Equal(t, number("M16x1.5"), number("M16x1.5"))
	p := samples[0].plan(t)
	p.Inner.Modelled, p.Outer.Modelled = p.Inner.Nominal, p.Outer.Nominal
	assert.NotContains(t, strings.Join(readDrawing(t, sectionBytes(t, p)).texts, " "), "MOD")
}
