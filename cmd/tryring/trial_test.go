package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
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
	assert.Equal(t, filepath.Join(dir, "filament-0.4.trials.jsonl"), r.History)
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
	assert.Contains(t, stdout, "Taken back: trial 1 (")
	_, stdout, _ = tryring(t, "printers", "--json")
	require.NoError(t, json.Unmarshal([]byte(stdout), &list))
	assert.InDelta(t, 0.05, list.Printers[1].OutsideAddsMM, 1e-9)

	// A picture that stands in the way: nothing is kept.
	require.NoError(t, os.WriteFile(filepath.Join(out, "filament-0.4-trial-3.html"), nil, 0o600))
	code, _, stderr = tryring(t, caliper...)
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "--force")
	for _, args := range [][]string{{"--undo"}, {"--drop", "1"}, {"--drop", "7"}} {
		code, _, stderr = tryring(t, append([]string{"trial", "--printer", "filament-0.4"}, args...)...)
		assert.Equal(t, exitBadInput, code)
		assert.Contains(t, stderr, "no such trial is kept")
	}
}

// What cannot all be right is kept only with a word, is told ever after, and can be dropped wherever it stands.
func TestDoubtfulTrial(t *testing.T) {
	ownSettings(t)
	out := t.TempDir()
	read := func(more ...string) (int, string, string) {
		return tryring(t, append([]string{"trial", "--printer", "filament-0.4", "--out", out}, more...)...)
	}
	width := func(stdout string) float64 {
		var r trial.Result
		require.NoError(t, json.Unmarshal([]byte(stdout), &r))
		return r.Sides[1].After.RangeMM[1] - r.Sides[1].After.RangeMM[0]
	}
	code, stdout, stderr := read("--caliper-outside", "40=40.1", "--json")
	require.Equal(t, exitDone, code, stderr)
	sure := width(stdout)
	code, stdout, stderr = read("--caliper-outside", "40=40.9", "--caliper-outside", "40=39.1")
	assert.Equal(t, exitBadInput, code)
	assert.Empty(t, stdout)
	for _, want := range []string{"disagree", "1.80 mm apart", "Nothing was kept", "--anyway"} {
		assert.Contains(t, stderr, want)
	}
	code, stdout, stderr = read("--caliper-outside", "40=40.9", "--caliper-outside", "40=39.1", "--anyway", "--json")
	require.Equal(t, exitDone, code, stderr)
	assert.Greater(t, width(stdout), 2*sure, "readings that disagree tell less")
	for _, args := range [][]string{{"trial", "--printer", "filament-0.4", "--list"}, {"printers"}, {"trial", "--printer", "filament-0.4", "--caliper-inside", "40=39.9", "--out", out}} {
		code, stdout, stderr = tryring(t, args...)
		require.Equal(t, exitDone, code, stderr)
		assert.Contains(t, strings.Join(strings.Fields(stdout), " "), "readings of outside diameters disagree", "%v", args)
	}
	code, stdout, stderr = read("--drop", "2", "--json")
	require.Equal(t, exitDone, code, stderr)
	assert.InDelta(t, sure, width(stdout), 1e-9)
	_, stdout, _ = tryring(t, "printers")
	assert.NotContains(t, stdout, "disagree")
	_, stdout, _ = read("--list")
	assert.Contains(t, stdout, "2. taken back: ")
	assert.Contains(t, stdout, "3. ")
	code, _, stderr = read("--caliper-outside", "40=40.1")
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "word for word")
}

// A ladder names the printer that it was built for.
func TestTrialOfAnotherPrintersLadder(t *testing.T) {
	ownSettings(t)
	out := t.TempDir()
	code, _, stderr := tryring(t, "ladder", "--inner", "M12x1.5", "--outer", "M24x2", "--from", "0.1mm", "--to", "0.2mm", "--step", "0.1mm", "--printer", "resin", "--name", "l", "--out", out)
	require.Equal(t, exitDone, code, stderr)
	try := []string{"trial", "--printer", "filament-0.4", "--ladder", filepath.Join(out, "l.json"), "--rung", "inner:0.10=stops after 2 turns", "--out", out}
	code, _, stderr = tryring(t, try...)
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "built for printer resin, not for filament-0.4")
	code, stdout, stderr := tryring(t, append(try, "--anyway")...)
	require.Equal(t, exitDone, code, stderr)
	assert.Contains(t, stdout, "doubtful  ")
	assert.LessOrEqual(t, strings.Count(stdout, "\n"), 24)
	assert.Equal(t, 1, strings.Count(stdout, "TEST FIT ONLY"))
	code, stdout, stderr = tryring(t, "trial", "--printer", "resin", "--ladder", filepath.Join(out, "l.json"), "--rung", "inner:0.10=stops after 2 turns", "--out", out, "--json")
	require.Equal(t, exitDone, code, stderr)
	var r trial.Result
	require.NoError(t, json.Unmarshal([]byte(stdout), &r))
	assert.Empty(t, r.Doubts)
	assert.Contains(t, r.Command, `tryring ladder --inner M12x1.5 --outer M24x2 --rungs=`)
	assert.Greater(t, r.Sides[0].After.ValueMM, r.Sides[0].Before.ValueMM, "one that stops is tight")
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
	assert.Positive(t, r.Try)
	assert.Contains(t, r.Command, "tryring ")
	assert.NotEmpty(t, r.Meaning)
	assert.NotEmpty(t, r.Next)
	code, stdout, stderr = tryring(t, "identify", "--job", path, "--side", "goes", "--json")
	require.Equal(t, exitDone, code, stderr)
	var i identifyInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &i))
	assert.InDelta(t, r.Candidates[0].Weight, i.Candidates[0].Weight, 1e-5, "identify takes the try in")
	_, stdout, _ = tryring(t, "identify", "--job", path, "--side", "goes")
	assert.Contains(t, stdout, "1 try of a ring")

	// What contradicts, is the same again, or was done with another ring, needs a word, and stays doubtful.
	other := filepath.Join(dir, "other")
	code, _, stderr = tryring(t, "ring", "--inner", "M12x1.25", "--outer", "M20x2", "--printer", "filament-0.4", "--name", "other", "--out", dir)
	require.Equal(t, exitDone, code, stderr)
	for _, c := range []struct {
		result, ring, says string
		stays              bool
	}{
		{"stops after 3 turns", "", "says the same", false},
		{"rattles", "", "stops after 3 turns (try 2) and rattles (this try)", true},
		{"goes", other + ".json", "the ring other has M12x1.25 as its inner thread, the job's ring M12x1.5", true},
	} {
		args := []string{"trial", "--job", path, "--side", "goes", "--result", c.result}
		if c.ring != "" {
			args = append(args, "--ring", c.ring)
		}
		before, err := os.ReadFile(path)
		require.NoError(t, err)
		code, _, stderr = tryring(t, args...)
		assert.Equal(t, exitBadInput, code)
		assert.Contains(t, stderr, c.says)
		assert.Contains(t, stderr, "--anyway")
		now, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, string(before), string(now), "nothing is kept")
		code, stdout, stderr = tryring(t, append(args, "--anyway")...)
		require.Equal(t, exitDone, code, stderr)
		assert.LessOrEqual(t, strings.Count(stdout, "\n")-3*strings.Count(stdout, "doubtful"), 24, "but for warnings: %s", stdout)
		assert.Equal(t, c.stays, strings.Contains(stdout, "doubtful"), stdout)
		_, stdout, _ = tryring(t, "job", path)
		assert.Equal(t, c.stays, strings.Contains(stdout, "(try "), stdout)
	}

	for _, args := range [][]string{
		{"--result", "goes"}, {"--job", path, "--side", "inner", "--result", "falls"}, {"--job", path, "--side", "top", "--result", "goes"}, {"--job", path, "--undo"},
	} {
		code, _, stderr = tryring(t, append([]string{"trial"}, args...)...)
		assert.Equal(t, exitBadInput, code, "%v: %s", args, stderr)
	}
}
