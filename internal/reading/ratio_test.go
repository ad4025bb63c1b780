package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"tryring/internal/thread"
)

// Diameter and ratio together weigh a thread as a slow sum over its true diameters does, in which the ratio read is pitch over diameter
// but for its error.
func TestRatioIsASecondDiameter(t *testing.T) {
	all := thread.BuiltIn().All()
	rapid.Check(t, func(t *rapid.T) {
		c := belief{thread: rapid.SampledFrom(all).Draw(t, "thread")}.candidate(true)
		at := (c.low + c.high) / 2 * rapid.Float64Range(0.997, 1.003).Draw(t, "off")
		u := rapid.Float64Range(0.002, 0.02).Draw(t, "u of diameter") * at
		pitch := c.thread.Pitch.MM()
		ratio := pitch / at * rapid.Float64Range(0.995, 1.005).Draw(t, "seen")
		uRatio := rapid.Float64Range(0.003, 0.01).Draw(t, "u of ratio") * ratio
		e := func(value, u float64) *Estimate {
			return &Estimate{Value: value, U: u, DOF: math.Inf(1)}
		}
		f := Found{Diameter: e(at, u), Ratio: e(ratio, uRatio)}
		var sum float64
		for _, p := range c.sizes(Set{}) {
			const steps = 400
			for k := range steps {
				d := p.low + (p.high-p.low)*(float64(k)+0.5)/steps
				seen := distuv.Normal{Mu: pitch / d, Sigma: math.Hypot(uRatio, PitchShare*pitch/d)}
				sum += p.share / steps * distuv.Normal{Mu: d, Sigma: u}.Prob(at) * seen.Prob(ratio)
			}
		}
		// The ratio is not quite linear in the diameter, which shows where the two differ.
		assert.InEpsilon(t, sum, c.sizeChance(Set{}, f, nil), 0.1)
	})
}

// With a picture's ratio a tape tells what else a caliper does: 1 7/8 from 1 13/16, and 14 from 16 to the inch.
func TestRatioBesideATape(t *testing.T) {
	for ratio, want := range map[string]string{"0.03340 +- 0.0002": "1 7/8-16 UN", "0.0381 +- 0.0002": "1 7/8-14 UNS"} {
		s, err := Read(Record{What: "outside", Text: "47.5mm", Instrument: "tape"}, Record{What: "ratio", Text: ratio})
		require.NoError(t, err)
		first := Identify(thread.BuiltIn(), s, Any).Candidates[0]
		assert.Equal(t, want, first.Designation)
		assert.Greater(t, first.Weight, 0.8)
	}
}

func TestRatioIsRefused(t *testing.T) {
	for _, text := range []string{"", "0.03", "0.03+-0", "0.03+-0.02", "-0.03+-0.001", "3+-0.1", "NaN+-1", "0.03+-NaN", "0.03mm+-0.001", "1e-9+-1e-10"} {
		_, err := Read(Record{What: "ratio", Text: text})
		assert.ErrorContains(t, err, "0.0334+-0.0003", text)
	}
}
