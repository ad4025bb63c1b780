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

// out is the direction from the axis toward the camera.
func (c cut) out() Vec { return pose.Cross(c.across, c.along) }

// near is the place on the axis next to another.
func (c cylinder) near(p Vec) Vec { return c.at.Plus(pose.Dot(p.Plus(-1, c.at), c.along), c.along) }

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

// touch is a ray of a picture that touches a cylinder on its upper or its lower outline; u is how far off the outline it may pass, a
// standard deviation in mm.
type touch struct {
	eye, ray Vec
	lower    bool
	u        float64
}

// off is how far outside a cylinder a ray passes, in mm: below 0 inside.
func (t touch) off(c cylinder) float64 {
	out := pose.Cross(t.ray, c.along).Unit()
	if (out[2] < 0) != t.lower {
		out = Vec{}.Plus(-1, out)
	}
	return pose.Dot(out, t.eye.Plus(-1, c.at)) - c.radius
}

// aim is a direction on the sheet that an axis is known to have, as an angle, and how well.
type aim struct{ angle, u float64 }

// lies solves for the cylinder that rests on the sheet and is touched by rays of one picture or of several, each by its weight. Its
// direction on the sheet, place across and radius are unknown, and tilt, by how much, in radians, the axis leans: uTilt is how level
// parts lie, a standard deviation. Raised is what lies between sheet and crests, mm. Start is a guess.
func lies(touches []touch, aims []aim, start cylinder, raised, uTilt float64) (best cylinder, tilt float64, ok bool) {
	heading := math.Atan2(start.along[1], start.along[0])
	x := [4]float64{heading, 0, start.radius, 0} // direction, place across, radius, tilt
	model := func(x [4]float64) cylinder {
		sin, cos := math.Sincos(x[0])
		up, level := math.Sincos(x[3])
		at := Vec{start.at[0], start.at[1], x[2] + raised}.Plus(x[1], Vec{-math.Sin(heading), math.Cos(heading), 0})
		return cylinder{at, Vec{cos * level, sin * level, up}, x[2]}
	}
	for range mostSteps {
		fit, c := newLeastSquares(4), model(x)
		for _, t := range touches {
			var row [4]float64
			off := t.off(c)
			for k := range x {
				y, step := x, 1e-5
				y[k] += step
				row[k] = (t.off(model(y)) - off) / step
			}
			fit.add(1/square(t.u), -off, row[:]...)
		}
		for _, a := range aims {
			fit.add(1/square(a.u), math.Remainder(a.angle-x[0], math.Pi), 1, 0, 0, 0)
		}
		fit.add(1/square(uTilt), -x[3], 0, 0, 0, 1)
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
