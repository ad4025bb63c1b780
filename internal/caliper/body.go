package caliper

// This file parts a mesh into bodies.

import (
	"cmp"
	"slices"

	"tryring/internal/mesh"
)

// leastShell is how many faces a shell of a mesh has on average; in a mesh of smaller ones the faces do not hang together, and it is one body.
const leastShell = 12

// shell is a group of faces that hang together by their corners, or several such.
type shell struct {
	faces  [][3]uint32
	box    [2]vec
	volume float64
	open   uint64 // the sum of all edges' marks: 0 where each is run once each way
}

// solid says that s bounds a body by itself, hollow that it would if its faces were turned round.
func (s *shell) solid() bool  { return s.open == 0 && s.volume > 0 }
func (s *shell) hollow() bool { return s.open == 0 && s.volume < 0 }

// take adds the faces of o to s.
func (s *shell) take(o *shell) {
	s.faces = append(s.faces, o.faces...)
	s.volume += o.volume
	s.open += o.open
}

// bodiesOf returns the bodies of m, the one with the most faces first: each shell that bounds a solid, with the shells in it that do
// not (its hollows), and one body of what is left: open skins, and shells inside out. Of that, all faces are turned round where it is closed.
func bodiesOf(m *mesh.Mesh) []*mesh.Mesh {
	shells := shellsIn(m)
	if len(shells) == 1 && !shells[0].hollow() {
		return []*mesh.Mesh{m}
	}
	together := len(m.Faces) < leastShell*len(shells)
	var solids []*shell
	for i := range shells {
		if s := &shells[i]; s.solid() && !together {
			solids = append(solids, s)
		}
	}
	// From the smallest to the largest: a hollow belongs to the smallest that holds it.
	slices.SortStableFunc(solids, func(a, b *shell) int { return cmp.Compare(a.volume, b.volume) })
	rest := &shell{}
	for i := range shells {
		s := &shells[i]
		if s.solid() && !together {
			continue
		}
		to := rest
		if k := slices.IndexFunc(solids, func(o *shell) bool { return o.holds(s) }); k >= 0 {
			to = solids[k]
		}
		to.take(s)
	}
	if len(rest.faces) > 0 {
		solids = append(solids, rest)
	}
	slices.SortStableFunc(solids, func(a, b *shell) int { return cmp.Compare(len(b.faces), len(a.faces)) })
	out := make([]*mesh.Mesh, len(solids))
	number := make([]uint32, len(m.Vertices)) // of a vertex in its body, plus one
	for i, s := range solids {
		b := &mesh.Mesh{Faces: make([][3]uint32, len(s.faces))}
		for j, f := range s.faces {
			for k, v := range f {
				if number[v] == 0 {
					b.Vertices = append(b.Vertices, m.Vertices[v])
					number[v] = uint32(len(b.Vertices))
				}
				b.Faces[j][k] = number[v] - 1
			}
			if s.hollow() {
				slices.Reverse(b.Faces[j][:])
			}
		}
		out[i] = b
	}
	return out
}

// holds tells whether the box of o lies within that of s.
func (s *shell) holds(o *shell) bool {
	for k := range 3 {
		if o.box[0][k] < s.box[0][k] || o.box[1][k] > s.box[1][k] {
			return false
		}
	}
	return true
}

// shellsIn parts the faces of m.
func shellsIn(m *mesh.Mesh) (out []shell) {
	group := mesh.NewUnions(len(m.Vertices))
	for _, f := range m.Faces {
		group.Join(f[0], f[1])
		group.Join(f[0], f[2])
	}
	count := make([]int, len(m.Vertices)) // of the faces of the shell with this root
	for _, f := range m.Faces {
		count[group.Root(f[0])]++
	}
	number := make([]uint32, len(m.Vertices)) // of the shell with this root, plus one
	for _, f := range m.Faces {
		a, b, c := at(m, f[0]), at(m, f[1]), at(m, f[2])
		r := group.Root(f[0])
		if number[r] == 0 {
			out = append(out, shell{faces: make([][3]uint32, 0, count[r]), box: [2]vec{a, a}})
			number[r] = uint32(len(out))
		}
		s := &out[number[r]-1]
		s.volume += a.dot(b.cross(c))
		if count[r] == len(m.Faces) {
			continue // nothing can be in it
		}
		for k := range 3 {
			s.box[0][k] = min(s.box[0][k], a[k], b[k], c[k])
			s.box[1][k] = max(s.box[1][k], a[k], b[k], c[k])
		}
		s.open += mesh.EdgeMarks(f)
		s.faces = append(s.faces, f)
	}
	if len(out) == 1 && out[0].volume < 0 {
		out[0].faces = m.Faces
		for _, f := range m.Faces {
			out[0].open += mesh.EdgeMarks(f)
		}
	}
	return out
}
