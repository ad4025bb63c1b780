package draw

// This file holds the plane geometry of drawings: hatching, circles, and what crosses what.

import (
	"math"
	"slices"
)

// hatchMM is the distance of hatch lines, wider than any gap that could fill with ink; overlapMM that of overlaps.
const hatchMM, overlapMM = 2.0, 0.7

// hatchAngles are the angles that faces are hatched at, the first that is far enough from all edges: 45 degrees to the axis are
// preferred by ISO 128-3:2020 (from memory). From edges of shortEdge and longEdge on the sheet on it is as far, in degrees.
var hatchAngles = []float64{45, 60, 30, 70, 20}

const shortEdge, offShort, longEdge, offLong = 1.0, 9.0, 5.0, 20.0

// hatchAngle chooses the angle at which faces are hatched, in degrees to the right of the sheet's lower edge: no edge of theirs runs
// along it, rising to the right or to the left. Where all are taken it is the one that is farthest from an edge.
func hatchAngle(faces ...[]at) float64 {
	best, most := 0.0, -1.0
	for _, angle := range hatchAngles {
		off := 1.0
		for _, face := range faces {
			for i, p := range face {
				q := face[(i+1)%len(face)]
				dx, dy := math.Abs(q.X-p.X), math.Abs(q.Y-p.Y)
				apart := math.Abs(math.Atan2(dy, dx)*180/math.Pi - angle)
				switch long := math.Hypot(dx, dy); {
				case long >= longEdge:
					off = math.Min(off, apart/offLong)
				case long >= shortEdge:
					off = math.Min(off, apart/offShort)
				}
			}
		}
		if off > most {
			best, most = angle, off
		}
	}
	return best
}

// hatch returns the lines inside a closed outline, apart by spacing, that rise to the right at an angle in degrees; to the left at a
// negative one.
func hatch(outline []at, angle, spacing float64) [][2]at {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	across := func(p at) float64 { return float64(sin*p.X) + float64(cos*p.Y) }
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range outline {
		low, high = math.Min(low, across(p)), math.Max(high, across(p))
	}
	var lines [][2]at
	for k := math.Ceil(low / spacing); k*spacing <= high; k++ {
		c := k*spacing + 1e-7 // a tiny offset keeps the line off the corners
		var ts []float64      // where it crosses the outline, along it
		for i, p := range outline {
			q := outline[(i+1)%len(outline)]
			dp, dq := across(p)-c, across(q)-c
			if (dp < 0) != (dq < 0) {
				x, y := p.X+(q.X-p.X)*dp/(dp-dq), p.Y+(q.Y-p.Y)*dp/(dp-dq)
				ts = append(ts, float64(cos*x)-float64(sin*y))
			}
		}
		slices.Sort(ts)
		on := func(t float64) at {
			return at{float64(cos*t) + float64(sin*c), float64(cos*c) - float64(sin*t)}
		}
		for i := 0; i+1 < len(ts); i += 2 {
			if ts[i+1]-ts[i] > 0.05 {
				lines = append(lines, [2]at{on(ts[i]), on(ts[i+1])})
			}
		}
	}
	return lines
}

// ringOf is a circle as a closed line of 360 chords, which lie within a 25,000th of its radius.
func ringOf(centre at, radius float64) (line []at) {
	const chords = 360
	for i := range chords + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / chords)
		line = append(line, at{centre.X + radius*cos, centre.Y + radius*sin})
	}
	return line
}

// crossedBy tells whether the line from p to q has a point inside the box.
func (b box) crossedBy(p, q at) bool {
	// The part of the line inside each pair of sides, as a range of its parameter (Liang and Barsky, 1984).
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{{p.X - q.X, p.X - b.X0}, {q.X - p.X, b.X1 - p.X}, {p.Y - q.Y, p.Y - b.Y0}, {q.Y - p.Y, b.Y1 - p.Y}} {
		rise, room := side[0], side[1]
		switch {
		case rise < 0:
			from = max(from, room/rise)
		case rise > 0:
			to = min(to, room/rise)
		case room <= 0:
			return false
		}
	}
	return from < to
}

// segmentsCross tells whether the lines from a to b and from c to d have a point in common.
func segmentsCross(a, b, c, d at) bool {
	turn := func(p, q, r at) float64 { return float64((q.X-p.X)*(r.Y-p.Y)) - float64((q.Y-p.Y)*(r.X-p.X)) }
	return turn(a, b, c)*turn(a, b, d) <= 0 && turn(c, d, a)*turn(c, d, b) <= 0
}

// overlaps tells whether two boxes share more than an edge.
func (b box) overlaps(o box) bool {
	return b.X0 < o.X1 && o.X0 < b.X1 && b.Y0 < o.Y1 && o.Y0 < b.Y1
}

// inside tells whether a point lies in a closed outline, by the even-odd rule along a level line.
func inside(outline []at, p at) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}
