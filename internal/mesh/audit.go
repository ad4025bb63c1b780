package mesh

// Soundness: whether a mesh bounds a solid, counted edge by edge.

import (
	"math"
	"slices"
)

// Soundness counts what keeps a mesh from bounding a solid. Faces with a repeated or a missing vertex are counted as
// degenerate and otherwise left out.
type Soundness struct {
	// OpenEdges have one face.
	OpenEdges int `json:"open_edges"`
	// NonmanifoldEdges have three faces or more.
	NonmanifoldEdges int `json:"nonmanifold_edges"`
	// MisorientedEdges have two faces that run along them the same way: one of the two is turned inside out.
	MisorientedEdges int `json:"misoriented_edges"`
	// Degenerate faces have exactly no area.
	Degenerate int `json:"degenerate"`
	// PinchedVertices join fans of faces that share no edge there. Such a mesh is closed all the same, and they do
	// not make it unsound.
	PinchedVertices int `json:"pinched_vertices"`
	// Shells are the groups of faces that hang together by edges.
	Shells int `json:"shells"`
	// VolumeMM3 is the volume inside, negative when the faces look inwards. It means nothing with open edges.
	VolumeMM3 float64 `json:"volume_mm3"`
	// BoundsMM are those of the mesh.
	BoundsMM [2][3]float64 `json:"bounds_mm"`
}

// Sound says that the mesh is closed, oriented, free of degenerate faces, and has a positive volume.
func (s Soundness) Sound() bool {
	return s.Shells > 0 && s.OpenEdges == 0 && s.NonmanifoldEdges == 0 && s.MisorientedEdges == 0 &&
		s.Degenerate == 0 && s.VolumeMM3 > 0
}

// Audit measures soundness. Edges are told apart by vertex index, so that a mesh must be welded; coordinates are
// finite. Time goes with the number of faces, memory with 41 bytes a face and 8 a vertex. At most 2^31/3 faces.
func Audit(m *Mesh) Soundness {
	var s Soundness
	usable := make([]bool, len(m.Faces))
	for i, f := range m.Faces {
		usable[i] = distinct(f, len(m.Vertices))
		if !usable[i] || hasNoArea(&m.Vertices[f[0]], &m.Vertices[f[1]], &m.Vertices[f[2]]) {
			s.Degenerate++
		}
	}
	s.BoundsMM = m.Bounds()
	s.VolumeMM3 = volume(m, s.BoundsMM)
	s.countEdges(m, usable)
	return s
}

// distinct says whether a face has three different vertices, all of which exist.
func distinct(f [3]uint32, vertices int) bool {
	n := uint64(vertices)
	return f[0] != f[1] && f[1] != f[2] && f[2] != f[0] && uint64(f[0]) < n && uint64(f[1]) < n && uint64(f[2]) < n
}

// halfEdge is one face's use of an edge, filed under the edge's lower vertex: the higher vertex in the upper 32
// bits, then the number of the face's corner from which it runs (three times the face plus 0, 1 or 2), in the lowest
// bit whether it runs downwards.
type halfEdge uint64

func (h halfEdge) high() uint32   { return uint32(h >> 32) }
func (h halfEdge) corner() uint32 { return uint32(h) >> 1 }
func (h halfEdge) down() uint32   { return uint32(h) & 1 }

// countEdges files all half edges by their lower vertex, sorts each vertex's few, and reads off equal neighbours.
func (s *Soundness) countEdges(m *Mesh, usable []bool) {
	start := make([]uint32, len(m.Vertices)+1)
	for i, f := range m.Faces {
		if usable[i] {
			start[min(f[0], f[1])]++
			start[min(f[1], f[2])]++
			start[min(f[2], f[0])]++
		}
	}
	var total uint32
	for v, n := range start {
		start[v] = total
		total += n
	}
	halves := make([]halfEdge, total)
	for i, f := range m.Faces {
		if !usable[i] {
			continue
		}
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			down := halfEdge(0)
			if a > b {
				a, b, down = b, a, 1
			}
			halves[start[a]] = halfEdge(b)<<32 | halfEdge(3*i+k)<<1 | down
			start[a]++ // so start[a] ends as the end of a's run
		}
	}
	fans, shells := newUnions(3*len(m.Faces)), newUnions(len(m.Faces))
	from := uint32(0)
	for _, to := range start[:len(m.Vertices)] {
		run := halves[from:to]
		from = to
		slices.Sort(run)
		for len(run) > 0 {
			n := 1
			for n < len(run) && run[n].high() == run[0].high() {
				n++
			}
			s.countEdge(run[:n])
			for _, h := range run[1:n] {
				joinAlong(fans, shells, run[0], h)
			}
			run = run[n:]
		}
	}
	s.countGroups(m, usable, fans, shells)
}

// countEdge judges one edge by its uses.
func (s *Soundness) countEdge(uses []halfEdge) {
	switch {
	case len(uses) == 1:
		s.OpenEdges++
	case len(uses) > 2:
		s.NonmanifoldEdges++
	case uses[0].down() == uses[1].down():
		s.MisorientedEdges++
	}
}

// joinAlong puts two faces that share an edge into one shell, and their corners at both of its ends into one fan.
func joinAlong(fans, shells unions, a, b halfEdge) {
	shells.join(a.corner()/3, b.corner()/3)
	lowA, highA := ends(a)
	lowB, highB := ends(b)
	fans.join(lowA, lowB)
	fans.join(highA, highB)
}

// ends gives the corners of a half edge's face at the edge's lower and higher vertex.
func ends(h halfEdge) (low, high uint32) {
	from := h.corner()
	to := from + 1
	if to%3 == 0 {
		to -= 3
	}
	if h.down() == 1 {
		return to, from
	}
	return from, to
}

// countGroups counts shells, and the vertices at which more than one fan stands.
func (s *Soundness) countGroups(m *Mesh, usable []bool, fans, shells unions) {
	const none, pinched = 0, math.MaxUint32
	fanAt := make([]uint32, len(m.Vertices)) // 1 + a vertex's fan
	for i, f := range m.Faces {
		if !usable[i] {
			continue
		}
		if shells.root(uint32(i)) == uint32(i) {
			s.Shells++
		}
		for k, v := range f {
			fan := fans.root(uint32(3*i+k)) + 1
			switch fanAt[v] {
			case none:
				fanAt[v] = fan
			case fan, pinched:
			default:
				fanAt[v] = pinched
				s.PinchedVertices++
			}
		}
	}
}

// unions is a forest of groups; a group is known by its root, which is its lowest member.
type unions []uint32

func newUnions(n int) unions {
	u := make(unions, n)
	for i := range u {
		u[i] = uint32(i)
	}
	return u
}

func (u unions) root(i uint32) uint32 {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

func (u unions) join(i, j uint32) {
	i, j = u.root(i), u.root(j)
	if i < j {
		u[j] = i
	} else {
		u[i] = j
	}
}
