package whole

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
)

// This file holds the steps in which a folder changes the disk.

func (f *Folder) rename(from, to string) error {
	return f.change("rename", f.Path(to), func() error { return os.Rename(f.Path(from), f.Path(to)) })
}

// remove removes a file, if it is there.
func (f *Folder) remove(name string) error {
	err := f.change("remove", f.Path(name), func() error { return os.Remove(f.Path(name)) })
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// syncFolder brings the folder's names down to the disk, where the system can: a file's own bytes are there already.
func (f *Folder) syncFolder() {
	if dir, err := os.Open(f.Dir); err == nil {
		_ = errors.Join(dir.Sync(), dir.Close())
	}
}

// change changes the disk.
func (f *Folder) change(what, path string, do func() error) error {
	if f.step != nil {
		if err := f.step(what, path); err != nil {
			return err
		}
	}
	return do()
}

// steppedFile is a file each of whose changes is a step.
type steppedFile struct {
	*os.File
	folder *Folder
}

func (s steppedFile) Write(b []byte) (n int, err error) {
	err = s.folder.change("write", s.Name(), func() error {
		n, err = s.File.Write(b)
		return err
	})
	return n, err
}

func (s steppedFile) Sync() error { return s.folder.change("sync", s.Name(), s.File.Sync) }

// digestOf is the SHA-256 of the file at path, in hex.
func digestOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}
