//go:build unix

package whole

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// This file gives a file that replaces another its rights and, where the system lets us, its owner.

func takeAfter(f *os.File, before fs.FileInfo) error {
	var err error
	if was, ok := before.Sys().(*syscall.Stat_t); ok {
		err = f.Chown(int(was.Uid), int(was.Gid))
	}
	if errors.Is(err, fs.ErrPermission) { // it becomes ours
		err = nil
	}
	return errors.Join(err, f.Chmod(before.Mode().Perm()))
}
