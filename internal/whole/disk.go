package whole

// This file holds the steps in which files are made: each changes the disk once.

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// Step, unless it is nil, is asked before each change of the disk; its error is the change's. Tests break off there.
var Step func(what, path string) error

// change changes the disk.
func change(what, path string, do func() error) error {
	if Step != nil {
		if err := Step(what, path); err != nil {
			return err
		}
	}
	return do()
}

func rename(from, to string) error {
	return change("rename", to, func() error { return os.Rename(from, to) })
}

// remove removes a file, if it is there.
func remove(path string) error {
	err := change("remove", path, func() error { return os.Remove(path) })
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// create makes a new file with the rights of any new file.
func create(path string) (file steppedFile, err error) {
	return file, change("create", path, func() error {
		file.File, err = os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		return err
	})
}

// syncFolder brings a folder's names down to the disk, where the system can: a file's own bytes are there already.
func syncFolder(path string) {
	if dir, err := os.Open(path); err == nil {
		_ = errors.Join(dir.Sync(), dir.Close())
	}
}

// steppedFile is a file each of whose changes is a step.
type steppedFile struct{ *os.File }

func (s steppedFile) Write(b []byte) (n int, err error) {
	err = change("write", s.Name(), func() error {
		n, err = s.File.Write(b)
		return err
	})
	return n, err
}

// Sync brings the file down to the disk, as far as its file system can: some on a network cannot.
func (s steppedFile) Sync() error {
	err := change("sync", s.Name(), s.File.Sync)
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		return nil
	}
	return err
}

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
