package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The interval of one of several holds 95 % of them all, by the error function alone, and is no narrower than the likeliest's own.
func TestOneOfHolds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(rt, "n")
		could, chances := make([]Estimate, n), make([]float64, n)
		all, first := 0.0, 0
		for k := range could {
			could[k] = Combine(rapid.Float64Range(40, 41).Draw(rt, "value"), Part{U: rapid.Float64Range(0.01, 0.3).Draw(rt, "u"), DOF: math.Inf(1)})
			chances[k] = rapid.Float64Range(0.01, 1).Draw(rt, "chance")
			all += chances[k]
			if chances[k] > chances[first] {
				first = k
			}
		}
		e := oneOf(could, chances)
		low, high := e.Interval()
		held := 0.0
		for k, other := range could {
			z := func(x float64) float64 { return math.Erf((x - other.Value) / other.U / math.Sqrt2) }
			held += chances[k] / all * (z(high) - z(low)) / 2
		}
		ownLow, ownHigh := could[first].Interval()
		assert.GreaterOrEqual(rt, held, 0.95-1e-5)
		assert.LessOrEqual(rt, low, ownLow+1e-9)
		assert.GreaterOrEqual(rt, high, ownHigh-1e-9)
		if low < ownLow-1e-6 { // wider than its own only as far as need be
			assert.InDelta(rt, 0.95, held, 1e-5)
		}
		var sum float64
		for _, p := range e.Parts {
			sum += p.U * p.U
		}
		assert.InDelta(rt, e.U, math.Sqrt(sum), 1e-9, "its parts add up")
	})
}
