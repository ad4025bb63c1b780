package draw

// This file draws one triangle of the shaded view.

import (
	"math"

	"tryring/internal/mesh"
)

// leastArea, in pixels, is below what any pixel sees of a face and above what its slopes could be worked out from.
const leastArea = 1e-6

// corner is a vertex: in the part's frame, and on the picture in pixels (x right, y down) with its depth toward the eye.
type corner struct {
	p       vector
	x, y, z float64
	// ahead and aside tell on which side of the cutting planes it stands.
	ahead, aside float64
}

func (s *shading) corner(at mesh.Vec) corner {
	p := vector{float64(at[0]), float64(at[1]), float64(at[2])}
	return corner{
		p: p,
		x: float64(s.width)/2 + float64((p.dot(s.right)-s.middle[0])*s.scale),
		y: float64(s.height)/2 - float64((p.dot(s.up)-s.middle[1])*s.scale),
		z: p.dot(s.to), ahead: p.dot(s.ahead), aside: p.dot(s.aside),
	}
}

// face draws a triangle. Faces that look away are drawn too: where one of them is the nearest that is left, the eye looks into
// the material, which is the cut face.
func (s *shading) face(a, b, c *corner) {
	area := float64((b.x-a.x)*(c.y-a.y)) - float64((c.x-a.x)*(b.y-a.y))
	front := area < 0 // y points down
	if math.Abs(area) < leastArea {
		return
	}
	cut := max(a.ahead, b.ahead, c.ahead) > 0 && max(a.aside, b.aside, c.aside) > 0
	if cut && min(a.ahead, b.ahead, c.ahead) > 0 && min(a.aside, b.aside, c.aside) > 0 {
		return
	}
	grey := uint8(cutGrey)
	if front {
		grey = s.lit(b.p.minus(a.p).cross(c.p.minus(a.p)).unit())
	}
	over := newTriangle(a, b, c, area)
	depth := over.slope(a.z, b.z, c.z)
	ahead, aside := over.slope(a.ahead, b.ahead, c.ahead), over.slope(a.aside, b.aside, c.aside)
	y0, y1 := max(0, int(math.Ceil(min(a.y, b.y, c.y)-0.5))), min(s.height-1, int(math.Floor(max(a.y, b.y, c.y)-0.5)))
	for y := y0; y <= y1; y++ {
		py := float64(y) + 0.5
		left, right := over.span(py)
		from, to := max(0, int(math.Ceil(left-0.5))), min(s.width, int(math.Ceil(right-0.5)))
		if from >= to {
			continue
		}
		depths, greys := s.depth[y*s.width+from:y*s.width+to], s.grey[y*s.width+from:y*s.width+to]
		z := depth.at(float64(from)+0.5, py)
		for i := range depths {
			if near := float32(z); near > depths[i] {
				if px := float64(from+i) + 0.5; !cut || ahead.at(px, py) <= 0 || aside.at(px, py) <= 0 {
					depths[i], greys[i] = near, grey
				}
			}
			z += depth.dx
		}
	}
}

// lit is the grey of a face with the unit normal n.
func (s *shading) lit(n vector) uint8 {
	share := (1 + vector{n.dot(s.right), n.dot(s.up), n.dot(s.to)}.dot(light)) / 2
	return uint8(shadeGrey + (litGrey-shadeGrey)*share*share)
}

// triangle is one face on the picture.
type triangle struct {
	a, b, c *corner
	// perArea is the inverse of twice its area, with its sign.
	perArea float64
	edges   [3]edge
}

func newTriangle(a, b, c *corner, area float64) triangle {
	return triangle{a, b, c, 1 / area, [3]edge{newEdge(a, b), newEdge(b, c), newEdge(c, a)}}
}

// edge is a side of a triangle from its upper to its lower end, the same for both triangles that share it.
type edge struct{ x, top, bottom, dx float64 }

func newEdge(p, q *corner) edge {
	if p.y > q.y {
		p, q = q, p
	}
	return edge{p.x, p.y, q.y, (q.x - p.x) / (q.y - p.y)} // a level edge is never asked for its place
}

// span is where the triangle begins and ends in the row at height y.
func (t *triangle) span(y float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i := range t.edges {
		e := &t.edges[i]
		if e.top > y || e.bottom <= y {
			continue
		}
		x := e.x + float64(e.dx*(y-e.top))
		from, to = min(from, x), max(to, x)
	}
	return from, to
}

// slope is what varies evenly over a triangle: the value at the picture's origin and its change a pixel.
type slope struct{ at0, dx, dy float64 }

func (s slope) at(x, y float64) float64 { return s.at0 + float64(s.dx*x) + float64(s.dy*y) }

// slope has the values p, q and r at the corners.
func (t *triangle) slope(p, q, r float64) slope {
	a, b, c := t.a, t.b, t.c
	dx := (float64((q-p)*(c.y-a.y)) - float64((r-p)*(b.y-a.y))) * t.perArea
	dy := (float64((r-p)*(b.x-a.x)) - float64((q-p)*(c.x-a.x))) * t.perArea
	return slope{p - float64(dx*a.x) - float64(dy*a.y), dx, dy}
}
