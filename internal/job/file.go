package job

// This file reads and changes job files.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"tryring/internal/datafile"
	"tryring/internal/whole"
)

// New returns an empty document.
func New() *Document { return &Document{Version: Version} }

// Load reads the job file at path. Errors: fs.ErrNotExist, those of datafile.Read and of Parse.
func Load(ctx context.Context, path string) (*Document, error) {
	text, err := datafile.Read(ctx, path, MaxBytes)
	if err != nil {
		return nil, fmt.Errorf("job file: %w", err)
	}
	return Parse(path, text)
}

// Change changes the job file at path, which is made when it is missing. Nobody else changes it between reading and writing. If
// change returns an error, or the result would not read back, the file stays as it was and the error is returned.
func Change(ctx context.Context, path string, change func(*Document) error) (err error) {
	unlock, err := whole.Lock(ctx, path)
	if err != nil {
		return fmt.Errorf("job file: %w", err)
	}
	defer func() { err = errors.Join(err, unlock()) }()
	d, err := Load(ctx, path)
	if errors.Is(err, fs.ErrNotExist) {
		d, err = New(), nil
	}
	if err == nil {
		err = change(d)
	}
	if err != nil {
		return err
	}
	text, err := d.Text()
	if err != nil {
		return err
	}
	if d.read != nil && bytes.Equal(text, d.read.whole) {
		return nil
	}
	if len(text) > MaxBytes {
		return fmt.Errorf("%s: would hold %d bytes, more than the %d that are read; start a new file", path, len(text), MaxBytes)
	}
	return whole.Rewrite(path, func(w io.Writer) error {
		_, err := w.Write(text)
		return err
	})
}
