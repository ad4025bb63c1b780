package main

import (
	"os"
	"path/filepath"
	"testing"

	"tryring/internal/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestOneJobFromReadingsToPart types nothing twice: readings, decisions, ring, fit and parts list share one file.
func TestOneJobFromReadingsToPart(t *testing.T) {
	unraced(t)
	file := filepath.Join(t.TempDir(), "tub.toml")
	code, _, stderr := tryring(t, "identify", "--job", file, "--side", "stays", "--bore", "45.75mm", "--tpi", "14", "--date", "2026-03-01", "--take", "1 7/8-14")
	require.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stderr, "Decided")
	code, _, stderr = tryring(t, "identify", "--job", file, "--side", "goes", "--outside", "1.62in", "--count", "17", "--over", "1in", "--take", "1")
	require.Equal(t, exitDone, code, stderr)

	r, err := job.Load(t.Context(), file)
	require.NoError(t, err)
	assert.Equal(t, "1 5/8-16 UN", r.Inner)
	assert.Equal(t, "1 7/8-14 UNS", r.Outer)
	require.Len(t, r.Stays, 2)
	assert.Equal(t, "2026-03-01", r.Stays[0].When)
	require.Len(t, r.Goes, 2)
	assert.NotEmpty(t, r.Goes[0].When, "the day is noted when none is given")

	before, err := os.ReadFile(file)
	require.NoError(t, err)
	code, stdout, stderr := tryring(t, "identify", "--job", file, "--side", "goes")
	require.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "1 5/8-16 UN", "what the file holds is enough")
	after, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(before), string(after), "looking changes nothing")

	out := t.TempDir()
	code, _, stderr = tryring(t, "ring", file, "--out", out, "--name", "tub")
	require.Equal(t, exitDone, code, stderr)
	assert.FileExists(t, filepath.Join(out, "tub.json"))
	code, _, stderr = tryring(t, "trial", "--job", file, "--side", "inner", "--result", "goes")
	require.Equal(t, exitDone, code, "the ring that was made is the one that was tried: %s", stderr)
	_, stdout, _ = tryring(t, "fit", "--job", file)
	assert.Contains(t, stdout, "1 5/8-16 UN in 1 7/8-14 UNS")
	code, stdout, stderr = tryring(t, "shortlist", "--job", file, "../../testdata/adapters.csv")
	require.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "part D")
}

func TestJobFaults(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.toml")
	require.NoError(t, os.WriteFile(broken, []byte("inner = 'M42x1.5'\ncolor = 'red'\n"), 0o600))
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"no side":           {[]string{"identify", "--job", filepath.Join(dir, "a.toml"), "--outside", "20"}, "goes"},
		"side without job":  {[]string{"identify", "--side", "goes", "--outside", "20"}, "--job"},
		"take without job":  {[]string{"identify", "--take", "1", "--outside", "20"}, "--job"},
		"unknown candidate": {[]string{"identify", "--job", filepath.Join(dir, "b.toml"), "--side", "goes", "--outside", "20", "--tpi", "14", "--take", "999"}, "no candidate 999"},
		"unknown key":       {[]string{"identify", "--job", broken, "--side", "goes", "--outside", "20"}, "broken.toml:2"},
		"fit, no such job":  {[]string{"fit", "--job", filepath.Join(dir, "none.toml")}, "none.toml"},
	} {
		t.Run(name, func(t *testing.T) {
			code, _, stderr := tryring(t, c.args...)
			assert.NotEqual(t, exitDone, code)
			assert.Contains(t, stderr, c.says)
		})
	}
	assert.NoFileExists(t, filepath.Join(dir, "a.toml"))
}
