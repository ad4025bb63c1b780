package printer

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tried is a trial that says something of both sides.
func tried(outcome Felt) Trial {
	return Trial{
		Date: "a Tuesday", Note: "grey", Ladder: "l.json", BuiltFor: "filament-0.4",
		Parts:    []Part{{Name: "tail", Side: Inside, LeastMM: 0.05, MostMM: 0.05, UMM: 0.01}},
		Rungs:    []SeenRung{{Side: Inside, Part: "tail", Rung: "0.20", ModelledMM: 0.35, PitchMM: 1.5, Outcome: outcome}},
		Readings: []SeenReading{{Side: Outside, ModelledMM: 40, MeasuredMM: 40.11, UMM: 0.017}},
	}
}

// agreed lets every entry pass.
func agreed(Entry) error { return nil }

func open(t testing.TB, dir string) *Journal {
	t.Helper()
	j, err := OpenJournal(dir, "filament-0.4")
	require.NoError(t, err)
	return j
}

func keep(t testing.TB, dir string, trials ...Trial) *Journal {
	t.Helper()
	j := open(t, dir)
	for _, x := range trials {
		_, err := j.Append(t.Context(), x, agreed)
		require.NoError(t, err)
	}
	return j
}

func find(t *testing.T, list Profiles, err error) Profile {
	t.Helper()
	require.NoError(t, err)
	p, err := list.Find("filament-0.4")
	require.NoError(t, err)
	return p
}

func TestJournal(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "printers")
	keep(t, dir, tried(Goes), tried(StopsAfter(2.5)), tried(Snug))
	j := open(t, dir)
	require.Equal(t, []Trial{tried(Goes), tried(StopsAfter(2.5)), tried(Snug)}, Counting(j.Entries), "what was kept reads back")
	e, err := j.Drop(t.Context(), 2, "a Friday")
	require.NoError(t, err)
	assert.Equal(t, tried(StopsAfter(2.5)), e.Trial)
	j = open(t, dir)
	require.Equal(t, []Trial{tried(Goes), tried(Snug)}, Counting(j.Entries))
	require.Len(t, j.Entries, 3, "what was taken back is kept")
	assert.Equal(t, []bool{false, true, false}, []bool{j.Entries[0].Dropped, j.Entries[1].Dropped, j.Entries[2].Dropped})

	list, err := loadUntried(dir)
	base := find(t, list, err)
	list, err = Load(dir)
	got := find(t, list, err)
	want := base.After(Counting(j.Entries))
	want.Doubts = got.Doubts
	assert.Equal(t, want, got, "Load takes the trials in")
	assert.InDelta(t, 0.11, got.OutsideAdds.MM(), 0.01, "two readings beat the profile's guess")
	assert.Less(t, got.OutsideU, base.OutsideU)
	assert.Equal(t, "learned from 2 trials", got.sourceOf("outside_adds_mm"))
	require.NoError(t, got.Validate(), "a profile that has learned is still one")

	for _, id := range []int{0, -1, 2, 9} {
		_, err = j.Drop(t.Context(), id, "")
		require.ErrorIs(t, err, ErrNoEntry, "%d", id)
	}
	for _, id := range []int{3, 1} {
		_, err = j.Drop(t.Context(), id, "")
		require.NoError(t, err)
	}
	list, err = Load(dir)
	assert.Equal(t, base, find(t, list, err), "all taken back, the profile is as it was written")
	e, err = j.Append(t.Context(), tried(Goes), agreed)
	require.NoError(t, err)
	assert.Greater(t, e.ID, 3, "no number is given twice")
	byHand := strings.Replace(string(j.text), fmt.Sprintf(`"id":%d`, e.ID), `"id":100`, 1)
	require.NoError(t, os.WriteFile(j.Path, []byte(byHand), 0o600))
	e, err = j.Append(t.Context(), tried(Snug), agreed)
	require.NoError(t, err)
	assert.Equal(t, 101, e.ID, "nor one that was given by hand")
}

// Several writers at once lose no entry, and no number is given twice.
func TestJournalUnderManyWriters(t *testing.T) {
	dir := t.TempDir()
	const writers, each = 8, 50
	var all sync.WaitGroup
	for w := range writers {
		all.Go(func() {
			j, err := OpenJournal(dir, "filament-0.4")
			if !assert.NoError(t, err) {
				return
			}
			for k := range each {
				x := tried(Goes)
				x.Note = fmt.Sprintf("%d of writer %d", k, w)
				_, err := j.Append(t.Context(), x, agreed)
				assert.NoError(t, err)
			}
		})
	}
	all.Wait()
	j := open(t, dir)
	assert.Empty(t, j.Bad)
	notes, ids := map[string]bool{}, map[int]bool{}
	for _, e := range j.Entries {
		notes[e.Note], ids[e.ID] = true, true
	}
	assert.Len(t, notes, writers*each)
	assert.Len(t, ids, writers*each)
}

// A line that does not hold spoils itself alone, is named, and stays as it is.
func TestBadLines(t *testing.T) {
	dir := t.TempDir()
	keep(t, dir, tried(Goes), tried(Goes), tried(Snug))
	path := filepath.Join(dir, "filament-0.4"+journalEnding)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	good := strings.Split(strings.TrimSpace(string(text)), "\n")
	tests := []struct{ name, line, says string }{
		{"cut short", good[1][:len(good[1])/2], "unexpected EOF"},
		{"no entry at all", "printer = 'p'", "it is no entry"},
		{"unknown key", strings.Replace(good[1], `"note"`, `"colour"`, 1), "colour"},
		{"nothing tried", `{"id":2,"note":"x"}`, "neither rungs nor readings"},
		{"no such outcome", strings.Replace(good[1], `"goes"`, `"falls"`, 1), `"falls" is no outcome`},
		{"no outcome", strings.Replace(good[1], `,"outcome":"goes"`, "", 1), "its outcome is missing"},
		{"no such part", strings.Replace(good[1], `"part":"tail"`, `"part":"head"`, 1), `its part "head" is not described`},
		{"no such side", strings.Replace(good[1], `"side":"outside"`, `"side":"top"`, 1), `side is "top"`},
		{"inches for mm", strings.Replace(good[1], `"measured_mm":40.11`, `"measured_mm":1.58`, 1), "measured diameter is 1.58 mm"},
		{"number taken", strings.Replace(good[2], `"id":3`, `"id":1`, 1), "trial 1 stands further up"},
		{"no number", strings.Replace(good[1], `"id":2,`, "", 1), "number"},
		{"two in a line", good[1] + good[1], "behind"},
		{"drops nothing", `{"drop":7}`, "takes back trial 7"},
		{"drops and says", strings.Replace(good[1], `"id":2`, `"id":2,"drop":1`, 1), "number"},
		{"endless", `{"id":2,"note":"` + strings.Repeat("x", mostLine) + `"}`, "bytes"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			require.NotContains(t, good, tt.line)
			spoiled := strings.Join([]string{good[0], "", tt.line, good[2]}, "\n") // without a last newline
			require.NoError(t, os.WriteFile(path, []byte(spoiled), 0o600))
			j := open(t, dir)
			assert.Equal(t, []Trial{tried(Goes), tried(Snug)}, Counting(j.Entries))
			require.Len(t, j.Bad, 1)
			require.ErrorContains(t, j.Bad[0], journalEnding+":3 does not count: ")
			require.ErrorContains(t, j.Bad[0], tt.says)
			list, err := Load(dir)
			assert.Contains(t, find(t, list, err).Doubts, j.Bad[0].Error())
			_, err = j.Append(t.Context(), tried(Goes), agreed)
			require.NoError(t, err)
			now, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.True(t, strings.HasPrefix(string(now), spoiled+"\n"))
			assert.Len(t, Counting(open(t, dir).Entries), 3)
		})
	}
}

// Wherever the last entry is cut, those before it hold.
func TestJournalCutAnywhere(t *testing.T) {
	dir := t.TempDir()
	j := keep(t, dir, tried(Goes), tried(Snug))
	first := len(j.text) - len(j.text[strings.Index(string(j.text), "\n")+1:])
	for n := first; n < len(j.text)-1; n++ {
		cut := Journal{Path: j.Path}
		cut.parse(j.text[:n])
		require.Len(t, cut.Entries, 1, "cut after %d bytes", n)
		assert.Len(t, cut.Bad, min(1, n-first))
	}
}

// An entry that is not agreed to, or cannot be written, changes nothing.
func TestJournalLeavesAllAsItWas(t *testing.T) {
	dir := t.TempDir()
	j := open(t, dir)
	no := errors.New("no")
	_, err := j.Append(t.Context(), tried(Goes), func(e Entry) error { assert.Equal(t, 1, e.ID); return no })
	require.ErrorIs(t, err, no)
	assert.NoFileExists(t, j.Path)
	_, err = j.Append(t.Context(), Trial{}, agreed)
	require.ErrorContains(t, err, "nothing was tried")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = j.Append(ctx, tried(Goes), agreed)
	require.ErrorIs(t, err, context.Canceled)
	assert.NoFileExists(t, j.Path)

	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	none := &Journal{Path: filepath.Join(file, "filament-0.4"+journalEnding)}
	_, err = none.Append(t.Context(), tried(Goes), agreed)
	require.ErrorContains(t, err, "printers folder")

	stranger, err := OpenJournal(dir, "stranger")
	require.NoError(t, err)
	_, err = stranger.Append(t.Context(), tried(Goes), agreed)
	require.NoError(t, err)
	list, err := Load(dir)
	require.NoError(t, err)
	_, err = list.Find("stranger")
	require.ErrorContains(t, err, `no printer profile "stranger"`)
	find(t, list, nil)
}

// What holds can be kept again, and teaches figures that a profile may have.
func FuzzJournal(f *testing.F) {
	dir := f.TempDir()
	j := keep(f, dir, tried(Goes))
	_, err := j.Drop(f.Context(), 1, "")
	require.NoError(f, err)
	f.Add(string(keep(f, dir, tried(StopsAfter(3))).text))
	f.Add("{\"drop\":1}\n{}\n\n7\n")
	f.Fuzz(func(t *testing.T, text string) {
		j := Journal{Path: "p" + journalEnding}
		j.parse([]byte(text))
		next := open(t, t.TempDir())
		for _, x := range Counting(j.Entries) {
			if _, err := next.Append(t.Context(), x, agreed); err != nil {
				t.Fatalf("Append(%+v) = %v", x, err)
			}
		}
		p := Unnamed()
		p.Name = "p"
		if err := p.After(Counting(j.Entries)).Validate(); err != nil {
			t.Fatalf("After(%+v): %v", Counting(j.Entries), err)
		}
		Doubts("p", j.Entries)
	})
}
