package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// A use of the tables of uses makes its thread more common, most of all where the set it belongs to is named; that all of a family have
// their uses makes none of them a usual one.
func TestUsesMakeCommon(t *testing.T) {
	tables := thread.NewTables()
	common := func(name string, among Among) float64 {
		th, err := tables.Parse(name)
		require.NoError(t, err)
		share, _ := among.common(th, thread.UsesOf(th.Designation))
		return share
	}
	assert.Greater(t, common("1 5/8-16 UN", Any), 20*common("1 5/16-16 UN", Any), "a drain against no known use")
	assert.Greater(t, common("1 5/8-16 UN", Drain), 4*common("1 5/8-16 UN", Supply), "a drain among drains")
	assert.Greater(t, common("1 5/8-16 UN", Supply), common("1 5/16-16 UN", Supply), "a known use is one, whatever set was named")
	assert.InDelta(t, 40, common("1 7/8-14 UNS", Any), 1e-9, "the use makes up for the odd series")
	stub, err := tables.Parse("1-5 Stub Acme")
	require.NoError(t, err)
	require.NotEmpty(t, thread.UsesOf(stub.Designation))
	assert.InDelta(t, stub.Common("any"), common("1-5 Stub Acme", Any), 1e-12, "spindles are what the whole family is for")
	assert.Greater(t, common("G 3/4", Any), 3*common("G 5/8", Any), "an old tap is met seldom")
}
