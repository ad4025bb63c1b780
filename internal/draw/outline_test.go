package draw

import (
	"math"
	"testing"

	v3 "github.com/deadsy/sdfx/vec/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestHalfIsTheSolid compares the cut outline with the sdfx solid, most of all where letters are sunk into either face.
func TestHalfIsTheSolid(t *testing.T) {
	p := samples[7].plan(t)
	solid, err := p.Solid()
	require.NoError(t, err)
	f := p.Shape.Flange
	require.NotNil(t, f)
	full, sunk := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		theta := rapid.Float64Range(0, 2*math.Pi).Draw(rt, "theta")
		outline := half(p.Shape, theta)
		sin, cos := math.Sincos(theta)
		for range 20 {
			r := rapid.Float64Range(18, 34).Draw(rt, "r")
			z := rapid.SampledFrom([]float64{f.Bed.DepthMM / 2, f.ThicknessMM / 2, f.ThicknessMM - f.Top.DepthMM/2, 10}).Draw(rt, "z")
			d := solid.Evaluate(v3.Vec{X: r * cos, Y: r * sin, Z: z})
			if math.Abs(d) < 0.01 {
				continue // an arc's chord, or rounding
			}
			in := false
			for i, a := range outline {
				b := outline[(i+1)%len(outline)]
				if (a.Z > z) != (b.Z > z) && r < a.R+(b.R-a.R)*(z-a.Z)/(b.Z-a.Z) {
					in = !in
				}
			}
			require.Equal(rt, d < 0, in, "%.3f mm off the solid's face", d)
			if in {
				full++
			} else if z < 1 && r > 24 && r < 29 {
				sunk++
			}
		}
	})
	assert.Positive(t, full)
	assert.Positive(t, sunk)
}
