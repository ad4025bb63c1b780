package reading

// This file makes one estimate of several that could be right, each with its chance.

import (
	"math"
	"slices"
)

const (
	// covered is what an interval holds; halvings find its half width to a millionth.
	covered  = 0.95
	halvings = 20
)

// oneOf is the likeliest of the estimates, with an interval about it that holds 95 % of all that the value could be, each estimate by
// its chance. It is told as a standard uncertainty of which 1.96 make that interval.
func oneOf(could []Estimate, chances []float64) Estimate {
	first, all := 0, 0.0
	for k, p := range chances {
		all += p
		if p > chances[first] {
			first = k
		}
	}
	e := could[first]
	held := func(half float64) (sum float64) {
		for k, other := range could {
			off := other.Value - e.Value
			sum += chances[k] / all * between((-half-off)/other.U, (half-off)/other.U, other.DOF)
		}
		return sum
	}
	own := e.Coverage(covered) * e.U
	if !(held(own) < covered) {
		return e
	}
	low, high := own, 2*own
	for held(high) < covered {
		low, high = high, 2*high
	}
	for range halvings {
		if half := (low + high) / 2; held(half) < covered {
			low = half
		} else {
			high = half
		}
	}
	wider := Estimate{Value: e.Value, DOF: math.Inf(1)}
	wider.U = high / wider.Coverage(covered)
	part := Part{What: "what slips and an unsteady hand would make of it", Source: "their chances, " + commonPractice, DOF: math.Inf(1)}
	part.U = math.Sqrt(wider.U*wider.U - e.U*e.U)
	wider.Parts = append(slices.Clone(e.Parts), part)
	return wider
}
