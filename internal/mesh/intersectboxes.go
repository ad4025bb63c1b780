package mesh

// Broad phase: which boxes overlap, by a tree of boxes over all in the order of a space-filling curve.

import (
	"math/bits"
	"slices"
)

// gridBox is a closed box.
type gridBox struct{ lo, hi gridVec }

// boxOf is the box around a face.
func (g *groups) boxOf(f [3]uint32) (box gridBox) {
	a, b, c := &g.places[f[0]], &g.places[f[1]], &g.places[f[2]]
	for k := range 3 {
		box.lo[k], box.hi[k] = min(a[k], b[k], c[k]), max(a[k], b[k], c[k])
	}
	return box
}

// around is the box of what lies no farther than so much from two places.
func around(a, b gridVec, far int64) (box gridBox) {
	for k := range 3 {
		box.lo[k], box.hi[k] = min(a[k], b[k])-far, max(a[k], b[k])+far
	}
	return box
}

// widen stretches a box over another.
func (a *gridBox) widen(b *gridBox) {
	for k := range 3 {
		a.lo[k], a.hi[k] = min(a.lo[k], b.lo[k]), max(a.hi[k], b.hi[k])
	}
}

// coarse is a box on a coarse grid, around that of the fine one: three coordinates of laneBits in a number, each with an empty bit above it.
type coarse struct{ lo, hi uint64 }

const (
	laneBits = 20
	lane     = laneBits + 1
	spare    = 1<<laneBits | 1<<(laneBits+lane) | 1<<(laneBits+2*lane)
)

// overlap is 1 where two boxes have a place in common, and else 0: no end is below the other's beginning, where it would take the bit above.
func (a *coarse) overlap(b *coarse) int {
	apart := ((a.hi|spare)-b.lo)&((b.hi|spare)-a.lo)&spare ^ spare
	return int((apart - 1) >> 63)
}

// widen stretches a box over another.
func (a *coarse) widen(b *coarse) {
	a.lo, a.hi = lower(a.lo, b.lo), a.hi+b.hi-lower(a.hi, b.hi)
}

// lower takes the lower of each two coordinates.
func lower(a, b uint64) uint64 {
	is := ((a | spare) - b) & spare // where b is
	is -= is >> laneBits
	return a&^is | b&is
}

// few are so few boxes that trying each is faster than parting them.
const few = 8

// boxTree parts things in halves, halves of these, and so on, with the box around each.
type boxTree struct {
	all    []leaf
	around []coarse // by node
}

// leaf is the box of the thing with a number.
type leaf struct {
	coarse
	of int32
}

// node is a part of a tree: the things from one to another. Its halves have the numbers 2i+1 and 2i+2.
type node struct{ i, from, to int }

func (n node) leaf() bool { return n.to-n.from <= few }

func (n node) halves() (low, high node) {
	mid := (n.from + n.to) / 2
	return node{2*n.i + 1, n.from, mid}, node{2*n.i + 2, mid, n.to}
}

// newBoxTree puts the things below n, each in its box, in the order of the curve of their middles (Morton, 1966: the bits of the
// coordinates by turns), and bounds the parts.
func newBoxTree(n int, boxOf func(int32) gridBox) *boxTree {
	if n == 0 {
		return &boxTree{around: make([]coarse, 1)}
	}
	all, width := boxOf(0), 0
	for i := range n {
		box := boxOf(int32(i))
		all.widen(&box)
	}
	for k := range 3 {
		width = max(width, bits.Len64(uint64(all.hi[k]-all.lo[k])))
	}
	shift := max(0, width-laneBits)
	coarsely := func(x int64, k int) uint64 { return uint64(x-all.lo[k]) >> shift }
	keys := make([]uint64, n)
	for i := range keys {
		box := boxOf(int32(i))
		for k := range 3 {
			keys[i] |= spread((coarsely(box.lo[k], k)+coarsely(box.hi[k], k))>>(lane-curveBits)) << k
		}
		keys[i] = keys[i]<<32 | uint64(i)
	}
	slices.Sort(keys)
	leaves := make([]leaf, n)
	for i, key := range keys {
		box, l := boxOf(int32(key)), &leaves[i]
		l.of = int32(key)
		for k := range 3 {
			l.lo |= coarsely(box.lo[k], k) << (k * lane)
			l.hi |= coarsely(box.hi[k], k) << (k * lane)
		}
	}
	t := &boxTree{all: leaves}
	nodes := 1
	for ; n > few; n = (n + 1) / 2 {
		nodes = 2*nodes + 1
	}
	t.around = make([]coarse, nodes)
	t.bound(t.root())
	return t
}

// curveBits are those of each coordinate along the curve.
const curveBits = 10

// spread sets the lowest 10 bits of x apart, each at three times its place.
func spread(x uint64) uint64 {
	x = (x | x<<16) & 0xff0000ff
	x = (x | x<<8) & 0xf00f00f
	x = (x | x<<4) & 0xc30c30c3
	return (x | x<<2) & 0x49249249
}

func (t *boxTree) root() node { return node{0, 0, len(t.all)} }

// bound finds the boxes around a part and around all of its parts.
func (t *boxTree) bound(n node) {
	if n.leaf() {
		box := t.all[n.from].coarse
		for i := n.from + 1; i < n.to; i++ {
			box.widen(&t.all[i].coarse)
		}
		t.around[n.i] = box
		return
	}
	low, high := n.halves()
	t.bound(low)
	t.bound(high)
	t.around[n.i] = t.around[low.i]
	t.around[n.i].widen(&t.around[high.i])
}

// pairs calls visit once for each pair of things whose boxes overlap, and for some that nearly do, until it says false.
func pairs(n int, boxOf func(int32) gridBox, visit func(a, b int32) bool) {
	t := newBoxTree(n, boxOf)
	t.within(t.root(), visit)
}

// within visits the pairs in one part.
func (t *boxTree) within(n node, visit func(i, j int32) bool) bool {
	if !n.leaf() {
		low, high := n.halves()
		return t.within(low, visit) && t.within(high, visit) && t.across(low, high, visit)
	}
	for i := n.from; i < n.to; i++ {
		for j := n.from; j < i; j++ {
			if t.all[i].overlap(&t.all[j].coarse) == 1 && !visit(t.all[j].of, t.all[i].of) {
				return false
			}
		}
	}
	return true
}

// across visits the pairs of one thing of a and one of b. Lists are made without a branch: which boxes overlap, no processor foresees.
func (t *boxTree) across(a, b node, visit func(i, j int32) bool) bool {
	if t.around[a.i].overlap(&t.around[b.i]) == 0 {
		return true
	}
	if a.to-a.from < b.to-b.from {
		a, b = b, a
	}
	if !a.leaf() {
		low, high := a.halves()
		return t.across(low, b, visit) && t.across(high, b, visit)
	}
	as, bs, aroundA, aroundB := t.all[a.from:a.to], t.all[b.from:b.to], t.around[a.i], t.around[b.i]
	var near, met [few + 1]uint8 // of b: near to a, and overlapping one of a
	n := 0
	for j := range bs {
		near[n] = uint8(j)
		n += bs[j].overlap(&aroundA)
	}
	for i := range as {
		one := as[i].coarse
		if one.overlap(&aroundB) == 0 {
			continue
		}
		m := 0
		for _, j := range near[:n] {
			met[m] = j
			m += bs[j].overlap(&one)
		}
		for _, j := range met[:m] {
			if !visit(as[i].of, bs[j].of) {
				return false
			}
		}
	}
	return true
}
