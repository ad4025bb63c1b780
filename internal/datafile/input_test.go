package datafile

import (
	"context"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func write(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.toml")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func TestReadBounds(t *testing.T) {
	path := write(t, "12345")
	text, err := Read(t.Context(), path, 5)
	require.NoError(t, err)
	assert.Equal(t, "12345", string(text))
	_, err = Read(t.Context(), path, 4)
	require.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "the 4 bytes")
	_, err = Read(t.Context(), path+"x", 4)
	require.ErrorIs(t, err, fs.ErrNotExist)
	stopped, stop := context.WithCancel(t.Context())
	stop()
	_, err = Read(stopped, path, 5)
	require.ErrorIs(t, err, context.Canceled)
}

func TestRefusesWhatIsNoFile(t *testing.T) {
	dir := t.TempDir()
	for path, says := range map[string]string{dir: "folder", os.DevNull: "device"} {
		for name, open := range map[string]func() error{
			"Open":    func() error { _, err := Open(t.Context(), path); return err },
			"Regular": func() error { _, err := Regular(path); return err },
		} {
			err := open()
			require.ErrorIs(t, err, ErrNoFile, "%s(%s)", name, path)
			assert.ErrorContains(t, err, path+" is a "+says)
		}
	}
}

func TestText(t *testing.T) {
	text, err := Text(t.Context(), write(t, "\ufeffa = 1"), 99)
	require.NoError(t, err)
	assert.Equal(t, "a = 1", string(text))
	for name, bad := range map[string]string{"UTF-16": "\xff\xfea\x00", "zeros": "a\x00", "Latin-1": "gr\xfc\xdfe"} {
		_, err = Text(t.Context(), write(t, bad), 99)
		require.ErrorIs(t, err, ErrNotText, name)
	}
}

func TestFolder(t *testing.T) {
	path := write(t, "\ufeffa = 1")
	dir := Folder(filepath.Dir(path))
	text, err := fs.ReadFile(dir, "a.toml")
	require.NoError(t, err)
	assert.Equal(t, "a = 1", string(text))
	found, err := fs.Glob(dir, "*.toml")
	require.NoError(t, err)
	assert.Equal(t, []string{"a.toml"}, found)
	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat(" ", MaxBytes+1)), 0o600))
	_, err = fs.ReadFile(dir, "a.toml")
	require.ErrorIs(t, err, ErrTooLarge)
	_, err = fs.ReadFile(dir, "b.toml")
	require.ErrorIs(t, err, fs.ErrNotExist)
}

// What is wanted of a read that was given up on is let go of when it comes.
func TestLaterLetsGo(t *testing.T) {
	give, gone := make(chan int), make(chan int)
	_, err := later(t.Context(), "a", time.Millisecond, func() (int, error) { return <-give, nil }, func(n int) { gone <- n })
	require.ErrorIs(t, err, ErrSilent)
	give <- 7
	assert.Equal(t, 7, <-gone)
}

func TestReadErrorsComeThrough(t *testing.T) {
	f, err := Open(t.Context(), write(t, "abc"))
	require.NoError(t, err)
	require.NoError(t, f.Close())
	_, err = io.ReadAll(f)
	require.ErrorIs(t, err, os.ErrClosed)
}
