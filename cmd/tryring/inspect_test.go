package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
)

// madeRing makes a small ring, M12x1.5 inside and M20x2 outside, and returns its STL file.
func madeRing(t *testing.T) string {
	t.Helper()
	out := t.TempDir()
	code, _, stderr := tryring(t, "ring", "--inner", "M12x1.5", "--outer", "M20x2", "--height", "14mm", "--clearance", "0.3mm", "--name", "small", "--out", out)
	require.Equal(t, exitDone, code, stderr)
	return filepath.Join(out, "small.stl")
}

func TestInspect(t *testing.T) {
	path := madeRing(t)
	code, stdout, stderr := tryring(t, "inspect", path, "--inner", "M12x1.5", "--outer", "M20x2", "--json")
	require.Equal(t, exitDone, code, stderr)
	var got inspection
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.True(t, got.Sound)
	assert.Equal(t, 1, got.Shells)
	require.NotNil(t, got.Inner)
	require.NotNil(t, got.Outer)
	assert.InDelta(t, 1.5, got.Inner.LeadMM, check.SizeTolMM)
	assert.InDelta(t, 12.3, got.Inner.MajorMM, check.SizeTolMM)
	assert.InDelta(t, 19.7, got.Outer.MajorMM, check.SizeTolMM)

	code, stdout, _ = tryring(t, "inspect", path)
	assert.Equal(t, exitDone, code)
	for _, want := range []string{"bounds a solid", "inside", "outside", "60.0 degrees", "pitch diameter", "TEST FIT ONLY"} {
		assert.Contains(t, stdout, want)
	}
}

func TestInspectSaysNo(t *testing.T) {
	path := madeRing(t)
	code, stdout, stderr := tryring(t, "inspect", path, "--outer", "M20x1.5")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stdout, "stop")
	assert.Contains(t, stderr, "not as wanted")

	// The same ring with its last triangle missing.
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	const head, triangle = 80, 50
	holed := append([]byte{}, whole[:len(whole)-triangle]...)
	count := uint32(len(holed)-head-4) / triangle
	holed[head], holed[head+1], holed[head+2], holed[head+3] = byte(count), byte(count>>8), byte(count>>16), byte(count>>24)
	open := filepath.Join(t.TempDir(), "open.stl")
	require.NoError(t, os.WriteFile(open, holed, 0o600))
	code, stdout, _ = tryring(t, "inspect", open, "--json")
	assert.Equal(t, exitNo, code)
	var got inspection
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.False(t, got.Sound)
	assert.Equal(t, 3, got.OpenEdges)
}

func TestInspectFaults(t *testing.T) {
	short := filepath.Join(t.TempDir(), "short.stl")
	require.NoError(t, os.WriteFile(short, []byte("solid"), 0o600))
	tests := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no file named", nil, exitBadInput, "arg"},
		{"no such file", []string{filepath.Join(t.TempDir(), "nowhere.stl")}, exitFailed, "nowhere.stl"},
		{"not an STL file", []string{short}, exitBadInput, "short.stl"},
		{"thread that is none", []string{short, "--outer", "quarter"}, exitBadInput, "--outer"},
		{"printer that is none", []string{short, "--printer", "rezin"}, exitBadInput, "did you mean resin?"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"inspect"}, tt.args...)...)
			assert.Equal(t, tt.code, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, tt.says)
		})
	}
}
