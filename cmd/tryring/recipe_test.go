package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestRecipeOfANewFamily takes the family that DEVELOPERS.md shows, as a person's own file, through every command
// that asks for a thread.
func TestRecipeOfANewFamily(t *testing.T) {
	unraced(t)
	text, err := os.ReadFile(filepath.Join("..", "..", "DEVELOPERS.md"))
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```toml\n(.*?)```").FindSubmatch(text)
	require.NotNil(t, block, "DEVELOPERS.md shows a family")
	dir := t.TempDir()
	threads := filepath.Join(dir, "threads")
	require.NoError(t, os.Mkdir(threads, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(threads, "pump.toml"), block[1], 0o600))
	run := func(code int, args ...string) string {
		t.Helper()
		got, stdout, stderr := tryring(t, append(args, "--threads", threads)...)
		require.Equal(t, code, got, "%v\n%s", args, stderr)
		return stdout
	}

	for _, written := range []string{"PW 31x2", "pw31x2", "Pump 31", "PW 31 x 2 mm"} {
		var got struct{ Threads []threadInfo }
		require.NoError(t, json.Unmarshal([]byte(run(exitDone, "threads", "--json", written)), &got))
		require.Len(t, got.Threads, 1, written)
		th := got.Threads[0]
		assert.Equal(t, "PW 31x2", th.Designation)
		assert.InDelta(t, 53, th.AngleDeg, 1e-6)
		assert.InDelta(t, 29.5, th.External.PitchMin.MM(), 1e-6)
		assert.Contains(t, th.Source, "works drawing 12")
	}
	assert.Contains(t, run(exitDone, "threads", "pump"), "PW 42x3")
	assert.Contains(t, run(exitDone, "threads", "PW 31x2-c"), "29.600")
	_, _, stderr := tryring(t, "threads", "PW 31x3", "--threads", threads)
	assert.Contains(t, stderr, "PW 31x2 has")

	assert.Contains(t, run(exitDone, "fit", "--external", "PW 31x2", "--internal", "PW 31x2"), "goes")
	assert.Contains(t, run(exitDone, "identify", "--outside", "30.85mm", "--pitch", "2mm", "--angle", "53"), "PW 31x2")
	ring := filepath.Join(dir, "out")
	run(exitDone, "ring", "--inner", "PW 31x2", "--outer", "PW 42x3", "--name", "pump", "--out", ring)
	run(exitDone, "inspect", filepath.Join(ring, "pump.stl"), "--inner", "PW 31x2", "--outer", "PW 42x3")
	run(exitDone, "gauge", "PW 31x2", "--kind", "plug", "--out", ring)
	assert.Contains(t, run(exitDone, "gauge", "PW 31x2-c", "--out", ring), "PW 31x2-c")
}
