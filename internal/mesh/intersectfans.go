package mesh

// What most neighbours are, decided at a corner for all its faces at once: they lie side by side, and meet in their common edges alone.

// fan is how the faces about a vertex look along each axis.
type fan struct {
	// front and back say, a bit an axis, that one shows its front or its back; one that is seen from its edge counts as both.
	front, back uint8
	// over counts, up to 2, the faces over the ray that leaves the vertex along the axis after the one that is looked along.
	over [3]uint8
}

// seenBoth is what front and back are where nothing can be told: by all axes.
const seenBoth = 7

// add counts a face of which a corner is the vertex: the signs of its normal, and its corners from there, in its order.
func (f *fan) add(n *[3]int, p, q, r *gridVec) {
	for axis := range 3 {
		y := (axis + 2) % 3
		begin, end := q[y], r[y]
		if n[axis] >= 0 {
			f.front |= 1 << axis
		}
		if n[axis] <= 0 {
			f.back |= 1 << axis
			begin, end = end, begin
		}
		if begin <= p[y] && p[y] < end { // it is narrower than half a turn, and so does not pass the ray on its other side
			f.over[axis] = min(f.over[axis]+1, 2)
		}
	}
}

// flat says whether no two of the faces have more in common than the corner or the edge that both have, if each edge at the vertex
// belongs to two that run along it both ways: seen along one axis, all face one way, and one of them lies over one ray. Going round from there one
// begins wherever another ends, so that it is one everywhere.
func (f *fan) flat() bool {
	for axis := range 3 {
		if f.over[axis] == 1 && (f.front^f.back)>>axis&1 == 1 {
			return true
		}
	}
	return false
}

// look adds a face to what is around its corners, and says whether it has an area.
func (g *groups) look(f [3]uint32) bool {
	p := [3]*gridVec{&g.places[f[0]], &g.places[f[1]], &g.places[f[2]]}
	var n [3]int
	for axis := range n {
		n[axis] = turn(p[0], p[1], p[2], axis)
	}
	for k, v := range f {
		g.around[v].add(&n, p[k], p[(k+1)%3], p[(k+2)%3])
	}
	return n != [3]int{}
}
