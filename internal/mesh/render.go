package mesh

// This file makes one of sdfx's renderers a mesher.

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"github.com/deadsy/sdfx/render"
	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"

	"tryring/internal/ring"
)

// DefaultCells is the number of cells along the longest side of an octree mesh: about 0.12 mm on a 50 mm ring.
const DefaultCells = 400

// Octree meshes a solid with sdfx's own octree of marching cubes, as a second opinion on the helix mesher. The solid's
// distance is a true lower bound (see ring.Solid), without which the octree would leave holes in steep threads.
type Octree struct {
	// Cells is the number of cells along the longest side.
	Cells int
}

// Mesh renders the solid. Vertices are snapped to the grid and welded; faces that vanish by that are left out.
// When ctx ends the error is that of ctx.
func (o Octree) Mesh(ctx context.Context, solid *ring.Solid) (*Mesh, error) {
	if o.Cells < 8 || o.Cells > 2000 {
		return nil, fmt.Errorf("octree mesher: %d cells must lie between 8 and 2000", o.Cells)
	}
	return renderWith(ctx, solid, render.NewMarchingCubesOctree(o.Cells))
}

// cancelled is a solid that is nowhere near any place once it is called off, so that an octree looks no further: sdfx's
// renderers know no other way to be stopped.
type cancelled struct {
	sdf.SDF3
	off atomic.Bool
}

// Evaluate implements sdf.SDF3.
func (c *cancelled) Evaluate(p v3.Vec) float64 {
	if c.off.Load() {
		return math.MaxFloat32
	}
	return c.SDF3.Evaluate(p)
}

// renderWith runs one of sdfx's renderers into a mesh, in an order that does not depend on its threads.
func renderWith(ctx context.Context, solid sdf.SDF3, r render.Render3) (*Mesh, error) {
	var c collector
	within := &cancelled{SDF3: solid}
	defer context.AfterFunc(ctx, func() { within.off.Store(true) })()
	r.Render(within, &c)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if len(c.triangles) == 0 {
		return nil, errors.New("octree mesher: the solid is empty")
	}
	slices.SortFunc(c.triangles, compareTriangles)
	m, w := &Mesh{}, newWelder(len(c.triangles)/2)
	for _, t := range c.triangles {
		f := [3]uint32{w.index(t[0]), w.index(t[1]), w.index(t[2])}
		if f[0] != f[1] && f[1] != f[2] && f[2] != f[0] {
			m.Faces = append(m.Faces, f)
		}
	}
	m.Vertices = w.vertices
	return m, nil
}

// collector takes triangles from a renderer's threads.
type collector struct {
	lock      sync.Mutex
	triangles [][3]Vec
}

// Write implements sdfx's Triangle3Writer.
func (c *collector) Write(in []*sdf.Triangle3) error {
	c.lock.Lock()
	defer c.lock.Unlock()
	for _, t := range in {
		var s [3]Vec
		for i, v := range t {
			s[i] = Vec{snap(v.X), snap(v.Y), snap(v.Z)}
		}
		c.triangles = append(c.triangles, s)
	}
	return nil
}

// Close implements sdfx's Triangle3Writer.
func (c *collector) Close() error { return nil }

func compareTriangles(a, b [3]Vec) int {
	return slices.CompareFunc(a[:], b[:], func(p, q Vec) int { return slices.Compare(p[:], q[:]) })
}
