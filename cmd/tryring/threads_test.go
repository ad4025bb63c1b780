package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// lookedUp runs `tryring threads --json` and returns what it lists.
func lookedUp(t *testing.T, args ...string) []threadInfo {
	t.Helper()
	code, stdout, stderr := tryring(t, append([]string{"threads", "--json"}, args...)...)
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr)
	var got struct{ Threads []threadInfo }
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	return got.Threads
}

func TestThreadsJSON(t *testing.T) {
	got := lookedUp(t, "1/4-20 UNC")
	require.Len(t, got, 1)
	u := got[0]
	assert.Equal(t, "1/4-20 UNC", u.Designation)
	assert.InDelta(t, 60, u.AngleDeg, 1e-6)
	assert.InDelta(t, 1.27, u.PitchMM, 1e-6)
	// ASME B1.1-2019, table 2, 1/4-20 UNC, classes 2A and 2B (from memory).
	inches := func(name string, want float64, got *float64) {
		t.Helper()
		require.NotNil(t, got, name)
		assert.InDelta(t, want*unit.MMPerInch, *got, 1e-6, name)
	}
	inches("external major most", 0.2489, u.External.MajorMaxMM)
	inches("external major least", 0.2408, u.External.MajorMinMM)
	inches("external pitch diameter most", 0.2164, u.External.PitchDiameterMaxMM)
	inches("external pitch diameter least", 0.2127, u.External.PitchDiameterMinMM)
	inches("internal pitch diameter least", 0.2175, u.Internal.PitchDiameterMinMM)
	inches("internal pitch diameter most", 0.2224, u.Internal.PitchDiameterMaxMM)
	inches("internal minor least", 0.196, u.Internal.MinorMinMM)
	inches("internal minor most", 0.207, u.Internal.MinorMaxMM)
	assert.Nil(t, u.External.MinorMinMM, "the standard leaves the least external minor diameter open")
	assert.Nil(t, u.Internal.MajorMaxMM, "the standard leaves the greatest internal major diameter open")

	three := lookedUp(t, "1/4-20 UNC", "--class", "3A")[0]
	inches("class 3A has no allowance", 0.25, three.External.MajorMaxMM)
}

func TestThreadsLists(t *testing.T) {
	all := lookedUp(t)
	assert.Greater(t, len(all), 500)
	seen := map[string]bool{}
	for _, info := range all {
		assert.False(t, seen[info.Designation+info.Standard], "%s stands twice", info.Designation)
		seen[info.Designation+info.Standard] = true
		assert.NotEmpty(t, info.Source, info.Designation)
	}
	classed := lookedUp(t, "--class", "3A")
	assert.NotEmpty(t, classed)
	assert.Less(t, len(classed), len(all), "metric and pipe threads have no class 3A")

	free := lookedUp(t, "44.4mm x 12tpi")
	require.Len(t, free, 1)
	assert.Equal(t, limitInfo{}, free[0].External)
}

func TestThreadsText(t *testing.T) {
	code, stdout, stderr := tryring(t, "threads", "1/2-14 NPT")
	assert.Equal(t, exitDone, code, stderr)
	for _, want := range []string{"1/2-14 NPT", "taper 1:16", "gauge plane", "mm (", "No standard gives it limits"} {
		assert.Contains(t, stdout, want)
	}
	code, stdout, _ = tryring(t, "threads", "UNEF")
	assert.Equal(t, exitDone, code)
	assert.Contains(t, stdout, "1-20 UNEF")
}

func TestThreadsFaults(t *testing.T) {
	tests := []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"unknown series", []string{"1/4-20 UM"}, exitBadInput, []string{`"1/4-20 UM"`, "did you mean"}},
		{"class of another standard", []string{"1/4-20 UNC", "--class", "B"}, exitBadInput, []string{"--class B", "2A"}},
		{"class of a free thread", []string{"44.4mm x 12tpi", "--class", "2A"}, exitBadInput, []string{"--class 2A", "no standard"}},
		{"no such folder", []string{"--threads", filepath.Join(t.TempDir(), "nowhere")}, exitFailed, []string{"--threads", "nowhere"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"threads"}, tt.args...)...)
			assert.Equal(t, tt.code, code)
			assert.Empty(t, stdout)
			for _, want := range tt.says {
				assert.Contains(t, stderr, want)
			}
		})
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.toml"), []byte("colour = 'red'\n"), 0o600))
	code, _, stderr := tryring(t, "threads", "--threads", dir)
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "mine.toml")
}
