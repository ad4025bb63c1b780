package mesh

// The one verdict of soundness: whether a mesh bounds a solid.

import "fmt"

// Soundness counts what keeps a mesh from bounding a solid. Faces with a repeated or a missing vertex are counted as
// degenerate and otherwise left out.
type Soundness struct {
	// OpenEdges have one face.
	OpenEdges int `json:"open_edges"`
	// TJoints are open edges with a corner of a neighbour within them. At most mostTJoints open edges are looked at.
	TJoints int `json:"t_joints"`
	// NonmanifoldEdges have three faces or more.
	NonmanifoldEdges int `json:"nonmanifold_edges"`
	// MisorientedEdges have two faces that run along them the same way: one of the two is turned inside out.
	MisorientedEdges int `json:"misoriented_edges"`
	// Degenerate faces have exactly no area.
	Degenerate int `json:"degenerate"`
	// Repeated faces have the three corners of a face before them.
	Repeated int `json:"repeated_faces"`
	// SelfIntersections are pairs of faces that meet anywhere but in the corners and edges that they share: they pierce, touch, fold
	// onto each other or overlap. At most mostCrossings are counted.
	SelfIntersections int `json:"self_intersections"`
	// Unsearched says that the mesh has more than mostSearched faces, and was not searched for self-intersections.
	Unsearched bool `json:"self_intersections_unsearched"`
	// Overlaps are the pairs of shells among those.
	Overlaps int `json:"overlapping_shells"`
	// Undecided says that so many faces lie over each other that SelfIntersections or the nesting was not looked for to the end.
	Undecided bool `json:"undecided"`
	// PinchedVertices join fans of faces that share no edge there. Such a mesh is closed all the same, and they do
	// not make it unsound.
	PinchedVertices int `json:"pinched_vertices"`
	// Shells are the groups of faces that hang together by edges.
	Shells int `json:"shells"`
	// Cavities are shells that face inward inside another that faces outward, as they should.
	Cavities int `json:"cavities"`
	// InsideOut shells face inward where there is nothing around them to be hollowed out.
	InsideOut int `json:"inside_out_shells"`
	// Buried shells face outward in the solid inside of another: one solid in another.
	Buried int `json:"buried_shells"`
	// VolumeMM3 is the volume inside, negative when the faces look inwards. It means nothing with open edges.
	VolumeMM3 float64 `json:"volume_mm3"`
	// BoundsMM are those of the mesh.
	BoundsMM [2][3]float64 `json:"bounds_mm"`
	// Places are where the first few of each kind of fault stand.
	Places []Place `json:"places,omitempty"`
}

// Place is where something is wrong.
type Place struct {
	// What is the key of the fault, as JSON names its count.
	What string `json:"what"`
	// AtMM is a place on it.
	AtMM [3]float64 `json:"at_mm"`
}

// mostPlaces is how many places are told of each kind of fault.
const mostPlaces = 3

// Sound says that the mesh bounds a solid, as an exact kernel would sign it: closed, oriented, free of degenerate faces and of
// self-intersections, each shell facing the way that its nesting asks for, and of positive volume. What it
// could not look for is told by Undecided, which makes it unsound, and by Unsearched, which does not.
func (s Soundness) Sound() bool {
	return s.Shells > 0 && s.Closed() && s.MisorientedEdges == 0 && s.Degenerate == 0 && s.Repeated == 0 && s.SelfIntersections == 0 &&
		s.InsideOut == 0 && s.Buried == 0 && !s.Undecided && s.VolumeMM3 > 0
}

// Faults tell why a mesh is not sound, each with a place where there is one; none for a sound mesh.
func (s Soundness) Faults() []string {
	var out []string
	for _, f := range []struct {
		n               int
		key, one, other string
	}{
		{s.OpenEdges, "open_edges", "an open edge", "%d open edges"},
		{s.TJoints, "t_joints", "one of them with a corner of a neighbour within it, a T-joint", "%d of them with a corner of a neighbour within them, T-joints"},
		{s.NonmanifoldEdges, "nonmanifold_edges", "an edge with more than two faces", "%d edges with more than two faces"},
		{s.MisorientedEdges, "misoriented_edges", "an edge between faces turned against each other", "%d edges between faces turned against each other"},
		{s.Degenerate, "degenerate", "a face without area", "%d faces without area"},
		{s.Repeated, "repeated_faces", "a face that stands there already", "%d faces that stand there already"},
		{s.InsideOut, "inside_out_shells", "a body inside out: its faces look inward", "%d bodies inside out: their faces look inward"},
		{s.Buried, "buried_shells", "a solid inside a solid: its faces look outward, so that it is no cavity", "%d solids inside a solid: their faces look outward, so that they are no cavities"},
		{s.Overlaps, "overlapping_shells", "two bodies that run into each other", "%d pairs of bodies that run into each other"},
		{s.SelfIntersections, "self_intersections", "a pair of faces that cross or touch", "%d pairs of faces that cross or touch"},
	} {
		text := f.one
		if f.n > 1 {
			text = fmt.Sprintf(f.other, f.n)
		}
		if f.n == mostCrossings && f.key == "self_intersections" {
			text = "at least " + text
		}
		for _, p := range s.Places {
			if p.What == f.key {
				text += fmt.Sprintf(" (at x %.3f, y %.3f, z %.3f mm)", p.AtMM[0], p.AtMM[1], p.AtMM[2])
				break
			}
		}
		if f.n > 0 {
			out = append(out, text)
		}
	}
	if s.Undecided {
		out = append(out, "too many faces that lie over each other to look for all that cross")
	}
	if s.VolumeMM3 <= 0 && s.InsideOut == 0 && s.Closed() {
		out = append(out, "faces that look inward")
	}
	return out
}

// Closed says that every edge has two faces.
func (s Soundness) Closed() bool { return s.OpenEdges == 0 && s.NonmanifoldEdges == 0 }

// at notes where a fault stands, if it is among the first few.
func (s *Soundness) at(what string, v Vec) {
	n := 0
	for _, p := range s.Places {
		if p.What == what {
			n++
		}
	}
	if n < mostPlaces {
		s.Places = append(s.Places, Place{what, [3]float64{float64(v[0]), float64(v[1]), float64(v[2])}})
	}
}

// Audit measures soundness. Edges are told apart by vertex index, so that a mesh must be welded; coordinates are
// finite, and judged exactly on the grid of gridStep, to which others are rounded. Time goes with the number of faces and of
// pairs whose boxes overlap, which are bounded, memory with 150 bytes a face. At most 2^31/3 faces.
func Audit(m *Mesh) Soundness {
	var s Soundness
	usable, g := m.usable(), groupsOf(m)
	for i, f := range m.Faces {
		if !usable[i] {
			s.Degenerate++
		} else if facing(&g.places[f[0]], &g.places[f[1]], &g.places[f[2]]) == 3 {
			s.Degenerate++
			s.at("degenerate", m.Vertices[f[0]])
		}
	}
	s.BoundsMM = m.Bounds()
	s.countEdges(m, usable, g)
	s.countGroups(m, usable, g)
	s.countCrossings(m, usable, g)
	s.judgeShells(m, usable, g)
	return s
}
