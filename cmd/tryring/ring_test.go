package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/check"
)

const scenario = "../../testdata/bath-drain.toml"

func TestRing(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := tryring(t, "ring", scenario, "--out", out)
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr)
	for _, want := range []string{"1 5/8-16 UN", "1 7/8-14 UNS", "measured", "bath-drain.stl", check.Caution} {
		assert.Contains(t, stdout, want)
	}
	assert.NotContains(t, stdout, "\x1b", "no colour where no terminal is")
	assert.FileExists(t, filepath.Join(out, "bath-drain.stl"))

	code, stdout, stderr = tryring(t, "ring", scenario, "--out", out)
	assert.Equal(t, exitFailed, code, "files that exist stay")
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "--force")

	code, stdout, _ = tryring(t, "ring", scenario, "--out", out, "--force", "--json")
	require.Equal(t, exitDone, code)
	written, err := os.ReadFile(filepath.Join(out, "bath-drain.json"))
	require.NoError(t, err)
	assert.Equal(t, string(written), stdout, "--json prints what the JSON file holds")
}

func TestRingFlags(t *testing.T) {
	code, stdout, stderr := tryring(t, "ring", "--inner", "M12x1.5", "--outer", "M20x2", "--height", "1/2", "--clearance", "0,2 mm",
		"--outer-clearance", "0.3mm", "--grip", "none", "--name", "small", "--out", t.TempDir(), "--json")
	require.Equal(t, exitDone, code, stderr)
	var r build.Result
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	assert.Equal(t, "small", r.Name)
	assert.InDelta(t, 12.7, r.HeightMM, 1e-6)
	assert.InDelta(t, 0.2, r.Inner.ClearanceMM, 1e-6)
	assert.InDelta(t, 0.3, r.Outer.ClearanceMM, 1e-6)
}

func TestRingFaults(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.toml")
	require.NoError(t, os.WriteFile(bad, []byte("inner = 'M12x1.5'\nouter = 'M20x2'\ngrip = 'hook'\n"), 0o600))
	tests := []struct {
		name string
		args []string
		code int
		says []string
	}{
		{"nothing asked for", nil, exitBadInput, []string{"inner: missing", "outer: missing"}},
		{"thread that is none", []string{"--inner", "quarter", "--outer", "M20x2"}, exitBadInput, []string{"--inner", `"quarter"`}},
		{"length that is none", []string{"--height", "tall"}, exitBadInput, []string{"--height", `"tall"`}},
		{"fault in the file", []string{bad}, exitBadInput, []string{"bad.toml:3: grip", `"hook"`}},
		{"no such file", []string{filepath.Join(t.TempDir(), "nowhere.toml")}, exitFailed, []string{"nowhere.toml"}},
		{"two files", []string{bad, bad}, exitBadInput, nil},
		{"no wall left", []string{"--inner", "M20x2", "--outer", "M20x2", "--layout", "nested"}, exitBadInput, []string{"wall"}},
		{"mistyped flag", []string{"--iner", "M20x2"}, exitBadInput, []string{"did you mean --inner?"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"ring"}, tt.args...)...)
			assert.Equal(t, tt.code, code, stderr)
			assert.Empty(t, stdout)
			for _, want := range tt.says {
				assert.Contains(t, stderr, want)
			}
		})
	}
}
