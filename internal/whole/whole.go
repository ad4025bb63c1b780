// Package whole makes files, and sets of files, whole or not at all.
//
// Bytes go to a temporary file in the target's own folder, are flushed and synced, and take the target's name in
// one step. Whatever goes wrong before that step, the target is untouched and the temporary file is gone.
package whole

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// ErrExists says that the target is there already and may not be replaced.
var ErrExists = errors.New("exists already")

// ErrSettled says that a Pending file was committed or discarded before.
var ErrSettled = errors.New("file was committed or discarded before")

// bufferSize is the bytes held back between writes to the disk.
const bufferSize = 64 << 10

// maxNames bounds the search for a free temporary name; only leavings of killed runs take names.
const maxNames = 10_000

// Write makes the file at path from what encode writes, or leaves everything as it was. An existing file is
// replaced only with force; otherwise the error is ErrExists.
func Write(path string, force bool, encode func(io.Writer) error) error {
	p, err := Prepare(path, force, encode)
	if err != nil {
		return err
	}
	return p.Commit()
}

// Pending is a file that is written and synced but does not have its name yet.
type Pending struct {
	temp, target string
	force        bool
	settled      bool
}

// Prepare writes a file beside path without giving it the name, so that more can be done before it is there. The
// caller ends it with Commit or Discard; `defer p.Discard()` is safe, since it does nothing after Commit.
// Errors: ErrExists, whatever encode returns, and those of the file system.
func Prepare(path string, force bool, encode func(io.Writer) error) (*Pending, error) {
	if path == "" {
		return nil, errors.New("file name is empty")
	}
	target, err := settleTarget(path, force)
	if err != nil {
		return nil, err
	}
	f, err := createBeside(target)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	p := &Pending{temp: f.Name(), target: target, force: force}
	written := false
	defer func() { // also when encode panics
		if !written {
			_ = f.Close()
			_ = p.Discard()
		}
	}()
	if err := fill(f, encode); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	written = true
	return p, nil
}

// fill writes what encode writes into a new file, brings it down to the disk, and closes it.
func fill(f interface {
	io.WriteCloser
	Sync() error
}, encode func(io.Writer) error,
) error {
	buffer := bufio.NewWriterSize(f, bufferSize)
	err := encode(buffer)
	if err == nil {
		err = buffer.Flush()
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// Commit gives the file its name. When that fails the temporary file is removed.
func (p *Pending) Commit() error {
	if p.settled {
		return ErrSettled
	}
	if err := p.name(); err != nil {
		return errors.Join(err, p.Discard())
	}
	p.settled = true
	return nil
}

// name moves the temporary file onto the target. Without force a hard link is tried first: it fails when the target
// has appeared meanwhile, where a rename would silently replace it.
func (p *Pending) name() error {
	if p.force {
		return os.Rename(p.temp, p.target)
	}
	err := os.Link(p.temp, p.target)
	if err == nil {
		return os.Remove(p.temp)
	}
	// Some file systems have no hard links: look, then rename.
	if _, seen := os.Lstat(p.target); seen == nil {
		return fmt.Errorf("%s: %w", p.target, ErrExists)
	}
	return os.Rename(p.temp, p.target)
}

// Discard removes the temporary file. After Commit or an earlier Discard it does nothing.
func (p *Pending) Discard() error {
	if p.settled {
		return nil
	}
	p.settled = true
	return os.Remove(p.temp)
}

// settleTarget checks that path may be written and follows it when it is a symbolic link that is to be replaced, so
// that the file behind the link changes and the link stays.
func settleTarget(path string, force bool) (string, error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path, nil
	case err != nil:
		return "", err
	case info.IsDir():
		return "", fmt.Errorf("%s is a folder, not a file", path)
	case !force:
		return "", fmt.Errorf("%s: %w", path, ErrExists)
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		real, err := filepath.EvalSymlinks(path)
		if errors.Is(err, fs.ErrNotExist) {
			return path, nil // a link to nothing is replaced itself
		}
		if err != nil {
			return "", err
		}
		path = real
		if info, err = os.Stat(path); err != nil {
			return "", err
		}
	}
	if !info.Mode().IsRegular() {
		return "", fmt.Errorf("%s is not a regular file", path)
	}
	return path, nil
}

// createBeside opens a new file in the target's folder with the rights that a plain new file would have. The name
// does not grow with the target's, so that a long but lawful name stays lawful.
func createBeside(target string) (*os.File, error) {
	dir := filepath.Dir(target)
	for n := range maxNames {
		name := filepath.Join(dir, fmt.Sprintf(".part-%d-%d", os.Getpid(), n))
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		return f, err
	}
	return nil, fmt.Errorf("%s is full of unfinished files named .part-*; remove them", dir)
}
