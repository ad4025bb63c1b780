package whole

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whoever reads, counts and writes under the lock loses no count, whatever way the file is named.
func TestLockKeepsWritersApart(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n")
	require.NoError(t, os.WriteFile(path, []byte("0"), 0o600))
	link := path + "-link"
	require.NoError(t, os.Symlink(path, link))
	const writers, each = 8, 25
	var all sync.WaitGroup
	for k := range writers {
		all.Go(func() {
			for range each {
				unlock, err := Lock(t.Context(), []string{path, link}[k%2])
				if !assert.NoError(t, err) {
					return
				}
				text, err := os.ReadFile(path)
				assert.NoError(t, err)
				n, err := strconv.Atoi(string(text))
				assert.NoError(t, err)
				assert.NoError(t, os.WriteFile(path, []byte(strconv.Itoa(n+1)), 0o600))
				assert.NoError(t, unlock())
			}
		})
	}
	all.Wait()
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, strconv.Itoa(writers*each), string(text))
}

func TestLockFaults(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new")
	unlock, err := Lock(t.Context(), path)
	require.NoError(t, err, "the file need not be there")
	ctx, stop := context.WithTimeout(t.Context(), 20*time.Millisecond)
	defer stop()
	_, err = Lock(ctx, path)
	require.ErrorIs(t, err, context.DeadlineExceeded)
	require.NoError(t, unlock())
	unlock, err = Lock(t.Context(), path)
	require.NoError(t, err)
	require.NoError(t, unlock())
	_, err = Lock(t.Context(), filepath.Join(path, "nowhere", "f"))
	require.Error(t, err)
}
