package mesh

// This file walks up one wall of a ring at one angle and lists its corners, each with how it moves as the angle turns.

import (
	"math"

	"tryring/internal/ring"
	"tryring/internal/thread"
)

// corner is a corner of a wall's meridian. Between two event angles every corner moves along a straight line in
// (theta, z, r), so a position and a speed per radian say all.
type corner struct {
	z, r   float64
	dz, dr float64
}

// at returns the corner's height and radius after turning by da.
func (c corner) at(da float64) (z, r float64) { return c.z + da*c.dz, c.r + da*c.dr }

// wall is a surface with its profile's corners, ready to be walked.
type wall struct {
	ring.Surface
	knots []thread.Knot
	// climb is the advance per radian.
	climb  float64
	lo, hi ring.Line
}

// nowhere is a radius beyond any part: the bound of a wall without a bound.
const nowhere = 1e6

func newWall(s ring.Surface, arcChordMM float64) wall {
	w := wall{Surface: s, knots: s.Profile.Knots(arcChordMM), climb: s.LeadMM / (2 * math.Pi), lo: s.Lo, hi: s.Hi}
	if w.lo == nil {
		w.lo = ring.Line{{R: -nowhere}}
	}
	if w.hi == nil {
		w.hi = ring.Line{{R: nowhere}}
	}
	return w
}

// straight is a straight piece of a curve over z up to its end, moving with the thread when moves is set.
type straight struct {
	z, r, slope float64 // a point on it and its slope
	end         float64
	moves       bool
}

func (s straight) at(z float64) float64 { return s.r + s.slope*(z-s.z) }

// fixed is the piece of a line that starts at or holds from.
func fixed(l ring.Line, from float64) straight {
	for i, k := range l {
		if k.Z > from {
			if i == 0 {
				return straight{z: k.Z, r: k.R, end: k.Z}
			}
			before := l[i-1]
			return straight{z: before.Z, r: before.R, slope: (k.R - before.R) / (k.Z - before.Z), end: k.Z}
		}
	}
	last := l[len(l)-1]
	return straight{z: last.Z, r: last.R, end: math.Inf(1)}
}

// threadPiece is the piece of the thread that ends at knot number i, counted along the endless thread; base is the
// height of the period's origin.
func (w *wall) threadPiece(i int, base float64) straight {
	a, b := w.knot(i-1, base), w.knot(i, base)
	return straight{z: a.Z, r: a.R, slope: (b.R - a.R) / (b.Z - a.Z), end: b.Z, moves: true}
}

// nextPiece is the piece after before, which ends at knot number i.
func (w *wall) nextPiece(before straight, i int, base float64) straight {
	b, r := w.knot(i, base), before.at(before.end)
	return straight{z: before.end, r: r, slope: (b.R - r) / (b.Z - before.end), end: b.Z, moves: true}
}

// knot is knot number i of the endless thread, at its height and true radius.
func (w *wall) knot(i int, base float64) thread.Knot {
	n := len(w.knots)
	turn := i / n
	if i < turn*n {
		turn-- // division goes towards zero, turns go down
	}
	k := w.knots[i-turn*n]
	z := k.Z + float64(turn)*w.Profile.PitchMM + base
	return thread.Knot{Z: z, R: k.R + w.Profile.Slope*(z-w.RefMM)}
}

// firstAfter is the number of the first knot above z.
func (w *wall) firstAfter(z, base float64) int {
	i := int(math.Floor((z-base-w.knots[0].Z)/w.Profile.PitchMM)) * len(w.knots)
	for w.knot(i, base).Z <= z {
		i++
	}
	return i
}

// The three curves that a wall is made of.
const (
	onThread = iota
	onLo
	onHi
)

// curves are the current pieces of the thread and its two bounds.
type curves [3]straight

// meridian appends the corners of the wall at theta to out, from the lower end to the upper. theta must not be an event angle.
func (w *wall) meridian(theta float64, out []corner) []corner {
	base := w.ShiftMM + w.climb*theta
	i := w.firstAfter(w.From, base)
	c := curves{w.threadPiece(i, base), fixed(w.lo, w.From), fixed(w.hi, w.From)}
	z := w.From
	active := c.followed(z)
	out = append(out, w.onLevel(c[active], z))
	for {
		end := min(c[onThread].end, c[onLo].end, c[onHi].end, w.To)
		out, active = w.crossings(out, &c, active, z, end)
		if end >= w.To {
			return append(out, w.onLevel(c[active], w.To))
		}
		z = end
		before := c[active]
		if c[onThread].end <= z {
			i++
			c[onThread] = w.nextPiece(c[onThread], i, base)
		}
		if c[onLo].end <= z {
			c[onLo] = fixed(w.lo, z)
		}
		if c[onHi].end <= z {
			c[onHi] = fixed(w.hi, z)
		}
		active = c.followed(z)
		if after := c[active]; before.moves != after.moves || math.Abs(before.slope-after.slope) > sameSlope {
			out = append(out, w.bend(after, z))
		}
	}
}

const (
	// sameSlope and samePlaceMM are rounding: two lines this alike are one line.
	sameSlope   = 1e-12
	samePlaceMM = 1e-12
	// stepMM is a step off a crossing, to see which curve is followed after it.
	stepMM = 1e-9
)

// followed is the curve that the wall follows just above z: the thread, held between lo and hi.
func (c *curves) followed(z float64) int {
	if c.threadIsFree(z) {
		return onThread
	}
	s := onThread
	if above(&c[onLo], &c[s], z) {
		s = onLo
	}
	if above(&c[s], &c[onHi], z) {
		s = onHi
	}
	return s
}

// threadIsFree says that the thread runs clear of both bounds at z.
func (c *curves) threadIsFree(z float64) bool {
	r := c[onThread].at(z)
	return r > c[onLo].at(z)+samePlaceMM && r < c[onHi].at(z)-samePlaceMM
}

// above says whether a runs above b just after z.
func above(a, b *straight, z float64) bool {
	d := a.at(z) - b.at(z)
	if math.Abs(d) > samePlaceMM {
		return d > 0
	}
	return a.slope > b.slope
}

// crossings appends the corners strictly between from and to, where no piece bends, and returns the curve followed at to.
func (w *wall) crossings(out []corner, c *curves, active int, from, to float64) ([]corner, int) {
	if active == onThread && c.threadIsFree(to) {
		return out, active // straight, and free at both ends
	}
	for {
		next, at := active, to
		for other := range c {
			if z, ok := meet(&c[active], &c[other]); ok && z > from+samePlaceMM && z < at {
				if f := c.followed(z + stepMM); f != active {
					next, at = f, z
				}
			}
		}
		if next == active {
			return out, active
		}
		out = append(out, w.crossing(c[active], c[next], at))
		active, from = next, at
	}
}

// meet returns the height at which two pieces cross.
func meet(a, b *straight) (z float64, ok bool) {
	d := a.slope - b.slope
	if math.Abs(d) <= sameSlope {
		return 0, false
	}
	return (b.at(0) - a.at(0)) / d, true
}

// crossing is the corner at the crossing of two pieces at height z. Where a moving and a standing piece cross, it slides
// along the standing one.
func (w *wall) crossing(a, b straight, z float64) corner {
	if b.moves {
		a, b = b, a
	}
	c := corner{z: z, r: b.at(z)}
	if a.moves {
		c.dz = w.climb * (a.slope - w.Profile.Slope) / (a.slope - b.slope)
		c.dr = b.slope * c.dz
	}
	return c
}

// bend is the corner at height z where the followed curve bends into piece s.
func (w *wall) bend(s straight, z float64) corner {
	c := corner{z: z, r: s.at(z)}
	if s.moves {
		c.dz, c.dr = w.climb, w.climb*w.Profile.Slope
	}
	return c
}

// onLevel is the corner where the wall meets the plane at height z.
func (w *wall) onLevel(s straight, z float64) corner {
	c := corner{z: z, r: s.at(z)}
	if s.moves {
		c.dr = w.climb * (w.Profile.Slope - s.slope)
	}
	return c
}
