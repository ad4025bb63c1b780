package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestStepOfAText(t *testing.T) {
	for _, c := range []struct {
		text       string
		over, long float64
	}{
		{"47.55", 0.01, 0.01},
		{"47,5 mm", 0.1, 0.1},
		{"48", 1, 1},
		{"48mm", 1, 1},
		{"4.8cm", 1, 1},
		{"1.872in", 0.0254, 0.0254},
		{`1.87"`, 0.254, 0.254},
		{"1872 thou", 0.0254, 0.0254},
		{"1 7/8", 25.4 / 16, 25.4 / 16},
		{`1-29/32"`, 25.4 / 32, 25.4 / 32},
		{"1½ in", 25.4 / 16, 25.4 / 16},
		{"2in", 25.4 / 16, 0},
		{"47.55 ± 0.02", 0, 0},
	} {
		r := readings(t, "caliper", c.text)[0]
		assert.InDelta(t, c.over, r.stepMM(false), tolMM, c.text)
		assert.InDelta(t, c.long, r.stepMM(true), tolMM, c.text)
	}
	// The step of the text holds where it is coarser than that of the tool, and the tool's where it is not.
	fraction, fine := readings(t, "caliper", "1 13/16")[0].estimate(false), readings(t, "tape", "47.55mm")[0].estimate(false)
	assert.Greater(t, fraction.U, ResolutionU(25.4/16))
	assert.Greater(t, fine.U, ResolutionU(1))
}
