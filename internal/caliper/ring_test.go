package caliper_test

// This file measures rings as the plan and the helix mesher make them.

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func realRing(t testing.TB, inner, outer string, change func(*ring.Spec), chord float64) (ring.Plan, *mesh.Mesh) {
	t.Helper()
	in, err := thread.BuiltIn().Parse(inner)
	require.NoError(t, err)
	out, err := thread.BuiltIn().Parse(outer)
	require.NoError(t, err)
	spec := ring.DefaultSpec(in, out)
	if change != nil {
		change(&spec)
	}
	p, err := ring.New(spec)
	require.NoError(t, err)
	m, err := mesh.Helix{ChordMM: chord}.Mesh(p.Shape)
	require.NoError(t, err)
	return p, m
}

// short asks for a ring so many millimetres tall that stands without a grip.
func short(mm float64) func(*ring.Spec) {
	return func(s *ring.Spec) { s.Grip, s.Height = ring.NoGrip, unit.MM(mm) }
}

// wantedOf is what the plan says of a side, at the heights where it says it.
func wantedOf(s ring.Side, external bool) caliper.Wanted {
	down, up := s.Thread.Form.Facing(external)
	return caliper.Wanted{
		FlankDeg: [2]float64{down * 180 / math.Pi, up * 180 / math.Pi},
		MajorMM:  s.Modelled.Major.MM(), PitchDMM: s.Modelled.Pitch.MM(), MinorMM: s.Modelled.Minor.MM(),
		PitchMM: s.Thread.Pitch.MM(), LeadMM: s.Thread.Lead().MM(), Starts: s.Thread.Starts, Hand: s.Thread.Hand.String(),
		AngleDeg: s.Thread.Form.AngleDeg(), Taper: s.Thread.Taper,
	}
}

func TestRealRings(t *testing.T) {
	cases := []struct {
		name, inner, outer string
		change             func(*ring.Spec)
	}{
		{"nested plain", "M42x1.5", "M48x2", func(s *ring.Spec) { s.Grip = ring.NoGrip }},
		{"nested scallop", "M42x1.5", "M48x2", nil},
		{"nested flats", "M42x1.5", "M48x2", func(s *ring.Spec) { s.Grip = ring.Flats }},
		{"stacked", "M48x2", "M42x1.5", nil},
		{"stacked by choice", "M20x1.5", "M48x2", func(s *ring.Spec) { s.Layout = ring.Stacked }},
		{"whitworth", "G 1", "G 1 1/2", nil},
		// Where the crests run out on a taper is told by their width, which the layers' share of flanks moved changes.
		{"tapers", "1/2-14 NPT", "1-11.5 NPT", func(s *ring.Spec) { s.Printer.LayerShare = 0 }},
		{"left hand, many starts", "M30x2 LH 2start", "M48x3 4start", nil},
		{"small", "M4x0.7", "M8x1", nil},
		{"inch", "1 3/4-12 UN", "1 7/8-16 UN", nil},
		{"large", "M110x2", "M125x4", nil},
		{"trapezoidal in saw", "Tr 40x7", "S 60x9", nil},
		{"saw, load flank up, left hand", "30mm x 3mm 30/3deg", "50mm x 4mm 30/3deg LH", nil},
		{"7/45", "30mm x 3mm 7/45deg", "50mm x 4mm 7/45deg 2start", nil},
		{"acme and stub acme", "1-5 Acme", "2-4 Stub Acme", nil},
		{"flat", "Pg 21", "Pg 48", nil},
		{"BA", "0 BA", "16mm x 1.5mm 47.5deg", nil},
		{"round, flanks near the pitch line", "Rd 24x1/8", "Rd 44x1/6", nil},
		// Of so few turns most gaps between flanks are beside a chamfer.
		{"short, a turn of saw", "Tr 16x4", "S 32x6", short(15)},
		{"short, a turn and a half of saw", "Tr 8x1.5", "S 20x4", short(12.5)},
		{"short, a turn of saw inside", "S 20x4", "M48x2", short(11)},
		{"short, saw in saw", "S 16x4", "S 32x6", short(16)},
		{"short, 7/45, two starts", "Tr 24x5", "50mm x 6mm 7/45deg 2start", short(11.5)},
		{"short, acme", "1/2-10 Acme", "1-5 Acme", short(12)},
		{"round, short", "Rd 16x1/8", "Rd 36x1/8", short(12)},
		{"short, tapers", "1/4-18 NPT", "3/4-14 NPT", func(s *ring.Spec) { short(12)(s); s.Printer.LayerShare = 0 }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			const chord = 0.005
			p, m := realRing(t, c.inner, c.outer, c.change, chord)
			opt := caliper.DefaultOptions()
			opt.InnerRefZMM, opt.OuterRefZMM = p.Inner.RefMM, p.Outer.RefMM
			rep, err := caliper.Measure(m, opt)
			require.NoError(t, err)
			require.NotNil(t, rep.Inner, rep.InnerWhy)
			require.NotNil(t, rep.Outer, rep.OuterWhy)
			tol := caliper.Tolerance{DiameterMM: lengthTol, LeadMM: lengthTol, AngleDeg: angleTol, Taper: taperTol}
			if p.Inner.Thread.Form.Tan()+p.Outer.Thread.Form.Tan() < 0.9 {
				tol.DiameterMM = 0.01 // what the mesh's own twist takes off a steep flank
			}
			assert.Empty(t, caliper.Compare(*rep.Inner, wantedOf(p.Inner, false), tol), "inner")
			assert.Empty(t, caliper.Compare(*rep.Outer, wantedOf(p.Outer, true), tol), "outer")
			// The plan promises a wall; what is found may only be more. Both walls may stand a chord off.
			assert.GreaterOrEqual(t, rep.WallMM, p.Wall.MM()-wallTol-2*chord, "wall")
			if p.Layout == ring.Nested {
				bare, _ := realRing(t, c.inner, c.outer, func(s *ring.Spec) {
					if c.change != nil {
						c.change(s)
					}
					s.Grip = ring.NoGrip // letters in a flange may come nearer to the bore than the threads to each other
				}, chord)
				assert.InDelta(t, bare.Wall.MM(), rep.WallMM, 0.15, "wall: the plan's is along the radius, root to root")
			}
			for _, side := range []*caliper.Thread{rep.Inner, rep.Outer} {
				assert.Equal(t, strings.HasPrefix(c.name, "round"), side.FlankWhy != "", "arcs are told")
			}
			for k, side := range []ring.Side{p.Inner, p.Outer} {
				got := []*caliper.Thread{rep.Inner, rep.Outer}[k]
				slack := side.Thread.Pitch.MM() / 8
				assert.InDelta(t, side.FullMM[0], got.ZMM[0], slack, "full form from, side %d", k)
				assert.InDelta(t, side.FullMM[1], got.ZMM[1], slack, "full form to, side %d", k)
			}
		})
	}
}

func BenchmarkRealRing(b *testing.B) {
	_, m := realRing(b, "M42x1.5", "M48x2", nil, 0.005)
	for b.Loop() {
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		if err != nil || math.IsNaN(rep.WallMM) {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(m.Faces)), "faces")
}
