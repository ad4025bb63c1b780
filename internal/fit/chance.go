package fit

// This file weighs the verdicts over limits of size and uncertain readings, by fixed nodes: the same input always gives the
// same answer.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

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
		for _, could := range s.couldBe(Point(p)) {
			one, err := s.placeOf(could.Diameters)
			if err != nil {
				return nil, err
			}
			one.share = could.share
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

// weigh fills in the share of the nodes at each verdict, the chance to hold, and the range of the pitch clearance over 95 % of them.
func (r *Result) weigh(j joint, e, i sized) error {
	es, err := e.places()
	if err != nil {
		return fmt.Errorf("external thread: %w", err)
	}
	is, err := i.places()
	if err != nil {
		return fmt.Errorf("internal thread: %w", err)
	}
	var found, shares []float64
	radius := math.Hypot(e.u.MM(), i.u.MM()) / 2
	pitch := math.Hypot(e.uPitch.MM(), i.uPitch.MM())
	nodes := oneNodes
	if radius > 0 && pitch > 0 {
		nodes = bothNodes
	}
	radii, pitches := spread(radius, nodes), spread(pitch, nodes)
	all := 0.0
	for _, ep := range es {
		for _, ip := range is {
			for _, wider := range radii {
				share := ep.share * ip.share
				found, shares = append(found, ip.pitch-ep.pitch+2*wider), append(shares, share)
				all += share * float64(len(pitches))
				for _, longer := range pitches {
					at := j
					at.pitchE += longer
					p := pair{e: ep.form, i: ip.form, clearance: ip.pitch - ep.pitch, wider: wider}
					v, c := at.verdict(p)
					thin := at.thin(p, v, c)
					r.count(v, share*(1-thin), at.holds(p, v))
					if thin > 0 {
						at.engaged *= ThinShare
						if v, _ = at.verdict(p); v == Goes { // not freely, since a little more would bind
							v = Snug
						}
						r.count(v, share*thin, at.holds(p, v))
					}
				}
			}
		}
	}
	for k := range r.Chances {
		r.Chances[k] /= all
	}
	r.Chance = min(1, r.Chance/all)
	stat.SortWeighted(found, shares)
	for k, p := range []float64{0.025, 0.975} {
		r.Pitch95[k] = unit.MM(stat.Quantile(p, stat.Empirical, found, shares))
	}
	return nil
}

// count takes in a share at a verdict, which holds by that chance.
func (r *Result) count(v Verdict, share, holds float64) {
	r.Chances[slices.Index(Verdicts, v)] += share
	r.Chance += share * holds
}
