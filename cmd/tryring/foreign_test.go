package main

// This file holds inspect to part files that modellers made which know nothing of ours. .ci/foreign makes them, and many more, and knows
// their truth from what the modellers were told.

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// foreignPart is a part file and what it must be found to hold.
type foreignPart struct {
	Name, Maker, What string
	Sound             *bool // nil where nothing was known beforehand
	Threads           []foreignThread
}

type foreignThread struct {
	Side, Hand string
	Starts     int
	Point      [3]float64 `json:"point_mm"`
	Direction  [3]float64
	Lead       float64    `json:"lead_mm"`
	Major      float64    `json:"major_mm"`
	Pitch      float64    `json:"pitch_diameter_mm"`
	Minor      float64    `json:"minor_mm"`
	Flanks     [2]float64 `json:"flank_deg"` // alike in all of these
}

// given is a thread as inspect tells it; what is not measured is null.
type given struct {
	Side, Hand string
	Starts     int
	Axis       struct {
		Point     [3]float64 `json:"point_mm"`
		Direction [3]float64
	}
	Lead   *float64    `json:"lead_mm"`
	Major  *float64    `json:"major_mm"`
	Pitch  *float64    `json:"pitch_diameter_mm"`
	Minor  *float64    `json:"minor_mm"`
	Flanks *[2]float64 `json:"flank_deg"`
	ULead  *float64    `json:"u_lead_mm"`
	UMajor *float64    `json:"u_major_mm"`
	UPitch *float64    `json:"u_pitch_diameter_mm"`
	UMinor *float64    `json:"u_minor_mm"`
	UFlank *[2]float64 `json:"u_flank_deg"`
}

func TestForeignParts(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "foreign")
	raw, err := os.ReadFile(filepath.Join(dir, "truth.json"))
	require.NoError(t, err)
	var parts []foreignPart
	require.NoError(t, json.Unmarshal(raw, &parts))
	if raced { // ten times as long, and nothing of it runs side by side
		parts = parts[:4]
	}
	figures, outside := 0, 0
	for _, part := range parts {
		t.Run(part.Name, func(t *testing.T) {
			code, out, stderr := tryring(t, "inspect", filepath.Join(dir, part.Name), "--json")
			require.Contains(t, []int{exitDone, exitNo}, code, stderr)
			var seen struct {
				Sound   bool
				Threads []given
			}
			require.NoError(t, json.Unmarshal([]byte(out), &seen))
			if part.Sound != nil {
				assert.Equal(t, *part.Sound, seen.Sound, "sound (%s)", part.What)
			}
			require.Len(t, seen.Threads, len(part.Threads), "threads (%s)", part.What)
			for _, want := range part.Threads {
				i := slices.IndexFunc(seen.Threads, func(g given) bool { return want.is(g) })
				require.GreaterOrEqual(t, i, 0, "no %s thread stands where %.3g x %.3g was modelled", want.Side, want.Major, want.Lead)
				g := seen.Threads[i]
				assert.Equal(t, want.Hand, g.Hand, "hand")
				assert.Equal(t, want.Starts, g.Starts, "starts")
				flanks, uFlanks := [2]*float64{}, [2]*float64{}
				if g.Flanks != nil {
					require.NotNil(t, g.UFlank, "flanks are given without their doubt")
					flanks, uFlanks = [2]*float64{&g.Flanks[0], &g.Flanks[1]}, [2]*float64{&g.UFlank[0], &g.UFlank[1]}
				}
				for name, f := range map[string][3]*float64{
					"lower flank": {&want.Flanks[0], flanks[0], uFlanks[0]}, "upper flank": {&want.Flanks[1], flanks[1], uFlanks[1]},
					"lead": {&want.Lead, g.Lead, g.ULead}, "major": {&want.Major, g.Major, g.UMajor},
					"pitch": {&want.Pitch, g.Pitch, g.UPitch}, "minor": {&want.Minor, g.Minor, g.UMinor},
				} {
					if f[1] == nil {
						continue
					}
					require.NotNil(t, f[2], "%s is given without its doubt", name)
					figures++
					if off := math.Abs(*f[1] - *f[0]); off > *f[2]+2e-4 { // what rounding in a file may add
						outside++
						t.Logf("%s %.4f +- %.4f, modelled %.4f", name, *f[1], *f[2], *f[0])
					}
				}
			}
		})
	}
	assert.Greater(t, figures, 4*len(parts), "figures given")
	assert.LessOrEqual(t, outside*20, figures, "of figures that say 95 %%")
}

// is tells whether g faces the same way and stands within half a millimetre and two degrees of the thread's axis.
func (f foreignThread) is(g given) bool {
	d := g.Axis.Direction
	along, away := 0.0, [3]float64{}
	for k := range 3 {
		along += d[k] * f.Direction[k]
		away[k] = f.Point[k] - g.Axis.Point[k]
	}
	across := math.Hypot(math.Hypot(away[1]*d[2]-away[2]*d[1], away[2]*d[0]-away[0]*d[2]), away[0]*d[1]-away[1]*d[0])
	return map[string]string{"internal": "inner", "external": "outer"}[f.Side] == g.Side && math.Abs(along) > math.Cos(2*math.Pi/180) && across < 0.5
}
