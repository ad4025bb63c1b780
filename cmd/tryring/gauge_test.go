package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/gauge"
)

func TestGauge(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := tryring(t, "gauge", "1/4-20 UNC-2A", "--printer", "filament-0.4", "--out", out)
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr)
	for _, want := range []string{
		"GO RING 1/4-20 UNC-2A", "NO-GO RING 1/4-20 UNC-2A", "0.2164 in", "0.2127 in", "measured", "cannot resolve the thread's tolerance",
		"must not go on past 3 turns (ASME B1.2", check.Caution,
	} {
		assert.Contains(t, stdout, want)
	}

	code, stdout, stderr = tryring(t, "gauge", "1/4-20 UNC-2A", "--out", out)
	assert.Equal(t, exitFailed, code, "files that exist stay")
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "--force")

	code, stdout, _ = tryring(t, "gauge", "1/4-20 UNC-2A", "--out", out, "--force", "--json")
	require.Equal(t, exitDone, code)
	written, err := os.ReadFile(filepath.Join(out, "gauge-ring-1-4-20-UNC-2A.json"))
	require.NoError(t, err)
	assert.Equal(t, string(written), stdout, "--json prints what the JSON file holds")
	var r gauge.SetResult
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	require.Len(t, r.Gauges, 2)
	assert.False(t, r.Gauges[0].Decision.Resolves)
	assert.Nil(t, r.Gauges[0].Decision.SurelyInMM)
}

func TestGaugeDrawer(t *testing.T) {
	dir := t.TempDir()
	list := filepath.Join(dir, "shop.csv")
	require.NoError(t, os.WriteFile(list, []byte("thread,kind,limit\nM10,ring,go\n44.4mm+-0.4 x 12tpi,ring,no-go\n"), 0o600))
	out := filepath.Join(dir, "out")
	code, stdout, stderr := tryring(t, "gauge", "--drawer", list, "--out", out, "--json")
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr, "no bar where no terminal is")
	var r gauge.DrawerRun
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	assert.Equal(t, "shop", r.Title)
	assert.Len(t, r.Gauges, 2)
	assert.Equal(t, 1, r.Unresolved)
	assert.True(t, r.Gauges[1].Decision.Resolves, "0.8 mm is a tolerance that a printer resolves")
	assert.FileExists(t, filepath.Join(out, "plate-01.3mf"))
	assert.FileExists(t, filepath.Join(out, "tray-01.stl"))

	code, stdout, _ = tryring(t, "gauge", "--drawer", list, "--out", out)
	require.Equal(t, exitDone, code)
	assert.Contains(t, stdout, "0 files were made")
	assert.Contains(t, stdout, check.Caution)
}

func TestGaugeFaults(t *testing.T) {
	dir := t.TempDir()
	bad := filepath.Join(dir, "bad.csv")
	require.NoError(t, os.WriteFile(bad, []byte("thread,kind\nM10,cup\n"), 0o600))
	tests := []struct {
		name string
		args []string
		code int
		says string
	}{
		{"nothing asked for", nil, exitBadInput, "name the thread"},
		{"thread that is none", []string{"quarter"}, exitBadInput, `"quarter"`},
		{"taper", []string{"1/2-14 NPT", "--limit", "go"}, exitBadInput, "one gauge with two steps"},
		{"no limits", []string{"44.4mm x 12tpi"}, exitBadInput, "--tolerance"},
		{"kind", []string{"M10", "--kind", "cup"}, exitBadInput, "ring"},
		{"printer", []string{"M10", "--printer", "nothing-like-it"}, exitBadInput, "--printer"},
		{"name", []string{"M10", "--name", "a/b"}, exitBadInput, "--name"},
		{"chord", []string{"M10", "--chord", "1"}, exitBadInput, "chord"},
		{"two threads", []string{"M10", "M12"}, exitBadInput, ""},
		{"no such list", []string{"--drawer", filepath.Join(dir, "nowhere.csv")}, exitFailed, "nowhere.csv"},
		{"fault in the list", []string{"--drawer", bad}, exitBadInput, "bad.csv:2: kind"},
		{"list and flags", []string{"--drawer", bad, "--kind", "ring"}, exitBadInput, "from the list"},
		{"list and thread", []string{"M10", "--drawer", bad}, exitBadInput, "from the list"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"gauge", "--out", filepath.Join(dir, "none")}, tt.args...)...)
			assert.Equal(t, tt.code, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, tt.says)
		})
	}
	assert.NoDirExists(t, filepath.Join(dir, "none"))
}
