package mesh

import (
	"testing"

	"github.com/deadsy/sdfx/render"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
)

func TestOctreeClosesSteepThreads(t *testing.T) {
	// Without the correction of the distance sdfx's octree leaves holes in such threads.
	p := plan(t, "M12x1.5 6start", "M24x4 6start LH", func(s *ring.Spec) { s.Grip = ring.NoGrip })
	solid, err := p.Solid()
	require.NoError(t, err)
	m, err := Octree{Cells: 100}.Mesh(t.Context(), solid)
	require.NoError(t, err)
	a := Audit(m)
	assert.Zero(t, a.OpenEdges)
	assert.True(t, a.Sound(), "%+v", a)
	h, err := Helix{ChordMM: 0.01}.Mesh(p.Shape)
	require.NoError(t, err)
	assert.InEpsilon(t, Audit(h).VolumeMM3, a.VolumeMM3, 0.01, "both meshers see the same part")
}

func TestHelixIsARenderer(t *testing.T) {
	solid, err := ring.NewSolid(referenceRing(t))
	require.NoError(t, err)
	h := Helix{ChordMM: 0.02}
	triangles := render.ToTriangles(solid, h)
	m, err := h.Mesh(solid.Shape())
	require.NoError(t, err)
	assert.Len(t, triangles, len(m.Faces))
}

func TestOctreeIsDeterministic(t *testing.T) {
	p := plan(t, "M20x1.5", "M30x2", nil)
	solid, err := p.Solid()
	require.NoError(t, err)
	a, err := Octree{Cells: 40}.Mesh(t.Context(), solid)
	require.NoError(t, err)
	b, err := Octree{Cells: 40}.Mesh(t.Context(), solid)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}
