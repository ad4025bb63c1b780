package fit

// This file weighs the verdicts over limits of size and uncertain readings, by fixed nodes: the same input always gives the
// same answer.

import (
	"fmt"
	"math"
	"slices"

	"tryring/internal/unit"
)

// The numbers of nodes. Sizes within limits are taken as equally likely, each in the middle of one of limitNodes equal
// layers, all diameters of one thread moving together; uncertain diameters and pitches are normal, in layers of equal chance: crestNodes of a crest that was read,
// bothNodes each when both are uncertain, oneNodes when one is. The nodes of a reading only move straight out from its value as its uncertainty grows. So a verdict
// whose region is convex (goes, for straight threads) never gains by a wider uncertainty once it holds at the value.
const (
	limitNodes = 9
	bothNodes  = 15
	oneNodes   = 101
)

// Layers returns the middles of n equal layers of -1 to 1.
func Layers(n int) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = (2*float64(k)+1)/float64(n) - 1
	}
	return out
}

// places returns the thread across its limits, and across what was read of its crest.
func (s sized) places() ([]place, error) {
	at := []float64{0}
	if s.ranged {
		at = Layers(limitNodes)
	}
	var out []place
	for _, p := range at {
		for _, d := range s.couldBe(Point(p)) {
			one, err := s.placeOf(d)
			if err != nil {
				return nil, err
			}
			out = append(out, one)
		}
	}
	return out, nil
}

// spread returns n nodes of a quantity with standard uncertainty u: the medians of n layers of equal chance under the normal
// distribution.
func spread(u float64, n int) []float64 {
	if u == 0 {
		return []float64{0}
	}
	out := Layers(n)
	for k, x := range out {
		out[k] = u * math.Sqrt2 * math.Erfinv(x)
	}
	return out
}

// chances returns the share of the nodes at each verdict, and the range of the pitch clearance over 95 % of them.
func chances(j joint, e, i sized) (share Chances, clearance [2]unit.Length, err error) {
	es, err := e.places()
	if err != nil {
		return share, clearance, fmt.Errorf("external thread: %w", err)
	}
	is, err := i.places()
	if err != nil {
		return share, clearance, fmt.Errorf("internal thread: %w", err)
	}
	var found []float64
	radius := math.Hypot(e.u.MM(), i.u.MM()) / 2
	pitch := math.Hypot(e.uPitch.MM(), i.uPitch.MM())
	nodes := oneNodes
	if radius > 0 && pitch > 0 {
		nodes = bothNodes
	}
	radii, pitches := spread(radius, nodes), spread(pitch, nodes)
	counts := map[Verdict]int{}
	for _, ep := range es {
		for _, ip := range is {
			for _, wider := range radii {
				found = append(found, ip.pitch-ep.pitch+2*wider)
				for _, longer := range pitches {
					at := j
					at.pitchE += longer
					v, _ := at.verdict(pair{e: ep.form, i: ip.form, clearance: ip.pitch - ep.pitch, wider: wider})
					counts[v]++
				}
			}
		}
	}
	all := len(es) * len(is) * len(radii) * len(pitches)
	for k, v := range Verdicts {
		share[k] = float64(counts[v]) / float64(all)
	}
	slices.Sort(found)
	tail := int(0.025 * float64(len(found)))
	return share, [2]unit.Length{unit.MM(found[tail]), unit.MM(found[len(found)-1-tail])}, nil
}
