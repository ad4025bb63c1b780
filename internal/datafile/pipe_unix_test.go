//go:build unix

package datafile

import (
	"context"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func pipe(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "pipe.toml")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	return path
}

// soon is what nothing here takes that is given up on, patient what it may take all the same.
const (
	soon    = 20 * time.Millisecond
	patient = 5 * time.Second
)

func TestPipeIsRead(t *testing.T) {
	path := pipe(t)
	go func() {
		w, err := os.OpenFile(path, os.O_WRONLY, 0)
		if assert.NoError(t, err) {
			for _, piece := range []string{"one ", "two"} {
				_, err = io.WriteString(w, piece)
				assert.NoError(t, err)
				time.Sleep(soon / 4)
			}
			assert.NoError(t, w.Close())
		}
	}()
	text, err := Text(t.Context(), path, 99)
	require.NoError(t, err)
	assert.Equal(t, "one two", string(text))
}

// A pipe that nobody writes to ends with the person's patience, or after a while by itself: while it is opened, and while it
// is read.
func TestPipeThatSaysNothing(t *testing.T) {
	for name, writes := range map[string]bool{"nobody at the other end": false, "somebody who says nothing": true} {
		t.Run(name, func(t *testing.T) {
			path := pipe(t)
			if writes {
				w, err := os.OpenFile(path, os.O_RDWR, 0) // does not wait for a reader
				require.NoError(t, err)
				t.Cleanup(func() { _ = w.Close() })
			}
			read := func(ctx context.Context, wait time.Duration) error {
				f, err := open(ctx, path, wait)
				if err == nil {
					_, err = io.ReadAll(f)
				}
				return err
			}
			from := time.Now()
			require.ErrorIs(t, read(t.Context(), soon), ErrSilent)
			ctx, stop := context.WithTimeout(t.Context(), soon)
			defer stop()
			require.ErrorIs(t, read(ctx, time.Minute), context.DeadlineExceeded)
			assert.Less(t, time.Since(from), patient)
		})
	}
}

// Who goes to and fro in a file does not wait for a pipe, nor does a folder with one in it.
func TestPipeIsNoRegularFile(t *testing.T) {
	path := pipe(t)
	_, err := Regular(path)
	require.ErrorIs(t, err, ErrNoFile)
	_, err = fs.ReadFile(Folder(filepath.Dir(path)), "pipe.toml")
	require.ErrorIs(t, err, ErrNoFile)
}
