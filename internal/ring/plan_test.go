package ring

import (
	"math"
	"slices"
	"testing"

	v2 "github.com/deadsy/sdfx/vec/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/fault"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// sameMM is rounding on lengths of some 100 mm.
const sameMM = 1e-9

func parse(t require.TestingT, text string) thread.Thread {
	th, err := thread.BuiltIn().Parse(text)
	require.NoError(t, err)
	return th
}

func TestDiametersComeInThreeKinds(t *testing.T) {
	s := DefaultSpec(parse(t, "M42x1.5"), parse(t, "M48x2"))
	s.InnerClearance, s.OuterClearance = 0.2, 0.4
	s.Printer = exact()
	s.Printer.InsideTakes, s.Printer.OutsideAdds = 0.15, 0.05
	p, err := New(s)
	require.NoError(t, err)
	// ISO 724:1993: M42x1.5 has pitch diameter 41.026, M48x2 46.701.
	assert.InDelta(t, 41.026, p.Inner.Nominal.Pitch.MM(), 0.0005)
	assert.InDelta(t, 41.026+0.2, p.Inner.Wanted.Pitch.MM(), 0.0005)
	assert.InDelta(t, 41.026+0.2+0.15, p.Inner.Modelled.Pitch.MM(), 0.0005)
	assert.InDelta(t, 46.701-0.4, p.Outer.Wanted.Pitch.MM(), 0.0005)
	assert.InDelta(t, 46.701-0.4-0.05, p.Outer.Modelled.Pitch.MM(), 0.0005)
	assert.Equal(t, Nested, p.Layout)
}

func TestLayouts(t *testing.T) {
	for _, c := range []struct {
		name, inner, outer string
		asked              Layout
		want               Layout
		err                error
	}{
		{"room for a wall", "M42x1.5", "M48x2", Auto, Nested, nil},
		{"thin wall", "M42x1.5", "M45x1.5", Auto, Stacked, nil},
		{"thin wall, as asked", "M42x1.5", "M45x1.5", Nested, Nested, nil},
		{"no wall", "M42x1.5", "M43x1", Auto, Stacked, nil},
		{"no wall, nested asked", "M42x1.5", "M43x1", Nested, "", ErrNoWall},
		{"inside larger", "M48x2", "M42x1.5", Auto, Stacked, nil},
		{"inside larger, nested asked", "M48x2", "M42x1.5", Nested, "", ErrNoWall},
		{"stacked by choice", "M20x1.5", "M48x2", Stacked, Stacked, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := DefaultSpec(parse(t, c.inner), parse(t, c.outer))
			s.Layout = c.asked
			p, err := New(s)
			if c.err != nil {
				require.ErrorIs(t, err, c.err)
				assert.Contains(t, err.Error(), "mm of wall")
				return
			}
			require.NoError(t, err)
			assert.Equal(t, c.want, p.Layout, p.LayoutWhy)
		})
	}
}

// A ring is nested as long as the printer's least wall is left, and not a hair thinner.
func TestAutoHoldsThePrintersWall(t *testing.T) {
	nested, err := New(DefaultSpec(parse(t, "M42x1.5"), parse(t, "M48x2")))
	require.NoError(t, err)
	for _, c := range []struct {
		off  unit.Length
		want Layout
	}{{-0.001, Nested}, {+0.001, Stacked}} {
		s := DefaultSpec(parse(t, "M42x1.5"), parse(t, "M48x2"))
		s.Printer.MinWall = nested.Wall + c.off
		p, err := New(s)
		require.NoError(t, err)
		assert.Equal(t, c.want, p.Layout, "a wall of %s where %s is needed", nested.Wall.TextMM(), s.Printer.MinWall.TextMM())
	}
}

func TestRefusals(t *testing.T) {
	for name, c := range map[string]struct {
		inner, outer string
		change       func(*Spec)
		says         string
	}{
		"too low":             {"M42x1.5", "M48x2", func(s *Spec) { s.Height = 4 }, "too low"},
		"too high":            {"M42x1.5", "M48x2", func(s *Spec) { s.Height = 300 }, "between 0 and 250"},
		"height not a number": {"M42x1.5", "M48x2", func(s *Spec) { s.Height = unit.Length(math.NaN()) }, "height"},
		"clearance in inches": {"M42x1.5", "M48x2", func(s *Spec) { s.InnerClearance = 25.4 }, "inner clearance"},
		"unknown grip":        {"M42x1.5", "M48x2", func(s *Spec) { s.Grip = "knurl" }, "none, scallop or flats"},
		"letters not there":   {"M42x1.5", "M48x2", func(s *Spec) { s.Label = "漢" }, "no letter"},
		"two lines":           {"M42x1.5", "M48x2", func(s *Spec) { s.Label = "A\nB" }, "one line"},
		"a bore that closes":  {"1/16-27 NPT", "M60x2", func(s *Spec) { s.Height = 120 }, "narrow the bore"},
		"too small":           {"M1.6", "M20", func(s *Spec) { s.Printer.InsideTakes = -1 }, "too narrow"},
		"too wide":            {"M42x1.5", "240mm x 6mm", nil, "at most 250 mm"},
	} {
		t.Run(name, func(t *testing.T) {
			s := DefaultSpec(parse(t, c.inner), parse(t, c.outer))
			if c.change != nil {
				c.change(&s)
			}
			_, err := New(s)
			require.ErrorContains(t, err, c.says)
		})
	}
}

// TestRefusalsNameTheirField: whoever shows a fault beside its field needs no prose for it.
func TestRefusalsNameTheirField(t *testing.T) {
	for _, c := range []struct {
		field, inner, outer string
		change              func(*Spec)
	}{
		{"height", "M42x1.5", "M48x2", func(s *Spec) { s.Height = 4 }},
		{"height", "1/16-27 NPT", "M60x2", func(s *Spec) { s.Height = 120 }},
		{"label", "M42x1.5", "M48x2", func(s *Spec) { s.Label = "漢" }},
		{"layout", "M42x1.5", "M43x1", func(s *Spec) { s.Layout = Nested }},
		{"inner", "M1.6", "M20", func(s *Spec) { s.Printer.InsideTakes = -1 }},
		{"", "M42x1.5", "240mm x 6mm", func(*Spec) {}},
	} {
		s := DefaultSpec(parse(t, c.inner), parse(t, c.outer))
		c.change(&s)
		_, err := New(s)
		require.Error(t, err)
		assert.Equal(t, c.field, fault.Each(err)[0].Field, "%v", err)
	}
}

// TestClearanceOnlyEverLoosens: more clearance never makes the inner thread smaller or the outer one larger anywhere.
func TestClearanceOnlyEverLoosens(t *testing.T) {
	compared := 0
	rapid.Check(t, func(rt *rapid.T) {
		s := DefaultSpec(parse(rt, "G 1"), parse(rt, "1 7/8-12 UN"))
		s.Height = 25
		s.InnerClearance = unit.MM(rapid.Float64Range(0, 0.3).Draw(rt, "inner"))
		s.OuterClearance = unit.MM(rapid.Float64Range(0, 0.3).Draw(rt, "outer"))
		a, err := New(s)
		require.NoError(rt, err)
		s.InnerClearance += 0.1
		s.OuterClearance += 0.1
		b, err := New(s)
		require.NoError(rt, err)
		theta, z := rapid.Float64Range(0, 6).Draw(rt, "theta"), rapid.Float64Range(6, 20).Draw(rt, "z")
		assert.GreaterOrEqual(rt, b.Shape.Inner.Radius(theta, z), a.Shape.Inner.Radius(theta, z)-sameMM)
		assert.LessOrEqual(rt, b.Shape.Outer.Radius(theta, z), a.Shape.Outer.Radius(theta, z)+sameMM)
		compared++
	})
	require.Positive(t, compared)
}

func TestTheLettersKeepTheirPlace(t *testing.T) {
	for _, c := range []struct{ inner, outer string }{{"M6", "M12"}, {"M42x1.5", "M48x2"}, {"G 3", "G 4"}, {"M48x2", "M42x1.5"}} {
		for _, grip := range []Grip{Scallop, Flats} {
			s := DefaultSpec(parse(t, c.inner), parse(t, c.outer))
			s.Grip = grip
			p, err := New(s)
			require.NoError(t, err)
			f := p.Shape.Flange
			wall, _ := p.Shape.Outer.Ends(f.ThicknessMM)
			rim := math.Inf(1)
			for i, a := range f.Outline {
				b := f.Outline[(i+1)%len(f.Outline)]
				mid := a.Add(b).MulScalar(0.5)
				rim = math.Min(rim, math.Hypot(mid.X, mid.Y))
			}
			bore, _ := p.Shape.Inner.Ends(0)
			for _, face := range []struct {
				Engraving
				hole float64
			}{{f.Top, wall}, {f.Bed, bore}} {
				for _, g := range face.Glyphs {
					for _, q := range slices.Concat(g...) {
						assert.Greater(t, q.Length(), face.hole+0.3, "a letter reaches into the thread")
						assert.Less(t, q.Length(), rim-0.3, "a letter reaches over the rim")
					}
				}
				assert.GreaterOrEqual(t, len(face.Glyphs), len("TESTFITONLY"))
			}
		}
	}
}

// TestTheBedReadsFromBelow: its letters follow one another clockwise for somebody who looks at the bed's face, as those on top do for
// somebody who looks down; and all outlines keep their sense.
func TestTheBedReadsFromBelow(t *testing.T) {
	p, err := New(DefaultSpec(parse(t, "M42x1.5"), parse(t, "M48x2")))
	require.NoError(t, err)
	f := p.Shape.Flange
	for _, face := range []struct {
		Engraving
		sense float64
	}{{f.Top, -1}, {f.Bed, +1}} {
		var before v2.Vec
		for i, g := range face.Glyphs[:8] {
			var middle v2.Vec
			largest := 0.0
			for _, c := range g {
				if math.Abs(c.Area()) > math.Abs(largest) {
					largest = c.Area()
				}
			}
			for _, q := range slices.Concat(g...) {
				middle = middle.Add(q)
			}
			assert.Positive(t, largest)
			if i > 0 {
				assert.Positive(t, face.sense*(before.X*middle.Y-before.Y*middle.X), "letter %d", i)
			}
			before = middle
		}
	}
	assert.Empty(t, f.Bed.Missing)
	assert.Len(t, f.Bed.Glyphs, len("TESTFITONLYINM42x1.5OUTM48x2"))
}
