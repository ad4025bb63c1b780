package mesh

// Welding: giving one index to every place where vertices coincide exactly.

import (
	"hash/maphash"
	"math"
	"math/bits"
)

// welder collects vertices and gives the same index to the same place: equal float32 bits, with -0 taken as 0.
// Indices count up in order of first sight, so that the same triangles give the same mesh.
type welder struct {
	vertices []Vec
	// slots is an open-addressing table of index+1, 0 being free; its length is a power of two, at most half full.
	slots []uint32
	seed  uint64
}

// minWeldSlots is the smallest table.
const minWeldSlots = 64

// newWelder makes room for about n vertices. The seed is different in each process, so that a file cannot be made
// to fall into one slot; it has no influence on the indices.
func newWelder(n int) *welder {
	w := &welder{seed: maphash.Bytes(maphash.MakeSeed(), nil) | 1}
	w.vertices = make([]Vec, 0, n)
	w.slots = make([]uint32, max(minWeldSlots, 1<<bits.Len(uint(2*n))))
	return w
}

// slot is where the search for a place begins in a table of the present length.
func (w *welder) slot(v Vec) uint64 {
	h := uint64(math.Float32bits(v[0])) | uint64(math.Float32bits(v[1]))<<32
	hi, lo := bits.Mul64(h^w.seed, 0x9e3779b97f4a7c15)
	h = hi ^ lo ^ uint64(math.Float32bits(v[2]))
	hi, lo = bits.Mul64(h^w.seed, 0xd6e8feb86659fd93)
	return (hi ^ lo) & uint64(len(w.slots)-1)
}

// index returns the index of v, which must be finite.
func (w *welder) index(v Vec) uint32 {
	for k := range v {
		v[k] += 0 // turns -0 into 0
	}
	mask := uint64(len(w.slots) - 1)
	s := w.slot(v)
	for ; w.slots[s] != 0; s = (s + 1) & mask {
		if i := w.slots[s] - 1; w.vertices[i] == v {
			return i
		}
	}
	w.vertices = append(w.vertices, v)
	i := uint32(len(w.vertices))
	w.slots[s] = i
	if 2*len(w.vertices) > len(w.slots) {
		w.grow()
	}
	return i - 1
}

// grow doubles the table.
func (w *welder) grow() {
	w.slots = make([]uint32, 2*len(w.slots))
	mask := uint64(len(w.slots) - 1)
	for i, v := range w.vertices {
		s := w.slot(v)
		for w.slots[s] != 0 {
			s = (s + 1) & mask
		}
		w.slots[s] = uint32(i) + 1
	}
}

// finite says whether a vertex has neither infinities nor not-a-numbers.
func finite(v Vec) bool {
	const exponent = 0x7f800000
	for _, x := range v {
		if math.Float32bits(x)&exponent == exponent {
			return false
		}
	}
	return true
}
