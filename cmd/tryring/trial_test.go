package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/trial"
)

// settingsFrom are the variables that os.UserConfigDir looks at.
var settingsFrom = []string{"XDG_CONFIG_HOME", "AppData"}

// ownSettings gives the test a settings folder of its own, and returns where the printers folder belongs.
func ownSettings(t *testing.T) string {
	t.Helper()
	home := t.TempDir()
	for _, name := range append([]string{"HOME"}, settingsFrom...) {
		t.Setenv(name, home)
	}
	dir, err := os.UserConfigDir()
	require.NoError(t, err)
	return filepath.Join(dir, "tryring", "printers")
}

// Eight programs at once lose no trial and make a picture each.
func TestTrialsAtOnce(t *testing.T) {
	ownSettings(t)
	out := t.TempDir()
	var all sync.WaitGroup
	for k := range 8 {
		all.Go(func() {
			code, _, stderr := tryring(t, "trial", "--printer", "resin", "--caliper-inside", "40=39.9", "--note", fmt.Sprint(k), "--out", out)
			assert.Equal(t, exitDone, code, stderr)
		})
	}
	all.Wait()
	_, stdout, _ := tryring(t, "trial", "--printer", "resin", "--list", "--json")
	var list trial.List
	require.NoError(t, json.Unmarshal([]byte(stdout), &list))
	assert.Len(t, list.Trials, 8)
	pictures, err := filepath.Glob(filepath.Join(out, "*.html"))
	require.NoError(t, err)
	assert.Len(t, pictures, 8)
}
