package whole

// This file keeps two programs from changing one file at once.

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// ErrLocked says that another program kept the file for longer than LockWait.
var ErrLocked = errors.New("file is being changed by another command")

// LockWait is how long another program is waited for, lockPause the time between two looks.
const (
	LockWait  = 2 * time.Minute
	lockPause = 5 * time.Millisecond
)

// Lock keeps other callers of Lock from the file at path until unlock is called or the program ends, however it ends. What is
// locked is a file beside it, .NAME.lock, since a file that is replaced takes its lock along. The file beside is removed again
// (on Windows it may stay, empty). The file at path need not exist. Where the file system or the system has no locks, the error
// says so and nothing is locked.
func Lock(ctx context.Context, path string) (unlock func() error, err error) {
	return lock(ctx, path, LockWait)
}

func lock(ctx context.Context, path string, wait time.Duration) (unlock func() error, err error) {
	target, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		target = path
	} else if err != nil {
		return nil, err
	}
	beside := filepath.Join(filepath.Dir(target), "."+filepath.Base(target)+".lock")
	patient, stop := context.WithTimeout(ctx, wait)
	defer stop()
	for {
		l := flock.New(beside)
		_, err := l.TryLockContext(patient, lockPause)
		switch {
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case patient.Err() != nil:
			return nil, &fs.PathError{Op: "lock", Path: path, Err: fmt.Errorf("%w for %v now; try again", ErrLocked, wait)}
		case errors.Is(err, errors.ErrUnsupported):
			return nil, &fs.PathError{Op: "lock", Path: path, Err: fmt.Errorf("its folder has no locks, so that two commands at once could lose what one of them writes; keep it on a disk of this machine (%w)", err)}
		case err != nil:
			return nil, err
		}
		// Whoever had it before may have removed the file that is locked now.
		held, errHeld := l.Stat()
		now, errNow := os.Stat(beside)
		if errHeld == nil && errNow == nil && os.SameFile(held, now) {
			return func() error {
				_ = os.Remove(beside) // while it is locked; where that cannot be, it stays
				return l.Close()
			}, nil
		}
		_ = l.Close()
	}
}
