package job

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/reading"
)

// writerEnv tells the test's own program to be a writer: "PATH|NAME|COUNT".
const writerEnv = "TRYRING_TEST_WRITER"

func TestMain(m *testing.M) {
	if asked := os.Getenv(writerEnv); asked != "" {
		part := strings.Split(asked, "|")
		count, err := strconv.Atoi(part[2])
		for i := 0; i < count && err == nil; i++ {
			err = Change(context.Background(), part[0], func(d *Document) error {
				return d.AddReadings(Stays, false, reading.Record{What: "bore", Text: fmt.Sprintf("45.%s%02d", part[1], i)})
			})
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// Programs and goroutines that write one job at once lose no entry, and no number is given twice.
func TestWritersLoseNothing(t *testing.T) {
	writers, each := 8, 50
	if os.Getenv("TRYRING_BRIEF") != "" {
		writers, each = 4, 10
	}
	path := filepath.Join(t.TempDir(), "tub.toml")
	var all sync.WaitGroup
	for k := range writers {
		all.Go(func() {
			cmd := exec.Command(os.Args[0])
			cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s|%d|%d", writerEnv, path, k, each))
			said, err := cmd.CombinedOutput()
			assert.NoError(t, err, "%s", said)
		})
	}
	const more = 10
	for i := range more {
		all.Go(func() {
			assert.NoError(t, Change(t.Context(), path, func(d *Document) error {
				d.Notes = append(d.Notes, Note{Text: strconv.Itoa(i)})
				return nil
			}))
		})
	}
	all.Wait()
	d, err := Load(t.Context(), path)
	require.NoError(t, err)
	assert.Len(t, d.Stays, writers*each)
	assert.Len(t, d.Notes, more)
	seen := map[int]bool{}
	for _, n := range d.numbers() {
		assert.False(t, seen[n], "number %d twice", n)
		seen[n] = true
	}
	beside, err := filepath.Glob(filepath.Join(filepath.Dir(path), ".*"))
	require.NoError(t, err)
	assert.Empty(t, beside, "no lock and no unfinished file is left")
}

func TestChangeThatFailsChangesNothing(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.toml")
	mine := errors.New("mine")
	for name, c := range map[string]struct {
		text   string
		change func(*Document) error
		says   string
	}{
		"the caller's error":     {old, func(d *Document) error { d.Name = "x"; return mine }, "mine"},
		"spoiled already":        {"inner = \n", func(d *Document) error { d.Name = "x"; return nil }, "tub.toml:1"},
		"no such kind":           {old, func(d *Document) error { d.Goes[0].What = "girth"; return nil }, "spoil"},
		"a key for a kind":       {old, func(d *Document) error { d.Goes[0].What = "note"; return nil }, "spoil"},
		"a chance of nothing":    {old, func(d *Document) error { d.Tries[0].UMM = math.NaN(); return nil }, "spoil"},
		"no text":                {old, func(d *Document) error { d.Name = "\xff"; return nil }, "spoil"},
		"no side":                {old, func(d *Document) error { d.Questions = []Question{{Side: "left"}}; return nil }, "goes"},
		"twice the same number":  {old, func(d *Document) error { d.Notes = []Note{{ID: 1, Text: "x"}}; return nil }, "number of the entry"},
		"larger than what reads": {old, func(d *Document) error { d.Name = strings.Repeat("x", MaxBytes); return nil }, "bytes"},
	} {
		t.Run(name, func(t *testing.T) {
			require.NoError(t, os.WriteFile(path, []byte(c.text), 0o600))
			require.ErrorContains(t, Change(t.Context(), path, c.change), c.says)
			left, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, c.text, string(left))
		})
	}
	fresh := filepath.Join(t.TempDir(), "new.toml")
	require.ErrorIs(t, Change(t.Context(), fresh, func(*Document) error { return mine }), mine)
	assert.NoFileExists(t, fresh)
	_, err := Load(t.Context(), fresh)
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func TestChangeKeepsTheFileWhereNothingChanged(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.toml")
	require.NoError(t, os.WriteFile(path, []byte(old), 0o600))
	before, err := os.Stat(path)
	require.NoError(t, err)
	require.NoError(t, Change(t.Context(), path, func(*Document) error { return nil }))
	after, err := os.Stat(path)
	require.NoError(t, err)
	assert.True(t, os.SameFile(before, after), "it is not even written again")
}
