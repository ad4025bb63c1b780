package photo

// This file solves for the cylinder over a part's crests, as it lies on the sheet, from its two outlines.

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"tryring/internal/pose"
)

// cylinder is one whose axis runs level over the sheet; lengths in mm as drawn.
type cylinder struct {
	// at is a place on the axis, along its direction, both in the sheet's frame.
	at, along Vec
	radius    float64
}

// cut is the plane through the two lines along which the camera's rays touch a cylinder: it is square to the way from the camera
// to the axis and R^2/rho nearer than the axis, rho being their distance.
type cut struct {
	middle, along, across Vec
	// half is how far the lines lie from the middle, R sqrt(1 - (R/rho)^2).
	half float64
}

func (c cylinder) cut(eye Vec) cut {
	away := eye.Plus(-1, c.at)
	away = away.Plus(-pose.Dot(away, c.along), c.along)
	rho := math.Sqrt(pose.Dot(away, away))
	out := away.Unit()
	share := math.Min(c.radius/rho, 0.9)
	return cut{c.at.Plus(c.radius*share, out), c.along, pose.Cross(c.along, out), c.radius * math.Sqrt(1-share*share)}
}

// place is that at s along and t across a cut.
func (c cut) place(s, t float64) Vec { return c.middle.Plus(s, c.along).Plus(t, c.across) }

// meets is where a ray from eye meets the cut, along and across it.
func (c cut) meets(eye, ray Vec) (s, t float64) {
	normal := pose.Cross(c.along, c.across)
	to := c.middle.Plus(-1, eye)
	d := Vec{}.Plus(pose.Dot(to, normal)/pose.Dot(ray, normal), ray).Plus(-1, to)
	return pose.Dot(d, c.along), pose.Dot(d, c.across)
}

// Vec is a place in the sheet's frame.
type Vec = pose.Vec

const (
	// mostSteps bounds the steps to a cylinder, and settled is the step, in mm and radians, after which there is nothing left to do.
	mostSteps, settled = 20, 1e-6
	// leastRadius and mostRadius bound what is looked for, in mm.
	leastRadius, mostRadius = 0.5, 500
)

// usualEdge is how well an end of an outline is known, in mm, for weighing it with how level parts lie.
const usualEdge = 0.07

// lies solves for the cylinder that rests on the sheet and whose outlines are touched by the rays given, two on each outline. Its direction on the sheet, place across and radius are three unknowns, the ends give
// four figures: tilt is by how much, in radians, the axis would have to lean for all of them to agree, which is a fault of the
// picture or says that the part lies on a flange or collar. raised is what lies between sheet and crests, mm. uTilt is how level parts lie, a standard deviation in radians. Start is a guess.
func lies(eye Vec, ends [4]Vec, start cylinder, raised, uTilt float64) (best cylinder, tilt float64, ok bool) {
	// Unknowns: angle on the sheet, place across, radius, tilt; Newton's steps on four equations.
	heading := math.Atan2(start.along[1], start.along[0])
	x := [4]float64{heading, 0, start.radius, 0}
	model := func(x [4]float64) cylinder {
		sin, cos := math.Sincos(x[0])
		up, level := math.Sincos(x[3])
		at := Vec{start.at[0], start.at[1], x[2] + raised}.Plus(x[1], Vec{-math.Sin(heading), math.Cos(heading), 0})
		return cylinder{at, Vec{cos * level, sin * level, up}, x[2]}
	}
	// apart is the distance of a ray from an axis, which is that of the eye from it along the common normal; it has two signs, of which
	// one is an outline's.
	apart := func(ray Vec, c cylinder) float64 {
		return pose.Dot(pose.Cross(ray, c.along).Unit(), eye.Plus(-1, c.at))
	}
	first := model(x)
	sign := math.Copysign(1, apart(ends[0], first)+apart(ends[1], first)-apart(ends[2], first)-apart(ends[3], first))
	off := func(x [4]float64) (r [4]float64) {
		c := model(x)
		for i, ray := range ends {
			side := sign * float64(1-2*(i/2))
			r[i] = side*apart(ray, c) - c.radius
		}
		return r
	}
	for range mostSteps {
		r := off(x)
		fit := newLeastSquares(4)
		var rows [4][4]float64
		for k := range x {
			y, step := x, 1e-5
			y[k] += step
			for i, v := range off(y) {
				rows[i][k] = (v - r[i]) / step
			}
		}
		for i := range rows {
			fit.add(1, -r[i], rows[i][:]...)
		}
		fit.add(square(usualEdge/uTilt), -x[3], 0, 0, 0, 1)
		step, solved := fit.solve()
		if !solved {
			return best, 0, false
		}
		floats.Add(x[:], step)
		if !(x[2] > leastRadius && x[2] < mostRadius) {
			return best, 0, false
		}
		if floats.Norm(step, math.Inf(1)) < settled {
			return model(x), x[3], true
		}
	}
	return best, 0, false
}
