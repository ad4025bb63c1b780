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

func TestLinkIsFollowed(t *testing.T) {
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	require.NoError(t, os.WriteFile(real, []byte("old"), 0o600))
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no symbolic links here")
	}
	require.NoError(t, whole.Write(link, true, text("new")))
	got, err := os.ReadFile(real)
	require.NoError(t, err)
	assert.Equal(t, "new", string(got))
	info, err := os.Lstat(link)
	require.NoError(t, err)
	assert.NotZero(t, info.Mode()&os.ModeSymlink, "the link stays a link")
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
