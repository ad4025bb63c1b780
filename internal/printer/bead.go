package printer

// This file holds the end of a layer: what profiles call a bead, by process or as it was measured.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Bead is a measured end of a layer: how far past the drawn flank it reaches along the axis, by the flank's angle, from the flattest up. A
// person finds it from a cut under a loupe, or from plain size and what is felt of threads of two forms (the derivation in flank.go). It
// is nil where the process tells.
type Bead []Reach

// Reach is how far a bead reaches past a flank at an angle from the plane across the axis, degrees, in layer heights.
type Reach struct{ Deg, Layers float64 }

// beadWanted says what would be right where a bead was read.
const beadWanted = `it is two or more flank angles from the plane across the axis with how far a layer reaches past them along the axis, in layer heights, such as "15=0.38, 30=0.29"`

// mostFlankDeg is steeper than any flank, mostReach is that of a square end.
const mostFlankDeg, mostReach = 80.0, 0.5

// UnmarshalText reads a bead as people write it. It must be one bead's: of convex ends the reach falls with the angle, the more slowly
// the steeper the flank.
func (b *Bead) UnmarshalText(text []byte) error {
	var out Bead
	for part := range strings.SplitSeq(string(text), ",") {
		deg, reach, _ := strings.Cut(part, "=")
		d, err := strconv.ParseFloat(strings.TrimSpace(deg), 64)
		r, err2 := strconv.ParseFloat(strings.TrimSpace(reach), 64)
		if errors.Join(err, err2) != nil || !(d > 0 && d <= mostFlankDeg && r >= 0 && r <= mostReach) {
			return fmt.Errorf("%q: %s; angles lie above 0 and to %g, reaches between 0 and %g", strings.TrimSpace(part), beadWanted, mostFlankDeg, mostReach)
		}
		out = append(out, Reach{d, r})
	}
	slices.SortFunc(out, func(a, b Reach) int { return cmp.Compare(a.Deg, b.Deg) })
	falls := math.Inf(1)
	for i, x := range out {
		before := Reach{0, mostReach}
		if i > 0 {
			before = out[i-1]
		}
		fall := (before.Layers - x.Layers) / (x.rise() - before.rise())
		if !(fall >= 0 && fall <= falls) {
			return fmt.Errorf("%q: no bead does all of these; the reach falls with the angle, from %g at 0, the more slowly the steeper", text, mostReach)
		}
		falls = fall
	}
	if len(out) < 2 {
		return fmt.Errorf("%q: %s", text, beadWanted)
	}
	*b = out
	return nil
}

// MarshalText writes b as UnmarshalText reads it.
func (b Bead) MarshalText() ([]byte, error) {
	var parts []string
	for _, x := range b {
		parts = append(parts, fmt.Sprintf("%g=%g", x.Deg, x.Layers))
	}
	return []byte(strings.Join(parts, ", ")), nil
}

func (x Reach) rise() float64 { return math.Tan(x.Deg * math.Pi / 180) }

// bead is the outline of a layer's end, mm.
type bead struct {
	height float64
	// square is the end of a voxel, else it is a half circle, or as measured.
	square   bool
	measured Bead
}

// bead is the outline of a layer of p.
func (p Profile) bead() bead { return bead{p.Layer.MM(), p.Process == Resin, p.Bead} }

// reach is how far beside its middle, along the axis, the bead ends at the given depth below its outermost point. A measured one is
// taken as far out as all its flanks let it: straight between them, which is too far rather than too little.
func (b bead) reach(depth float64) float64 {
	half := b.height / 2
	switch {
	case b.measured != nil:
		for _, x := range b.measured {
			half = min(half, x.Layers*b.height+depth*x.rise())
		}
		return half
	case b.square || depth >= half:
		return half
	}
	return math.Sqrt(depth * (2*half - depth))
}

// touching is the depth below its outermost point at which the bead touches a flank that falls by rise along the axis for each
// millimetre of radius (rise = tan a).
func (b bead) touching(rise float64) float64 {
	switch {
	case b.measured != nil: // at the corner between the flank measured next to it and that before it
		before := Reach{0, mostReach}
		for _, x := range b.measured {
			if x.rise() >= rise {
				return (before.Layers - x.Layers) * b.height / (x.rise() - before.rise())
			}
			before = x
		}
		return 0
	case b.square:
		return 0
	}
	return b.height / 2 * (1 - rise/math.Hypot(1, rise))
}
