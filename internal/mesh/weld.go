package mesh

// Welding: giving one index to every place where vertices coincide.

import (
	"cmp"
	"math"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// welder gives the same index to the same place. Indices count up in order of first sight, so that the same triangles
// give the same mesh. It is a table with open places: Go's own maps take twice as long.
type welder struct {
	vertices []Vec
	slots    []uint32  // an index and 1, 0 where a slot is free
	seed     [2]uint64 // so that nobody can make a file whose places all fall on one slot
}

// newWelder makes room for about n vertices.
func newWelder(n int) *welder {
	size := 16
	for size < 2*n {
		size *= 2
	}
	return &welder{vertices: make([]Vec, 0, n), slots: make([]uint32, size), seed: [2]uint64{rand.Uint64(), rand.Uint64()}}
}

// slot is where the search for a place begins.
func (w *welder) slot(v Vec) uint64 {
	xy := uint64(math.Float32bits(v[0]))<<32 | uint64(math.Float32bits(v[1]))
	high, low := bits.Mul64(xy^w.seed[0], uint64(math.Float32bits(v[2]))^w.seed[1])
	return (high ^ low) & uint64(len(w.slots)-1)
}

// index returns the index of v, which must be finite.
func (w *welder) index(v Vec) uint32 {
	for k := range v {
		v[k] += 0 // turns -0 into 0
	}
	mask := uint64(len(w.slots) - 1)
	at := w.slot(v)
	for ; w.slots[at] != 0; at = (at + 1) & mask {
		if i := w.slots[at] - 1; w.vertices[i] == v {
			return i
		}
	}
	if len(w.vertices) == cap(w.vertices) { // twice the room, which append would come to in steps
		w.vertices = slices.Grow(w.vertices, len(w.vertices)+1)
	}
	w.vertices = append(w.vertices, v)
	w.slots[at] = uint32(len(w.vertices))
	if 2*len(w.vertices) > len(w.slots) {
		w.slots = make([]uint32, 2*len(w.slots))
		mask = uint64(len(w.slots) - 1)
		for i, v := range w.vertices {
			at := w.slot(v)
			for ; w.slots[at] != 0; at = (at + 1) & mask {
			}
			w.slots[at] = uint32(i + 1)
		}
	}
	return uint32(len(w.vertices) - 1)
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

// weldSteps is how far, in steps of the grid, corners of open edges may lie apart and be taken for one: 2^-18 of the size, so that a
// part of 50 mm is welded over 0.0002 mm, some 50 roundings of the coordinates in a file.
const weldSteps = 1 << (gridBits - 18)

// settle makes one mesh in mm of bodies in units of the given length, 0 for mm:
//   - coordinates are put on the grid of gridStep, so that exact tests judge what is measured;
//   - vertices of a body that coincide are one;
//   - where a body is open, a vertex of an open edge within weldSteps of another is that one, and it is counted;
//   - faces of which two corners became one are left out, and counted.
func (p *Part) settle(bodies []*Mesh, unitMM float64) error {
	if unitMM > 0 && unitMM != 1 {
		for _, b := range bodies {
			for i, v := range b.Vertices {
				for k, x := range v {
					b.Vertices[i][k] = float32(float64(x) * unitMM)
				}
			}
		}
	}
	step := 0.0
	for _, b := range bodies {
		if err := b.Check(); err != nil {
			return err
		}
		b.dropUnused()
		step = max(step, gridStep(b.Vertices))
	}
	p.Mesh = &Mesh{}
	for i, b := range bodies {
		if b.snap(step) {
			b.weld()
		}
		if !b.closes() {
			p.join(b, weldSteps*step)
		}
		if p.dropShrunk(b) {
			b.dropUnused()
		}
		if i == 0 {
			p.Mesh = b
			continue
		}
		if len(p.Faces)+len(b.Faces) > maxTriangles {
			return ErrTooLarge
		}
		base := uint32(len(p.Vertices))
		p.Vertices = append(p.Vertices, b.Vertices...)
		for _, f := range b.Faces {
			p.Faces = append(p.Faces, [3]uint32{f[0] + base, f[1] + base, f[2] + base})
		}
	}
	return nil
}

// gridBits is how many steps of the grid the largest coordinate has, as a power of two. Coordinates of a float32 have 24 bits, so that
// only those below 2^-16 of the largest may be moved at all, by less than 2^-40 of it: by no more than 10^-10 mm in a part of 100 mm. Differences stay
// within 2^41, so that six times the volume of any four places, 2^126 at most (Hadamard), is a number of 128 bits.
const gridBits = 40

// gridStep is the step of the grid on which vertices are judged, a power of two in the unit of the vertices.
func gridStep(vertices []Vec) float64 {
	var most float32
	for _, v := range vertices {
		for _, x := range v {
			if x < 0 {
				x = -x
			}
			if x > most {
				most = x
			}
		}
	}
	_, exponent := math.Frexp(float64(most))
	return math.Ldexp(1, exponent-gridBits)
}

// snap puts the vertices on a grid, and says whether that moved one.
func (m *Mesh) snap(step float64) (moved bool) {
	per := 1 / step // exact: powers of two
	for i := range m.Vertices {
		for k, x := range m.Vertices[i] {
			if to := float32(math.RoundToEven(float64(x)*per) * step); to != x {
				m.Vertices[i][k], moved = to, true
			}
		}
	}
	return moved
}

// weld gives vertices that coincide one index.
func (m *Mesh) weld() {
	w := newWelder(len(m.Vertices))
	to := make([]uint32, len(m.Vertices))
	for i, v := range m.Vertices {
		to[i] = w.index(v)
	}
	m.Vertices = w.vertices
	m.renumber(to)
}

// renumber gives every face's corners new numbers.
func (m *Mesh) renumber(to []uint32) {
	for i, f := range m.Faces {
		m.Faces[i] = [3]uint32{to[f[0]], to[f[1]], to[f[2]]}
	}
}

// closes says whether every edge is run along as often up as down. The sum of the marks is 0 then, and else hardly ever.
func (m *Mesh) closes() bool {
	var sum uint64
	for _, f := range m.Faces {
		sum += EdgeMarks(f)
	}
	return sum == 0
}

// EdgeMarks is the sum of a face's edges' marks, which change sign with the direction: those of two faces that run along an edge both ways cancel.
func EdgeMarks(f [3]uint32) (sum uint64) {
	for k, a := range f {
		switch b := f[(k+1)%3]; {
		case a < b:
			sum += edgeHash(a, b)
		case a > b:
			sum -= edgeHash(b, a)
		}
	}
	return sum
}

// edgeHash spreads the two numbers over 64 bits (the finalizer of SplitMix64: Steele, Lea, Flood, OOPSLA 2014, figure 15).
func edgeHash(a, b uint32) uint64 {
	z := uint64(a)<<32 | uint64(b)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// joinsPerVertex bounds the pairs of vertices that are near enough to be one: six jittered copies have 15 of them.
const joinsPerVertex = 16

// join takes each vertex of an open edge that lies within reach of another one's for that one. The first in the order of vertices stays
// where it is, so that no chain of them creeps along.
func (p *Part) join(m *Mesh, reach float64) {
	per := 1 / gridStep(m.Vertices)
	var near [][2]uint32
	open := m.openVertices()
	pairs(len(open), func(i int32) gridBox {
		at := inSteps(m.Vertices[open[i]], per)
		return around(at, at, weldSteps/2)
	}, func(a, b int32) bool {
		i, j := min(open[a], open[b]), max(open[a], open[b])
		if distance(&m.Vertices[i], &m.Vertices[j]) <= reach {
			near = append(near, [2]uint32{i, j})
		}
		return len(near) <= joinsPerVertex*len(m.Vertices)
	})
	if len(near) == 0 || len(near) > joinsPerVertex*len(m.Vertices) {
		return
	}
	slices.SortFunc(near, func(a, b [2]uint32) int { return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1])) })
	to := make([]uint32, len(m.Vertices))
	for i := range to {
		to[i] = uint32(i)
	}
	for _, pair := range near {
		if i, j := pair[0], pair[1]; to[i] == i && to[j] == j {
			to[j] = i
			p.Welded++
			p.WeldedMM = max(p.WeldedMM, distance(&m.Vertices[i], &m.Vertices[j]))
		}
	}
	m.renumber(to)
}

func distance(a, b *Vec) float64 {
	x, y, z := float64(a[0])-float64(b[0]), float64(a[1])-float64(b[1]), float64(a[2])-float64(b[2])
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}

// dropShrunk leaves out the faces of which two corners are one, and says whether there were any.
func (p *Part) dropShrunk(m *Mesh) bool {
	before := len(m.Faces)
	m.Faces = slices.DeleteFunc(m.Faces, func(f [3]uint32) bool { return f[0] == f[1] || f[1] == f[2] || f[2] == f[0] })
	p.Shrunk += before - len(m.Faces)
	return len(m.Faces) < before || p.Welded > 0
}

// dropUnused leaves out the vertices that no face has.
func (m *Mesh) dropUnused() {
	to := make([]uint32, len(m.Vertices))
	for _, f := range m.Faces {
		to[f[0]], to[f[1]], to[f[2]] = 1, 1, 1
	}
	n := 0
	for i, used := range to {
		if used == 1 {
			m.Vertices[n], to[i] = m.Vertices[i], uint32(n)
			n++
		}
	}
	if n < len(m.Vertices) {
		m.Vertices = m.Vertices[:n]
		m.renumber(to)
	}
}
