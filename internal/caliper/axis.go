package caliper

// This file finds the axis: how it is written down, where it is guessed to stand, and how threads move it.

import (
	"math"

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
type frame struct {
	o, e1, e2, d vec
	// reach is how far from the axis is looked.
	reach float64
}

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
	return frame{o: o, e1: e1, e2: d.cross(e1), d: d, reach: math.Inf(1)}
}

func (f frame) axis() Axis { return Axis{OriginMM: f.o, Direction: f.d} }

// refined returns the frame moved to where the threads stand, and how far that is as a share of their radius.
func (f frame) refined(threads []measured) (frame, float64) {
	n := 0.0
	var ox, oy, tx, ty, share float64
	for _, m := range threads {
		t := m.fit
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
	return newFrame(o, d).within(f.reach), share
}

// within returns f with another reach.
func (f frame) within(reach float64) frame {
	f.reach = reach
	return f
}

// turnAbout improves f for one step: its place only, or place, tilt and advance. A surface that a turn (or a screw motion) carries
// into itself has no normal with a part along the motion: n . (d x (p-o) + h d) = 0, which is linear in everything but the
// direction's main component (Pottmann and Wallner, Computational Line Geometry, 2001, chapter 4, restated). Faces that stand
// across the motion (hexagons, lobes, letters, other threads) count little: across is the sine at which a face's weight is a quarter.
func turnAbout(faces []sample, f frame, tilt bool, across float64) frame {
	n := 2
	if tilt {
		n = 5
	}
	sys := system{n: n}
	var row [maxUnknowns]float64
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
		row[0], row[1] = f.e1.dot(s.n), f.e2.dot(s.n)
		if tilt {
			row[2], row[3], row[4] = f.e1.dot(moment), f.e2.dot(moment), f.d.dot(s.n)
		}
		sys.add(row[:n], -e, w)
	}
	x, ok := sys.solve()
	if !ok {
		return f
	}
	d := f.d
	if tilt {
		d = d.plus(f.e1.times(x[2])).plus(f.e2.times(x[3]))
	}
	// The moment part is m = -d x (o' - o) = x0 e1 + x1 e2, so o' - o = d x m.
	m := f.e1.times(x[0]).plus(f.e2.times(x[1]))
	return newFrame(f.o.plus(f.d.cross(m)), d)
}
