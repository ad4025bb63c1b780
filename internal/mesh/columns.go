package mesh

// This file chooses the angles at which a ring's walls get a column of vertices.

import (
	"math"
	"slices"

	"tryring/internal/ring"
)

const (
	// mergeArcMM is the distance on the smallest circle within which two event angles share a column: wide against the
	// grid, so that no strip degenerates, and narrow against the micrometre of the proofs.
	mergeArcMM = 16 * GridMM
	// fewestColumns keeps small rings round.
	fewestColumns = 24
	// onWallMM is how near to the wall a bound must be for a crossing with it to count.
	onWallMM = 1e-7
)

// columns returns rising angles in [0, 2 pi): all event angles of both walls, with equal steps no wider than widest between.
func columns(widest float64, walls ...*wall) []float64 {
	smallest := math.Inf(1)
	var events []float64
	for _, w := range walls {
		smallest = math.Min(smallest, w.smallestRadius())
		events = append(events, w.events()...)
	}
	slices.Sort(events)
	kept := events[:0]
	for _, e := range events {
		if len(kept) == 0 || e-kept[len(kept)-1] > mergeArcMM/smallest {
			kept = append(kept, e)
		}
	}
	if n := len(kept); n > 1 && kept[0]+2*math.Pi-kept[n-1] <= mergeArcMM/smallest {
		kept = kept[:n-1]
	}
	if len(kept) == 0 {
		kept = append(kept, 0)
	}
	var angles []float64
	for i, a := range kept {
		gap := 2 * math.Pi
		if len(kept) > 1 {
			gap = math.Mod(kept[(i+1)%len(kept)]-a+2*math.Pi, 2*math.Pi)
		}
		steps := int(math.Ceil(gap/widest - 1e-9))
		for j := range max(steps, 1) {
			angles = append(angles, a+gap*float64(j)/float64(max(steps, 1)))
		}
	}
	return angles
}

func (w *wall) smallestRadius() float64 {
	_, a := w.Ends(w.From)
	_, b := w.Ends(w.To)
	return math.Max(math.Min(a, b), 0.01)
}

// largestRadius bounds the wall's radius over its whole height.
func (w *wall) largestRadius() float64 {
	r := math.Max(w.MajorRadius(w.From), w.MajorRadius(w.To))
	for _, k := range w.lo {
		r = math.Max(r, k.R)
	}
	return r
}

// events returns the angles in [0, 2 pi) at which the wall's meridian changes its structure: a corner of the thread
// meets an end plane or a bound, or a corner of a bound meets the thread.
func (w *wall) events() []float64 {
	var es []float64
	period := 2 * math.Pi / float64(w.Starts)
	// add notes that the thread's point at profile height p stands at height z.
	add := func(p, z float64) {
		a := math.Mod((z-w.ShiftMM-p)/w.climb, period)
		if a < 0 {
			a += period
		}
		for s := range w.Starts {
			es = append(es, math.Mod(a+float64(s)*period, 2*math.Pi))
		}
	}
	onWall := func(z, r float64) bool {
		return z >= w.From-onWallMM && z <= w.To+onWallMM && r >= w.lo.At(z)-onWallMM && r <= w.hi.At(z)+onWallMM
	}
	slope := w.Profile.Slope
	for _, k := range w.knots {
		cone := func(z float64) float64 { return k.R + slope*(z-w.RefMM) }
		for _, z := range []float64{w.From, w.To} {
			if onWall(z, cone(z)) {
				add(k.Z, z)
			}
		}
		for _, bound := range [][]straight{pieces(w.lo, w.From, w.To), pieces(w.hi, w.From, w.To)} {
			for _, b := range bound {
				z, ok := meet(&straight{z: w.RefMM, r: k.R, slope: slope}, &b)
				if ok && z >= b.z-onWallMM && z <= b.end+onWallMM && onWall(z, cone(z)) {
					add(k.Z, z)
				}
			}
		}
	}
	for _, bound := range [][]straight{pieces(w.lo, w.From, w.To), pieces(w.hi, w.From, w.To)} {
		for i, b := range bound {
			w.cornerEvents(b.z, b.r, onWall, add)
			if i == len(bound)-1 {
				w.cornerEvents(b.end, b.at(b.end), onWall, add)
			}
		}
	}
	return es
}

// cornerEvents notes every angle at which the thread passes through the fixed point (z, r).
func (w *wall) cornerEvents(z, r float64, onWall func(z, r float64) bool, add func(p, z float64)) {
	if !onWall(z, r) {
		return
	}
	rho := r - w.Profile.Slope*(z-w.RefMM)
	for i, a := range w.knots {
		b := w.knots[(i+1)%len(w.knots)]
		if i == len(w.knots)-1 {
			b.Z += w.Profile.PitchMM
		}
		if (a.R-rho)*(b.R-rho) < 0 {
			add(a.Z+(b.Z-a.Z)*(rho-a.R)/(b.R-a.R), z)
		}
	}
}

// pieces returns a bound's straight pieces between two heights.
func pieces(l ring.Line, from, to float64) []straight {
	var ps []straight
	for z := from; z < to; {
		p := fixed(l, z)
		p.z, p.r = z, p.at(z)
		p.end = math.Min(p.end, to)
		ps = append(ps, p)
		z = p.end
	}
	return ps
}
