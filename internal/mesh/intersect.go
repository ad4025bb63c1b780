package mesh

// Self-intersection, exactly: which faces meet anywhere but in the corners and edges that they share.

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Errors of SelfIntersections.
var (
	// ErrOffGrid says that a vertex does not lie on the grid of GridMM.
	ErrOffGrid = errors.New("vertex is not on the grid")
	// ErrFarOut says that a vertex lies farther out than exact tests reach.
	ErrFarOut = errors.New("vertex is too far from the origin")
)

// maxGrid bounds coordinates in grid steps: 1024 mm. Differences then stay below 2^27, normals below 2^55 and
// determinants below 2^84.
const maxGrid = 1 << 26

// SelfIntersections lists pairs of faces, lower number first and in rising order, whose common points are more than
// the corners and edges that both have: faces that pierce, touch, fold onto each other, overlap in a plane or repeat.
// Corners are the same when they are in the same place, whatever their index. Faces without area are left out; Audit
// counts them. The answer is exact. limit bounds the pairs that are looked for; 0 means all of them. Time goes with the
// number of faces whose boxes overlap: thousands of faces about one corner are all tried against each other.
//
// Errors: ErrOffGrid, ErrFarOut (1024 mm), ErrNotFinite, ErrBadIndex, ErrTooLarge.
func SelfIntersections(m *Mesh, limit int) ([][2]int, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	places, err := toGrid(m.Vertices)
	if err != nil {
		return nil, err
	}
	triangles := make([]gridTriangle, 0, len(m.Faces))
	for i, f := range m.Faces {
		t := newGridTriangle(i, places[f[0]], places[f[1]], places[f[2]])
		if t.n != (wideVec{}) {
			triangles = append(triangles, t)
		}
	}
	boxes := make([]boxed, len(triangles))
	for i := range triangles {
		boxes[i] = boxed{triangles[i].gridBox, &triangles[i]}
	}
	var found [][2]int
	pairs(boxes, func(a, b *gridTriangle) bool {
		if a.meets(b) {
			found = append(found, [2]int{min(a.face, b.face), max(a.face, b.face)})
		}
		return limit <= 0 || len(found) < limit
	})
	slices.SortFunc(found, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return found, nil
}

// toGrid turns millimetres into grid steps.
func toGrid(vertices []Vec) ([]gridVec, error) {
	out := make([]gridVec, len(vertices))
	for i, v := range vertices {
		for k, x := range v {
			steps := float64(x) / GridMM // exact: a power of two
			switch {
			case math.Abs(steps) > maxGrid:
				return nil, fmt.Errorf("vertex %d is %v mm: %w: at most %g mm", i, v, ErrFarOut, maxGrid*GridMM)
			case steps != math.Trunc(steps):
				return nil, fmt.Errorf("vertex %d is %v mm: %w of 2^-16 mm", i, v, ErrOffGrid)
			}
			out[i][k] = int32(steps)
		}
	}
	return out, nil
}

// gridTriangle is a face in grid steps.
type gridTriangle struct {
	face int
	p    [3]gridVec
	n    wideVec // (p1-p0) x (p2-p0), exact
	gridBox
	// plane is n and n . p0 in floating point; within slack of it, they do not tell the side.
	plane [4]float64
	slack float64
}

// sideFilter bounds the rounding of side against |n| (the sum of its components' sizes) times the largest coordinate: n . p and
// n . p0 round at most 4 times each (2^-53), and their difference once; 32 leaves room.
const sideFilter = 32 * 0x1p-53

func newGridTriangle(face int, a, b, c gridVec) gridTriangle {
	t := gridTriangle{face: face, p: [3]gridVec{a, b, c}, n: b.sub(a).cross(c.sub(a))}
	for k := range 3 {
		t.lo[k], t.hi[k] = min(a[k], b[k], c[k]), max(a[k], b[k], c[k])
		n := float64(t.n[k])
		t.plane[k] = n
		t.plane[3] += n * float64(a[k])
		t.slack += math.Abs(n) * (sideFilter * maxGrid)
	}
	return t
}

// side is the sign of a place against a triangle's plane: 1 in front, 0 in it, -1 behind. Floating point decides when it can.
func (t *gridTriangle) side(p gridVec) int {
	x := t.plane[0]*float64(p[0]) + t.plane[1]*float64(p[1]) + t.plane[2]*float64(p[2]) - t.plane[3]
	switch {
	case x > t.slack:
		return 1
	case x < -t.slack:
		return -1
	}
	return t.n.dotSignExactly(p.sub(t.p[0]))
}

// meets says whether two triangles have more in common than the corners that coincide and the edge between them.
//
// Two triangles that share
//   - three corners are one face twice;
//   - an edge meet elsewhere only when they lie in one plane on one side of the edge: else the line of the edge is all
//     that their planes share;
//   - a corner meet elsewhere only if a ray from it runs through both, and it leaves one of the two, which is convex,
//     through the far edge while it is in the other: so one's far edge meets the other;
//   - nothing meet only if an edge of one meets the other.
func (t *gridTriangle) meets(u *gridTriangle) bool {
	var mine, theirs [3]int // the corners that coincide
	shared := 0
	for i := range 3 {
		for j := range 3 {
			if t.p[i] == u.p[j] {
				mine[shared], theirs[shared] = i, j
				shared++
				break // a triangle with area has no corner twice, so no more than 3 are found
			}
		}
	}
	switch shared {
	case 3:
		return true
	case 2:
		return t.foldsOnto(u, mine[0], mine[1], 3-theirs[0]-theirs[1])
	case 1:
		return t.meetsAtCorner(u, mine[0], theirs[0])
	default:
		return t.meetsApart(u)
	}
}

// foldsOnto says whether u, which shares the corners i and j and has k for its third, covers part of t.
func (t *gridTriangle) foldsOnto(u *gridTriangle, i, j, k int) bool {
	if t.side(u.p[k]) != 0 {
		return false
	}
	axis := t.n.widest()
	here := turn(t.p[i], t.p[j], t.p[3-i-j], axis)
	there := turn(t.p[i], t.p[j], u.p[k], axis)
	return here == there
}

// meetsAtCorner says whether triangles that share the corners i and j meet elsewhere.
func (t *gridTriangle) meetsAtCorner(u *gridTriangle, i, j int) bool {
	a, b := t.p[(i+1)%3], t.p[(i+2)%3]
	c, d := u.p[(j+1)%3], u.p[(j+2)%3]
	sideC, sideD := t.side(c), t.side(d)
	if sideC*sideD > 0 {
		return false // but for the corner, u is on one side of t
	}
	sideA, sideB := u.side(a), u.side(b)
	if sideA*sideB > 0 {
		return false
	}
	return t.crossedBy(c, d, sideC, sideD) || u.crossedBy(a, b, sideA, sideB)
}

// meetsApart says whether triangles without a common corner meet.
func (t *gridTriangle) meetsApart(u *gridTriangle) bool {
	var here, there [3]int
	if !t.sides(u, &here) || !u.sides(t, &there) {
		return false
	}
	for i := range 3 {
		j := (i + 1) % 3
		if t.crossedBy(u.p[i], u.p[j], here[i], here[j]) || u.crossedBy(t.p[i], t.p[j], there[i], there[j]) {
			return true
		}
	}
	return false
}

// sides tells on which side of t's plane u's corners are, and whether u reaches the plane.
func (t *gridTriangle) sides(u *gridTriangle, out *[3]int) bool {
	for i := range 3 {
		out[i] = t.side(u.p[i])
	}
	return !(out[0] == out[1] && out[1] == out[2] && out[0] != 0)
}

// crossedBy says whether the closed segment from a to b meets the closed triangle, given their sides.
func (t *gridTriangle) crossedBy(a, b gridVec, sideA, sideB int) bool {
	if sideA*sideB > 0 {
		return false
	}
	if sideA == 0 && sideB == 0 {
		return t.crossedInPlane(a, b)
	}
	// The line from a to b pierces the plane once, between a and b; the triangle holds that point if the line passes
	// all three edges on the same side, or touches them.
	along := b.sub(a)
	var left, right bool
	for i := range 3 {
		p, q := t.p[i].sub(a), t.p[(i+1)%3].sub(a)
		switch p.cross(q).dotSign(along) {
		case 1:
			left = true
		case -1:
			right = true
		}
		if left && right {
			return false
		}
	}
	return true
}

// crossedInPlane is crossedBy for a segment that lies in the triangle's plane.
func (t *gridTriangle) crossedInPlane(a, b gridVec) bool {
	axis := t.n.widest()
	if t.holdsInPlane(a, axis) {
		return true // and a segment that begins outside must cross an edge to come in
	}
	for i := range 3 {
		if segmentsMeet(a, b, t.p[i], t.p[(i+1)%3], axis) {
			return true
		}
	}
	return false
}

// holdsInPlane says whether the triangle holds a place in its plane, edges included.
func (t *gridTriangle) holdsInPlane(p gridVec, axis int) bool {
	var left, right bool
	for i := range 3 {
		switch turn(t.p[i], t.p[(i+1)%3], p, axis) {
		case 1:
			left = true
		case -1:
			right = true
		}
	}
	return !left || !right
}

// segmentsMeet says whether two closed segments in one plane meet, seen along an axis.
func segmentsMeet(a, b, c, d gridVec, axis int) bool {
	abc, abd := turn(a, b, c, axis), turn(a, b, d, axis)
	cda, cdb := turn(c, d, a, axis), turn(c, d, b, axis)
	if abc*abd < 0 && cda*cdb < 0 {
		return true
	}
	return abc == 0 && between(a, b, c, axis) || abd == 0 && between(a, b, d, axis) ||
		cda == 0 && between(c, d, a, axis) || cdb == 0 && between(c, d, b, axis)
}

// between says whether p, on the line of a and b, is on the segment.
func between(a, b, p gridVec, axis int) bool {
	for k := range 3 {
		if k != axis && (p[k] < min(a[k], b[k]) || p[k] > max(a[k], b[k])) {
			return false
		}
	}
	return true
}
