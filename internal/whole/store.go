package whole

// This file holds what a set of files is kept in, and two stores that touch no disk: memory, and a zip archive.

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"io"
	"io/fs"
	"sync"
)

// Store keeps the files of one set, none of which has its name before Commit gives all their names. Files are named relative
// to the store, with slashes. A store is used once: Begin, Add, Commit, and Discard at the end whatever happened. Add and Open
// may be called from several goroutines.
type Store interface {
	// Path is what a person calls the file.
	Path(name string) string
	// Begin takes the names of all files of the set, the last of which is its manifest. It fails with ErrExists when something
	// that may not be replaced has one of them.
	Begin(ctx context.Context, names []string) error
	// Add makes one of the files from what encode writes.
	Add(name string, encode func(io.Writer) error) error
	// Kept is the digest (SHA-256, in hex) of a file of the set as it was made earlier, when it is still there as it was made
	// and need not be added again; "" otherwise.
	Kept(name string) string
	// Open reads a file that was added, or one of the set as it was made earlier. The error is fs.ErrNotExist for none.
	Open(name string) (File, error)
	// Commit makes the set of what was added and kept.
	Commit() error
	// Discard lets go of everything that was not committed.
	Discard()
}

// File is a file that is read back.
type File interface {
	io.ReadSeekCloser
	io.ReaderAt
	Size() int64
}

// Memory is a store in memory. Its zero value is ready for use.
type Memory struct {
	lock      sync.Mutex
	names     []string
	files     map[string][]byte
	committed bool
}

var _ Store = (*Memory)(nil)

// Path is the bare name.
func (m *Memory) Path(name string) string { return name }

// Begin finds nothing in its way.
func (m *Memory) Begin(_ context.Context, names []string) error {
	m.names, m.files = names, map[string][]byte{}
	return nil
}

// Add keeps the bytes.
func (m *Memory) Add(name string, encode func(io.Writer) error) error {
	var b bytes.Buffer
	if err := encode(&b); err != nil {
		return err
	}
	m.lock.Lock()
	defer m.lock.Unlock()
	m.files[name] = b.Bytes()
	return nil
}

// Kept knows of nothing earlier.
func (m *Memory) Kept(string) string { return "" }

// Open reads the bytes.
func (m *Memory) Open(name string) (File, error) {
	m.lock.Lock()
	defer m.lock.Unlock()
	b, ok := m.files[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return memoryFile{bytes.NewReader(b)}, nil
}

type memoryFile struct{ *bytes.Reader }

func (memoryFile) Close() error { return nil }

// Commit makes the files ones that Bytes gives.
func (m *Memory) Commit() error {
	m.committed = true
	return nil
}

// Discard lets go of files that were not committed.
func (m *Memory) Discard() {
	if !m.committed {
		m.files = nil
	}
}

// Bytes is the content of a file of the committed set, nil for none.
func (m *Memory) Bytes(name string) []byte { return m.files[name] }

// Zip is a store that ends as a zip archive in To, its files in the order of Begin. Its bytes depend on them alone.
type Zip struct {
	Memory
	To io.Writer
}

// Commit writes the archive.
func (z *Zip) Commit() error {
	archive := zip.NewWriter(z.To)
	for _, name := range z.names {
		entry, err := archive.Create(name)
		if err == nil {
			_, err = entry.Write(z.files[name])
		}
		if err != nil {
			return err
		}
	}
	return errors.Join(archive.Close(), z.Memory.Commit())
}
