package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	v3 "github.com/deadsy/sdfx/vec/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
	"tryring/internal/thread"
)

// referenceRing is M42x1.5 inside and M48x2 outside, sharp basic profiles, 25 mm tall, no flange, no lead-in.
func referenceRing(t testing.TB) ring.Shape {
	t.Helper()
	surface := func(major, pitch float64) ring.Surface {
		h := math.Sqrt(3) / 2 * pitch // ISO 68-1:1998
		p, err := thread.NewProfile(thread.Section{
			PitchMM: pitch, FlankRad: math.Pi / 6,
			MajorMM: major, PitchDMM: major - 0.75*h, MinorMM: major - 1.25*h,
		})
		require.NoError(t, err)
		return ring.Surface{Profile: p, LeadMM: pitch, Starts: 1, From: 0, To: 25}
	}
	return ring.Shape{Inner: surface(42, 1.5), Outer: surface(48, 2), HeightMM: 25}
}

func plan(t testing.TB, inner, outer string, change func(*ring.Spec)) ring.Plan {
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
	return p
}

func TestReferenceRing(t *testing.T) {
	shape := referenceRing(t)
	m, err := Helix{ChordMM: 0.005}.Mesh(shape)
	require.NoError(t, err)
	a := Audit(m)
	assert.True(t, a.Sound(), "%+v", a)
	t.Logf("%d triangles, %d bytes", len(m.Faces), 84+50*len(m.Faces))
	assert.LessOrEqual(t, len(m.Faces), 28800)
	proveAgainstSolid(t, m, shape, 0.005)
}

// proveAgainstSolid compares every vertex and points inside every face with the sdfx solid.
func proveAgainstSolid(t testing.TB, m *Mesh, shape ring.Shape, chord float64) {
	t.Helper()
	s, err := ring.NewSolid(shape)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(1, 2))
	worstVertex, worstFace := 0.0, 0.0
	for _, v := range m.Vertices {
		worstVertex = math.Max(worstVertex, math.Abs(s.Evaluate(at(v))))
	}
	for _, f := range m.Faces {
		for range 3 {
			a, b := rng.Float64(), rng.Float64()
			if a+b > 1 {
				a, b = 1-a, 1-b
			}
			p, q, r := at(m.Vertices[f[0]]), at(m.Vertices[f[1]]), at(m.Vertices[f[2]])
			x := p.MulScalar(1 - a - b).Add(q.MulScalar(a)).Add(r.MulScalar(b))
			worstFace = math.Max(worstFace, math.Abs(s.Evaluate(x)))
		}
	}
	t.Logf("worst vertex %.5f mm, worst face %.5f mm", worstVertex, worstFace)
	assert.LessOrEqual(t, worstVertex, chord+0.001)
	assert.LessOrEqual(t, worstFace, chord*1.02+0.001)
}

func at(v Vec) v3.Vec { return v3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])} }

func TestRings(t *testing.T) {
	for _, c := range []struct {
		name, inner, outer string
		change             func(*ring.Spec)
	}{
		{"nested plain", "M42x1.5", "M48x2", func(s *ring.Spec) { s.Grip = ring.NoGrip }},
		{"nested scallop", "M42x1.5", "M48x2", nil},
		{"nested flats", "M42x1.5", "M48x2", func(s *ring.Spec) { s.Grip = ring.Flats }},
		{"stacked", "M48x2", "M42x1.5", nil},
		{"stacked by choice", "M20x1.5", "M48x2", func(s *ring.Spec) { s.Layout = ring.Stacked }},
		{"whitworth", "G 1", "G 1 1/2", nil},
		{"tapers", "1/2-14 NPT", "1-11.5 NPT", nil},
		{"left hand, many starts", "M30x2 LH 2start", "M48x3 4start", nil},
		{"small", "M4x0.7", "M8x1", nil},
		{"rounded root", "M42x1.5", "M52x3", func(s *ring.Spec) { s.RoundRoot = true }},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(t, c.inner, c.outer, c.change)
			assert.NoError(t, proveRing(p, 0.02, rand.New(rand.NewPCG(1, 1))), p.LayoutWhy)
		})
	}
}

func BenchmarkReference(b *testing.B) {
	shape := referenceRing(b)
	for b.Loop() {
		if _, err := (Helix{ChordMM: 0.005}).Mesh(shape); err != nil {
			b.Fatal(err)
		}
	}
}
