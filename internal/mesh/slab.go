package mesh

// This file meshes trays and leaves: flat bodies with pockets, all faces plane and exact.

import (
	"fmt"

	v2 "github.com/deadsy/sdfx/vec/v2"

	"tryring/internal/ring"
)

// Slab builds the closed mesh of a flat body. Its coordinates are those of the body, rounded to the vertex grid; outlines that
// touch or cross are refused with ErrOutlines (wrapped).
func Slab(t ring.Slab) (*Mesh, error) {
	b := &builder{mesh: &Mesh{}}
	s := b.slab(t.Outline, t.ThicknessMM)
	for _, p := range t.Pockets {
		s.pocket(p.Glyph, p.DepthMM)
	}
	var foot plate
	if t.Sole != nil {
		foot = s.sole(t.Sole, t.SoleMM)
	}
	if err := s.cover(); err != nil {
		return nil, fmt.Errorf("slab: %w", err)
	}
	if t.Sole != nil {
		if err := foot.cover(b, -1); err != nil {
			return nil, fmt.Errorf("slab: sole: %w", err)
		}
	}
	return b.mesh, nil
}

// sole gives the slab an outline of its own up to a height: what was its under side is the ledge above the sole, whose own under side
// is returned.
func (s *slab) sole(outline []v2.Vec, height float64) (foot plate) {
	for _, v := range s.under.vertices {
		s.mesh.Vertices[v][2] = snap(height)
	}
	bottom, top := s.outline(outline, 0), s.outline(outline, height)
	s.fence(bottom, top)
	s.under.add(s.builder, reversed(top))
	foot.add(s.builder, bottom)
	return foot
}
