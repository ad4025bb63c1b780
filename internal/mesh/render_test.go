package mesh

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"

	"github.com/deadsy/sdfx/render"
	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"
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

// counted is a ball that calls off its own rendering when it has been looked at so often.
type counted struct {
	sdf.SDF3
	looks  atomic.Int64
	at     int64
	cancel func()
}

func (c *counted) Evaluate(p v3.Vec) float64 {
	if c.looks.Add(1) == c.at {
		c.cancel()
	}
	return c.SDF3.Evaluate(p)
}

func TestOctreeStopsWhenCalledOff(t *testing.T) {
	ball, err := sdf.Sphere3D(10)
	require.NoError(t, err)
	looks := func(at int64) (int64, error) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		c := &counted{SDF3: ball, at: at, cancel: cancel}
		_, err := renderWith(ctx, c, render.NewMarchingCubesOctree(160))
		return c.looks.Load(), err
	}
	all, err := looks(-1)
	require.NoError(t, err)
	some, err := looks(100)
	require.ErrorIs(t, err, context.Canceled)
	assert.Less(t, some, all/2)
}

var _ render.Render3 = Helix{}

// shaped is a solid that knows the ring it was made from.
type shaped interface{ Shape() ring.Shape }

// Render implements sdfx's render.Render3 for solids that know their ring (ring.Solid). That interface cannot return an
// error: a solid of another kind, or one that cannot be meshed, panics; use Mesh where that may happen.
func (h Helix) Render(s sdf.SDF3, out sdf.Triangle3Writer) {
	solid, ok := s.(shaped)
	if !ok {
		panic(fmt.Sprintf("helix mesher: %T is not a ring", s))
	}
	m, err := h.Mesh(solid.Shape())
	if err != nil {
		panic(fmt.Errorf("helix mesher: %w", err))
	}
	triangles := make([]*sdf.Triangle3, len(m.Faces))
	for i, f := range m.Faces {
		triangles[i] = &sdf.Triangle3{m.point(f[0]), m.point(f[1]), m.point(f[2])}
	}
	if err := errors.Join(out.Write(triangles), out.Close()); err != nil {
		panic(fmt.Errorf("helix mesher: %w", err))
	}
}

// Info implements sdfx's render.Render3.
func (h Helix) Info(sdf.SDF3) string { return fmt.Sprintf("helix, chord %g mm", h.ChordMM) }

func (m *Mesh) point(i uint32) v3.Vec {
	v := m.Vertices[i]
	return v3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])}
}
