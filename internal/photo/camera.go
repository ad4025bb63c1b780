package photo

// This file reckons with where the camera stood: perspective and tilt. The formulas stand in the package's comment.

import "math"

// view is how the part was seen.
type view struct {
	// near is cos a / cos g: what the ratio of pitch to width on the picture is multiplied by; uNear its standard
	// uncertainty as a share.
	near, uNear float64
	// lean is the tilt toward or away from the camera in radians, positive where the part's far end of s is farther, as
	// far as it can be told, and uLean its standard uncertainty.
	lean, uLean float64
	// short is what lean makes the pitch shorter by, as a factor to multiply with; uShort its uncertainty as a share.
	short, uShort float64
	// sides is how much larger the right outline stands on the picture than the left one, being nearer.
	sides float64
	// wide is the part's width over the focal length, which is in pixels; uFocal its standard uncertainty as a share.
	wide, focal, uFocal float64
	// known says how the camera's place was known, in words.
	known string
}

const (
	// The picture's diagonal on the frame of 36 by 24 mm that "focal length for 35 mm film" refers to.
	filmDiagonal = 43.2666
	// Focal lengths that a phone's or camera's picture has when it does not say (common practice, no published source:
	// main cameras of phones have 23 to 28 mm, their long lenses 50 to 120 mm).
	shortestFocal, longestFocal = 23.0, 120.0
	// uFocalMM is the standard uncertainty of a focal length that the camera wrote, as a share: it is rounded to a whole mm
	// and shrinks a little in close focus.
	uFocalMM = 0.05
	// unknownFocal is the uncertainty from which on nothing is known of the focal length but that cameras have one.
	unknownFocal = 0.3
	// usualBeside is how far beside the middle of what the camera saw a part may have stood on a cropped picture, in radians (judgement).
	usualBeside = 0.09
	// usualLean is the standard deviation of how far a part is tilted that is laid or held level by eye, in radians:
	// 3.5 degrees (common practice, no published source; the test pictures have 2.5 degrees).
	usualLean = 3.5 * math.Pi / 180
)

// seen says how the part was seen, from the width between crest lines, its place beside and along the picture's middle
// (pixels), the diagonal of the whole picture, and what is known of the camera.
type seen struct {
	tLeft, tRight, s float64
	diagonal         float64
	focal35          float64
	// aperture is R/rho when diameter and distance are known, 0 otherwise.
	aperture float64
	// uAperture is its standard uncertainty as a share.
	uAperture float64
	// drift is the growth of the period per pixel along s, with its standard uncertainty.
	drift, uDrift float64
	// cropped is set where the picture's middle need not be the camera's.
	cropped bool
	// face is what the part's face says, and radius the part's in pitches.
	face   face
	radius float64
}

// uDistanceMM is the standard uncertainty of a distance from camera to part that a person gives: nobody knows where in the
// phone the lens has its pupil (common practice, no published source).
const uDistanceMM = 12.0

// seen is what the options say of the camera's place, for outlines that stand at left and right of the frame at s along it.
func (o Options) seen(z size, f frame, s, left, right, focal35 float64) seen {
	s0, t0 := f.to(z.middle())
	q := seen{tLeft: left - t0, tRight: right - t0, s: s - s0, diagonal: z.diagonal(), focal35: focal35}
	if o.Outside != nil && o.Distance > 0 {
		d := o.Distance.MM()
		q.aperture, q.uAperture = o.Outside.Value/2/d, math.Hypot(o.Outside.U/o.Outside.Value, uDistanceMM/d)
	}
	return q
}

// beside is how far t in a frame lies beside the middle of the picture, radians, at the widest view.
func (z size) beside(f frame, t float64) float64 {
	_, middle := f.to(z.middle())
	return math.Atan((t - middle) / (shortestFocal / filmDiagonal * z.diagonal()))
}

func (q seen) view() view {
	v := view{}
	at := func(f float64) (near, wide float64) {
		// An outline's depth is rho cos a cos(g+a) or cos(g-a).
		v.sides = math.Sqrt((1 + square(q.tRight/f)) / (1 + square(q.tLeft/f)))
		high, low := math.Atan(q.tRight/f), math.Atan(q.tLeft/f)
		return math.Cos((high-low)/2) / math.Cos((high+low)/2), (q.tRight - q.tLeft) / f
	}
	var focal, uShare float64
	switch {
	case q.aperture > 0:
		// w = 2 f tan a for a part in the middle; what it is beside the middle changes g only, and that little.
		focal = (q.tRight - q.tLeft) / (2 * math.Tan(math.Asin(math.Min(q.aperture, 0.9))))
		uShare = q.uAperture
		v.known = "the distance that was given"
	case q.focal35 > 0:
		focal = q.focal35 / filmDiagonal * q.diagonal
		uShare = uFocalMM
		v.known = "the focal length that the camera wrote into the picture"
	default:
		focal = math.Sqrt(shortestFocal*longestFocal) / filmDiagonal * q.diagonal
		uShare = (longestFocal/shortestFocal - 1) / (longestFocal/shortestFocal + 1) / math.Sqrt(3)
		v.known = "no more than that cameras see between 20 and 85 degrees across the picture"
	}
	if q.face.aperture > 0 {
		// Half the width is f tan a; both estimates are weighed as of the logarithm of f.
		a := q.face.aperture
		read, uRead := math.Log((q.tRight-q.tLeft)/2/math.Tan(a)), q.face.uAperture/(math.Sin(a)*math.Cos(a))
		weight := square(uShare) / (square(uShare) + square(uRead))
		focal *= math.Exp(weight * (read - math.Log(focal)))
		if uShare *= math.Sqrt(1 - weight); weight > 0.5 {
			v.known = "how much larger the crests stand on the part's face than at its edges"
		}
	}
	v.focal, v.uFocal = focal, uShare
	v.near, v.wide = at(focal)
	if nearest, wide := at(shortestFocal / filmDiagonal * q.diagonal); uShare > unknownFocal {
		farthest, _ := at(longestFocal / filmDiagonal * q.diagonal)
		v.near, v.wide = (nearest+farthest)/2, wide
		v.uNear = math.Abs(nearest-farthest) / 2 / math.Sqrt(3) / v.near
	} else {
		nearer, _ := at(focal * (1 - uShare))
		v.uNear = math.Abs(nearer-v.near) / v.near
	}
	if q.cropped {
		// Of a normal angle g of deviation d, 1/cos g is 1 + d^2/2 on average, and strays by d^2/sqrt 2.
		v.near *= 1 + square(usualBeside)/2
		v.uNear = math.Hypot(v.uNear, square(usualBeside)/math.Sqrt2)
	}
	v.tilt(q, focal)
	return v
}

// tilt weighs what is usual, what the drift of the period and what the bow of the crests over the face say of the lean. Along the picture the
// period changes by -2 tan(lean)/f per pixel, whatever the part's taper; the bow is R/P tan(lean + e), e being how far off the middle it is seen.
func (v *view) tilt(q seen, focal float64) {
	beside := q.s / focal
	var lean, weights float64
	weigh := func(read, u float64) { lean, weights = lean+read/(u*u), weights+1/(u*u) }
	weigh(0, usualLean)
	if v.uFocal < unknownFocal && q.uDrift > 0 {
		weigh(-q.drift*focal/2, math.Hypot(q.uDrift, q.drift*v.uFocal)*focal/2)
	}
	if q.face.told {
		weigh(math.Atan(q.face.bow/q.radius)-math.Atan(beside), math.Hypot(q.face.uBow/q.radius, beside*v.uFocal))
	}
	v.lean, v.uLean = lean/weights, 1/math.Sqrt(weights)
	along := math.Cos(v.lean) - beside*math.Sin(v.lean)
	// Of a normal lean of mean m and deviation d, the cosine is 1 - (m^2 + d^2)/2 on average, and strays by d^2/sqrt 2.
	v.short = 1 / (along - v.uLean*v.uLean/2)
	v.uShort = math.Hypot((math.Sin(v.lean)+beside)*v.uLean, v.uLean*v.uLean/math.Sqrt2) / along
}
