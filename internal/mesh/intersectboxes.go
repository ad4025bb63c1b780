package mesh

// Broad phase: which triangles' boxes overlap.

import (
	"math/bits"
	"slices"
)

// leafSize is how many triangles stand in a leaf.
const leafSize = 4

// gridBox is a closed box.
type gridBox struct{ lo, hi gridVec }

// overlap says whether two boxes have a place in common.
func (a *gridBox) overlap(b *gridBox) bool {
	return a.lo[0] <= b.hi[0] && b.lo[0] <= a.hi[0] && a.lo[1] <= b.hi[1] && b.lo[1] <= a.hi[1] &&
		a.lo[2] <= b.hi[2] && b.lo[2] <= a.hi[2]
}

// widen stretches a box over another.
func (a *gridBox) widen(b *gridBox) {
	for k := range 3 {
		a.lo[k], a.hi[k] = min(a.lo[k], b.lo[k]), max(a.hi[k], b.hi[k])
	}
}

// boxTree is a binary tree of boxes over triangles in the order of a space-filling curve. Node i has the children 2i
// and 2i+1; the leaves, a power of two of them, come last, so that a node's place tells its triangles.
type boxTree struct {
	triangles []gridTriangle
	// boxes are those of the triangles, close together for whoever only looks at them; nodes are those of the nodes.
	boxes, nodes []gridBox
	leaves       int
}

// newBoxTree puts the triangles in order and builds the boxes from the leaves up.
func newBoxTree(triangles []gridTriangle) *boxTree {
	t := &boxTree{triangles: alongCurve(triangles), boxes: make([]gridBox, len(triangles)), leaves: 1}
	for i := range t.triangles {
		t.boxes[i] = t.triangles[i].gridBox
	}
	for t.leaves*leafSize < len(triangles) {
		t.leaves *= 2
	}
	t.nodes = make([]gridBox, 2*t.leaves)
	for i := 2*t.leaves - 1; i > 0; i-- {
		n := &t.nodes[i]
		*n = gridBox{gridVec{maxGrid, maxGrid, maxGrid}, gridVec{-maxGrid, -maxGrid, -maxGrid}} // inside out: it overlaps nothing
		if i >= t.leaves {
			for j, to := t.leaf(i); j < to; j++ {
				n.widen(&t.boxes[j])
			}
		} else {
			n.widen(&t.nodes[2*i])
			n.widen(&t.nodes[2*i+1])
		}
	}
	return t
}

// The bits of a key by which triangles are sorted: curveBits of the place along each axis, and the triangle's own number.
const (
	curveBits  = 13
	numberBits = 64 - 3*curveBits
)

// alongCurve sorts triangles, at most 2^25, by the Morton code of their boxes' middles, ties by number.
func alongCurve(triangles []gridTriangle) []gridTriangle {
	var all gridBox
	for i := range triangles {
		if all.widen(&triangles[i].gridBox); i == 0 {
			all = triangles[0].gridBox
		}
	}
	shift := 0 // from twice a place in grid steps to a place of curveBits
	for k := range 3 {
		shift = max(shift, bits.Len64(uint64(2*(int64(all.hi[k])-int64(all.lo[k]))))-curveBits)
	}
	keys := make([]uint64, len(triangles))
	for i := range triangles {
		t := &triangles[i]
		for k := range 3 {
			middle := uint64(t.lo[k]-all.lo[k]) + uint64(t.hi[k]-all.lo[k])
			keys[i] |= spread(middle>>shift) << k
		}
		keys[i] = keys[i]<<numberBits | uint64(i)
	}
	slices.Sort(keys)
	out := make([]gridTriangle, len(triangles))
	for i, key := range keys {
		out[i] = triangles[key&(1<<numberBits-1)]
	}
	return out
}

// spread puts two zero bits between the lowest 21 bits of x.
func spread(x uint64) uint64 {
	x &= 0x1fffff
	x = (x | x<<32) & 0x1f00000000ffff
	x = (x | x<<16) & 0x1f0000ff0000ff
	x = (x | x<<8) & 0x100f00f00f00f00f
	x = (x | x<<4) & 0x10c30c30c30c30c3
	x = (x | x<<2) & 0x1249249249249249
	return x
}

// leaf tells which triangles stand in a leaf; the last ones may have none.
func (t *boxTree) leaf(node int) (from, to int) {
	from = min((node-t.leaves)*leafSize, len(t.triangles))
	return from, min(from+leafSize, len(t.triangles))
}

// pairs calls visit for each pair of triangles whose boxes overlap, until visit says false.
func (t *boxTree) pairs(visit func(a, b *gridTriangle) bool) { t.within(1, visit) }

// within visits the pairs under one node.
func (t *boxTree) within(node int, visit func(a, b *gridTriangle) bool) bool {
	if node < t.leaves {
		return t.within(2*node, visit) && t.within(2*node+1, visit) && t.across(2*node, 2*node+1, visit)
	}
	from, to := t.leaf(node)
	for i := from; i < to; i++ {
		for j := from; j < i; j++ {
			if t.boxes[i].overlap(&t.boxes[j]) && !visit(&t.triangles[j], &t.triangles[i]) {
				return false
			}
		}
	}
	return true
}

// across visits the pairs of one triangle under a and one under b, which are nodes of one level.
func (t *boxTree) across(a, b int, visit func(a, b *gridTriangle) bool) bool {
	if !t.nodes[a].overlap(&t.nodes[b]) {
		return true
	}
	if a < t.leaves {
		return t.across(2*a, 2*b, visit) && t.across(2*a, 2*b+1, visit) &&
			t.across(2*a+1, 2*b, visit) && t.across(2*a+1, 2*b+1, visit)
	}
	fromA, toA := t.leaf(a)
	fromB, toB := t.leaf(b)
	for i := fromA; i < toA; i++ {
		if !t.boxes[i].overlap(&t.nodes[b]) {
			continue
		}
		for j := fromB; j < toB; j++ {
			if t.boxes[i].overlap(&t.boxes[j]) && !visit(&t.triangles[i], &t.triangles[j]) {
				return false
			}
		}
	}
	return true
}
