package datafile

// This file holds the one way in for files that people name: checked before they are opened, bounded, and given up when the
// person gives up. A regular file is read as it stands; a pipe is waited for, but not for ever.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode/utf8"

	"tryring/internal/fault"
)

// pipeWait is how long a pipe may stay silent, both until it is opened and between two pieces.
const pipeWait = 30 * time.Second

// byteOrderMark is what some editors put before UTF-8.
var byteOrderMark = []byte("\ufeff")

// The causes of refusals.
var (
	// ErrNoFile says that the path names no file that can be read: a folder, a device, a socket.
	ErrNoFile = errors.New("not a file")
	// ErrTooLarge says that a file holds more than may be read of its kind.
	ErrTooLarge = errors.New("file is too large")
	// ErrNotText says that a file that should be text is none.
	ErrNotText = errors.New("not a text")
	// ErrSilent says that a pipe gave nothing for pipeWait.
	ErrSilent = errors.New("pipe is silent")
)

// Open opens the file or pipe at path for reading; whoever calls closes it. Reading ends with ctx's error when ctx ends. Errors:
// ErrNoFile, ErrSilent, those of ctx and of the file system.
func Open(ctx context.Context, path string) (io.ReadCloser, error) { return open(ctx, path, pipeWait) }

func open(ctx context.Context, path string, wait time.Duration) (io.ReadCloser, error) {
	pipe, err := look(path)
	if err != nil {
		return nil, err
	}
	f, err := later(ctx, path, wait, func() (*os.File, error) { return os.Open(path) }, func(f *os.File) { _ = f.Close() })
	if err != nil {
		return nil, err
	}
	return &input{ctx, f, wait, pipe}, nil
}

// look refuses an empty name and what is neither a regular file nor a pipe, and says which of the two path is.
func look(path string) (pipe bool, err error) {
	info, err := os.Stat(path)
	switch {
	case err != nil && strings.TrimSpace(path) == "":
		return false, fault.At("", "", "the name of the file is empty; say which file is to be read")
	case err != nil:
		return false, err
	}
	pipe = info.Mode()&fs.ModeNamedPipe != 0
	switch {
	case info.IsDir():
		return false, refusal{path, "is a folder, and a file is wanted", ErrNoFile}
	case !pipe && !info.Mode().IsRegular():
		return false, refusal{path, "is a device, and a file is wanted", ErrNoFile}
	}
	return pipe, nil
}

// Regular opens the regular file at path, for who has to go to and fro in it. Errors: ErrNoFile, and those of the file system.
func Regular(path string) (*os.File, error) {
	pipe, err := look(path)
	switch {
	case err != nil:
		return nil, err
	case pipe:
		return nil, refusal{path, "is a pipe, and a file is wanted that can be read twice", ErrNoFile}
	}
	return os.Open(path)
}

// input reads a file for as long as ctx lasts.
type input struct {
	ctx  context.Context
	file *os.File
	wait time.Duration
	pipe bool
}

func (r *input) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	if !r.pipe {
		return r.file.Read(p)
	}
	// A read that is given up goes on until the program ends or the pipe is closed; it must not write into p then.
	own, err := later(r.ctx, r.file.Name(), r.wait, func() ([]byte, error) {
		own := make([]byte, len(p))
		n, err := r.file.Read(own)
		return own[:n], err
	}, func([]byte) {})
	return copy(p, own), err
}

func (r *input) Close() error { return r.file.Close() }

// later returns what get gives, if it gives it before ctx ends and before wait is over; else what it gives later is let go of.
func later[T any](ctx context.Context, path string, wait time.Duration, get func() (T, error), letGo func(T)) (T, error) {
	type result struct {
		value T
		err   error
	}
	done := make(chan result, 1)
	go func() {
		value, err := get()
		done <- result{value, err}
	}()
	timer := time.NewTimer(wait)
	defer timer.Stop()
	var none T
	var why error
	select {
	case r := <-done:
		return r.value, r.err
	case <-ctx.Done():
		why = ctx.Err()
	case <-timer.C:
		why = refusal{path, fmt.Sprintf("is a pipe that gave nothing for %v", wait), ErrSilent}
	}
	go func() {
		if r := <-done; r.err == nil {
			letGo(r.value)
		}
	}()
	return none, why
}

// refusal says why a file is not read.
type refusal struct {
	path, why string
	cause     error
}

func (r refusal) Error() string { return r.path + " " + r.why }
func (r refusal) Unwrap() error { return r.cause }

// Read reads the whole file or pipe at path, at most the given number of bytes. Errors: those of Open, and ErrTooLarge.
func Read(ctx context.Context, path string, most int) ([]byte, error) {
	f, err := Open(ctx, path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return bounded(f, path, most)
}

func bounded(f io.Reader, path string, most int) ([]byte, error) {
	all, err := io.ReadAll(io.LimitReader(f, int64(most)+1))
	switch {
	case err != nil:
		return nil, err
	case len(all) > most:
		return nil, refusal{path, fmt.Sprintf("holds more than the %d bytes that are read", most), ErrTooLarge}
	}
	return all, nil
}

// Text is Read for text: a byte order mark is left out. Errors: those of Read, and ErrNotText.
func Text(ctx context.Context, path string, most int) ([]byte, error) {
	all, err := Read(ctx, path, most)
	if err != nil {
		return nil, err
	}
	return plain(all, path)
}

func plain(text []byte, path string) ([]byte, error) {
	if text = bytes.TrimPrefix(text, byteOrderMark); !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
		return nil, refusal{path, "is not text in UTF-8; save it as UTF-8", ErrNotText}
	}
	return text, nil
}

// Folder is the folder at dir; fs.ReadFile gives the text of its regular files, as Text does, of at most MaxBytes.
func Folder(dir string) fs.FS { return folder{os.DirFS(dir), dir} }

type folder struct {
	fs.FS
	dir string
}

func (f folder) ReadFile(name string) ([]byte, error) {
	path := filepath.Join(f.dir, filepath.FromSlash(name))
	file, err := Regular(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	all, err := bounded(file, path, MaxBytes)
	if err != nil {
		return nil, err
	}
	return plain(all, path)
}
