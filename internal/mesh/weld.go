package mesh

// Welding: giving one index to every place where vertices coincide exactly.

import "math"

// welder gives the same index to the same place. Indices count up in order of first sight, so that the same triangles
// give the same mesh.
type welder map[[3]uint32]uint32

// newWelder makes room for about n vertices.
func newWelder(n int) welder { return make(welder, n) }

// index returns the index of v, which must be finite.
func (w welder) index(v Vec) uint32 {
	var place [3]uint32
	for k, x := range v {
		place[k] = math.Float32bits(x + 0) // + 0 turns -0 into 0
	}
	i, known := w[place]
	if !known {
		i = uint32(len(w))
		w[place] = i
	}
	return i
}

// vertices are the places in the order of their indices.
func (w welder) vertices() []Vec {
	out := make([]Vec, len(w))
	for place, i := range w {
		for k, x := range place {
			out[i][k] = math.Float32frombits(x)
		}
	}
	return out
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
