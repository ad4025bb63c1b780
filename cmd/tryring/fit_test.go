package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
)

func TestFit(t *testing.T) {
	code, stdout, stderr := tryring(t, "fit", "--external", "1 3/4-12 UN-2A", "--internal", "1 3/4-12 UN-2B")
	assert.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "1 3/4-12 UN-2A in 1 3/4-12 UN-2B: goes")
	assert.Contains(t, stdout, "axial play")

	// Common practice, no published source: an 11 1/2 male does not go into a 14 female.
	code, stdout, stderr = tryring(t, "fit", "--external", "1 1/2-11.5 NPSM", "--internal", "1 7/8-14 UNS", "--json")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stderr, "binds")
	var got map[string]any
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	for _, key := range []string{"verdict", "turns", "pitch_clearance_mm", "axial_play_mm", "chance", "why", "caution"} {
		assert.Contains(t, got, key)
	}
	assert.Equal(t, "binds", got["verdict"])
	assert.Less(t, got["turns"], 1.0)

	code, stdout, _ = tryring(t, "fit", "--external", "M45x1.5", "--internal", "M45x1.5", "--json")
	require.Equal(t, exitDone, code)
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.Nil(t, got["turns"], "equal pitches never run out of play")
	assert.Equal(t, 1.0, got["chance"])
}

func TestFitOfThreadsThatDoNotReachEachOther(t *testing.T) {
	code, stdout, stderr := tryring(t, "fit", "--external", "M20x1.5", "--internal", "M45x1.5")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stdout, "do not reach each other")
	assert.Contains(t, stderr, "M20x1.5 in M45x1.5: loose")

	code, stdout, stderr = tryring(t, "fit", "--external", "M44x1.5", "--internal", "M45x1.5")
	assert.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "loose", "it holds a little")
}

func TestFitDraws(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pair.svg")
	args := []string{"fit", "--external", "1 1/2-11.5 NPSM", "--internal", "1 7/8-14 UNS", "--drawing", path}
	code, _, stderr := tryring(t, args...)
	assert.Equal(t, exitNo, code, stderr)
	content, err := os.ReadFile(path)
	require.NoError(t, err, "a pair that binds is drawn too")
	assert.Contains(t, string(content), "<svg ")
	assert.Contains(t, string(content), "binds")

	code, _, stderr = tryring(t, args...)
	assert.NotEqual(t, exitNo, code)
	assert.Contains(t, stderr, "--force")
	code, _, _ = tryring(t, append(args, "--force")...)
	assert.Equal(t, exitNo, code)
}

func TestFitWithReadings(t *testing.T) {
	verdict := func(args ...string) (v fit.Verdict, chance float64) {
		t.Helper()
		_, stdout, stderr := tryring(t, append([]string{"fit", "--external", "1 7/8-14 UNS", "--internal", "1 7/8-14 UNS", "--json"}, args...)...)
		var info fitInfo
		require.NoError(t, json.Unmarshal([]byte(stdout), &info), stderr)
		return info.Verdict, info.Chance
	}
	v, sure := verdict("--outside", "1.875in+-0.001")
	assert.Equal(t, fit.Goes, v)
	_, unsure := verdict("--outside", "1.875in+-0.02")
	assert.Less(t, unsure, sure)
	v, _ = verdict("--outside", "1.9in")
	assert.Equal(t, fit.Binds, v)
	v, _ = verdict("--bore", "1.85in")
	assert.Equal(t, fit.Loose, v)
	inch, a := verdict("--outside", "1.88in", "--u-external", "0.004in")
	mm, b := verdict("--outside", "47.752mm", "--u-external", "0.1016mm")
	assert.Equal(t, inch, mm)
	assert.InDelta(t, a, b, 1e-12)
}

func TestFitFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		args []string
		says string
	}{
		{"nothing", nil, "--external is missing"},
		{"one thread", []string{"--external", "M45x1.5"}, "--internal is missing"},
		{"no thread", []string{"--external", "wide", "--internal", "M45x1.5"}, "--external"},
		{"no place", []string{"--external", "M45x1.5", "--internal", "M45x1.5", "--at", "top"}, "mid, max-material, min-material"},
		{"no length", []string{"--external", "M45x1.5", "--internal", "M45x1.5", "--engaged", "0"}, "--engaged"},
		{"reading", []string{"--external", "M45x1.5", "--internal", "M45x1.5", "--bore", "wide"}, "--bore"},
		{"uncertainty", []string{"--external", "M45x1.5", "--internal", "M45x1.5", "--u-external", "-1mm"}, "0 or more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"fit"}, c.args...)...)
			assert.Equal(t, exitBadInput, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, c.says)
		})
	}
}
