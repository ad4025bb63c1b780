package mesh

// Broad phase: which boxes overlap, by a tree of boxes over all in the order of a space-filling curve.

import (
	"math/bits"
	"slices"
)

// gridBox is a closed box.
type gridBox struct{ lo, hi gridVec }

// boxOf is the box around places.
func boxOf(a gridVec, more ...gridVec) gridBox {
	box := gridBox{a, a}
	for _, p := range more {
		for k, x := range p {
			box.lo[k], box.hi[k] = min(box.lo[k], x), max(box.hi[k], x)
		}
	}
	return box
}

// overlap says whether two boxes have a place in common: whether no difference is negative, asked of all at once.
func (a *gridBox) overlap(b *gridBox) bool {
	return (b.hi[0]-a.lo[0])|(a.hi[0]-b.lo[0])|(b.hi[1]-a.lo[1])|(a.hi[1]-b.lo[1])|(b.hi[2]-a.lo[2])|(a.hi[2]-b.lo[2]) >= 0
}

// widen stretches a box over another.
func (a *gridBox) widen(b *gridBox) {
	for k := range 3 {
		a.lo[k], a.hi[k] = min(a.lo[k], b.lo[k]), max(a.hi[k], b.hi[k])
	}
}

// boxed is the box of the thing with a number.
type boxed struct {
	gridBox
	of int32
}

// few are so few boxes that trying each is faster than parting them.
const few = 8

// boxTree parts things in halves, halves of these, and so on, with the box around each.
type boxTree struct {
	all    []boxed
	around []gridBox // by node
}

// node is a part of a tree: the things from one to another. Its halves have the numbers 2i+1 and 2i+2.
type node struct{ i, from, to int }

func (n node) leaf() bool { return n.to-n.from <= few }

func (n node) halves() (low, high node) {
	mid := (n.from + n.to) / 2
	return node{2*n.i + 1, n.from, mid}, node{2*n.i + 2, mid, n.to}
}

// newBoxTree puts the things, in their place, in the order of the curve of their middles (Morton, 1966: the bits of the coordinates by turns), and bounds
// the parts.
func newBoxTree(things []boxed) *boxTree {
	if len(things) == 0 {
		return &boxTree{around: make([]gridBox, 1)}
	}
	var box gridBox // of twice the middles
	for i := range things {
		mid := things[i].lo.add(things[i].hi)
		if i == 0 {
			box = gridBox{mid, mid}
		}
		box.widen(&gridBox{mid, mid})
	}
	width := 0
	for k := range 3 {
		width = max(width, bits.Len32(uint32(box.hi[k])-uint32(box.lo[k])))
	}
	index := bits.Len(uint(len(things)))
	most := min((64-index)/3, 21)
	shift := max(0, width-most)
	keys := make([]uint64, len(things))
	for i := range things {
		mid := things[i].lo.add(things[i].hi)
		var key uint64
		for k := range 3 {
			key |= spread(uint64(uint32(mid[k])-uint32(box.lo[k]))>>shift) << k
		}
		keys[i] = key<<index | uint64(i)
	}
	slices.Sort(keys)
	// Each ring of things that take each other's places is turned by one.
	mask := uint64(1<<index - 1)
	for i := range keys {
		first, at := things[i], i
		for from := int(keys[i] & mask); from != i; from = int(keys[at] & mask) {
			things[at], keys[at] = things[from], uint64(at)
			at = from
		}
		things[at], keys[at] = first, uint64(at)
	}
	t := &boxTree{all: things}
	nodes := 1
	for n := len(things); n > few; n = (n + 1) / 2 {
		nodes = 2*nodes + 1
	}
	t.around = make([]gridBox, nodes)
	t.bound(t.root())
	return t
}

// spread sets the lowest 21 bits of x apart, each at three times its place.
func spread(x uint64) uint64 {
	x = (x | x<<32) & 0x1f00000000ffff
	x = (x | x<<16) & 0x1f0000ff0000ff
	x = (x | x<<8) & 0x100f00f00f00f00f
	x = (x | x<<4) & 0x10c30c30c30c30c3
	return (x | x<<2) & 0x1249249249249249
}

func (t *boxTree) root() node { return node{0, 0, len(t.all)} }

// bound finds the boxes around a part and around all of its parts.
func (t *boxTree) bound(n node) {
	if n.leaf() {
		box := t.all[n.from].gridBox
		for i := n.from + 1; i < n.to; i++ {
			box.widen(&t.all[i].gridBox)
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

// pairs calls visit once for each pair of things whose boxes overlap, until it says false.
func pairs(things []boxed, visit func(a, b int32) bool) {
	t := newBoxTree(things)
	t.within(t.root(), visit)
}

// within visits the pairs in one part.
func (t *boxTree) within(n node, visit func(a, b int32) bool) bool {
	if !n.leaf() {
		low, high := n.halves()
		return t.within(low, visit) && t.within(high, visit) && t.across(low, high, visit)
	}
	for i := n.from; i < n.to; i++ {
		for j := n.from; j < i; j++ {
			if t.all[i].overlap(&t.all[j].gridBox) && !visit(t.all[j].of, t.all[i].of) {
				return false
			}
		}
	}
	return true
}

// across visits the pairs of one thing of a and one of b.
func (t *boxTree) across(a, b node, visit func(a, b int32) bool) bool {
	if !t.around[a.i].overlap(&t.around[b.i]) {
		return true
	}
	if a.to-a.from < b.to-b.from {
		a, b = b, a
	}
	if !a.leaf() {
		low, high := a.halves()
		return t.across(low, b, visit) && t.across(high, b, visit)
	}
	var near [few]*boxed // of b, near to a
	n := 0
	for j := b.from; j < b.to; j++ {
		if t.all[j].overlap(&t.around[a.i]) {
			near[n] = &t.all[j]
			n++
		}
	}
	for i := a.from; i < a.to; i++ {
		if !t.all[i].overlap(&t.around[b.i]) {
			continue
		}
		for _, other := range near[:n] {
			if t.all[i].overlap(&other.gridBox) && !visit(t.all[i].of, other.of) {
				return false
			}
		}
	}
	return true
}
