package gauge

// This file holds a drawer's record: which files were made from what, so that a later run makes only what is missing or
// changed, and never replaces a file that is not the drawer's own.

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"tryring/internal/build"
	"tryring/internal/whole"
)

// madeFiles is a group of files that are made and proved together.
type madeFiles struct {
	Name string `json:"name"`
	// Key is the hash of everything that the files are made from.
	Key   string     `json:"key"`
	Files []fileMark `json:"files"`
	// gauge are the figures of a gauge's files; the record keeps them once, among the gauges.
	gauge *Result
}

// fileMark tells a file from any other. Path is relative to the drawer's folder, with slashes.
type fileMark struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
	Bytes  int64  `json:"bytes"`
}

// groupFile is a file to be made.
type groupFile struct {
	path   string
	encode func(io.Writer) error
}

// drawerMaker is part of every key. It changes when the same gauges would be made into other bytes, so that old drawers are
// made anew.
const drawerMaker = "1"

// keyOf is the hash of what a group of files is made from.
func keyOf(what ...any) string {
	h := sha256.New()
	if err := json.NewEncoder(h).Encode(append([]any{drawerMaker}, what...)); err != nil {
		panic(err) // plans are plain finite numbers and words
	}
	return hex.EncodeToString(h.Sum(nil))
}

// maxRecordBytes bounds a record that is read: 2000 lines with two gauges each of some kilobytes.
const maxRecordBytes = 64 << 20

// readRecord reads the record of an earlier run in folder; none is an empty one.
func readRecord(folder string) (map[string]madeFiles, error) {
	path := filepath.Join(folder, drawerRecord)
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return map[string]madeFiles{}, nil
	}
	if err != nil {
		return nil, fmt.Errorf("record of the drawer: %w", err)
	}
	defer f.Close()
	var told DrawerResult
	if err := json.NewDecoder(io.LimitReader(f, maxRecordBytes)).Decode(&told); err != nil {
		return nil, fmt.Errorf("%s: %w; it is no record of a drawer: move it away, and the files that are there are looked at one by one", path, err)
	}
	before := map[string]madeFiles{}
	for _, m := range told.Made {
		before[m.Name] = m
	}
	for _, g := range told.Gauges {
		if m, ok := before[g.Name]; ok {
			m.gauge = &g
			before[g.Name] = m
		}
	}
	return before, nil
}

// allMade lists what is made, and what an earlier run made that this one has not come to, by name.
func (r *drawerRun) allMade() []madeFiles {
	r.lock.Lock()
	defer r.lock.Unlock()
	out := []madeFiles{}
	for _, m := range r.made {
		out = append(out, m)
	}
	for name, m := range r.before {
		if _, known := r.made[name]; !known {
			out = append(out, m)
		}
	}
	slices.SortFunc(out, func(a, b madeFiles) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	return out
}

// writeRecord writes the record whole, or leaves the one that was there.
func (r *drawerRun) writeRecord(d DrawerResult) error {
	return whole.Write(filepath.Join(r.Job.Out, drawerRecord), true, func(w io.Writer) error { return encodeIndented(r.to(w), d) })
}

// to is the way to the disk.
func (r *drawerRun) to(w io.Writer) io.Writer {
	if r.disk != nil {
		return r.disk(w)
	}
	return w
}

// group makes the files of g, all or none, or finds that they are there already. prove judges the finished files at the
// given paths before they get their names; it may be nil.
func (r *drawerRun) group(g madeFiles, files []groupFile, prove func(g *madeFiles, paths []string) error) (madeFiles, error) {
	r.lock.Lock()
	old := r.before[g.Name]
	r.lock.Unlock()
	if !r.Force && old.Key == g.Key && r.intact(old, files) {
		r.done(old, 0, len(files))
		return old, nil
	}
	var p build.Pile
	defer p.Discard()
	var paths []string
	for _, f := range files {
		target := filepath.Join(r.Job.Out, filepath.FromSlash(f.path))
		_, err := os.Lstat(target)
		p.Force = err == nil // whether it may go is decided below, when its bytes are known
		mark := fileMark{Path: f.path}
		pending, err := p.Add(target, func(w io.Writer) error {
			h := sha256.New()
			counted := &counter{to: io.MultiWriter(r.to(w), h)}
			err := f.encode(counted)
			mark.SHA256, mark.Bytes = hex.EncodeToString(h.Sum(nil)), counted.bytes
			return err
		})
		if err != nil {
			return g, err
		}
		g.Files = append(g.Files, mark)
		paths = append(paths, pending.Path())
	}
	if prove != nil {
		if err := prove(&g, paths); err != nil {
			return g, err
		}
	}
	for i, f := range files {
		if err := r.mayReplace(f.path, old, g.Files[i]); err != nil {
			return g, err
		}
	}
	if err := p.Commit(); err != nil {
		return g, err
	}
	if r.done(g, len(files), 0) {
		return g, r.writeRecord(r.partial())
	}
	return g, nil
}

// counter counts what goes through it.
type counter struct {
	to    io.Writer
	bytes int64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.to.Write(b)
	c.bytes += int64(n)
	return n, err
}

// intact says that the files of an earlier run are there, byte for byte.
func (r *drawerRun) intact(old madeFiles, files []groupFile) bool {
	if len(old.Files) != len(files) {
		return false
	}
	for i, f := range files {
		sum, err := sumOf(filepath.Join(r.Job.Out, filepath.FromSlash(f.path)))
		if old.Files[i].Path != f.path || err != nil || sum != old.Files[i].SHA256 {
			return false
		}
	}
	return true
}

// mayReplace says whether a file that stands at path may go: it is the drawer's own, or has the new bytes already (left by
// a run that was killed before it could write its record), or Force is set. The error is whole.ErrExists.
func (r *drawerRun) mayReplace(path string, old madeFiles, mark fileMark) error {
	target := filepath.Join(r.Job.Out, filepath.FromSlash(path))
	sum, err := sumOf(target)
	switch {
	case errors.Is(err, fs.ErrNotExist), r.Force:
		return nil
	case err != nil:
		return err
	case sum == mark.SHA256:
		return nil
	}
	for _, f := range old.Files {
		if f.Path == path && f.SHA256 == sum {
			return nil
		}
	}
	return fmt.Errorf("%s is not as this drawer made it: %w", target, whole.ErrExists)
}

// sumOf is the hash of the file at path.
func sumOf(path string) (string, error) {
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

// done notes a finished group and says whether the record is due.
func (r *drawerRun) done(g madeFiles, written, kept int) bool {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.made[g.Name] = g
	r.written, r.kept, r.unrecorded = r.written+written, r.kept+kept, r.unrecorded+written
	if r.Progress != nil {
		r.Progress(len(r.made), r.total)
	}
	if r.unrecorded < recordEvery {
		return false
	}
	r.unrecorded = 0
	return true
}

// makeFolder makes a folder and those above it.
func makeFolder(path string) error {
	if err := os.MkdirAll(path, 0o777); err != nil {
		return fmt.Errorf("output folder: %w", err)
	}
	return nil
}
