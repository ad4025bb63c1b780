package mesh

// This file meshes trays: flat blocks with pockets, all faces plane and exact.

import (
	"fmt"

	"tryring/internal/ring"
)

// Tray builds the closed mesh of a tray. Its coordinates are those of the tray, rounded to the vertex grid; outlines that
// touch or cross are refused with ErrOutlines (wrapped).
func Tray(t ring.Tray) (*Mesh, error) {
	b := &builder{mesh: &Mesh{}}
	s := b.slab(t.Outline, t.ThicknessMM)
	for _, p := range t.Pockets {
		s.pocket(p.Glyph, p.DepthMM)
	}
	if err := s.cover(); err != nil {
		return nil, fmt.Errorf("tray: %w", err)
	}
	return b.mesh, nil
}
