package pose

// This file holds how a camera sees the sheet.

import "math"

// Vec is a place or a direction in space, in the sheet's frame: x right, y up the sheet, z up from it; in mm.
type Vec [3]float64

// Camera says from where and through what lens a picture was taken. A point at p in the camera's frame stands on the picture at
// Focal (1 + k1 r^2 + k2 r^4) (x, y)/z from the middle (CX, CY), r being the length of (x, y)/z.
type Camera struct {
	// turn leads from the sheet's directions to the camera's, row by row; at is the camera's place on the sheet's frame.
	turn   [3]Vec
	At     Vec
	Focal  float64
	CX, CY float64
	K1, K2 float64
}

// known are the numbers of a camera: turn vector 3, shift 3, log of the focal length, middle 2, distortion 2.
const known = 11

// newCamera makes a camera of its numbers; the picture's middle and diagonal give those of the lens their scale.
func newCamera(p [known]float64) Camera {
	c := Camera{turn: rotation(Vec{p[0], p[1], p[2]}), Focal: math.Exp(p[6]), CX: p[7], CY: p[8], K1: p[9], K2: p[10]}
	for i := range 3 {
		for k := range 3 {
			c.At[i] -= c.turn[k][i] * p[3+k]
		}
	}
	return c
}

// rotation is that about v by its length (Rodrigues).
func rotation(v Vec) (r [3]Vec) {
	angle := math.Sqrt(Dot(v, v))
	a, b := 1.0, 0.5 // sin t / t and (1 - cos t) / t^2
	if angle > 1e-9 {
		a, b = math.Sin(angle)/angle, (1-math.Cos(angle))/(angle*angle)
	}
	for i := range 3 {
		for k := range 3 {
			r[i][k] = b * v[i] * v[k]
		}
		r[i][i] += math.Cos(angle)
	}
	r[0][1], r[1][0] = r[0][1]-a*v[2], r[1][0]+a*v[2]
	r[0][2], r[2][0] = r[0][2]+a*v[1], r[2][0]-a*v[1]
	r[1][2], r[2][1] = r[1][2]-a*v[0], r[2][1]+a*v[0]
	return r
}

// Dot is the scalar product.
func Dot(a, b Vec) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// Cross is the vector product.
func Cross(a, b Vec) Vec {
	return Vec{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

// Plus is a + s b.
func (a Vec) Plus(s float64, b Vec) Vec { return Vec{a[0] + s*b[0], a[1] + s*b[1], a[2] + s*b[2]} }

// Unit is v made 1 long.
func (a Vec) Unit() Vec { return Vec{}.Plus(1/math.Sqrt(Dot(a, a)), a) }

// inFrame is a place in the camera's frame.
func (c Camera) inFrame(p Vec) Vec {
	d := p.Plus(-1, c.At)
	return Vec{Dot(c.turn[0], d), Dot(c.turn[1], d), Dot(c.turn[2], d)}
}

// Sees is where a place stands on the picture; false for one behind the camera.
func (c Camera) Sees(p Vec) (x, y float64, ok bool) {
	q := c.inFrame(p)
	if q[2] <= 0 {
		return 0, 0, false
	}
	x, y = c.bent(q[0]/q[2], q[1]/q[2])
	return x, y, true
}

func (c Camera) bent(x, y float64) (u, v float64) {
	r := x*x + y*y
	s := c.Focal * (1 + r*(c.K1+r*c.K2))
	return c.CX + s*x, c.CY + s*y
}

// Ray is the direction in which a place of the picture lies, in the sheet's frame, 1 long.
func (c Camera) Ray(x, y float64) Vec {
	u, v := (x-c.CX)/c.Focal, (y-c.CY)/c.Focal
	a, b := u, v
	for range 8 {
		r := a*a + b*b
		s := math.Max(1+r*(c.K1+r*c.K2), 0.2)
		a, b = u/s, v/s
	}
	return Vec{}.Plus(a, c.turn[0]).Plus(b, c.turn[1]).Plus(1, c.turn[2]).Unit()
}

// SeesFlat is Sees for the places at + x across + y down of a plane.
func (c Camera) SeesFlat(at, across, down Vec) func(x, y float64) (u, v float64) {
	o := c.inFrame(at)
	a, b := c.inFrame(at.Plus(1, across)).Plus(-1, o), c.inFrame(at.Plus(1, down)).Plus(-1, o)
	return func(x, y float64) (u, v float64) {
		z := math.Max(o[2]+x*a[2]+y*b[2], 1e-9)
		return c.bent((o[0]+x*a[0]+y*b[0])/z, (o[1]+x*a[1]+y*b[1])/z)
	}
}

// disc is where the middle of the ellipse stands that a disc of the sheet is seen as. That is not where its own middle is seen:
// of a conic C the dual C* maps to H C* Ht, and the ellipse's middle is (C*13, C*23)/C*33 of that.
func (c Camera) disc(x, y, radius float64) (u, v float64, ok bool) {
	m := c.inFrame(Vec{x, y, 0})
	if m[2] <= 0 {
		return 0, 0, false
	}
	// Dual of a circle about the middle m with the sheet's directions a and b: m mt - r^2 (a at + b bt).
	var a, b Vec
	for i := range 3 {
		a[i], b[i] = c.turn[i][0]*radius, c.turn[i][1]*radius
	}
	w := m[2]*m[2] - a[2]*a[2] - b[2]*b[2]
	u, v = c.bent((m[0]*m[2]-a[0]*a[2]-b[0]*b[2])/w, (m[1]*m[2]-a[1]*a[2]-b[1]*b[2])/w)
	return u, v, true
}

// Elevation is how steeply the camera looks down on a place of the sheet, in radians; it is pi/2 from straight above.
func (c Camera) Elevation(p Vec) float64 {
	d := c.At.Plus(-1, p)
	return math.Asin(d[2] / math.Sqrt(Dot(d, d)))
}
