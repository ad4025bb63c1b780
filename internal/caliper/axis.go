package caliper

// This file finds the axis: from the face normals at first, then from the threads themselves.

import (
	"fmt"
	"math"
	"sort"

	"tryring/internal/mesh"
)

type vec [3]float64

func (a vec) dot(b vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func (a vec) cross(b vec) vec {
	return vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
func (a vec) plus(b vec) vec      { return vec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a vec) minus(b vec) vec     { return vec{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func (a vec) times(s float64) vec { return vec{a[0] * s, a[1] * s, a[2] * s} }
func (a vec) length() float64     { return math.Sqrt(a.dot(a)) }
func (a vec) unit() vec           { return a.times(1 / a.length()) }
func at(m *mesh.Mesh, i uint32) vec {
	v := m.Vertices[i]
	return vec{float64(v[0]), float64(v[1]), float64(v[2])}
}

// frame is a right-handed system on an axis: local z is the height along d of the mesh's own zero.
type frame struct{ o, e1, e2, d vec }

func newFrame(o, d vec) frame {
	d = d.unit()
	o = o.minus(d.times(o.dot(d)))
	// The helping direction is the one after the largest component, so that z gives e1 = x and e2 = y exactly.
	k := 0
	for i := range d {
		if math.Abs(d[i]) > math.Abs(d[k]) {
			k = i
		}
	}
	var h vec
	h[(k+1)%3] = 1
	e1 := h.minus(d.times(h.dot(d))).unit()
	return frame{o: o, e1: e1, e2: d.cross(e1), d: d}
}

func hinted(a Axis) (frame, error) {
	d := vec(a.Direction)
	n := d.length() + vec(a.OriginMM).length()
	if !(d.length() > 0) || math.IsInf(n, 0) || math.IsNaN(n) {
		return frame{}, fmt.Errorf("axis hint: direction %v at %v, want a direction that is not zero and finite numbers", a.Direction, a.OriginMM)
	}
	return newFrame(vec(a.OriginMM), d), nil
}

func (f frame) axis() Axis { return Axis{OriginMM: f.o, Direction: f.d} }

// refined returns the frame moved to where the threads stand, and how far that is as a share of their radius.
func (f frame) refined(fits ...fitted) (frame, float64) {
	n := 0.0
	var ox, oy, tx, ty, share float64
	for _, t := range fits {
		if !t.ok {
			continue
		}
		n++
		// The offset of the axis at local z = 0.
		ox += t.offX - t.tiltX*t.zMid
		oy += t.offY - t.tiltY*t.zMid
		tx += t.tiltX
		ty += t.tiltY
		off := math.Hypot(t.offX, t.offY) + math.Hypot(t.tiltX, t.tiltY)*t.zHalf
		share = math.Max(share, off/t.radius)
	}
	if n < 1 {
		return f, 0
	}
	o := f.o.plus(f.e1.times(ox / n)).plus(f.e2.times(oy / n))
	d := f.d.plus(f.e1.times(tx / n)).plus(f.e2.times(ty / n))
	return newFrame(o, d), share
}

// axisFaces bounds how many faces the first guess of the axis looks at.
const axisFaces = 100_000

// sample is a face as the first guess sees it.
type sample struct {
	p, n vec
	area float64
}

// nearShare is how near to its place the first guess must be for the plain z axis (or x, y, z through the guessed
// point) to be taken at its word, as a share of the part's size and as an angle in radians.
const nearShare = 0.01

// likelyAxes returns the axes to try, best first: near x, y and z. A surface that a turn (or a screw motion) carries
// into itself has no normal with a part along the motion: n . (d x (p-o) + h d) = 0, which is linear in everything
// but the direction's main component (Pottmann and Wallner, Computational Line Geometry, 2001, chapter 4, restated).
func likelyAxes(m *mesh.Mesh) []frame {
	lo, hi := bounds(m)
	mid := lo.plus(hi).times(0.5)
	size := hi.minus(lo).length() / 2
	if !(size > 0) {
		return []frame{newFrame(vec{}, vec{0, 0, 1})}
	}
	step := 1 + len(m.Faces)/axisFaces
	faces := make([]sample, 0, len(m.Faces)/step+1)
	for i := 0; i < len(m.Faces); i += step {
		f := m.Faces[i]
		a := at(m, f[0]).minus(mid).times(1 / size)
		b := at(m, f[1]).minus(mid).times(1 / size)
		c := at(m, f[2]).minus(mid).times(1 / size)
		n := b.minus(a).cross(c.minus(a))
		if l := n.length(); l > 0 {
			faces = append(faces, sample{p: a.plus(b).plus(c).times(1.0 / 3), n: n.times(1 / l), area: l / 2})
		}
	}
	type guess struct {
		f     frame
		score float64
	}
	guesses := make([]guess, 0, 3)
	for _, d := range []vec{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}} {
		f, score := turnAbout(faces, newFrame(vec{}, d), false)
		guesses = append(guesses, guess{f, score})
	}
	sort.SliceStable(guesses, func(i, j int) bool { return guesses[i].score < guesses[j].score })
	var out []frame
	for _, g := range guesses {
		plain := g.f.d
		f := g.f
		for range 3 {
			f, _ = turnAbout(faces, f, true)
		}
		if f.d.dot(plain) < 0.8 { // ran away: there was nothing to hold it
			f = g.f
		}
		o := f.o.times(size).plus(mid)
		if f.d.cross(plain).length() < nearShare {
			f.d = plain
		}
		own := newFrame(o, f.d)
		if own.o.length() < nearShare*size {
			own.o = vec{}
		}
		out = append(out, own)
	}
	return out
}

// turnAbout improves f for one step, its place only or place, tilt and advance; score is the share of what is left.
func turnAbout(faces []sample, f frame, tilt bool) (frame, float64) {
	n := 2
	if tilt {
		n = 5
	}
	var sys system
	sys.reset(n)
	var row [maxUnknowns]float64
	for _, s := range faces {
		p := s.p.minus(f.o)
		moment := p.cross(s.n)
		row[0], row[1] = f.e1.dot(s.n), f.e2.dot(s.n)
		row[2], row[3], row[4] = f.e1.dot(moment), f.e2.dot(moment), f.d.dot(s.n)
		sys.add(row[:n], -f.d.dot(moment), s.area)
	}
	x, ok := sys.solve()
	if !ok {
		return f, math.Inf(1)
	}
	d := f.d
	if tilt {
		d = d.plus(f.e1.times(x[2])).plus(f.e2.times(x[3]))
	}
	// The moment part is m = -d x (o' - o) = x0 e1 + x1 e2, so o' - o = d x m.
	m := f.e1.times(x[0]).plus(f.e2.times(x[1]))
	better := newFrame(f.o.plus(f.d.cross(m)), d)
	var left, all float64
	for _, s := range faces {
		p := s.p.minus(better.o)
		arm := better.d.cross(p)
		e := s.n.dot(arm)
		left += s.area * e * e
		all += s.area * arm.dot(arm)
	}
	return better, left / all
}

func bounds(m *mesh.Mesh) (lo, hi vec) {
	lo = vec{math.Inf(1), math.Inf(1), math.Inf(1)}
	hi = lo.times(-1)
	for _, v := range m.Vertices {
		for k, c := range v {
			lo[k] = math.Min(lo[k], float64(c))
			hi[k] = math.Max(hi[k], float64(c))
		}
	}
	return lo, hi
}

// insideOut tells whether m is closed and its faces look inwards (negative volume).
func insideOut(m *mesh.Mesh) bool {
	var volume float64
	var open uint64
	for _, f := range m.Faces {
		a, b, c := at(m, f[0]), at(m, f[1]), at(m, f[2])
		volume += a.dot(b.cross(c))
	}
	if volume >= 0 {
		return false
	}
	// In a closed mesh each edge is run once each way: any sum of signed marks of its edges is nothing.
	for _, f := range m.Faces {
		for k := range 3 {
			open += edgeMark(f[k], f[(k+1)%3])
		}
	}
	return open == 0
}

func edgeMark(a, b uint32) uint64 {
	if a == b {
		return 0
	}
	if a > b {
		return -edgeMark(b, a)
	}
	x := uint64(a)<<32 | uint64(b)
	x = (x ^ x>>31) * 0x9e3779b97f4a7c15
	x = (x ^ x>>29) * 0xbf58476d1ce4e5b9
	return x ^ x>>32
}
