package mesh

// Edges: which faces meet along each, and what hangs together by them.

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// distinct says whether a face has three different vertices, all of which exist.
func distinct(f [3]uint32, vertices int) bool {
	n := uint64(vertices)
	return f[0] != f[1] && f[1] != f[2] && f[2] != f[0] && uint64(f[0]) < n && uint64(f[1]) < n && uint64(f[2]) < n
}

// usable tells which faces are such.
func (m *Mesh) usable() []bool {
	out := make([]bool, len(m.Faces))
	for i, f := range m.Faces {
		out[i] = distinct(f, len(m.Vertices))
	}
	return out
}

// halfEdge is one face's use of an edge, filed under the edge's lower vertex: the higher vertex in the upper 32
// bits, then the number of the face's corner from which it runs (three times the face plus 0, 1 or 2), in the lowest
// bit whether it runs downwards.
type halfEdge uint64

func (h halfEdge) high() uint32   { return uint32(h >> 32) }
func (h halfEdge) corner() uint32 { return uint32(h) >> 1 }
func (h halfEdge) face() uint32   { return h.corner() / 3 }
func (h halfEdge) down() uint32   { return uint32(h) & 1 }

// ends gives the corners of a half edge's face at the edge's lower and higher vertex.
func (h halfEdge) ends() (low, high uint32) {
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

// third is the vertex of a half edge's face that is not on the edge.
func (m *Mesh) third(h halfEdge) uint32 { return m.Faces[h.face()][(h.corner()+2)%3] }

// eachEdge calls visit for every edge with its uses by the faces that are usable, in the order of the edges' lower vertices. It files
// all half edges by their lower vertex, sorts each vertex's few, and reads off equal neighbours.
func (m *Mesh) eachEdge(usable []bool, visit func(low uint32, uses []halfEdge)) {
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
	from := uint32(0)
	for low, to := range start[:len(m.Vertices)] {
		run := halves[from:to]
		from = to
		slices.Sort(run)
		for len(run) > 0 {
			n := 1
			for n < len(run) && run[n].high() == run[0].high() {
				n++
			}
			visit(uint32(low), run[:n])
			run = run[n:]
		}
	}
}

// openVertices are those on an edge of one face.
func (m *Mesh) openVertices() (open []uint32) {
	is := make([]bool, len(m.Vertices))
	m.eachEdge(m.usable(), func(low uint32, uses []halfEdge) {
		if len(uses) > 1 {
			return
		}
		for _, v := range [2]uint32{low, uses[0].high()} {
			if !is[v] {
				is[v] = true
				open = append(open, v)
			}
		}
	})
	return open
}

// groups are what hangs together.
type groups struct {
	// places are the vertices in grid steps.
	places       []gridVec
	fans, shells Unions
	// open are the open edges, no more than one above mostTJoints.
	open [][2]uint32
	// again are faces that repeat one before them.
	again map[uint32]bool
	// hurt are faces on an edge that is not between two faces which run along it both ways, and torn the vertices of such edges.
	hurt, torn []uint32
	// of is each usable face's shell, counted from 0.
	of []uint32
}

func groupsOf(m *Mesh) *groups {
	return &groups{places: m.toGrid(), fans: NewUnions(3 * len(m.Faces)), shells: NewUnions(len(m.Faces))}
}

// countEdges judges every edge by its uses, and puts faces that share it into one shell, and their corners at both of its ends into one
// fan.
func (s *Soundness) countEdges(m *Mesh, usable []bool, g *groups) {
	g.again = map[uint32]bool{}
	m.eachEdge(usable, func(low uint32, uses []halfEdge) {
		what := ""
		switch {
		case len(uses) == 1:
			s.OpenEdges++
			what = "open_edges"
			if len(g.open) <= mostTJoints {
				g.open = append(g.open, [2]uint32{low, uses[0].high()})
			}
		case len(uses) > 2:
			s.NonmanifoldEdges++
			what = "nonmanifold_edges"
		case uses[0].down() == uses[1].down():
			s.MisorientedEdges++
			what = "misoriented_edges"
		}
		if what != "" {
			s.at(what, m.Vertices[low])
			for _, h := range uses {
				g.hurt = append(g.hurt, h.face())
			}
			g.torn = append(g.torn, low, uses[0].high())
		}
		lowA, highA := uses[0].ends()
		for _, h := range uses[1:] {
			g.shells.Join(uses[0].face(), h.face())
			lowB, highB := h.ends()
			g.fans.Join(lowA, lowB)
			g.fans.Join(highA, highB)
		}
		if len(uses) == 2 && m.third(uses[0]) == m.third(uses[1]) {
			g.again[max(uses[0].face(), uses[1].face())] = true
		} else if len(uses) > 2 {
			slices.SortFunc(uses, func(a, b halfEdge) int {
				return cmp.Or(cmp.Compare(m.third(a), m.third(b)), cmp.Compare(a.face(), b.face()))
			})
			for k, h := range uses[1:] {
				if m.third(h) == m.third(uses[k]) {
					g.again[h.face()] = true
				}
			}
		}
	})
	s.Repeated = len(g.again)
	for _, i := range slices.Sorted(maps.Keys(g.again)) {
		s.at("repeated_faces", m.Vertices[m.Faces[i][0]])
	}
}

// countGroups counts shells, and the vertices at which more than one fan stands.
func (s *Soundness) countGroups(m *Mesh, usable []bool, g *groups) {
	const none, pinched = 0, math.MaxUint32
	fanAt := make([]uint32, len(m.Vertices)) // 1 + a vertex's fan
	g.of = make([]uint32, len(m.Faces))
	for i, f := range m.Faces {
		if !usable[i] {
			continue
		}
		if root := g.shells.Root(uint32(i)); root == uint32(i) { // the lowest of its shell
			g.of[i] = uint32(s.Shells)
			s.Shells++
		} else {
			g.of[i] = g.of[root]
		}
		for k, v := range f {
			fan := g.fans.Root(uint32(3*i+k)) + 1
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

// Unions is a forest of groups of the numbers from 0 on; a group is known by its root, which is its lowest member.
type Unions []uint32

// NewUnions returns n groups of one.
func NewUnions(n int) Unions {
	u := make(Unions, n)
	for i := range u {
		u[i] = uint32(i)
	}
	return u
}

// Root returns the lowest of the group of i.
func (u Unions) Root(i uint32) uint32 {
	for u[i] != i {
		u[i] = u[u[i]]
		i = u[i]
	}
	return i
}

// Join makes one group of those of i and j.
func (u Unions) Join(i, j uint32) {
	i, j = u.Root(i), u.Root(j)
	if i < j {
		u[j] = i
	} else {
		u[i] = j
	}
}
