package printer

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOutcomeChances(t *testing.T) {
	for mm := -0.5; mm < 1; mm += 0.003 {
		sum := 0.0
		for _, o := range told {
			c := o.chance(mm, 1.5, Inside.spread())
			assert.Positive(t, c)
			sum += c
		}
		require.InDelta(t, 1, sum, 1e-12, "the outcomes that a person tells apart exhaust what can happen")
	}
	assert.Greater(t, Goes.chance(0.2, 1.5, Inside.spread()), 0.99)
	assert.Greater(t, Snug.chance(0.01, 1.5, Inside.spread()), 0.4)
	assert.Greater(t, DoesNotStart.chance(-0.1, 1.5, Inside.spread()), 0.99)
	assert.Greater(t, Rattles.chance(0.65, 1.5, Inside.spread()), 0.9)
	assert.Less(t, Rattles.chance(0.2, 1.5, Inside.spread()), 0.01)
}
