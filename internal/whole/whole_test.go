package whole_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/whole"
)

var errDisk = errors.New("no space left on device")

// names lists everything in a folder, hidden files too.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	out := []string{}
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func TestWriteMakesTheFileAndNothingElse(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.stl")
	require.NoError(t, whole.Write(path, false, text("hello")))
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "hello", string(got))
	assert.Equal(t, []string{"a.stl"}, names(t, dir))
}

func TestWriteGivesTheRightsOfAPlainNewFile(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such rights")
	}
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "plain"), nil, 0o666))
	require.NoError(t, whole.Write(filepath.Join(dir, "ours"), false, text("x")))
	plain, err := os.Stat(filepath.Join(dir, "plain"))
	require.NoError(t, err)
	ours, err := os.Stat(filepath.Join(dir, "ours"))
	require.NoError(t, err)
	assert.Equal(t, plain.Mode(), ours.Mode())
}

func TestWriteRefusesAnExistingFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.stl")
	require.NoError(t, whole.Write(path, false, text("old")))

	called := false
	err := whole.Write(path, false, func(io.Writer) error { called = true; return nil })
	require.ErrorIs(t, err, whole.ErrExists)
	assert.NotContains(t, err.Error(), "--", "words for flags are made elsewhere")
	assert.ErrorContains(t, err, path)
	assert.False(t, called, "no work is done for a file that may not be written")

	require.NoError(t, whole.Write(path, true, text("new")))
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got))
	assert.Equal(t, []string{"a.stl"}, names(t, dir))
}

func TestFailingEncoderAtEachOffset(t *testing.T) {
	const size = 300
	for offset := range size + 1 {
		dir := t.TempDir()
		path := filepath.Join(dir, "a.stl")
		require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
		err := whole.Write(path, true, func(w io.Writer) error {
			if _, err := w.Write(bytes.Repeat([]byte{7}, offset)); err != nil {
				return err
			}
			return errDisk
		})
		require.ErrorIs(t, err, errDisk, "offset %d", offset)
		require.Equal(t, []string{"a.stl"}, names(t, dir), "offset %d", offset)
		got, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, "old", string(got), "offset %d", offset)
	}
}

func TestPanickingEncoderLeavesNothing(t *testing.T) {
	dir := t.TempDir()
	assert.Panics(t, func() {
		_ = whole.Write(filepath.Join(dir, "a"), false, func(io.Writer) error { panic("ours") })
	})
	assert.Empty(t, names(t, dir))
}

func TestTargetsThatCannotBe(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "folder"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "file"), []byte("x"), 0o600))
	before := names(t, dir)
	for name, path := range map[string]string{
		"empty name":        "",
		"a folder":          filepath.Join(dir, "folder"),
		"folder is missing": filepath.Join(dir, "missing", "a.stl"),
		"folder is a file":  filepath.Join(dir, "file", "a.stl"),
		"name too long":     filepath.Join(dir, strings.Repeat("n", 5000)),
	} {
		for _, force := range []bool{false, true} {
			t.Run(name, func(t *testing.T) {
				require.Error(t, whole.Write(path, force, text("x")))
				assert.Equal(t, before, names(t, dir))
			})
		}
	}
}

func TestUnwritableFolder(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("rights do not bind here")
	}
	dir := t.TempDir()
	require.NoError(t, os.Chmod(dir, 0o500))
	require.ErrorIs(t, whole.Write(filepath.Join(dir, "a"), false, text("x")), os.ErrPermission)
}

func TestLongestLawfulName(t *testing.T) {
	path := filepath.Join(t.TempDir(), strings.Repeat("n", 200))
	require.NoError(t, whole.Write(path, false, text("x")))
}

func TestSpecialFilesAreRefused(t *testing.T) {
	if _, err := os.Stat("/dev/full"); err != nil {
		t.Skip("no /dev/full")
	}
	require.ErrorContains(t, whole.Write("/dev/full", true, text("x")), "not a regular file")
}

// A file that people keep is changed behind its link; one that is made replaces a link, whatever that leads to.
func TestLinks(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	require.NoError(t, os.WriteFile(real, []byte("old"), 0o600))
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no symbolic links here")
	}
	require.NoError(t, whole.Rewrite(link, text("new")))
	got, err := os.ReadFile(real)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink, "the link stays a link")

	require.ErrorIs(t, whole.Write(link, false, text("ours")), whole.ErrExists)
	require.NoError(t, whole.Write(link, true, text("ours")))
	got, err = os.ReadFile(real)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got), "nothing is written through a link")
	info, err = os.Lstat(link)
	require.NoError(t, err)
	assert.True(t, info.Mode().IsRegular())
}

func TestReplacedFilesKeepTheirRights(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no such rights")
	}
	path := filepath.Join(t.TempDir(), "job.toml")
	for _, mode := range []os.FileMode{0o600, 0o640, 0o664} {
		require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
		require.NoError(t, os.Chmod(path, mode))
		require.NoError(t, whole.Rewrite(path, text("new")))
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, mode, info.Mode())
	}
}

// What a killed run left is swept a day later, and nothing that may be somebody's.
func TestLeftoversAreSwept(t *testing.T) {
	dir := t.TempDir()
	long := time.Now().Add(-25 * time.Hour)
	for name, old := range map[string]bool{".part-17-0": true, ".part-18-0": false, ".part-set-1": true, ".part-a": true, "part-1-1": true} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, nil, 0o600))
		if old {
			require.NoError(t, os.Chtimes(path, long, long))
		}
	}
	require.NoError(t, whole.Write(filepath.Join(dir, "a"), false, text("x")))
	assert.Equal(t, []string{".part-18-0", ".part-a", ".part-set-1", "a", "part-1-1"}, names(t, dir))
}

// A file is the old one or the new one, whatever step of writing it fails or is the last.
func TestEachStepOfAFile(t *testing.T) {
	defer func() { whole.Step = nil }()
	for _, killed := range []bool{false, true} {
		done := false
		for at := 1; !done; at++ {
			dir := t.TempDir()
			path := filepath.Join(dir, "job.toml")
			require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
			steps := 0
			whole.Step = func(string, string) error {
				if steps++; steps == at || killed && steps > at {
					return errDisk
				}
				return nil
			}
			err := whole.Rewrite(path, text("new"))
			done = steps < at
			want := "old"
			if done {
				require.NoError(t, err)
				require.Greater(t, at, 4, "create, write, sync, rename")
				want = "new"
			} else {
				require.ErrorIs(t, err, errDisk)
			}
			got, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, want, string(got), "step %d", at)
			if !killed {
				require.Equal(t, []string{"job.toml"}, names(t, dir), "step %d", at)
			}
		}
	}
}

func TestPrepareThenCommit(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.stl")
	p, err := whole.Prepare(path, false, text("proved"))
	require.NoError(t, err)
	assert.NoFileExists(t, path)
	beside, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, beside, 1, "it is written beside its place")
	got, err := os.ReadFile(filepath.Join(dir, beside[0].Name()))
	require.NoError(t, err)
	assert.Equal(t, "proved", string(got))

	require.NoError(t, p.Commit())
	require.NoError(t, p.Discard(), "nothing to do after Commit")
	require.ErrorIs(t, p.Commit(), whole.ErrSettled)
	assert.Equal(t, []string{"a.stl"}, names(t, dir))
}

func TestPrepareThenDiscard(t *testing.T) {
	dir := t.TempDir()
	p, err := whole.Prepare(filepath.Join(dir, "a.stl"), false, text("bad"))
	require.NoError(t, err)
	require.NoError(t, p.Discard())
	require.NoError(t, p.Discard())
	require.ErrorIs(t, p.Commit(), whole.ErrSettled)
	assert.Empty(t, names(t, dir))
}

func TestCommitRefusesAFileThatAppearedMeanwhile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.stl")
	p, err := whole.Prepare(path, false, text("ours"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, []byte("theirs"), 0o600))
	require.ErrorIs(t, p.Commit(), whole.ErrExists)
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "theirs", string(got))
	assert.Equal(t, []string{"a.stl"}, names(t, dir))
}

func TestManyWritersOneWinner(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a")
	results := make([]error, 16)
	var wg sync.WaitGroup
	for i := range results {
		wg.Go(func() { results[i] = whole.Write(path, false, text("x")) })
	}
	wg.Wait()
	won := 0
	for _, err := range results {
		if err == nil {
			won++
			continue
		}
		assert.ErrorIs(t, err, whole.ErrExists)
	}
	assert.Equal(t, 1, won)
	assert.Equal(t, []string{"a"}, names(t, dir))
}

func TestFileNames(t *testing.T) {
	for _, good := range []string{"a", "M20x1.5", "console", "com", "lpt.1", "1-5-8-16-UN", strings.Repeat("n", 100)} {
		require.NoError(t, whole.CheckFileName(good), good)
	}
	for _, bad := range []string{"", ".a", "a/b", "-a", "a b", "ä", "a.", strings.Repeat("n", 101), "CON", "nul", "Aux.stl", "com1", "LPT9.x"} {
		require.Error(t, whole.CheckFileName(bad), bad)
	}
}
