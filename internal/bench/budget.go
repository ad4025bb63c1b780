package bench

// This file foretells how large a ring's mesh will be, before it is made.

import (
	"math"

	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// maxTriangles is the most triangles of a ring: an STL file of 100 MB.
const maxTriangles = 2_000_000

// runOut is how many turns of a thread run out beside its full form, both ends together.
const runOut = 4

// conesCross is how many times as many columns a stacked ring may take, whose cones cross a thread at many angles.
const conesCross = 3

// triangles estimates how many triangles the helix mesher will need, by the law it follows: columns at its widest
// step, each with two triangles a knot and pitch of both walls, and as many columns again where knots meet the ends of a
// thread. It is never below half of what comes out.
func triangles(p ring.Plan, chord unit.Length) int {
	step, corners, events := mesh.Helix{ChordMM: chord.MM()}.Step(p.Shape), 0.0, 0.0
	for _, wall := range []struct {
		ring.Surface
		full [2]float64
	}{{p.Shape.Inner, p.Inner.FullMM}, {p.Shape.Outer, p.Outer.FullMM}} {
		s := wall.Surface
		if s.Profile.PitchMM <= 0 {
			continue
		}
		tolerance := chord.MM()
		if s.Profile.RoundMajor || s.Profile.RoundMinor {
			tolerance /= 2
		}
		knots := float64(len(s.Profile.Knots(tolerance)))
		corners += knots*((wall.full[1]-wall.full[0])/s.Profile.PitchMM+runOut) + 8
		events += float64(s.Starts) * knots * 4
	}
	n := (2*math.Pi/step + events) * 2 * (corners + 2)
	if p.Layout == ring.Stacked {
		n *= conesCross
	}
	if f := p.Shape.Flange; f != nil {
		points := len(f.Outline)
		for _, g := range f.Glyphs {
			for _, c := range g {
				points += len(c)
			}
		}
		n += float64(8 * points)
	}
	return int(math.Min(n, math.MaxInt32))
}
