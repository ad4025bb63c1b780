package whole

// This file keeps a set of files in a folder on the disk.
//
// Files are written as .part-set-N. When all are there, a record of the names that they will have is written, .part-set, and
// from then on the set is the new one: the files take their names, the manifest last, and the record goes. Whoever begins a
// set in the folder next finishes what a record tells of, or else clears away what was written without one. So whenever a run
// is killed, there is one whole set after the next run: the old one or the new one.

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"syscall"
)

// Folder is a store in a folder, which is made when it is missing.
type Folder struct {
	Dir string
	// Force replaces whatever has the name of a file of the set.
	Force bool
	// Update replaces files of the set as it was made earlier, unless they were changed since. Those that the set still has
	// may be kept.
	Update bool

	names []string
	// own are the digests of the set's files as it was made earlier, of those that are still there as they were made.
	own map[string]string
	// made are the folders that Begin made.
	made      []string
	unlock    func() error
	lock      sync.Mutex
	temps     map[string]string
	count     int
	committed bool
}

var _ Store = (*Folder)(nil)

// The names of what a folder holds while a set is made.
const (
	recordName = ".part-set"
	tempPrefix = ".part-set-"
	// lockedName is what is locked: one set at a time is made in a folder.
	lockedName = "set"
)

// mostManifestBytes bounds a manifest or a record that is read: 2000 lines of a drawer with two gauges each.
const mostManifestBytes = 64 << 20

// Path is the file's path.
func (f *Folder) Path(name string) string { return filepath.Join(f.Dir, filepath.FromSlash(name)) }

// Begin waits for another run in the folder, finishes or clears what an earlier one left, and looks for files in the way.
func (f *Folder) Begin(ctx context.Context, names []string) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	f.names, f.temps, f.own = names, map[string]string{}, map[string]string{}
	if err := f.enter(ctx); err != nil {
		return err
	}
	if err := f.tidy(ctx); err != nil {
		return err
	}
	manifest := names[len(names)-1]
	if f.Force || f.Update {
		f.own = f.ownFiles(ctx, manifest)
	}
	for _, name := range names {
		info, err := os.Lstat(f.Path(name))
		_, own := f.own[name]
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return err
		case info.IsDir():
			return fmt.Errorf("%s is a folder, not a file", f.Path(name))
		case f.Force, own:
		default:
			return fmt.Errorf("%s: %w", f.Path(name), ErrExists)
		}
	}
	return nil
}

// enterTries is how often a folder is made again that another run, which gave up, took away.
const enterTries = 100

// enter makes the folder and keeps others out of it.
func (f *Folder) enter(ctx context.Context) (err error) {
	for range enterTries {
		if err = f.makeFolder(f.Dir); err == nil {
			f.unlock, err = Lock(ctx, f.Path(lockedName))
		}
		if !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	if err != nil {
		return fmt.Errorf("output folder %s: %w", f.Dir, err)
	}
	return nil
}

// makeFolder makes a folder and those above it, and remembers those that were missing.
func (f *Folder) makeFolder(dir string) error {
	if info, err := os.Stat(dir); err == nil {
		if !info.IsDir() {
			err = &fs.PathError{Op: "mkdir", Path: dir, Err: syscall.ENOTDIR}
		}
		return err
	}
	if above := filepath.Dir(dir); above != dir {
		if err := f.makeFolder(above); err != nil {
			return err
		}
	}
	err := change("mkdir", dir, func() error { return os.Mkdir(dir, 0o777) })
	if errors.Is(err, fs.ErrExist) { // another run was faster; or it is no folder, which the next step says
		return nil
	}
	if err == nil {
		f.made = append(f.made, dir)
	}
	return err
}

// Kept is the digest of a file that may stay.
func (f *Folder) Kept(name string) string {
	if f.Force {
		return ""
	}
	return f.own[name]
}

// Add writes the file under a name for the time being, down to the disk.
func (f *Folder) Add(name string, encode func(io.Writer) error) error {
	f.lock.Lock()
	f.count++
	temp := fmt.Sprintf("%s%d", tempPrefix, f.count)
	f.temps[name] = temp
	f.lock.Unlock()
	return f.write(temp, encode)
}

// write makes the file called name.
func (f *Folder) write(name string, encode func(io.Writer) error) error {
	file, err := create(f.Path(name))
	if err != nil {
		return err
	}
	return fill(file, encode)
}

// Open reads a file that was added, or the one that is there where the set may be brought up to date.
func (f *Folder) Open(name string) (File, error) {
	f.lock.Lock()
	temp, added := f.temps[name]
	f.lock.Unlock()
	switch {
	case added:
		name = temp
	case f.Force || !f.Update:
		return nil, fs.ErrNotExist
	}
	file, err := os.Open(f.Path(name))
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return diskFile{file, info.Size()}, nil
}

type diskFile struct {
	*os.File
	size int64
}

func (d diskFile) Size() int64 { return d.size }

// Commit writes the record and does what it tells.
func (f *Folder) Commit() error {
	r := record{Remove: []string{}, Rename: [][2]string{}}
	for _, name := range f.names {
		if temp, added := f.temps[name]; added {
			r.Rename = append(r.Rename, [2]string{temp, name})
		}
	}
	for name := range f.own {
		if !slices.Contains(f.names, name) {
			r.Remove = append(r.Remove, name)
		}
	}
	slices.Sort(r.Remove)
	if len(r.Rename)+len(r.Remove) == 0 {
		return nil
	}
	f.count++
	temp := fmt.Sprintf("%s%d", tempPrefix, f.count)
	f.temps[recordName] = temp
	if err := f.write(temp, func(w io.Writer) error { return json.NewEncoder(w).Encode(r) }); err != nil {
		return err
	}
	if err := rename(f.Path(temp), f.Path(recordName)); err != nil {
		return err
	}
	f.committed = true
	if err := f.finish(r); err != nil {
		return fmt.Errorf("all files are written, and take their names when files are made in %s again: %w", f.Dir, err)
	}
	return nil
}

// Discard removes what was written and not committed, and lets others into the folder.
func (f *Folder) Discard() {
	if f.unlock != nil {
		for _, temp := range f.temps {
			if !f.committed {
				_ = remove(f.Path(temp)) // what cannot be removed, the next run will
			}
		}
		_ = f.unlock()
	}
	for _, dir := range slices.Backward(f.made) {
		if !f.committed {
			_ = change("rmdir", dir, func() error { return os.Remove(dir) }) // somebody else may use it by now
		}
	}
}
