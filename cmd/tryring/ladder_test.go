package main

import (
	"encoding/json"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/ladder"
)

func TestLadder(t *testing.T) {
	out := t.TempDir()
	args := []string{
		"ladder", "--inner", "M12x1.5", "--outer", "M20x2", "--from", "0.1mm", "--to", "0.2mm", "--step", "0.1mm",
		"--printer", "filament-0.4", "--compare", "resin", "--name", "l", "--out", out,
	}
	code, stdout, stderr := tryring(t, append(args, "--json")...)
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr, "no progress where no terminal is")
	var got ladder.Result
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.Equal(t, []string{"filament-0.4", "resin"}, got.Printers)
	require.Len(t, got.Rungs, 2)
	assert.FileExists(t, filepath.Join(out, "l-gap-0.10.stl"))
	assert.FileExists(t, filepath.Join(out, "l-plate.3mf"))

	code, _, stderr = tryring(t, args...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "--force")
	code, stdout, _ = tryring(t, append(args, "--force")...)
	assert.Equal(t, exitDone, code)
	assert.Contains(t, stdout, check.Caution)
	assert.Contains(t, stdout, "The same files on the printer resin")
}

func TestLadderFaults(t *testing.T) {
	threads := []string{"--inner", "M12x1.5", "--outer", "M20x2"}
	steps := []string{"--from", "0.1", "--to", "0.2", "--step", "0.1"}
	tests := []struct {
		name string
		args []string
		says string
	}{
		{"no steps", threads, "--from: missing"},
		{"no threads", steps, "inner: missing"},
		{"zero step", append([]string{"--from", "0.1", "--to", "0.2", "--step", "0"}, threads...), "--step"},
		{"down", append([]string{"--from", "0.3", "--to", "0.2", "--step", "0.1"}, threads...), "--from"},
		{"printer that is none", append([]string{"--compare", "rezin"}, append(threads, steps...)...), "did you mean resin?"},
		{"printer twice", append([]string{"--compare", "resin", "--printer", "resin"}, append(threads, steps...)...), "--compare: \"resin\": it is compared with itself"},
		{"part larger than the bed", append([]string{"--inner", "M60x2", "--outer", "M180x6"}, steps...), "bed"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"ladder"}, tt.args...)...)
			assert.Equal(t, exitBadInput, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, tt.says)
		})
	}
}
