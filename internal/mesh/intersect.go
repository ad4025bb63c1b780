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
	begin := search{faces: m.Faces, places: g.places, settled: slices.Clone(m.Faces), left: mostTried + triedPerFace*len(m.Faces)}
	fans := fansOf(m, g)
	for i, f := range m.Faces {
		if !wanted(i) || facing(&g.places[f[0]], &g.places[f[1]], &g.places[f[2]]) == 3 {
			continue
		}
		for k, v := range f {
			if !fans[v].flat() {
				begin.settled[i][k] = math.MaxUint32 - uint32(3*i+k)
			}
		}
		begin.lay(int32(i))
	}
	tree := newBoxTree(len(begin.patches), func(k int32) gridBox {
		p := begin.patches[k]
		box, last := g.boxOf(m.Faces[p.from]), g.boxOf(m.Faces[p.to-1])
		box.widen(&last)
		return box
	})
	found, begin.found = begin.found, nil
	searches := [...]search{begin, begin, begin}
	var all sync.WaitGroup
	if tree.root().leaf() {
		tree.within(tree.root(), searches[0].visit)
	} else { // in two halves and between them
		low, high := tree.root().halves()
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
	faces  [][3]uint32
	places []gridVec
	// settled are the vertices of each face that it need not be tried with others of, since all is in order about them; and in place of the rest
	// numbers that no other face has.
	settled [][3]uint32
	patches []patch
	left    int
	found   [][2]int
}

// patch is a face, or two in a row with an edge in common, as meshers write them: nearly half as many boxes then hold all faces.
type patch struct{ from, to int32 }

// lay adds a face to the patches.
func (c *search) lay(i int32) {
	if n := len(c.patches) - 1; n >= 0 && c.patches[n] == (patch{i - 1, i}) {
		has := func(k int) bool { return slices.Contains(c.faces[i-1][:], c.faces[i][k]) }
		if has(0) && has(1) || has(1) && has(2) || has(2) && has(0) {
			c.patches[n].to++
			c.try(i-1, i)
			return
		}
	}
	c.patches = append(c.patches, patch{i, i + 1})
}

// visit tries two patches.
func (c *search) visit(i, j int32) bool {
	c.left--
	p, q := c.patches[i], c.patches[j]
	for a := p.from; a < p.to; a++ {
		for b := q.from; b < q.to; b++ {
			c.try(a, b)
		}
	}
	return c.left >= 0 && len(c.found) < mostCrossings
}

// try tries two faces, unless they have a vertex in common about which all is in order.
func (c *search) try(a, b int32) {
	s, t := &c.settled[a], &c.settled[b]
	if min(s[0]^t[0], s[0]^t[1], s[0]^t[2], s[1]^t[0], s[1]^t[1], s[1]^t[2], s[2]^t[0], s[2]^t[1], s[2]^t[2]) == 0 {
		return
	}
	if f, g := &c.faces[a], &c.faces[b]; beside(c.places, f, g) && c.meet(f, g) {
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
