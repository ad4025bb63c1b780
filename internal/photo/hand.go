package photo

// This file tells which way the thread climbs, from the crests that cross the part's face. The outlines cannot tell: half a
// pitch up and half a pitch down look alike.

import (
	"math"
	"math/cmplx"
)

const (
	// strips is how many lines along the part are compared.
	strips = 61
	// faceShare is how far to either side they lie, as a share of the part's half width.
	faceShare = 0.85
	// handTol is how far the climb may lie from one pitch a turn, as a share.
	handTol = 0.4
	// handRest is the largest deviation from an even climb, in radians of the ripple.
	handRest = 0.25
	// handTurns is the most pitches that are compared: the face stands nearer than the outlines and shows a longer pitch,
	// which must not add up to half of one.
	handTurns = 7
	// handPure is the least share of a strip's brightness that changes with the pitch.
	handPure = 0.1
)

// climb returns +1 for a right-hand, -1 for a left-hand thread and 0 where the face does not tell. level is set where the
// crests plainly do not climb at all.
//
// A crest that stands at s on the middle of the face stands at s + P theta / 2 pi where t = R sin theta, for a right-hand
// thread of one start; tilt adds a share of cos theta, the same on both sides.
func climb(grey *plane, o outlines, a, b train) (hand int, level bool) {
	from, to := overlap(a, b)
	period := (a.period + b.period) / 2
	turns := math.Min(math.Floor((to-from)/period), handTurns)
	if turns < leastPitches {
		return 0, false
	}
	n := int(turns * period)
	from = (from + to - float64(n)) / 2
	var theta, phase, pure []float64
	var last complex128
	for k := range strips {
		share := faceShare * (2*float64(k)/(strips-1) - 1)
		v := make([]float64, n)
		for i := range v {
			row := from + float64(i)
			middle := (b.lineAt(row) - a.lineAt(row)) / 2 // a is the left outline: its t is -lineAt
			half := (b.lineAt(row) + a.lineAt(row)) / 2
			x, y := o.frame.at(o.s0+row+0.5, middle+share*half)
			v[i] = grey.at(x, y)
		}
		now, p := line(v, period)
		if k == 0 {
			phase = append(phase, cmplx.Phase(now))
		} else {
			phase = append(phase, phase[k-1]+cmplx.Phase(now*cmplx.Conj(last)))
		}
		last = now
		theta, pure = append(theta, math.Asin(share)), append(pure, p)
	}
	if median(pure) < handPure {
		return 0, false
	}
	fit := newLeastSquares(3)
	for i := range theta {
		fit.add(1, phase[i], 1, theta[i], math.Cos(theta[i]))
	}
	c, ok := fit.solve()
	if !ok {
		return 0, false
	}
	var sum float64
	for i := range theta {
		d := phase[i] - c[0] - c[1]*theta[i] - c[2]*math.Cos(theta[i])
		sum += d * d / float64(len(theta))
	}
	switch rest := math.Sqrt(sum); {
	case rest > handRest:
		return 0, false
	case math.Abs(c[1]) < handTol:
		return 0, true
	case math.Abs(math.Abs(c[1])-1) > handTol:
		return 0, false
	}
	// A crest farther along s has a smaller phase.
	if c[1] < 0 {
		return 1, false
	}
	return -1, false
}

// line returns the Fourier coefficient of v at a period under Hann's window, its phase that at the middle, and the share of v's power that lies there.
func line(v []float64, period float64) (c complex128, share float64) {
	rest, ok := detrended(v)
	if !ok {
		return 0, 0
	}
	var power, weights float64
	for i, d := range rest {
		w := 0.5 + 0.5*math.Cos(math.Pi*scaled(i, len(rest)))
		c += complex(w*d, 0) * cmplx.Exp(complex(0, -2*math.Pi*(float64(i)-float64(len(v)-1)/2)/period))
		power += w * d * d
		weights += w
	}
	if power <= 0 {
		return 0, 0
	}
	// A cosine of amplitude A gives |c| = A weights / 2 and power A^2 weights / 2.
	a := 2 * cmplx.Abs(c) / weights
	return c, a * a / 2 * weights / power
}

// lineAt is the crest line's distance from the frame's axis at a row.
func (t train) lineAt(row float64) float64 { return t.line[0] + t.line[1]*row }

// ends are the rows of the first and last full crest.
func (t train) ends() (from, to float64) { return t.crests[0].row, t.crests[len(t.crests)-1].row }

// overlap returns the rows on which both outlines have full crests.
func overlap(a, b train) (from, to float64) {
	af, at := a.ends()
	bf, bt := b.ends()
	return math.Max(af, bf), math.Min(at, bt)
}
