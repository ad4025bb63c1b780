package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"tryring/internal/trial"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

func TestTrial(t *testing.T) {
	dir, out := ownSettings(t), t.TempDir()
	caliper := []string{"trial", "--printer", "filament-0.4", "--caliper-outside", "47.32mm=47.45mm+-0.03", "--note", "grey", "--out", out}
	code, stdout, stderr := tryring(t, append(caliper, "--json")...)
	require.Equal(t, exitDone, code, stderr)
	var r trial.Result
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	assert.Equal(t, 1, r.Trials)
	assert.Equal(t, filepath.Join(dir, "filament-0.4.trials.toml"), r.History)
	assert.FileExists(t, r.History)
	assert.FileExists(t, filepath.Join(out, "filament-0.4-trial-1.html"))
	assert.InDelta(t, 0.12, r.Sides[1].After.ValueMM, 0.02)

	// Every command that is given the printer takes the trial in.
	_, stdout, _ = tryring(t, "printers", "--json")
	var list struct{ Printers []printerInfo }
	require.NoError(t, json.Unmarshal([]byte(stdout), &list))
	require.Len(t, list.Printers, 3)
	assert.InDelta(t, r.Sides[1].After.ValueMM, list.Printers[1].OutsideAddsMM, 1e-9)
	assert.InDelta(t, r.Sides[1].After.UMM, list.Printers[1].OutsideUMM, 1e-9)

	code, _, stderr = tryring(t, "trial", "--printer", "filament-0.4", "--list")
	assert.Equal(t, exitDone, code, stderr)
	_, stdout, _ = tryring(t, "trial", "--printer", "filament-0.4", "--list", "--json")
	var kept trial.List
	require.NoError(t, json.Unmarshal([]byte(stdout), &kept))
	require.Len(t, kept.Trials, 1)
	assert.Equal(t, "grey", kept.Trials[0].Note)

	code, stdout, stderr = tryring(t, "trial", "--printer", "filament-0.4", "--undo")
	require.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "Taken back: grey")
	_, stdout, _ = tryring(t, "printers", "--json")
	require.NoError(t, json.Unmarshal([]byte(stdout), &list))
	assert.InDelta(t, 0.05, list.Printers[1].OutsideAddsMM, 1e-9)

	// The picture of the trial that was taken back stands in the way: nothing is kept.
	code, _, stderr = tryring(t, caliper...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "--force")
	code, _, stderr = tryring(t, "trial", "--printer", "filament-0.4", "--undo")
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "no trials are kept")
}

func TestTrialFaults(t *testing.T) {
	dir := ownSettings(t)
	tests := []struct {
		name string
		args []string
		says string
	}{
		{"no printer", []string{"--caliper-inside", "40=39.9"}, "--printer: missing"},
		{"printer that is none", []string{"--printer", "rezin"}, "did you mean resin?"},
		{"no profile at all", []string{"--printer", "none"}, "no printer at all"},
		{"nothing tried", []string{"--printer", "resin"}, "nothing was tried"},
		{"undo and list", []string{"--printer", "resin", "--undo", "--list"}, "undo"},
		{"no number", []string{"--printer", "resin", "--caliper-inside", "x=y"}, "--caliper-inside"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"trial"}, tt.args...)...)
			assert.Equal(t, exitBadInput, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, tt.says)
		})
	}
	assert.NoDirExists(t, dir, "what fails makes no folder")

	require.NoError(t, os.MkdirAll(dir, 0o700))
	path := filepath.Join(dir, "resin.trials.toml")
	require.NoError(t, os.WriteFile(path, []byte("printer = 'resin'\n\n[[trials]]\nnote = 'gr"), 0o600))
	code, _, stderr := tryring(t, "trial", "--printer", "resin", "--caliper-inside", "40=39.9")
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "cut short")
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "printer = 'resin'\n\n[[trials]]\nnote = 'gr", string(text), "it is left as it was")
}

func TestTrialOfAJob(t *testing.T) {
	ownSettings(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "bath.toml")
	require.NoError(t, os.WriteFile(path, []byte("# mine\nname = \"b\"\ninner = \"M12x1.5\"\nouter = \"M20x2\"\nprinter = \"filament-0.4\"\nout = \""+filepath.ToSlash(dir)+"\"\n"), 0o600))
	try := []string{"trial", "--job", path, "--side", "inner", "--result", "stops after 3 turns"}
	code, _, stderr := tryring(t, try...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "b.json", "the ring was not made yet")
	code, _, stderr = tryring(t, "ring", path)
	require.Equal(t, exitDone, code, stderr)
	code, _, stderr = tryring(t, try...)
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "holds no readings")
	code, _, stderr = tryring(t, "identify", "--job", path, "--side", "goes", "--outside", "12", "--instrument", "ruler", "--date", "d")
	require.Equal(t, exitDone, code, stderr)
	code, stdout, stderr := tryring(t, append(try, "--json")...)
	require.Equal(t, exitDone, code, stderr)
	var r trial.TryResult
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	assert.Equal(t, "M12x1.5", r.Ring)
	assert.NotEmpty(t, r.Meaning)
	assert.NotEmpty(t, r.Next)
	code, stdout, stderr = tryring(t, "identify", "--job", path, "--side", "goes", "--json")
	require.Equal(t, exitDone, code, stderr)
	var i identifyInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &i))
	assert.InDelta(t, r.Candidates[0].Weight, i.Candidates[0].Weight, 1e-5, "identify takes the try in")
	_, stdout, _ = tryring(t, "identify", "--job", path, "--side", "goes")
	assert.Contains(t, stdout, "1 try of a ring")

	for _, args := range [][]string{
		{"--result", "goes"}, {"--job", path, "--side", "inner", "--result", "falls"}, {"--job", path, "--side", "top", "--result", "goes"}, {"--job", path, "--undo"},
	} {
		code, _, stderr = tryring(t, append([]string{"trial"}, args...)...)
		assert.Equal(t, exitBadInput, code, "%v: %s", args, stderr)
	}
}
