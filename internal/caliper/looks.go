package caliper

// This file holds a body as the guesses of axes see it: some of its faces, or means of them, by their middles and normals.

import (
	"math"
	"slices"

	"tryring/internal/mesh"
)

// sample is a face as the guesses see it, in lengths of about one about the middle of the body.
type sample struct {
	p, n vec
	area float64
}

// looks is a body as the guesses see it.
type looks struct {
	mid   vec
	size  float64
	faces []sample
	// smooth says that each of faces is the mean of many.
	smooth bool
}

func looksOf(m *mesh.Mesh) looks {
	box := m.Bounds()
	lo, hi := vec(box[0]), vec(box[1])
	l := looks{mid: lo.plus(hi).times(0.5), size: hi.minus(lo).length() / 2}
	if !(l.size > 0) {
		return l
	}
	// An odd step, since meshers make faces in pairs.
	step := (len(m.Faces) / axisFaces) | 1
	l.faces = make([]sample, 0, len(m.Faces)/step+1)
	for i := 0; i < len(m.Faces); i += step {
		if p, n := l.face(m.Faces[i], m); n != (vec{}) {
			l.faces = append(l.faces, sample{p: p, n: n.unit(), area: n.length() / 2})
		}
	}
	return l
}

// face returns the middle of a face, and its normal with twice its area for length.
func (l *looks) face(f [3]uint32, m *mesh.Mesh) (middle, normal vec) {
	a := at(m, f[0]).minus(l.mid).times(1 / l.size)
	b := at(m, f[1]).minus(l.mid).times(1 / l.size)
	c := at(m, f[2]).minus(l.mid).times(1 / l.size)
	return a.plus(b).plus(c).times(1.0 / 3), b.minus(a).cross(c.minus(a))
}

// smoothed returns l with the means of all faces of a cell for its faces: of a rough skin, where a face says little by itself, they
// show at least the cylinder or cone that a thread stands on.
func (l *looks) smoothed(m *mesh.Mesh) looks {
	const cells, wide = 10, 2*10 + 2 // to a half of the size, and in a row
	out := looks{mid: l.mid, size: l.size, smooth: true}
	if !(l.size > 0) {
		return out
	}
	means := make([]sample, wide*wide*wide)
	for _, f := range m.Faces {
		p, n := l.face(f, m)
		cell := 0
		for k := range 3 {
			cell = cell*wide + int((p[k]+1)*cells)
		}
		s, area := &means[cell], n.length()
		s.n, s.p, s.area = s.n.plus(n), s.p.plus(p.times(area)), s.area+area
	}
	for _, s := range means {
		if s.n != (vec{}) {
			out.faces = append(out.faces, sample{p: s.p.times(1 / s.area), n: s.n.unit(), area: s.n.length() / 2})
		}
	}
	return out
}

// inside and outside put a frame into the lengths of l and back.
func (l *looks) inside(f frame) frame {
	return newFrame(f.o.minus(l.mid).times(1/l.size), f.d).within(f.reach / l.size)
}

func (l *looks) outside(f frame) frame {
	return newFrame(f.o.times(l.size).plus(l.mid), f.d).within(f.reach * l.size)
}

// passes tells how far from the axis the normal of s passes, as a share of the way to it (without end beyond the frame's reach), and its
// share along the axis.
func (f frame) passes(s *sample) (share, along float64) {
	p := s.p.minus(f.o)
	d := p.dot(f.d)
	arm := math.Sqrt(max(p.dot(p)-d*d, 0))
	share, along = math.Abs(f.d.dot(p.cross(s.n)))/arm, math.Abs(f.d.dot(s.n))
	if !(arm > 0) || arm > f.reach {
		share = math.Inf(1)
	}
	return share, along
}

// unknown returns the faces that may be of a thread about another axis than those known: their normals do not pass by, and they
// stand neither along nor across.
func (l *looks) unknown(known []frame) []sample {
	if len(known) == 0 {
		return l.faces
	}
	var out []sample
	for i := range l.faces {
		s := &l.faces[i]
		if !slices.ContainsFunc(known, func(f frame) bool {
			share, along := f.passes(s)
			return share < passShare || !math.IsInf(share, 1) && (along < straight || along > square)
		}) {
			out = append(out, *s)
		}
	}
	return out
}

// least is how much must be flanks about a guess.
func (l *looks) least() float64 { return leastFlank*float64(len(l.faces)) + 12 }
