package fit_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// normal is the normal distribution function.
func normal(x float64) float64 { return (1 + math.Erf(x/math.Sqrt2)) / 2 }

// nodeTol is what 101 fixed nodes may miss of a chance: half a layer at either end of a range.
const nodeTol = 1.0 / 101

// Equal forms with a clearance c bind when c and its error u Z are below -Touch, and with an error up Z of the pitch when the
// play of c + Touch is used up over the engaged turns: both in closed form.
func TestChanceInClosedForm(t *testing.T) {
	th := parse(t, "40mm x 2mm")
	for _, c := range []struct{ clearance, u, up float64 }{
		{0.1, 0.1, 0},
		{0.05, 0.1, 0},
		{0, 0.02, 0},
		{-0.1, 0.1, 0},
		{0.1, 0, 0.01},
		{0.2, 0, 0.02},
	} {
		given := th.Basic.Plus(unit.MM(c.clearance))
		r, err := fit.Judge(th, th, fit.Options{
			External: fit.Side{U: unit.MM(c.u * 0.6), UPitch: unit.MM(c.up)},
			Internal: fit.Side{U: unit.MM(c.u * 0.8), Given: &given}, // 0.6 and 0.8 add up to 1 in quadrature
		})
		require.NoError(t, err)
		room := c.clearance + fit.Touch.MM()
		want := normal(-room / c.u)
		if c.up > 0 {
			// Any length from half of what is needed on may be engaged.
			want = 0
			const lengths = 200
			for k := range lengths {
				turns := r.EngagedTurns * (1 - 0.5*(float64(k)+0.5)/lengths)
				want += 2 * normal(-room*math.Tan(th.Form.FlankRad)/turns/c.up) / lengths
			}
			given := fit.Options{External: fit.Side{UPitch: unit.MM(c.up)}, Internal: fit.Side{Given: &given}, Engaged: unit.MM(r.EngagedTurns * th.Pitch.MM())}
			whole, err := fit.Judge(th, th, given)
			require.NoError(t, err)
			assert.InDelta(t, 2*normal(-room*math.Tan(th.Form.FlankRad)/r.EngagedTurns/c.up), whole.ChanceOf(fit.Binds), nodeTol)
		}
		assert.InDelta(t, want, r.ChanceOf(fit.Binds), nodeTol, "chance to bind at clearance %v ± %v, pitch ± %v", c.clearance, c.u, c.up)
	}
}

// Over limits of size, beside many more points than the nodes.
func TestChanceOverLimits(t *testing.T) {
	for _, c := range []struct{ external, internal string }{
		{"M3", "M3"},
		{"1/2-14 NPT", "1/2-14 NPSM"},
		{"G 1/2", "1/2-14 NPSM"},
		{"1 7/8-14 UNS", "1 7/8-14 UNS"},
	} {
		t.Run(c.external+" in "+c.internal, func(t *testing.T) {
			const n = 15
			counts := map[fit.Verdict]float64{}
			for a := range n {
				for b := range n {
					at := func(k int) fit.Point { return fit.Point((2*float64(k)+1)/n - 1) }
					r := judge(t, c.external, c.internal, fit.Options{External: fit.Side{At: at(a)}, Internal: fit.Side{At: at(b)}})
					counts[r.Verdict]++
				}
			}
			got := judge(t, c.external, c.internal, fit.Options{})
			for _, v := range fit.Verdicts {
				// A boundary across the square of both limits may miss up to half a layer of nodes.
				assert.InDelta(t, counts[v]/(n*n), got.ChanceOf(v), 0.5/9, "chance of %s", v)
			}
		})
	}
}

func TestRectangular(t *testing.T) {
	// JCGM 100:2008 4.3.7: a half width of a gives a / root 3.
	assert.InDelta(t, 0.577350, fit.Rectangular(1).MM(), 1e-6)
}

// A thread that was measured is one size; only its limits are given up.
func TestGivenHasNoLimits(t *testing.T) {
	l, err := parse(t, "M3").Limits("", true)
	require.NoError(t, err)
	given := thread.Diameters{Major: *l.MajorMin}
	whole := judge(t, "M3", "M3", fit.Options{})
	measured := judge(t, "M3", "M3", fit.Options{External: fit.Side{Given: &given}})
	assert.NotEqual(t, whole.Chances, measured.Chances)
}

// The range of the pitch clearance: limits spread it evenly, what is uncertain as the normal law does.
func TestPitchClearance95(t *testing.T) {
	e, i := parse(t, "M42x1.5-6g"), parse(t, "M42x1.5-6H")
	both, err := fit.Judge(e, i, fit.Options{})
	require.NoError(t, err)
	le, err := e.Limits("", true)
	require.NoError(t, err)
	li, err := i.Limits("", false)
	require.NoError(t, err)
	assert.Greater(t, both.Pitch95[0], *li.PitchMin-*le.PitchMax, "not the least that the limits allow")
	assert.Less(t, both.Pitch95[1], *li.PitchMax-*le.PitchMin)
	assert.InDelta(t, both.PitchClearance.MM(), ((both.Pitch95[0] + both.Pitch95[1]) / 2).MM(), 1e-9)

	d, b := e.Basic, i.Basic
	exact := fit.Options{External: fit.Side{Given: &d}, Internal: fit.Side{Given: &b, U: 0.1}}
	one, err := fit.Judge(e, i, exact)
	require.NoError(t, err)
	assert.InDelta(t, -0.196, one.Pitch95[0].MM(), 0.02)
	assert.InDelta(t, 0.196, one.Pitch95[1].MM(), 0.02)
}

// The chance to hold has no jump: as the clearance grows past what standard pairs have, it falls by no more than the clearance does,
// from 1 to 0. The word loose starts where it starts to fall.
func TestHoldsLessAndLess(t *testing.T) {
	const step = 0.005 // mm
	// In closed form, of basic forms of a depth D on the diameter with a clearance c: D - c of it engages.
	one := parse(t, "40mm x 2mm")
	depth := (one.Basic.Major - one.Basic.Minor).MM()
	for _, c := range []float64{0.5, 0.8, 1.2, 1.4, 1.55, 1.7} {
		given := one.Basic.Plus(unit.MM(c))
		r, err := fit.Judge(one, one, fit.Options{Internal: fit.Side{Given: &given}})
		require.NoError(t, err)
		want := min(1, (1-c/depth-0.25)/0.25, (depth-c)/(depth-0.36*2))
		assert.InDelta(t, max(0, want), r.Chance, 1e-3, "clearance %v", c)
	}
	for _, name := range []string{"40mm x 2mm", "1.75in x 14tpi", "48.2mm x 2.309mm 55deg", "6mm x 0.5mm"} {
		th := parse(t, name)
		given := th.Basic
		last, first, some := 1.0, 0.0, 0
		for c := 0.05; c < 2*th.Pitch.MM(); c += step {
			given = th.Basic.Plus(unit.MM(c))
			r, err := fit.Judge(th, th, fit.Options{Internal: fit.Side{Given: &given}})
			require.NoError(t, err)
			require.LessOrEqual(t, r.Chance, last, "%s at %v", name, c)
			require.Less(t, last-r.Chance, 6*step/th.Pitch.MM(), "%s at %v: a jump", name, c)
			require.Equal(t, r.Verdict.Usable(), r.Chance > 1-6*step/th.Pitch.MM() && r.Verdict != fit.Loose)
			if r.Verdict == fit.Loose && first == 0 {
				first = r.Chance
			}
			if r.Chance > 0 && r.Chance < 1 {
				some++
			}
			last = r.Chance
		}
		assert.Greater(t, first, 0.9, name)
		assert.Greater(t, some, 10, name)
		assert.Zero(t, last, name)
	}
	r := judge(t, "R 1/2", "3/4-14 NPSM", fit.Options{})
	assert.Equal(t, fit.Loose, r.Verdict, r.Why)
	assert.Zero(t, r.Chance, "a taper that never gets tight")
}
