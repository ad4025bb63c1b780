package caliper

// This file finds the axis: from the face normals at first, then from the threads themselves.

import (
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

// axisFaces bounds how many faces the first guess of the axis looks at; the threads themselves refine it.
const axisFaces = 20_000

// sample is a face as the first guess sees it.
type sample struct {
	p, n vec
	area float64
}

// plainAxis returns the z axis itself, and whether it may be the part's: it passes near the middle of the box.
func plainAxis(m *mesh.Mesh) (frame, bool) {
	box := m.Bounds()
	lo, hi := vec(box[0]), vec(box[1])
	mid := lo.plus(hi).times(0.5)
	const near = 0.1 // of the box
	ok := math.Abs(mid[0]) <= near*(hi[0]-lo[0]) && math.Abs(mid[1]) <= near*(hi[1]-lo[1])
	return newFrame(vec{}, vec{0, 0, 1}), ok
}

// likelyAxes returns the axes to try, best first: along x, y and z, then those near them. A surface that a turn (or a
// screw motion) carries into itself has no normal with a part along the motion: n . (d x (p-o) + h d) = 0, which is
// linear in everything but the direction's main component (Pottmann and Wallner, Computational Line Geometry, 2001,
// chapter 4, restated).
func likelyAxes(m *mesh.Mesh) []frame {
	box := m.Bounds()
	lo, hi := vec(box[0]), vec(box[1])
	mid := lo.plus(hi).times(0.5)
	size := hi.minus(lo).length() / 2
	if !(size > 0) {
		return nil
	}
	// An odd step, since meshers make faces in pairs.
	step := (len(m.Faces) / axisFaces) | 1
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
		along, near frame
		score       float64
	}
	guesses := make([]guess, 0, 3)
	for _, d := range []vec{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}} {
		g := guess{along: newFrame(vec{}, d)}
		for range 4 {
			g.along, g.score = turnAbout(faces, g.along, false)
		}
		g.near = g.along
		for range 4 {
			g.near, _ = turnAbout(faces, g.near, true)
		}
		guesses = append(guesses, g)
	}
	sort.SliceStable(guesses, func(i, j int) bool { return guesses[i].score < guesses[j].score })
	var out []frame
	for _, g := range guesses {
		out = append(out, newFrame(g.along.o.times(size).plus(mid), g.along.d))
	}
	for _, g := range guesses {
		if g.near.d.dot(g.along.d) > 0.8 { // else it ran away: there was nothing to hold it
			out = append(out, newFrame(g.near.o.times(size).plus(mid), g.near.d))
		}
	}
	return out
}

// turnAbout improves f for one step: its place only, or place, tilt and advance. Faces that stand across the motion
// (hexagons, lobes, letters) count little. score is the share of the area that does.
func turnAbout(faces []sample, f frame, tilt bool) (frame, float64) {
	n := 2
	if tilt {
		n = 5
	}
	const across = 0.1 // sine at which a face's weight is a quarter
	sys := system{n: n}
	var row [maxUnknowns]float64
	var left, all float64
	for i := range faces {
		s := &faces[i]
		p := s.p.minus(f.o)
		moment := p.cross(s.n)
		e := f.d.dot(moment)
		arm2 := p.dot(p) - p.dot(f.d)*p.dot(f.d)
		if !(arm2 > 0) {
			continue
		}
		share := e * e / arm2 / (across * across)
		w := s.area / ((1 + share) * (1 + share))
		all += s.area
		left += s.area - w
		row[0], row[1] = f.e1.dot(s.n), f.e2.dot(s.n)
		if tilt {
			row[2], row[3], row[4] = f.e1.dot(moment), f.e2.dot(moment), f.d.dot(s.n)
		}
		sys.add(row[:n], -e, w)
	}
	x, ok := sys.solve()
	if !ok || !(all > 0) {
		return f, math.Inf(1)
	}
	d := f.d
	if tilt {
		d = d.plus(f.e1.times(x[2])).plus(f.e2.times(x[3]))
	}
	// The moment part is m = -d x (o' - o) = x0 e1 + x1 e2, so o' - o = d x m.
	m := f.e1.times(x[0]).plus(f.e2.times(x[1]))
	return newFrame(f.o.plus(f.d.cross(m)), d), left / all
}
