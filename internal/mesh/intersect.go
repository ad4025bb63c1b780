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
	// mostSearched is how many faces a mesh may have to be searched: 100 MB of binary STL, which take a second or two.
	mostSearched = 2_000_000
	// mostCrossings is how many pairs are counted.
	mostCrossings = 1000
	// mostTried, and triedPerFace for each face, are how many pairs with overlapping boxes are tried. A sound mesh of long faces has
	// some seven for each; a fan of thousands of faces about one corner has a quarter of its square.
	mostTried, triedPerFace = 50_000_000, 200
)

// maxGrid is the largest coordinate in grid steps. Differences then stay below 2^27, normals below 2^55 and
// determinants below 2^84.
const maxGrid = 1 << gridBits

// countCrossings counts pairs of faces that are usable, whose common points are more than the corners and edges that both have: faces that
// pierce, touch, fold onto each other or overlap in a plane. Corners are the same when they are one vertex. Faces without area
// and repeated ones are left out: they are counted. On the grid the answer is exact.
func (s *Soundness) countCrossings(m *Mesh, usable []bool, g *groups) {
	if len(m.Faces) > mostSearched {
		s.Unsearched = true
		return
	}
	found, whole := crossings(m, g.places, func(i int) bool { return usable[i] && !g.again[uint32(i)] })
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
func crossings(m *Mesh, places []gridVec, wanted func(i int) bool) (found [][2]int, whole bool) {
	triangles := make([]gridTriangle, 0, len(m.Faces))
	boxes := make([]boxed, 0, len(m.Faces))
	for i, f := range m.Faces {
		if !wanted(i) {
			continue
		}
		if t := newGridTriangle(places, i, f); t.plane != [4]float64{} {
			boxes = append(boxes, boxed{boxOf(places[f[0]], places[f[1]], places[f[2]]), int32(len(triangles))})
			triangles = append(triangles, t)
		}
	}
	tree := newBoxTree(boxes)
	share := mostTried + triedPerFace*len(boxes)
	searches := []search{{left: share}}
	var all sync.WaitGroup
	if tree.root().leaf() {
		searches[0].triangles = triangles
		tree.within(tree.root(), searches[0].visit)
	} else { // in two halves and between them
		low, high := tree.root().halves()
		searches = make([]search, 3)
		for k := range searches {
			searches[k].triangles, searches[k].left = triangles, share
		}
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

// search is the search of one part.
type search struct {
	triangles []gridTriangle
	left      int
	found     [][2]int
}

// visit tries a pair.
func (c *search) visit(a, b int32) bool {
	c.left--
	t, u := &c.triangles[a], &c.triangles[b]
	if t.meet(u) {
		c.found = append(c.found, [2]int{min(t.face, u.face), max(t.face, u.face)})
	}
	return c.left >= 0 && len(c.found) < mostCrossings
}

// toGrid gives the vertices in grid steps, rounded where they are not on the grid.
func (m *Mesh) toGrid() []gridVec {
	per := 1 / gridStep(m.Vertices) // exact: a power of two
	out := make([]gridVec, len(m.Vertices))
	for i, v := range m.Vertices {
		for k, x := range v {
			out[i][k] = int32(math.RoundToEven(float64(x) * per))
		}
	}
	return out
}
