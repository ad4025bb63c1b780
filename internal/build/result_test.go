package build

import (
	"encoding/json"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// reference plans the ring M42x1.5 inside, M48x2 outside with a clearance of 0.3 mm on an unnamed printer.
func reference(t *testing.T) Result {
	t.Helper()
	a, err := Resolve(parse(t, "inner='M42x1.5'\nouter='M48x2'\nclearance=0.3\ninner_clearance=0.4\n"), thread.NewTables(), printers(t))
	require.NoError(t, err)
	p, err := ring.New(a.Spec)
	require.NoError(t, err)
	return NewResult(a, p)
}

func keys(m map[string]any) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func TestResultKeys(t *testing.T) {
	r := reference(t)
	r.Inner.Measured = &caliper.Thread{}
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(text, &got))
	// The keys that scripts rely on; more may stand beside them.
	assert.Subset(t, keys(got), []string{"name", "caution", "layout", "height_mm", "min_wall_mm", "clearance_mm", "inner", "outer", "mesh", "checks", "files", "digests"})
	inner := got["inner"].(map[string]any)
	assert.Subset(t, keys(inner), []string{"designation", "angle_deg", "lead_mm", "pitch_mm", "starts", "hand", "taper", "nominal", "modelled", "measured", "z_mm"})
	for _, size := range []string{"nominal", "modelled", "measured"} {
		assert.Subset(t, keys(inner[size].(map[string]any)), []string{"major_mm", "pitch_diameter_mm", "minor_mm"}, size)
	}
	assert.Contains(t, inner["measured"], "lead_mm")
	assert.Subset(t, keys(got["mesh"].(map[string]any)), []string{"triangles", "closed", "volume_mm3", "chord_mm", "bytes"})
	assert.IsType(t, []any{}, got["checks"], "an empty list is a list, not null")
	assert.IsType(t, []any{}, got["files"])
	cautions, _ := got["caution"].([]any)
	require.Len(t, cautions, 2)
	assert.Equal(t, check.Caution, cautions[0])
	assert.Equal(t, "Dangerous joints share M48x2 (high pressure): no printed part goes there.", cautions[1])
}

func TestResultFigures(t *testing.T) {
	r := reference(t)
	// ISO 724:1993, table 1: M42x1.5 has a pitch diameter of 41.026 and a minor diameter of 40.376; M48x2 of 46.701 and
	// 45.835 (from memory; rounded there to 0.001 mm).
	const rounding = 0.0006
	assert.Equal(t, 42.0, r.Inner.Nominal.Major.MM())
	assert.InDelta(t, 41.026, r.Inner.Nominal.Pitch.MM(), rounding)
	assert.InDelta(t, 40.376, r.Inner.Nominal.Minor.MM(), rounding)
	assert.InDelta(t, 46.701, r.Outer.Nominal.Pitch.MM(), rounding)
	assert.InDelta(t, 45.835, r.Outer.Nominal.Minor.MM(), rounding)
	// The clearance makes the inner thread larger and the outer one smaller.
	assert.InDelta(t, 42.4, r.Inner.Wanted.Major.MM(), toleranceMM)
	assert.InDelta(t, 47.7, r.Outer.Wanted.Major.MM(), toleranceMM)
	// A printer that is not named takes 0.12 mm from bores, and its 0.2 mm layers take 0.85 of their height from the pitch diameter.
	assert.InDelta(t, 42.4+0.12, r.Inner.Modelled.Major.MM(), toleranceMM)
	assert.InDelta(t, r.Inner.Wanted.Pitch.MM()+0.12+0.85*0.2, r.Inner.Modelled.Pitch.MM(), 1e-6)
	assert.InDelta(t, r.Inner.Wanted.Pitch.MM(), r.Inner.Printed.Pitch.MM(), toleranceMM, "as printed is as wanted")
	assert.Greater(t, r.Inner.PrintedU.Pitch, r.Inner.PrintedU.Minor, "what the layers do is uncertain beside plain size")
	assert.InDelta(t, 0.3, r.ClearanceMM, toleranceMM, "the smaller of the two clearances")
}
