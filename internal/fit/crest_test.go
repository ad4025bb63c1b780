package fit_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/unit"
)

// Of two bores of G 1/2 inside its limits (18.631 to 19.172 mm, ISO 228-1) neither says where the flanks are.
func TestCrestLeavesFlanks(t *testing.T) {
	e, i := parse(t, "1/2-14 NPSM"), parse(t, "G 1/2")
	unread, err := fit.Judge(e, i, fit.Options{})
	require.NoError(t, err)
	for _, bore := range []unit.Length{18.7, 18.9, 19.1} {
		r, err := fit.Judge(e, i, fit.Options{Internal: fit.Side{Crest: &bore, CrestU: 0.03}})
		require.NoError(t, err)
		assert.InDelta(t, unread.PitchClearance.MM(), r.PitchClearance.MM(), 1e-9, "%v", bore)
		assert.Greater(t, r.Chance, 0.9, "%v", bore)
		assert.InDelta(t, 1, r.Chances[0]+r.Chances[1]+r.Chances[2]+r.Chances[3]+r.Chances[4], 1e-12)
	}
	// A crest that the mate has no room for binds, wherever the flanks are.
	large := unit.MM(22.5)
	r, err := fit.Judge(e, i, fit.Options{External: fit.Side{Crest: &large, CrestU: 0.03}})
	require.NoError(t, err)
	assert.Less(t, r.Chance, 0.5)
	// A flattened crest of a taper thread says nothing of its flanks either: it gets tight after as many turns.
	taper := parse(t, "1/2-14 NPT")
	small := taper.Basic.Major - 0.1
	whole, err := fit.Judge(taper, taper, fit.Options{})
	require.NoError(t, err)
	flattened, err := fit.Judge(taper, taper, fit.Options{External: fit.Side{Crest: &small, CrestU: 0.02}})
	require.NoError(t, err)
	assert.InDelta(t, *whole.Turns, *flattened.Turns, 0.01)
	assert.Equal(t, whole.PitchClearance, flattened.PitchClearance)
	assert.Greater(t, flattened.CrestClearance, whole.CrestClearance)
	// What is no crest of the thread is told.
	far := unit.MM(40)
	_, err = fit.Judge(e, i, fit.Options{Internal: fit.Side{Crest: &far}})
	assert.ErrorContains(t, err, "has no crest at")
}

// Farther beyond its limits (20.671 to 20.955 mm outside, ISO 228-1) than makers are, a crest may be misread: a third says nothing.
func TestCrestMisread(t *testing.T) {
	g := parse(t, "G 1/2")
	for _, c := range []struct {
		crest       unit.Length
		least, most float64
		told        bool
	}{{20.8, 0.99, 1, false}, {21.6, 0.32, 0.35, true}, {20.2, 0.6, 1, true}} {
		r, err := fit.Judge(g, g, fit.Options{External: fit.Side{Crest: &c.crest, CrestU: 0.03}})
		require.NoError(t, err)
		assert.GreaterOrEqual(t, r.Chance, c.least, "%v", c.crest)
		assert.LessOrEqual(t, r.Chance, c.most, "%v", c.crest)
		assert.Equal(t, c.told, strings.Contains(r.Why, "misread"), "%v: %s", c.crest, r.Why)
	}
}
