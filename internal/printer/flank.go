package printer

// This file holds the printed flank: how much larger outside, and smaller inside, the mate feels a thread than it is drawn, because
// it is laid in layers.
//
// A layer is a bead as tall as the layer. Of filament it is a rectangle with half circles of radius h/2 at its ends (the flow
// arithmetic that slicers publish), of resin a voxel with square ends, or what was measured (Bead). The slicer cuts the drawn thread at the middle of each layer,
// so that the outermost point of the bead's end lies on the drawn surface there, and all else of the end stands beside it.
//
// Let a flank lean by the angle a from the plane across the axis. A half circle whose outermost point lies on the flank has its
// middle h/2 below it on the radius, which is h/2 sin a short of the flank square to it; the circle itself reaches h/2, so that it
// stands h/2 (1 - sin a) out of the flank, and s = h/2 (1 - sin a) / cos a along the axis. A square end has its corner h/2 further
// along the axis at the same radius: s = h/2. As the helix winds, the beads' middles pass every place of the flank, so that the
// mate meets a flank that is moved by s as a whole. A ridge grown by s1 + s2 along the axis is as wide as its groove on a pitch
// diameter that is larger by 2 (s1 + s2) / (tan a1 + tan a2): one layer height at 60 degrees.
//
// Crest flats lie at the outermost points themselves and are not moved, nor are root flats, as long as the grown ridges leave a
// groove between them. Round crests and roots grow from point to point, each by its own slope: the numeric offset below.

import (
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// slope is one side of a ridge from its middle outward: R falls, or stays, while Z, the distance from the middle, rises.
type slope []thread.Knot

// grown is how far from the ridge's middle the beads along the slope reach at radius r: the most that any point of the slope at or
// above r gives, on each straight piece that of the bead which touches it there.
func (s slope) grown(b bead, r float64) float64 {
	most := 0.0
	for i := 1; i < len(s) && s[i-1].R >= r; i++ {
		high, low := s[i-1], s[i]
		drop := high.R - low.R
		if drop <= levelMM { // a flat: its far end reaches furthest
			most = math.Max(most, low.Z+b.reach(high.R-r))
			continue
		}
		rise := (low.Z - high.Z) / drop
		at := math.Max(r, math.Max(low.R, math.Min(high.R, r+b.touching(rise))))
		most = math.Max(most, high.Z+(high.R-at)*rise+b.reach(at-r))
	}
	return most
}

const (
	// levelMM is how far two radii of one flat may differ by rounding.
	levelMM = 1e-9
	// arcMM is how far the chords of a round crest or root may lie from the arc: half of the last digit that is printed.
	arcMM = 0.0005
	// halvings narrow the depth of a thread down to far below a micrometre.
	halvings = 26
)

// ridge is one ridge of material between its two neighbours, and the pitch.
type ridge struct {
	sides   [2]slope
	pitchMM float64
}

// ridgeOf returns the ridge of t as drawn with its basic diameters, its crest pointing to larger R: that of an internal thread is
// turned over. A taper is left out: over the height of a bead it is nothing.
func ridgeOf(t thread.Thread, s Side) (ridge, error) {
	section := t.Section(t.Basic)
	section.Slope = 0
	profile, err := thread.NewProfile(section)
	if err != nil {
		return ridge{}, err
	}
	knots := profile.Knots(arcMM)
	if s == Inside {
		for i := range knots {
			knots[i].R = -knots[i].R
		}
	}
	high, low := 0, 0 // first of the crest, first of the root
	for i, k := range knots {
		if k.R > knots[high].R+levelMM {
			high = i
		}
		if k.R < knots[low].R-levelMM {
			low = i
		}
	}
	n := len(knots)
	at := func(i int) thread.Knot { // the knots go on from pitch to pitch
		k := knots[((i%n)+n)%n]
		k.Z += section.PitchMM * math.Floor(float64(i)/float64(n))
		return k
	}
	middle := at(high).Z
	out := ridge{pitchMM: section.PitchMM}
	for side, step := range []int{-1, +1} {
		out.sides[side] = slope{{Z: 0, R: at(high).R}}
		for i := high + step; ; i += step {
			k := at(i)
			out.sides[side] = append(out.sides[side], thread.Knot{Z: math.Abs(k.Z - middle), R: k.R})
			if k.R < at(low).R+levelMM {
				break
			}
		}
	}
	return out, nil
}

// least is the least room, on the radius, with which fits is true, as it is from there on.
func (r ridge) least(fits func(room float64) bool) float64 {
	side := r.sides[0]
	low, high := 0.0, side[0].R-side[len(side)-1].R
	if fits(low) {
		return low
	}
	for range halvings {
		if middle := (low + high) / 2; fits(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// over is how much further along the axis the grown slope reaches than that of a mate drawn alike, but larger on the radius by room:
// the most at any corner of the mate.
func (s slope) over(b bead, room float64) float64 {
	most := math.Inf(-1)
	for _, k := range s {
		if k.R+room <= s[0].R {
			most = math.Max(most, s.grown(b, k.R+room)-k.Z)
		}
	}
	return most
}

// Layers is what layers of p do to t on a side, before the printer's share of it: how much larger outside, or smaller inside, the
// mate feels each diameter than it is drawn. On the pitch diameter that is the room which a mate needs that is drawn as the thread
// itself and slides along the axis to where it needs least. The root is lost as far as the feet of the ridges meet; the crest stays.
// A thread of which no section can be drawn has none.
func (p Profile) Layers(t thread.Thread, s Side) thread.Diameters {
	r, err := ridgeOf(t, s)
	if err != nil {
		return thread.Diameters{}
	}
	b, lower, upper := p.bead(), r.sides[0], r.sides[1]
	flanks := r.least(func(room float64) bool { return lower.over(b, room)+upper.over(b, room) <= levelMM })
	root := lower[len(lower)-1].R
	lost := r.least(func(room float64) bool {
		return lower.grown(b, root+room)+upper.grown(b, root+room) < r.pitchMM-levelMM
	})
	out := thread.Diameters{Pitch: unit.MM(2 * flanks)}
	if s == Inside {
		out.Major = unit.MM(2 * lost)
	} else {
		out.Minor = unit.MM(2 * lost)
	}
	return out
}
