package printer

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/whole"
)

// tried is a trial that says something of both sides.
func tried(outcome Outcome) Trial {
	return Trial{
		Date: "a Tuesday", Note: "grey", Ladder: "l.json",
		Parts:    []Part{{Name: "tail", Side: Inside, LeastMM: 0.05, MostMM: 0.05, UMM: 0.01}},
		Rungs:    []SeenRung{{Side: Inside, Part: "tail", Rung: "0.20", ModelledMM: 0.35, PitchMM: 1.5, Outcome: outcome}},
		Readings: []SeenReading{{Side: Outside, ModelledMM: 40, MeasuredMM: 40.11, UMM: 0.017}},
	}
}

func kept(t *testing.T, dir string, trials ...Trial) *History {
	t.Helper()
	h, err := OpenHistory(dir, "filament-0.4")
	require.NoError(t, err)
	for _, x := range trials {
		require.NoError(t, h.Append(x))
	}
	return h
}

func TestHistory(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "printers")
	kept(t, dir, tried(Goes), tried(Snug))
	h, err := OpenHistory(dir, "filament-0.4")
	require.NoError(t, err)
	require.Equal(t, []Trial{tried(Goes), tried(Snug)}, h.Trials, "what was kept reads back")

	list, err := Load(dir)
	require.NoError(t, err)
	got, err := list.Find("filament-0.4")
	require.NoError(t, err)
	untried, err := LoadUntried(dir)
	require.NoError(t, err)
	base, err := untried.Find("filament-0.4")
	require.NoError(t, err)
	assert.Equal(t, base.After(h.Trials), got, "Load takes the trials in")
	assert.InDelta(t, 0.11, got.OutsideAdds.MM(), 0.01, "two readings beat the profile's guess")
	assert.Less(t, got.OutsideU, base.OutsideU)
	assert.Equal(t, "learned from 2 trials", got.SourceOf("outside_adds_mm"))
	require.NoError(t, got.Validate(), "a profile that has learned is still one")

	last, err := h.Undo()
	require.NoError(t, err)
	assert.Equal(t, tried(Snug), last)
	_, err = h.Undo()
	require.NoError(t, err)
	_, err = h.Undo()
	require.ErrorIs(t, err, ErrNoTrials)
	list, err = Load(dir)
	require.NoError(t, err)
	got, err = list.Find("filament-0.4")
	require.NoError(t, err)
	assert.Equal(t, base.InsideTakes, got.InsideTakes, "all taken back, the profile is as it was written")
	assert.Equal(t, base.OutsideU, got.OutsideU)
}

// Wherever the file is cut, that is told, and neither Append nor Undo touches it.
func TestHistoryCutAnywhere(t *testing.T) {
	dir := t.TempDir()
	h := kept(t, dir, tried(Goes), tried(Snug))
	text, err := os.ReadFile(h.Path())
	require.NoError(t, err)
	cut := 0
	for n := range len(text) - 1 { // without the last newline it is still whole
		_, err := parseHistory(h.Path(), text[:n])
		require.Error(t, err, "cut after %d bytes", n)
		if errors.Is(err, ErrCutShort) {
			cut++
		}
	}
	assert.Greater(t, cut, len(text)*9/10, "nearly all cuts are called by their name")

	require.NoError(t, os.WriteFile(h.Path(), text[:len(text)/2], 0o600))
	_, err = OpenHistory(dir, "filament-0.4")
	require.ErrorIs(t, err, ErrCutShort)
	require.ErrorContains(t, err, "filament-0.4.trials.toml")
	_, err = Load(dir)
	require.ErrorIs(t, err, ErrCutShort)
	require.ErrorIs(t, h.Append(tried(Goes)), ErrChanged)
	_, err = h.Undo()
	require.ErrorIs(t, err, ErrChanged)
	now, err := os.ReadFile(h.Path())
	require.NoError(t, err)
	assert.Equal(t, text[:len(text)/2], now)
}

func TestHistoryIsNeverOverwrittenSilently(t *testing.T) {
	dir := t.TempDir()
	mine, err := OpenHistory(dir, "filament-0.4")
	require.NoError(t, err)
	kept(t, dir, tried(Snug)) // another run, meanwhile
	require.ErrorIs(t, mine.Append(tried(Goes)), whole.ErrExists)
	mine, err = OpenHistory(dir, "filament-0.4")
	require.NoError(t, err)
	kept(t, dir, tried(Snug))
	require.ErrorIs(t, mine.Append(tried(Goes)), ErrChanged)
	h, err := OpenHistory(dir, "filament-0.4")
	require.NoError(t, err)
	assert.Len(t, h.Trials, 2)
}

// A folder that nothing can be written to fails clearly, and what was kept stays.
func TestHistoryWithoutRights(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	h := &History{Printer: "filament-0.4", path: filepath.Join(file, "filament-0.4"+historyEnding)}
	require.ErrorContains(t, h.Append(tried(Goes)), "printers folder")
	assert.Empty(t, h.Trials)
	if os.Getuid() == 0 {
		t.Skip("root may write anywhere")
	}
	dir := t.TempDir()
	k := kept(t, dir, tried(Goes))
	before, err := os.ReadFile(k.Path())
	require.NoError(t, err)
	require.NoError(t, os.Chmod(dir, 0o500))
	t.Cleanup(func() { _ = os.Chmod(dir, 0o700) })
	require.Error(t, k.Append(tried(Snug)))
	assert.Len(t, k.Trials, 1)
	after, err := os.ReadFile(k.Path())
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

func TestHistoryFaults(t *testing.T) {
	end := "\n[end]\ntrials = 1\n"
	head := "printer = 'p'\n[[trials]]\n"
	tests := []struct{ name, text, says string }{
		{"nothing tried", head + end, "neither rungs nor readings"},
		{"unknown key", head + "colour = 'red'" + end, `p.trials.toml:3: there is no key "trials.colour"`},
		{"other printer", "printer = 'q'\n[end]\ntrials = 0\n", "file of another name"},
		{"no such outcome", head + "[[trials.parts]]\nname='a'\nside='inside'\n[[trials.rungs]]\nside='inside'\npart='a'\nrung='0.20'\noutcome='falls'" + end, `"falls" is no outcome`},
		{"no such part", head + "[[trials.rungs]]\nside='inside'\npart='a'\nrung='0.20'\noutcome='goes'" + end, `its part "a" is not described`},
		{"no such side", head + "[[trials.readings]]\nside='top'\nmodelled_mm=40\nmeasured_mm=40" + end, `side is "top"`},
		{"not a number", head + "[[trials.readings]]\nside='inside'\nmodelled_mm=nan\nmeasured_mm=40" + end, "NaN mm"},
		{"inches for mm", head + "[[trials.readings]]\nside='inside'\nmodelled_mm=25.4\nmeasured_mm=1.0" + end, "measured diameter is 1 mm"},
		{"other count", "printer='p'\n[end]\ntrials = 3\n", "cut short"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := parseHistory("p.trials.toml", []byte(tt.text))
			require.ErrorContains(t, err, tt.says)
		})
	}
	dir := t.TempDir()
	h, err := OpenHistory(dir, "stranger")
	require.NoError(t, err)
	require.NoError(t, h.Append(tried(Goes)))
	_, err = Load(dir)
	require.ErrorContains(t, err, `no printer profile "stranger"`)
}

func FuzzParseHistory(f *testing.F) {
	dir := f.TempDir()
	h, err := OpenHistory(dir, "p")
	require.NoError(f, err)
	require.NoError(f, h.Append(tried(Goes)))
	text, err := os.ReadFile(h.Path())
	require.NoError(f, err)
	f.Add(string(text))
	f.Add("printer='p'\n[end]\ntrials = 0\n")
	f.Fuzz(func(t *testing.T, text string) {
		h, err := parseHistory("p.trials.toml", []byte(text))
		if err != nil {
			return
		}
		// What reads well can be kept, and teaches figures that a profile may have.
		dir := t.TempDir()
		next, err := OpenHistory(dir, "p")
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range h.Trials {
			if err := next.Append(x); err != nil {
				t.Fatalf("Append(%+v) = %v", x, err)
			}
		}
		p := Unnamed()
		p.Name = "p"
		if err := p.After(h.Trials).Validate(); err != nil {
			t.Fatalf("After(%+v): %v", h.Trials, err)
		}
	})
}
