package pose

// This file solves for the camera that sees the marks where they were found.

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// View is the camera of a picture, and how well it is known.
type View struct {
	Camera
	Marks []Match
	// RMS is how far the marks stand from where the camera should see them, in pixels, on the root of the mean of squares.
	RMS float64
	// numbers are those of the camera, spread the Cholesky factor of their covariance.
	numbers [known]float64
	spread  *mat.TriDense
}

const (
	// uMiddle is how far, as a share of the diagonal, the middle of the lens lies from that of the picture; uBend and uBend2 how
	// large distortion is that phones leave in their pictures (standard deviations; common practice, no published source).
	uMiddle, uBend, uBend2 = 0.012, 0.06, 0.06
	// uFocal is that of the log of the focal length about 0.75 diagonals: 23 to 120 mm on film are 0.53 to 2.8.
	uFocal, usualFocal = 0.7, 0.75
	// leastNoise is how well a mark's middle is known at best, in pixels.
	leastNoise = 0.06
	// strayMark is by how many standard deviations a mark may stand off: partly covered ones stand off by more.
	strayMark = 4.0
	// mostNoise is the largest RMS of marks of a flat sheet, as a share of a mark's half axis on the picture.
	mostNoise = 0.15
)

// See finds the sheet in a picture; nil where there is none.
func See(g Grey) *View {
	found := match(g.Discs())
	if found == nil {
		return nil
	}
	p, ok := first(g, found)
	if !ok {
		return nil
	}
	v := &View{Marks: found}
	for range 3 {
		if p, ok = v.improve(g, p); !ok {
			return nil
		}
		kept := v.Marks[:0:0]
		for _, m := range v.Marks {
			u, w, seen := v.disc(m.Mark.X, m.Mark.Y, RadiusMM)
			if seen && math.Hypot(m.Disc.X-u, m.Disc.Y-w) < strayMark*math.Max(v.RMS, leastNoise) {
				kept = append(kept, m)
			}
		}
		if len(kept) < leastMarks {
			return nil
		}
		if len(kept) == len(v.Marks) {
			break
		}
		v.Marks = kept
	}
	var size float64
	for _, m := range v.Marks {
		wide, _ := m.Disc.axes()
		size += wide / float64(len(v.Marks))
	}
	if v.RMS > mostNoise*size || v.At[2] <= 0 {
		return nil
	}
	return v
}

// first guesses the camera's numbers from the homography of the sheet: with its columns h1, h2, h3 about the picture's middle,
// h1 and h2 are the sheet's directions in the camera's frame over the focal length, square to each other and equally long.
func first(g Grey, found []Match) (p [known]float64, ok bool) {
	h, ok := flat(found)
	if !ok {
		return p, false
	}
	cx, cy := float64(g.Wide-1)/2, float64(g.High-1)/2
	var c [3]Vec
	for i := range 3 {
		c[i] = Vec{h[i] - cx*h[6+i], h[3+i] - cy*h[6+i], h[6+i]}
	}
	diagonal := math.Hypot(float64(g.Wide), float64(g.High))
	// Both conditions are linear in 1/f^2: a/f^2 + b = 0; least squares, held to what lenses are.
	a1, b1 := c[0][0]*c[1][0]+c[0][1]*c[1][1], c[0][2]*c[1][2]
	a2, b2 := c[0][0]*c[0][0]+c[0][1]*c[0][1]-c[1][0]*c[1][0]-c[1][1]*c[1][1], c[0][2]*c[0][2]-c[1][2]*c[1][2]
	focal := usualFocal * diagonal
	if q := -(a1*b1 + a2*b2) / (a1*a1 + a2*a2); q > 0 {
		focal = math.Min(math.Max(1/math.Sqrt(q), 0.3*diagonal), 4*diagonal)
	}
	for i := range 3 {
		c[i][0], c[i][1] = c[i][0]/focal, c[i][1]/focal
	}
	scale := (math.Sqrt(Dot(c[0], c[0])) + math.Sqrt(Dot(c[1], c[1]))) / 2
	x := c[0].Unit()
	z := Cross(x, c[1]).Unit()
	y := Cross(z, x)
	v, ok := turnVector([3]Vec{{x[0], y[0], z[0]}, {x[1], y[1], z[1]}, {x[2], y[2], z[2]}})
	p = [known]float64{v[0], v[1], v[2], c[2][0] / scale, c[2][1] / scale, c[2][2] / scale, math.Log(focal), cx, cy}
	return p, ok
}

// turnVector is the vector that rotation makes r of. Near half a turn its direction is that of r + 1.
func turnVector(r [3]Vec) (v Vec, ok bool) {
	v = Vec{r[2][1] - r[1][2], r[0][2] - r[2][0], r[1][0] - r[0][1]}
	sin := math.Sqrt(Dot(v, v)) / 2
	angle := math.Atan2(sin, (r[0][0]+r[1][1]+r[2][2]-1)/2)
	if sin > 0.05 {
		return Vec{}.Plus(angle/(2*sin), v), true
	}
	if angle < 1 {
		return Vec{}.Plus(0.5, v), true
	}
	best := 0
	for i := range 3 {
		if r[i][i] > r[best][best] {
			best = i
		}
	}
	axis := Vec{r[best][0], r[best][1], r[best][2]}
	axis[best]++
	if Dot(axis, axis) < 1e-9 {
		return v, false
	}
	axis = axis.Unit()
	if Dot(axis, v) < 0 {
		axis = Vec{}.Plus(-1, axis)
	}
	return Vec{}.Plus(angle, axis), true
}

// residuals are how far the marks stand off, in pixels over noise, and the numbers of the lens from what is usual.
func (v *View) residuals(g Grey, p [known]float64, noise float64) []float64 {
	c := newCamera(p)
	diagonal := math.Hypot(float64(g.Wide), float64(g.High))
	r := make([]float64, 0, 2*len(v.Marks)+5)
	for _, m := range v.Marks {
		x, y, ok := c.disc(m.Mark.X, m.Mark.Y, RadiusMM)
		if !ok {
			x, y = -diagonal, -diagonal
		}
		r = append(r, (x-m.Disc.X)/noise, (y-m.Disc.Y)/noise)
	}
	return append(r, (p[6]-math.Log(usualFocal*diagonal))/uFocal, (p[7]-float64(g.Wide-1)/2)/(uMiddle*diagonal),
		(p[8]-float64(g.High-1)/2)/(uMiddle*diagonal), p[9]/uBend, p[10]/uBend2)
}

// improve takes Gauss and Newton's steps, damped as Levenberg and Marquardt do, and leaves the camera, the noise and the spread in v.
func (v *View) improve(g Grey, p [known]float64) ([known]float64, bool) {
	noise, damp := 0.3, 1e-3
	var normal mat.SymDense
	for round := range 3 {
		r := v.residuals(g, p, noise)
		for range 30 {
			j := mat.NewDense(len(r), known, nil)
			for k := range known {
				q := p
				step := 1e-6 * math.Max(1, math.Abs(p[k]))
				q[k] += step
				for i, x := range v.residuals(g, q, noise) {
					j.Set(i, k, (x-r[i])/step)
				}
			}
			normal.Reset()
			normal.SymOuterK(1, j.T())
			var right mat.VecDense
			right.MulVec(j.T(), mat.NewVecDense(len(r), r))
			better := false
			for range 8 {
				damped := mat.NewSymDense(known, nil)
				damped.CopySym(&normal)
				for k := range known {
					damped.SetSym(k, k, normal.At(k, k)*(1+damp))
				}
				var c mat.Cholesky
				var step mat.VecDense
				q := p
				if c.Factorize(damped) && c.SolveVecTo(&step, &right) == nil {
					for k := range known {
						q[k] -= step.AtVec(k)
					}
					now := v.residuals(g, q, noise)
					if less := floats.Dot(now, now) / floats.Dot(r, r); less < 1 {
						better = less < 1-1e-7
						p, r, damp = q, now, damp/10
						break
					}
				}
				damp *= 10
			}
			if !better {
				break
			}
			damp = math.Max(damp, 1e-9)
		}
		marks := 2 * len(v.Marks)
		v.RMS = noise * floats.Norm(r[:marks], 2) / math.Sqrt(float64(max(1, marks-known)))
		if round < 2 {
			noise = math.Max(v.RMS, leastNoise)
		}
	}
	v.Camera, v.numbers = newCamera(p), p
	var c mat.Cholesky
	var covariance mat.SymDense
	if !c.Factorize(&normal) || c.InverseTo(&covariance) != nil || !c.Factorize(&covariance) {
		return p, false
	}
	v.spread = mat.NewTriDense(known, mat.Lower, nil)
	c.LTo(v.spread)
	return p, !math.IsNaN(v.RMS)
}

// Others are cameras each a standard deviation from this one, one for each of what is not known of it, independent of each other:
// the variance of whatever is worked out with the camera is the sum of the squares of what it changes by with them.
func (v *View) Others() (all []Camera) {
	for k := range known {
		p := v.numbers
		for i := k; i < known; i++ {
			p[i] += v.spread.At(i, k)
		}
		all = append(all, newCamera(p))
	}
	return all
}
