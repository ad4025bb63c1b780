package fit_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tryring/internal/fit"
)

// Where a table gives no limits, two parts of one name very likely go together, but no figure says so surely, and the answer
// tells what was assumed. Where crest and root have limits, as of lamp threads, the flanks between them have some too: E27 has
// 26.150 to 26.450 and 23.960 to 24.260 mm outside, 26.550 to 26.850 and 24.360 to 24.660 mm inside (IEC 60061, from memory).
func TestThreadsWithoutLimits(t *testing.T) {
	for _, name := range []string{"S 60x9", "Rd 40x1/6", "Pg 16", "5/16-26 BSC", "PCO 1881"} {
		r := judge(t, name, name, fit.Options{})
		assert.True(t, r.Verdict.Usable(), "%s: %s", name, r.Why)
		assert.Greater(t, r.Chance, 0.85, name)
		assert.Less(t, r.Chance, 0.98, name)
		assert.Contains(t, r.Why, "no limits of "+name+" outside are known", name)
	}
	lamp := judge(t, "E27", "E27", fit.Options{})
	assert.Equal(t, fit.Goes, lamp.Verdict, lamp.Why)
	assert.InDelta(t, ((26.7+24.51)-(26.3+24.11))/2, lamp.PitchClearance.MM(), 1e-9)
	assert.NotContains(t, lamp.Why, "no limits")
	known := judge(t, "M45x1.5", "M45x1.5", fit.Options{})
	assert.NotContains(t, known.Why, "no limits")
}
