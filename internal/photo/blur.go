package photo

// This file says what blur does to a crest: it draws the crest line in.

import "math"

// blurLoss returns by how much the outline of a thread of pitch 1 draws in at its crests, in pitches, when the picture is
// blurred by a normal kernel of standard deviations along and across the axis, in pitches.
//
// The form is the basic 60 degree one (ISO 68-1 figure 1): crest flat 1/8, root flat 1/4. The blurred outline runs where
// half of the kernel covers the part, which at height y over s = 0 is the integral of N(s; along) Phi((h(s) - y)/across).
func blurLoss(along, across float64) float64 {
	along, across = math.Max(along, 1e-3), math.Max(across, 1e-3)
	contour := func(s float64) float64 {
		low, high := -basicDepth-4*across, 4*across
		for range 30 {
			mid := (low + high) / 2
			if covered(s, mid, along, across) > 0.5 {
				low = mid
			} else {
				high = mid
			}
		}
		return (low + high) / 2
	}
	// Heights are read over the width of the crest's flat: its middle and both its ends.
	return -(contour(0) + contour(flatShare)) / 2
}

// basicDepth is 5/8 of the sharp triangle's height, in pitches (ISO 68-1 figure 1).
const basicDepth = 0.541266

func covered(s, y, along, across float64) float64 {
	const steps = 48
	var sum, weights float64
	for i := range steps {
		u := (float64(i)+0.5)/steps*8 - 4
		weight := math.Exp(-u * u / 2)
		sum += weight * 0.5 * math.Erfc(-(basicHeight(s+u*along)-y)/across/math.Sqrt2)
		weights += weight
	}
	return sum / weights
}

// basicHeight is the basic form's height at s pitches from a crest, 0 at the crest.
func basicHeight(s float64) float64 {
	off := math.Abs(math.Remainder(s, 1))
	return -math.Min(math.Max(0, off-flatShare)*math.Sqrt(3), basicDepth)
}
