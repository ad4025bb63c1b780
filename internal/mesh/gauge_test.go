package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// Gauges have what rings do not: walls without thread, a groove, a bore that widens past the thread. Their meshes must be
// near the same solid.
func TestGaugesAreNearTheirSolid(t *testing.T) {
	skipInBrief(t)
	rng := rand.New(rand.NewPCG(7, 0))
	for _, name := range []string{"1/4-20 UNC", "M20", "G 1/2", "1 3/4-12 UN LH", "M30x2 3start"} {
		for _, kind := range []ring.GaugeKind{ring.RingGauge, ring.PlugGauge} {
			for _, limit := range []ring.GaugeLimit{ring.Go, ring.NoGo} {
				t.Run(string(limit)+" "+string(kind)+" "+name, func(t *testing.T) {
					th, err := thread.BuiltIn().Parse(name)
					require.NoError(t, err)
					limits, err := th.Limits("", kind == ring.RingGauge)
					require.NoError(t, err)
					g, err := ring.NewGauge(ring.GaugeSpec{Thread: th, Kind: kind, Limit: limit, Limits: limits, Printer: printer.Unnamed()})
					require.NoError(t, err)
					const chord = 0.02
					m, err := Helix{ChordMM: chord}.Mesh(g.Shape)
					require.NoError(t, err)
					s := Audit(m)
					assert.True(t, s.Sound(), "%+v", s)
					assert.Equal(t, 1, s.Shells)
					solid, err := ring.NewSolid(g.Shape)
					require.NoError(t, err)
					for _, fault := range nearSolid(m, g.Shape, solid, chord, rng) {
						t.Error(fault)
					}
				})
			}
		}
	}
}

// A plain wall is the cylinder that its line says.
func TestPlainWall(t *testing.T) {
	inner, err := ring.Plain(ring.Line{{Z: 0, R: 4}}, 0, 10)
	require.NoError(t, err)
	outer, err := ring.Plain(ring.Line{{Z: 0, R: 8}, {Z: 4, R: 8}, {Z: 5, R: 7}, {Z: 6, R: 8}}, 0, 10)
	require.NoError(t, err)
	m, err := Helix{ChordMM: 0.01}.Mesh(ring.Shape{Inner: inner, Outer: outer, HeightMM: 10})
	require.NoError(t, err)
	s := Audit(m)
	require.True(t, s.Sound())
	// The groove takes the solid of revolution between radius 8 and a V of depth 1 and width 2 (Pappus: the triangle's centroid
	// lies at 8 - 1/3).
	want := math.Pi*(64-16)*10 - 2*math.Pi*(8-1.0/3)*1
	assert.InDelta(t, want, s.VolumeMM3, 0.001*want)
}
