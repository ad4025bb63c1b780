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
	"strconv"
	"strings"
	"time"
)

// ErrExists says that the target is there already and may not be replaced.
var ErrExists = errors.New("exists already")

// ErrSettled says that a Pending file was committed or discarded before.
var ErrSettled = errors.New("file was committed or discarded before")

// bufferSize is the bytes held back between writes to the disk.
const bufferSize = 64 << 10

// maxNames bounds the search for a free temporary name; only leavings of killed runs take names.
const maxNames = 10_000

// Rewrite is Write for a file that people keep and programs change: it is replaced with its rights and its owner, and where path is a
// link, that stays and the file behind it changes. Other names of the same file (hard links), as backups make them, keep what they had.
func Rewrite(path string, encode func(io.Writer) error) error {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	return Write(path, true, encode)
}

// Write makes the file at path from what encode writes, or leaves everything as it was. An existing file, or a link, is
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
	before, err := settleTarget(path, force)
	if err != nil {
		return nil, err
	}
	f, err := createBeside(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	p := &Pending{temp: f.Name(), target: path, force: force}
	written := false
	defer func() { // also when encode panics
		if !written {
			_ = f.Close()
			_ = p.Discard()
		}
	}()
	if before != nil {
		err = takeAfter(f.File, before)
	}
	if err == nil {
		err = fill(f, encode)
	}
	if err != nil {
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
	syncFolder(filepath.Dir(p.target))
	return nil
}

// name moves the temporary file onto the target. Without force a hard link is tried first: it fails when the target
// has appeared meanwhile, where a rename would silently replace it.
func (p *Pending) name() error {
	if p.force {
		return rename(p.temp, p.target)
	}
	err := change("link", p.target, func() error { return os.Link(p.temp, p.target) })
	if err == nil {
		_ = remove(p.temp) // it is made; what cannot be removed is swept later
		return nil
	}
	// Some file systems have no hard links: look, then rename.
	if _, seen := os.Lstat(p.target); seen == nil {
		return fmt.Errorf("%s: %w", p.target, ErrExists)
	}
	return rename(p.temp, p.target)
}

// Discard removes the temporary file. After Commit or an earlier Discard it does nothing.
func (p *Pending) Discard() error {
	if p.settled {
		return nil
	}
	p.settled = true
	return remove(p.temp)
}

// settleTarget checks that path may be written, and returns the regular file that is to be replaced, if there is one.
func settleTarget(path string, force bool) (fs.FileInfo, error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder, not a file", path)
	case !force:
		return nil, fmt.Errorf("%s: %w", path, ErrExists)
	case info.Mode()&fs.ModeSymlink != 0:
		return nil, nil
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is not a regular file", path)
	}
	return info, nil
}

// The names of files that are being written, .part-PROCESS-N, and how old one is that surely no process writes any more.
const (
	besidePrefix = ".part-"
	leftFor      = 24 * time.Hour
)

// createBeside opens a new file in the target's folder with the rights that a plain new file would have. The name
// does not grow with the target's, so that a long but lawful name stays lawful. What killed runs left there long ago is removed.
func createBeside(target string) (steppedFile, error) {
	dir := filepath.Dir(target)
	sweep(dir)
	for n := range maxNames {
		f, err := create(filepath.Join(dir, fmt.Sprintf("%s%d-%d", besidePrefix, os.Getpid(), n)))
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
	return steppedFile{}, fmt.Errorf("%s is full of unfinished files named %s*; remove them", dir, besidePrefix)
}

// sweep removes from a folder what was left of files that are no more written.
func sweep(dir string) {
	entries, _ := os.ReadDir(dir) // the next step says what is wrong with it
	for _, e := range entries {
		process, _, ours := strings.Cut(strings.TrimPrefix(e.Name(), besidePrefix), "-")
		if _, err := strconv.Atoi(process); !ours || err != nil || !strings.HasPrefix(e.Name(), besidePrefix) {
			continue
		}
		if info, err := e.Info(); err == nil && info.Mode().IsRegular() && time.Since(info.ModTime()) > leftFor {
			_ = remove(filepath.Join(dir, e.Name()))
		}
	}
}
