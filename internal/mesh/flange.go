package mesh

// This file meshes a ring's flange: its faces by exact triangulation, its rim and the engraving's walls as quads.

import (
	"fmt"
	"math"
	"slices"

	v2 "github.com/deadsy/sdfx/vec/v2"

	"tryring/internal/ring"
)

// plate collects the outlines of one plane face, with the mesh vertex of each point.
type plate struct {
	points   []gridPoint
	vertices []uint32
	contours [][]int
}

// add appends an outline of mesh vertices, in the given order.
func (p *plate) add(b *builder, vertices []uint32) {
	c := make([]int, len(vertices))
	for i, v := range vertices {
		c[i] = len(p.points)
		at := b.mesh.Vertices[v]
		p.points = append(p.points, gridPoint{x: int64(math.Round(float64(at[0]) / GridMM)), y: int64(math.Round(float64(at[1]) / GridMM))})
		p.vertices = append(p.vertices, v)
	}
	p.contours = append(p.contours, c)
}

// cover triangulates the plate, facing up (+1) or down (-1).
func (p *plate) cover(b *builder, up int) error {
	ts, err := triangulate(p.points, p.contours)
	if err != nil {
		return err
	}
	for _, t := range ts {
		f := [3]uint32{p.vertices[t[0]], p.vertices[t[1]], p.vertices[t[2]]}
		if up < 0 {
			f[1], f[2] = f[2], f[1]
		}
		b.mesh.Faces = append(b.mesh.Faces, f)
	}
	return nil
}

// outline adds the vertices of a plane contour at height z; points that fall on one grid point are one vertex.
func (b *builder) outline(c []v2.Vec, z float64) []uint32 {
	out := make([]uint32, 0, len(c))
	for _, p := range c {
		v := Vec{snap(p.X), snap(p.Y), snap(z)}
		if n := len(out); n > 0 && (b.mesh.Vertices[out[n-1]] == v || b.mesh.Vertices[out[0]] == v) {
			continue
		}
		out = append(out, uint32(len(b.mesh.Vertices)))
		b.mesh.Vertices = append(b.mesh.Vertices, v)
	}
	return out
}

// fence joins two copies of an outline, one above the other, by upright quads. The material lies on the left of the outline.
func (b *builder) fence(lower, upper []uint32) {
	for i := range lower {
		j := (i + 1) % len(lower)
		b.mesh.Faces = append(b.mesh.Faces, [3]uint32{lower[i], lower[j], upper[j]}, [3]uint32{lower[i], upper[j], upper[i]})
	}
}

func reversed(c []uint32) []uint32 {
	r := slices.Clone(c)
	slices.Reverse(r)
	return r
}

// flange closes the lower end of the ring around a flange with its engraving.
func (b *builder) flange(f *ring.Flange) error {
	s := b.slab(f.Outline, f.ThicknessMM)
	s.under.add(b, reversed(b.inner.first))
	s.top.add(b, reversed(b.outer.first))
	for _, g := range f.Top.Glyphs {
		s.pocket(g, f.Top.DepthMM)
	}
	for _, g := range f.Bed.Glyphs {
		s.sink(g, 0, f.Bed.DepthMM, &s.under, &s.ceilings)
	}
	if err := s.cover(); err != nil {
		return fmt.Errorf("flange: %w", err)
	}
	return nil
}

// slab is a flat body with pockets.
type slab struct {
	*builder
	thickness float64
	// Floors are those of pockets in the top, ceilings those of pockets in the under side.
	under, top, floors, ceilings plate
}

// slab walls in a body on the plane z = 0.
func (b *builder) slab(outline []v2.Vec, thickness float64) *slab {
	s := &slab{builder: b, thickness: thickness}
	bottom, rim := b.outline(outline, 0), b.outline(outline, thickness)
	b.fence(bottom, rim)
	s.under.add(b, bottom)
	s.top.add(b, rim)
	return s
}

// pocket cuts a letter, or another hole that has a floor, into the top.
func (s *slab) pocket(g ring.Glyph, depth float64) {
	s.sink(g, s.thickness, s.thickness-depth, &s.top, &s.floors)
}

// sink cuts a letter from a face to its floor, which lies below it in the top and above it in the under side.
func (s *slab) sink(g ring.Glyph, face, floor float64, faces, floors *plate) {
	for _, c := range g {
		edge, end := s.outline(c, face), s.outline(c, floor)
		low, high := end, edge
		if floor > face {
			low, high = edge, end
		}
		// Around a pocket the material is outside, so the wall is walked the other way round.
		s.fence(reversed(low), reversed(high))
		faces.add(s.builder, reversed(edge))
		floors.add(s.builder, end)
	}
}

// cover closes the plane faces.
func (s *slab) cover() error {
	for _, face := range []struct {
		name string
		*plate
		up int
	}{{"under side", &s.under, -1}, {"top face", &s.top, +1}, {"pockets", &s.floors, +1}, {"pockets below", &s.ceilings, -1}} {
		if len(face.contours) == 0 {
			continue
		}
		if err := face.cover(s.builder, face.up); err != nil {
			return fmt.Errorf("%s: %w", face.name, err)
		}
	}
	return nil
}
