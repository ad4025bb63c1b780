package fit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
)

func lie(t testing.TB, external, internal string) fit.Lie {
	t.Helper()
	l, err := fit.LieOf(parse(t, external), parse(t, internal), fit.Options{})
	require.NoError(t, err)
	return l
}

// gap is the gap on the radius between both sections at z, the external one moved by more.
func gap(l fit.Lie, z, more float64) float64 {
	e := l.External.Rho(z-l.ShiftMM-more-l.External.PitchMM/2) + l.External.Slope*(z-l.DepthMM)
	return l.Internal.Rho(z-l.Internal.PitchMM/2) + l.Internal.Slope*z - e
}

// TestLieIsFreeAsFarAsJudged walks the section of each pair over the depth that Judge finds free.
func TestLieIsFreeAsFarAsJudged(t *testing.T) {
	const roundingMM = 0.002 // chords of round forms, and the nearest of the compared depths of tapers
	for _, c := range []struct{ name, external, internal string }{
		{"goes", "1 3/4-12 UN-2A", "1 3/4-12 UN-2B"},
		{"round", "G 1 1/2 A", "G 1 1/2"},
		{"pitches differ", "1 7/8-11.5 UNS", "1 7/8-14 UNS"},
		{"pitches differ slowly", "45mm x 1.52mm", "45.3mm x 1.5mm"},
		{"the other way", "45mm x 1.5mm", "45.3mm x 1.52mm"},
		{"taper", "1/2-14 NPT", "1/2-14 NPT"},
		{"taper in straight", "R 1", "Rp 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := lie(t, c.external, c.internal)
			r := judge(t, c.external, c.internal, fit.Options{})
			depth := l.DepthMM
			if r.Turns != nil {
				depth = math.Min(depth, *r.Turns*l.Internal.PitchMM)
			}
			least := math.Inf(1)
			for k := range 2000 {
				least = math.Min(least, gap(l, depth*float64(k)/2000, 0))
			}
			assert.Greater(t, least, -roundingMM)
		})
	}
}

func TestLieSaysHowMuchIsFree(t *testing.T) {
	l := lie(t, "1 3/4-12 UN-2A", "1 3/4-12 UN-2B")
	assert.True(t, math.IsInf(l.RidgesFree, 1))
	assert.InDelta(t, 2*l.ShiftMM, l.FreeMM, 1e-9, "from the inward flank to the outward one")
	assert.True(t, l.Alike)

	l = lie(t, "1 5/8-14 UNS", "1 7/8-14 UNS")
	assert.True(t, math.IsInf(l.FreeMM, 1), "they do not reach each other")

	l = lie(t, "1.9in x 14tpi", "1 7/8-14 UNS")
	assert.Negative(t, l.FreeMM)
	assert.Zero(t, l.RidgesFree)

	assert.False(t, lie(t, "1 3/4-12 UN LH", "1 3/4-12 UN").Alike)
}

func TestTooLargeToStartHasNoTurns(t *testing.T) {
	r := judge(t, "M120x2", "M6", fit.Options{})
	require.NotNil(t, r.Turns)
	assert.Zero(t, *r.Turns)
}
