package photo

// This file reads the part's face, on which the crests cross it: which way they climb, how far they bow, and how much larger they stand there
// than on the outlines. The outlines cannot tell: half a pitch up and half a pitch down look alike.

import (
	"math"
)

const (
	// strips is how many lines along the part are compared, and faceShare how far to either side they lie, as a share of the part's half width.
	strips, faceShare = 61, 0.85
	// leastStrips is how many of them must show the crests.
	leastStrips = 12
	// leastClimb is the least climb of a thread, sureClimb the least that tells its hand, and mostClimb the largest of one start, in pitches a turn: light moves the bright lines
	// aside.
	leastClimb, sureClimb, mostClimb = 0.35, 0.6, 1.6
	// faceRest is the largest deviation from an even climb, in radians of the ripple.
	faceRest = 0.5
	// uShade is by how much of a pitch light may move the bright lines on the middle of the face against those at its sides, as a standard
	// uncertainty (judgement, no published source).
	uShade = 0.1
	// deeper is by how much smaller sin a looks, since what is bright on the face are flanks and roots and not crests alone, and uNearer its
	// standard uncertainty (seen on rendered pictures).
	deeper, uNearer = 0.008, 0.012
)

// face is what the crests on it tell.
type face struct {
	// climb is by how many pitches the crests climb in a turn, above 0 for a right-hand thread; told says whether anything is.
	climb float64
	told  bool
	// bow is by how many pitches they stand farther along s in the middle than where the face is square to the line of sight.
	bow, uBow float64
	// aperture is half the angle between the tangents, 0 where it is not told, with its standard uncertainty.
	aperture, uAperture float64
}

// face reads it between the crest lines, first with an assumed half angle between the tangents.
//
// A cylinder of radius R whose axis is rho away shows at the share x of its half width the place theta = asin(sin g / sin a) - g, where
// tan g = x tan a and sin a = R/rho. It stands nearer than the axis by R cos theta, so that there a pitch has 1/(1 - sin a cos theta) times
// the pixels that one on the axis has. An axis that leans b away from the camera, seen e off the middle along s, shows a crest that stands
// at z on the axis and climbs h pitches P a turn at the phase
//
//	z/P - h theta / 2 pi + (R/P) tan(b + e) cos theta .
func (m *measured) face(aperture float64) (out face) {
	from, to := overlap(m.a, m.b)
	from, to = math.Max(0, from-m.period), math.Min(float64(len(m.outlines.left.out)), to+m.period)
	middle := (from + to) / 2
	var shares, waves, phases []float64
	last := 0.0
	for k := range strips {
		share := faceShare * (2*float64(k)/(strips-1) - 1)
		v := make([]float64, int(to-from))
		for i := range v {
			row := from + float64(i)
			centre, half := (m.b.lineAt(row)-m.a.lineAt(row))/2, (m.b.lineAt(row)+m.a.lineAt(row))/2 // a is the left outline: its t is -lineAt
			v[i] = m.grey.at(m.outlines.frame.at(m.outlines.s0+row+0.5, centre+share*half))
		}
		// Nearer than the outlines, the face shows a longer pitch.
		g := math.Atan(share * math.Tan(aperture))
		longer := square(math.Cos(aperture)) / (1 - math.Sin(aperture)*math.Cos(math.Asin(math.Sin(g)/math.Sin(aperture))-g))
		rows, turns := stretch{from: 0, to: len(v)}.phases(v, m.period*longer)
		if len(rows) < leastPitches {
			continue
		}
		// The phase at a row that a crest stands on is a whole number of turns.
		begin, slope, rest, ok := robustLine(rows, turns)
		if !ok || slope <= 0 || rest > faceRest || math.Abs(slope*m.period*longer/(2*math.Pi)-1) > 0.15 {
			continue
		}
		phase := begin + slope*(middle-from)
		if len(phases) > 0 {
			phase = last + math.Remainder(phase-last, 2*math.Pi)
		}
		last = phase
		shares, waves, phases = append(shares, share), append(waves, slope/(2*math.Pi)), append(phases, phase/(2*math.Pi))
	}
	if len(shares) < leastStrips {
		return out
	}
	theta := make([]float64, len(shares))
	for range 3 {
		for i, x := range shares {
			g := math.Atan(x * math.Tan(aperture))
			theta[i] = math.Asin(math.Sin(g)/math.Sin(aperture)) - g
		}
		fit := newLeastSquares(2)
		for i := range theta {
			fit.add(1, waves[i], 1, -math.Cos(theta[i]))
		}
		// On the outlines cos theta is sin a.
		fit.add(float64(len(theta))/2, 1/m.period, 1, -math.Sin(aperture))
		c, ok := fit.solve()
		if !ok || c[0] <= 0 {
			return out
		}
		var squares float64
		for i := range theta {
			squares += square(waves[i]/c[0] - 1 + c[1]/c[0]*math.Cos(theta[i]))
		}
		sin := math.Min(math.Max(c[1]/c[0]+deeper, 0.01), 0.6)
		aperture = math.Asin(sin)
		out.aperture = aperture
		out.uAperture = math.Hypot(uNearer, 2*math.Sqrt(squares)/float64(len(theta))) / math.Cos(aperture)
	}
	fit := newLeastSquares(3)
	for i := range theta {
		fit.add(1, phases[i], 1, theta[i], math.Cos(theta[i]))
	}
	c, ok := fit.solve()
	if !ok {
		return out
	}
	var squares float64
	for i := range theta {
		squares += square(phases[i] - c[0] - c[1]*theta[i] - c[2]*math.Cos(theta[i]))
	}
	rest := math.Sqrt(squares / float64(len(theta)))
	if rest*2*math.Pi > faceRest {
		return face{}
	}
	// A phase that grows is a crest that stands lower.
	out.told, out.climb = true, -c[1]*2*math.Pi
	out.bow, out.uBow = -c[2], math.Hypot(2*uShade, 4*rest)
	return out
}

// fine is beyond how many pitches a diameter an axis known to a fifth of a degree makes level crests look climbing.
const fine = 60

// hand is +1 for a right-hand, -1 for a left-hand thread, and 0 where the face does not tell.
func (m *measured) hand() int {
	if m.width >= fine*m.period {
		return 0
	}
	return m.seen.hand()
}

// hand is that of the crests on the face, whatever the axis.
func (f face) hand() int {
	if f.told && math.Abs(f.climb) > sureClimb {
		return int(math.Copysign(1, f.climb))
	}
	return 0
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
