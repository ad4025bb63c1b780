package mesh

// Orientation: faces that run against their neighbours, turned for whoever has to tell in from out.

import (
	"math"
	"slices"
)

// Oriented returns m with faces turned so that neighbours run along their common edge both ways: of all that hang together by edges of
// two faces, those of less area are turned. m itself stays as it is.
func Oriented(m *Mesh) *Mesh {
	usable := m.usable()
	up := NewUnions(len(m.Faces))
	against := make([]bool, len(m.Faces)) // whether a face is turned against the one that up names
	root := func(i uint32) (r uint32, turned bool) {
		for r = i; up[r] != r; r = up[r] {
			turned = turned != against[r]
		}
		for t := turned; up[i] != i; {
			next, was := up[i], against[i]
			up[i], against[i] = r, t
			i, t = next, t != was
		}
		return r, turned
	}
	m.eachEdge(usable, func(_ uint32, uses []halfEdge) {
		if len(uses) != 2 {
			return
		}
		a, turnedA := root(uses[0].face())
		b, turnedB := root(uses[1].face())
		if a != b {
			up[b], against[b] = a, (turnedA != turnedB) != (uses[0].down() == uses[1].down())
		}
	})
	more := make([]float64, len(m.Faces)) // area that is as the root is, less that which is not
	for i, f := range m.Faces {
		if !usable[i] {
			continue
		}
		x, y, z := cross(&m.Vertices[f[0]], &m.Vertices[f[1]], &m.Vertices[f[2]])
		area := math.Sqrt(x*x + y*y + z*z)
		r, turned := root(uint32(i))
		if turned {
			area = -area
		}
		more[r] += area
	}
	out := &Mesh{Vertices: m.Vertices, Faces: slices.Clone(m.Faces)}
	for i, f := range m.Faces {
		if r, turned := root(uint32(i)); turned != (more[r] < 0) {
			out.Faces[i] = [3]uint32{f[0], f[2], f[1]}
		}
	}
	return out
}
