package whole

// This file lets one writer at a time change a file: by a lock on a hidden file beside it, since a file that is replaced
// would take its lock away with it.

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// lockEvery is how often a lock that somebody else holds is asked for again.
const lockEvery = 5 * time.Millisecond

// Lock waits until nobody else holds the lock of the file at path, which need not exist, and takes it. It ends with unlock,
// or with the program; the hidden file stays, since whoever waits has it open already. The folder must be there. The error
// is that of ctx when it ends first.
func Lock(ctx context.Context, path string) (unlock func() error, err error) {
	real, err := filepath.EvalSymlinks(path)
	switch {
	case err == nil:
		path = real
	case !errors.Is(err, fs.ErrNotExist):
		return nil, err
	}
	dir, name := filepath.Split(path)
	lock := flock.New(filepath.Join(dir, "."+name+".lock"))
	if _, err := lock.TryLockContext(ctx, lockEvery); err != nil {
		return nil, fmt.Errorf("lock of %s: %w", path, err)
	}
	return lock.Unlock, nil
}
