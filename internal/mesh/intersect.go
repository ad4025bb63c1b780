package mesh

// Self-intersection, exactly: which faces meet anywhere but in the corners and edges that they share.

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// Bounds of the search for faces that meet.
const (
	// mostSearched is how many faces a mesh may have to be searched: 200 MB of binary STL, which take two or three seconds.
	mostSearched = 4_000_000
	// mostCrossings is how many pairs are counted.
	mostCrossings = 1000
	// mostTried, and triedPerFace for each face, are how many pairs with overlapping boxes are tried. A sound mesh of long faces has
	// some seven for each; a fan of thousands of faces about one corner has a quarter of its square.
	mostTried, triedPerFace = 50_000_000, 200
)

// countCrossings counts pairs of faces that are usable, whose common points are more than the corners and edges that both have: faces that
// pierce, touch, fold onto each other or overlap in a plane. Corners are the same when they are one vertex. Faces without area
// and repeated ones are left out: they are counted. On the grid the answer is exact.
func (s *Soundness) countCrossings(m *Mesh, usable []bool, g *groups) {
	if len(m.Faces) > mostSearched {
		s.Unsearched = true
		return
	}
	found, whole := crossings(m, g, func(i int) bool { return usable[i] && !g.again[uint32(i)] })
	s.SelfIntersections, s.Undecided = len(found), !whole
	shells := map[[2]uint32]bool{}
	for _, f := range found {
		what := "self_intersections"
		if a, b := g.of[f[0]], g.of[f[1]]; a != b {
			what = "overlapping_shells"
			if pair := [2]uint32{min(a, b), max(a, b)}; !shells[pair] {
				shells[pair] = true
				s.at(what, m.between(f))
			}
			continue
		}
		s.at(what, m.between(f))
	}
	s.Overlaps = len(shells)
}

// between is the middle of what the boxes of two faces have in common.
func (m *Mesh) between(pair [2]int) (at Vec) {
	for k := range at {
		lo, hi := math.Inf(-1), math.Inf(1)
		for _, i := range pair {
			f := m.Faces[i]
			a, b, c := float64(m.Vertices[f[0]][k]), float64(m.Vertices[f[1]][k]), float64(m.Vertices[f[2]][k])
			lo, hi = max(lo, min(a, b, c)), min(hi, max(a, b, c))
		}
		at[k] = float32((lo + hi) / 2)
	}
	return at
}

// crossings lists the pairs of wanted faces that meet, lower number first and in rising order, the first mostCrossings of each part of the
// mesh that is searched by itself; whole says that neither this nor the bound on what is tried cut the search short.
func crossings(m *Mesh, g *groups, wanted func(i int) bool) (found [][2]int, whole bool) {
	patches := patchesOf(m, g, wanted)
	begin := search{faces: m.Faces, places: g.places, patches: patches, left: mostTried + triedPerFace*len(m.Faces)}
	tree := newBoxTree(count(len(patches)), func(i int32) gridBox {
		box := g.boxOf(m.Faces[patches[i].faces[0]])
		if n := patches[i].n; n > 1 {
			other := g.boxOf(m.Faces[patches[i].faces[1]])
			box.widen(&other)
		}
		return box
	})
	for k := range patches {
		if p := &patches[k]; p.n > 1 {
			begin.try(p, 0, p, 1)
		}
	}
	searches := []search{begin}
	var all sync.WaitGroup
	if tree.root().leaf() {
		tree.within(tree.root(), searches[0].visit)
	} else { // in two halves and between them
		low, high := tree.root().halves()
		searches = []search{begin, begin, begin}
		searches[1].found, searches[2].found = nil, nil
		all.Go(func() { tree.within(low, searches[0].visit) })
		all.Go(func() { tree.within(high, searches[1].visit) })
		all.Go(func() { tree.across(low, high, searches[2].visit) })
	}
	all.Wait()
	whole = true
	for _, c := range searches {
		found = append(found, c.found...)
		whole = whole && c.left >= 0
	}
	slices.SortFunc(found, func(a, b [2]int) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	return found[:min(len(found), mostCrossings)], whole || len(found) >= mostCrossings
}

// patch is a face, or two in a row with an edge in common, as meshers write them: nearly half as many boxes then hold all faces.
type patch struct {
	n     int
	faces [2]int32
	// settled are the vertices of each that it need not be tried with others of, since all is in order about them; and in place of the rest
	// numbers that no other face has.
	settled [2][3]uint32
}

// patchesOf lays the wanted faces that have an area into patches.
func patchesOf(m *Mesh, g *groups, wanted func(i int) bool) []patch {
	fans := fansOf(m, g)
	out := make([]patch, 0, len(m.Faces)*5/8)
	for i, f := range m.Faces {
		if !wanted(i) || facing(&g.places[f[0]], &g.places[f[1]], &g.places[f[2]]) == 3 {
			continue
		}
		for k, v := range f {
			if !fans[v].flat() {
				f[k] = math.MaxUint32 - uint32(3*i+k)
			}
		}
		if k := len(out) - 1; k >= 0 && out[k].n == 1 && int(out[k].faces[0]) == i-1 && neighbours(&m.Faces[i-1], &m.Faces[i]) {
			out[k].n, out[k].faces[1], out[k].settled[1] = 2, int32(i), f
			continue
		}
		out = append(out, patch{n: 1, faces: [2]int32{int32(i)}, settled: [2][3]uint32{f}})
	}
	return out
}

// neighbours says whether two faces have two corners in common.
func neighbours(f, g *[3]uint32) bool {
	n := 0
	for _, v := range f {
		if v == g[0] || v == g[1] || v == g[2] {
			n++
		}
	}
	return n == 2
}

// search is the search of one part.
type search struct {
	faces   [][3]uint32
	places  []gridVec
	patches []patch
	left    int
	found   [][2]int
}

// visit tries two patches.
func (c *search) visit(i, j int32) bool {
	c.left--
	p, q := &c.patches[i], &c.patches[j]
	for k := range p.n {
		for l := range q.n {
			c.try(p, k, q, l)
		}
	}
	return c.left >= 0 && len(c.found) < mostCrossings
}

// try tries a face of each of two patches, unless they have a vertex in common about which all is in order.
func (c *search) try(p *patch, k int, q *patch, l int) {
	s, t := &p.settled[k], &q.settled[l]
	if min(s[0]^t[0], s[0]^t[1], s[0]^t[2], s[1]^t[0], s[1]^t[1], s[1]^t[2], s[2]^t[0], s[2]^t[1], s[2]^t[2]) == 0 {
		return
	}
	if a, b := p.faces[k], q.faces[l]; beside(c.places, &c.faces[a], &c.faces[b]) && c.meet(&c.faces[a], &c.faces[b]) {
		c.found = append(c.found, [2]int{int(min(a, b)), int(max(a, b))})
	}
}

// beside says whether the boxes of two faces overlap.
func beside(places []gridVec, f, g *[3]uint32) bool {
	p, q, r := &places[f[0]], &places[f[1]], &places[f[2]]
	s, t, u := &places[g[0]], &places[g[1]], &places[g[2]]
	for k := range 3 {
		if max(p[k], q[k], r[k]) < min(s[k], t[k], u[k]) || max(s[k], t[k], u[k]) < min(p[k], q[k], r[k]) {
			return false
		}
	}
	return true
}

// meet says whether two faces have more in common than the corners that coincide and the edge between them.
//
// Two that share
//   - three corners are one face twice;
//   - an edge meet elsewhere only when they lie in one plane on one side of the edge: else the line of the edge is all
//     that their planes share;
//   - a corner meet elsewhere only if each has points on the line of both planes on the same side of the corner: a ray of it runs
//     through both;
//   - nothing meet if what they have on that line overlaps.
func (c *search) meet(f, g *[3]uint32) bool {
	var mine, theirs [3]int // the corners that coincide
	shared := 0
	for i, v := range f {
		for j, w := range g {
			if v == w {
				mine[shared], theirs[shared] = i, j
				shared++
			}
		}
	}
	t, u := newGridTriangle(c.places, f), newGridTriangle(c.places, g)
	switch shared {
	case 3:
		return true
	case 2:
		return t.foldsOnto(&u, mine[0], mine[1], 3-theirs[0]-theirs[1])
	case 1:
		return t.meetsAtCorner(&u, mine[0], theirs[0])
	default:
		return t.meetsApart(&u)
	}
}

// toGrid gives the vertices in grid steps, rounded where they are not on the grid.
func (m *Mesh) toGrid() []gridVec {
	per := 1 / gridStep(m.Vertices) // exact: a power of two
	out := make([]gridVec, len(m.Vertices))
	for i, v := range m.Vertices {
		out[i] = inSteps(v, per)
	}
	return out
}

// inSteps is a place in grid steps, per of them to the unit, rounded where it is not on the grid.
func inSteps(v Vec, per float64) (at gridVec) {
	for k, x := range v {
		at[k] = int64(math.RoundToEven(float64(x) * per))
	}
	return at
}
