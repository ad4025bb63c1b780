package mesh

// Broad phase: which triangles' boxes overlap.

import (
	"cmp"
	"slices"
)

// leafSize is how many triangles stand in a leaf.
const leafSize = 4

// boxTree is a binary tree of boxes over triangles in the order of a space-filling curve. Node i has the children 2i
// and 2i+1; the leaves, a power of two of them, come last, so that a node's place tells its triangles.
type boxTree struct {
	triangles []gridTriangle
	leaves    int
	lo, hi    []gridVec
}

// newBoxTree puts the triangles in order and builds the boxes from the leaves up.
func newBoxTree(triangles []gridTriangle) *boxTree {
	t := &boxTree{triangles: alongCurve(triangles), leaves: 1}
	for t.leaves*leafSize < len(triangles) {
		t.leaves *= 2
	}
	t.lo, t.hi = make([]gridVec, 2*t.leaves), make([]gridVec, 2*t.leaves)
	for i := 2*t.leaves - 1; i > 0; i-- {
		lo := gridVec{maxGrid, maxGrid, maxGrid} // an empty box, inside out: it overlaps nothing
		hi := gridVec{-maxGrid, -maxGrid, -maxGrid}
		if i >= t.leaves {
			leaf := t.leaf(i)
			for j := range leaf {
				widen(&lo, &hi, leaf[j].lo, leaf[j].hi)
			}
		} else {
			widen(&lo, &hi, t.lo[2*i], t.hi[2*i])
			widen(&lo, &hi, t.lo[2*i+1], t.hi[2*i+1])
		}
		t.lo[i], t.hi[i] = lo, hi
	}
	return t
}

// widen stretches a box over another.
func widen(lo, hi *gridVec, l, h gridVec) {
	for k := range 3 {
		lo[k], hi[k] = min(lo[k], l[k]), max(hi[k], h[k])
	}
}

// alongCurve sorts triangles by the Morton code of their boxes' middles, ties by face.
func alongCurve(triangles []gridTriangle) []gridTriangle {
	type place struct {
		code  uint64
		index int
	}
	order := make([]place, len(triangles))
	for i := range triangles {
		t := &triangles[i]
		var code uint64
		for k := range 3 {
			middle := uint64(t.lo[k]+t.hi[k]+2*maxGrid) >> 7 // 28 bits of sum to the upper 21
			code |= spread(middle) << k
		}
		order[i] = place{code, i}
	}
	slices.SortFunc(order, func(a, b place) int {
		return cmp.Or(cmp.Compare(a.code, b.code), cmp.Compare(a.index, b.index))
	})
	out := make([]gridTriangle, len(triangles))
	for i, p := range order {
		out[i] = triangles[p.index]
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

// leaf is the triangles of a leaf; the last ones may have none.
func (t *boxTree) leaf(node int) []gridTriangle {
	from := min((node-t.leaves)*leafSize, len(t.triangles))
	return t.triangles[from:min(from+leafSize, len(t.triangles))]
}

// pairs calls visit for each pair of triangles whose boxes overlap, until visit says false.
func (t *boxTree) pairs(visit func(a, b *gridTriangle) bool) { t.within(1, visit) }

// within visits the pairs under one node.
func (t *boxTree) within(node int, visit func(a, b *gridTriangle) bool) bool {
	if node < t.leaves {
		return t.within(2*node, visit) && t.within(2*node+1, visit) && t.across(2*node, 2*node+1, visit)
	}
	leaf := t.leaf(node)
	for i := range leaf {
		for j := range i {
			if overlap(leaf[j].lo, leaf[j].hi, leaf[i].lo, leaf[i].hi) && !visit(&leaf[j], &leaf[i]) {
				return false
			}
		}
	}
	return true
}

// across visits the pairs of one triangle under a and one under b, which are nodes of one level.
func (t *boxTree) across(a, b int, visit func(a, b *gridTriangle) bool) bool {
	if !overlap(t.lo[a], t.hi[a], t.lo[b], t.hi[b]) {
		return true
	}
	if a < t.leaves {
		return t.across(2*a, 2*b, visit) && t.across(2*a, 2*b+1, visit) &&
			t.across(2*a+1, 2*b, visit) && t.across(2*a+1, 2*b+1, visit)
	}
	as, bs := t.leaf(a), t.leaf(b)
	for i := range as {
		if !overlap(as[i].lo, as[i].hi, t.lo[b], t.hi[b]) {
			continue
		}
		for j := range bs {
			if overlap(as[i].lo, as[i].hi, bs[j].lo, bs[j].hi) && !visit(&as[i], &bs[j]) {
				return false
			}
		}
	}
	return true
}

// overlap says whether two closed boxes have a place in common.
func overlap(aLo, aHi, bLo, bHi gridVec) bool {
	return aLo[0] <= bHi[0] && bLo[0] <= aHi[0] && aLo[1] <= bHi[1] && bLo[1] <= aHi[1] &&
		aLo[2] <= bHi[2] && bLo[2] <= aHi[2]
}
