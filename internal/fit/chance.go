package fit

// This file weighs the verdicts over limits of size and uncertain readings, by fixed nodes: the same input always gives the
// same answer.

import (
	"fmt"
	"math"
)

// The numbers of nodes. Sizes within limits are taken as equally likely, each in the middle of one of limitNodes equal
// layers, all diameters of one thread moving together; uncertain diameters and pitches are normal, in readingNodes layers
// of equal chance. The nodes of a reading only move straight out from its value as its uncertainty grows. So a verdict
// whose region is convex (goes, for straight threads) never gains by a wider uncertainty once it holds at the value.
const (
	limitNodes   = 9
	readingNodes = 15
)

// layers returns the middles of n equal layers of -1 to 1.
func layers(n int) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = (2*float64(k)+1)/float64(n) - 1
	}
	return out
}

// normalLayers are the medians of readingNodes layers of equal chance under the normal distribution, in standard deviations.
var normalLayers = func() []float64 {
	out := layers(readingNodes)
	for k, x := range out {
		out[k] = math.Sqrt2 * math.Erfinv(x)
	}
	return out
}()

// places returns the thread across its limits.
func (s sized) places() ([]place, error) {
	at := []float64{0}
	if s.ranged {
		at = layers(limitNodes)
	}
	out := make([]place, len(at))
	for k, p := range at {
		var err error
		if out[k], err = s.place(Point(p)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// spread returns the nodes of a quantity with standard uncertainty u.
func spread(u float64) []float64 {
	if u == 0 {
		return []float64{0}
	}
	out := make([]float64, readingNodes)
	for k, x := range normalLayers {
		out[k] = u * x
	}
	return out
}

// chances returns the share of the nodes at each verdict, in the order of Verdicts.
func chances(j joint, e, i sized, opt Options) (share [5]float64, err error) {
	es, err := e.places()
	if err != nil {
		return share, fmt.Errorf("external thread: %w", err)
	}
	is, err := i.places()
	if err != nil {
		return share, fmt.Errorf("internal thread: %w", err)
	}
	radii := spread(math.Hypot(opt.External.U.MM(), opt.Internal.U.MM()) / 2)
	pitches := spread(math.Hypot(opt.External.UPitch.MM(), opt.Internal.UPitch.MM()))
	counts := map[Verdict]int{}
	for _, ep := range es {
		for _, ip := range is {
			for _, wider := range radii {
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
	return share, nil
}
