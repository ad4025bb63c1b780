package caliper_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
)

func TestLessThanATurnIsTold(t *testing.T) {
	f := iso(20, 2.5)
	bar := func(radius func(theta, z float64) float64) caliper.Report {
		p := part{height: 12, columns: 72, fine: 8, out: 2.0 / 3, outer: &side{form: f, radius: radius}}
		rep, err := caliper.Measure(welded(p.build()), caliper.DefaultOptions())
		require.NoError(t, err)
		require.Empty(t, rep.Threads)
		return rep
	}
	// turn is how far round the ridge whose middle is at z = 0, theta = 0, plus 5 pitches goes on to.
	turn := func(theta, z float64) (turns float64, near bool) {
		turns = math.Mod(theta/(2*math.Pi)+1, 1)
		return turns, math.Abs(z-2*f.pitch-f.pitch*turns) <= f.pitch/2
	}
	for _, turns := range []float64{0.5, 0.6, 0.9} {
		rep := bar(func(theta, z float64) float64 {
			if at, near := turn(theta, z); near && at < turns {
				return f.radius(theta, z)
			}
			return f.minor / 2
		})
		require.Len(t, rep.Partial, 1, "%g turns", turns)
		assert.Regexp(t, `^outer thread of about 0\.[4-9] turns at z [3-6]\.\d to [5-9]\.\d mm: not measured, because `, rep.Partial[0])
		assert.Contains(t, rep.Partial[0], map[float64]string{0.5: "0.5 ", 0.6: "0.6 ", 0.9: "0.9 "}[turns])
	}
	for _, aslant := range []float64{0, 1} { // a collar, and one that is put on aslant
		assert.Empty(t, bar(func(theta, z float64) float64 {
			return max(f.minor/2, f.major/2-math.Abs(z-6-aslant*math.Sin(theta)))
		}).Partial, "aslant by %g", aslant)
	}
}
