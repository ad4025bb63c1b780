package mesh

// Two faces on the grid: whether they have more in common than the corners and edges that both have, exactly.

import "math"

// gridTriangle is a face in grid steps.
type gridTriangle struct {
	face int
	v    [3]uint32
	p    [3]gridVec
	// plane is n = (p1-p0) x (p2-p0) and n . p0 in floating point; within slack of it, they do not tell the side.
	plane [4]float64
	slack float64
}

// sideFilter bounds the rounding of side against |n| (the sum of its components' sizes) times the largest coordinate: n . p and
// n . p0 round at most 4 times each (2^-53), and their difference once; 32 leaves room.
const sideFilter = 32 * 0x1p-53

func newGridTriangle(places []gridVec, face int, v [3]uint32) gridTriangle {
	t := gridTriangle{face: face, v: v, p: [3]gridVec{places[v[0]], places[v[1]], places[v[2]]}}
	for k, n := range t.normal() {
		n := float64(n)
		t.plane[k] = n
		t.plane[3] += n * float64(t.p[0][k])
		t.slack += math.Abs(n) * (sideFilter * maxGrid)
	}
	return t
}

// normal is (p1-p0) x (p2-p0), exact.
func (t *gridTriangle) normal() wideVec { return t.p[1].sub(t.p[0]).cross(t.p[2].sub(t.p[0])) }

// side is the sign of a place against a triangle's plane: 1 in front, 0 in it, -1 behind. Floating point decides when it can.
func (t *gridTriangle) side(p gridVec) int {
	x := t.plane[0]*float64(p[0]) + t.plane[1]*float64(p[1]) + t.plane[2]*float64(p[2]) - t.plane[3]
	switch {
	case x > t.slack:
		return 1
	case x < -t.slack:
		return -1
	}
	return t.normal().dotSignExactly(p.sub(t.p[0]))
}

// meet says whether two triangles have more in common than the corners that coincide and the edge between them.
//
// Two triangles that share
//   - three corners are one face twice;
//   - an edge meet elsewhere only when they lie in one plane on one side of the edge: else the line of the edge is all
//     that their planes share;
//   - a corner meet elsewhere only if a ray from it runs through both, and it leaves one of the two, which is convex,
//     through the far edge while it is in the other: so one's far edge meets the other;
//   - nothing meet only if an edge of one meets the other.
func (t *gridTriangle) meet(u *gridTriangle) bool {
	var mine, theirs [3]int // the corners that coincide
	shared := 0
	for i := range 3 {
		for j := range 3 {
			if t.v[i] == u.v[j] {
				mine[shared], theirs[shared] = i, j
				shared++
				break
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
	axis := t.normal().widest()
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

// crossedInPlane is crossedBy for a segment that lies in the triangle's plane: they are apart where the line of an edge of the triangle
// has the segment beyond it, or the line of the segment has the triangle on one side.
func (t *gridTriangle) crossedInPlane(a, b gridVec) bool {
	axis := t.normal().widest()
	sides := 0
	for i, p := range t.p {
		q := t.p[(i+1)%3]
		outside := -turn(p, q, t.p[(i+2)%3], axis)
		if turn(p, q, a, axis) == outside && turn(p, q, b, axis) == outside {
			return false
		}
		sides += turn(a, b, p, axis)
	}
	return sides != 3 && sides != -3
}
