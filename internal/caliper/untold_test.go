package caliper

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each figure is left out by itself, with its uncertainty.
func TestEachFigureIsLeftOut(t *testing.T) {
	sure := Thread{MajorMM: 20, PitchDMM: 18.4, MinorMM: 17.3, Taper: 0.01, FlankDeg: [2]float64{30, 30}, Turns: 5}
	for key, spoil := range map[string]func(*Thread){
		"major_mm":          func(x *Thread) { x.UMajorMM = 2 },
		"pitch_diameter_mm": func(x *Thread) { x.UPitchDMM = 2 },
		"minor_mm":          func(x *Thread) { x.UMinorMM = math.MaxFloat64 },
		"taper":             func(x *Thread) { x.UTaper = 1 },
	} {
		f := Found{Side: "outer", Thread: sure}
		spoil(&f.Thread)
		f.leaveOut(1.35, 0.02, 0.1)
		require.Len(t, f.NotMeasured(), 1, key)
		assert.Contains(t, f.NotMeasured()[0], "its facets sink by 0.10 mm")
		raw, err := json.Marshal(f)
		require.NoError(t, err)
		var told map[string]any
		require.NoError(t, json.Unmarshal(raw, &told))
		for _, other := range []string{"major_mm", "pitch_diameter_mm", "minor_mm", "taper"} {
			assert.Equal(t, other == key, told[other] == nil, "%s left out, %s", key, other)
			assert.Equal(t, other == key, told["u_"+other] == nil, "%s left out, u_%s", key, other)
		}
	}
}
