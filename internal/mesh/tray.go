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
	bottom, rim := b.outline(t.Outline, 0), b.outline(t.Outline, t.ThicknessMM)
	b.fence(bottom, rim)
	var under, top, floors plate
	under.add(b, bottom)
	top.add(b, rim)
	for _, p := range t.Pockets {
		for _, c := range p.Glyph {
			edge, floor := b.outline(c, t.ThicknessMM), b.outline(c, t.ThicknessMM-p.DepthMM)
			b.fence(reversed(floor), reversed(edge))
			top.add(b, reversed(edge))
			floors.add(b, floor)
		}
	}
	for _, face := range []struct {
		name string
		*plate
		up int
	}{{"under side", &under, -1}, {"top face", &top, +1}, {"pockets", &floors, +1}} {
		if len(face.contours) == 0 {
			continue
		}
		if err := face.cover(b, face.up); err != nil {
			return nil, fmt.Errorf("%s of the tray: %w", face.name, err)
		}
	}
	return b.mesh, nil
}
