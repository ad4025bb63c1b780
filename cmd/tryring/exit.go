package main

// This file turns errors into exit codes and into what is said on stderr, in words or as JSON; it is the one place that does.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"syscall"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// The exit codes; scripts rely on them.
const (
	exitDone = 0
	// exitFailed: could not be done (disk, file).
	exitFailed = 1
	// exitBadInput: the input is wrong, or asks for what cannot be.
	exitBadInput = 2
	// exitNo: done, and the answer is no.
	exitNo = 3
)

// errNo ends a command whose work was done and whose answer, which it has told, is no.
var errNo = errors.New("the answer is no")

// orNo ends a command whose answer was told, unless err kept it from that.
func orNo(err error, no bool) error {
	if err == nil && no {
		return errNo
	}
	return err
}

// inputError is an error of the person's input: mending the command line, job file or profile mends it.
type inputError struct{ err error }

func (e inputError) Error() string { return e.err.Error() }
func (e inputError) Unwrap() error { return e.err }

// badInput marks err as one of the input. An error of the file system stays what it is, the disk's, and so does a signal.
func badInput(err error) error {
	var disk *fs.PathError
	var naming *os.LinkError
	var marked inputError
	if err == nil || errors.As(err, &disk) || errors.As(err, &naming) || errors.As(err, &marked) {
		return err
	}
	for _, other := range []error{context.Canceled, whole.ErrExists, datafile.ErrNoFile, datafile.ErrSilent} {
		if errors.Is(err, other) {
			return err
		}
	}
	return inputError{err}
}

// flagFault lays an error to a flag.
func flagFault(name string, err error) error { return fault.In(fieldOf(name), err) }

// fieldOf is the field that a flag sets, and flagOf its flag; a field with a point is one of a document.
func fieldOf(flag string) string { return strings.ReplaceAll(flag, "-", "_") }

func flagOf(field string) string {
	if strings.Contains(field, ".") {
		return field
	}
	return flagName(field)
}

// exitCode returns the exit code that belongs to err.
func exitCode(err error) int {
	var input inputError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errNo), errors.Is(err, thread.ErrHandsOff):
		return exitNo
	case errors.As(err, &input):
		return exitBadInput
	}
	return exitFailed
}

// report says err on stderr, if there is one, and returns its exit code. A no that a command has told is an answer and not an error.
func report(stderr io.Writer, asJSON bool, err error) int {
	code := exitCode(err)
	if code == exitDone || errors.Is(err, errNo) {
		return code
	}
	faults, place := faultsOf(err)
	if asJSON {
		_ = printJSON(stderr, faultInfoOf(faults)) // there is nowhere left to say that stderr is gone
		return code
	}
	for _, f := range faults {
		fmt.Fprintf(stderr, "tryring: %s\n", f.Words(place))
	}
	return code
}

// faultsOf takes an error apart, in words for people, and tells how its fields are named.
func faultsOf(err error) (faults []fault.Fault, place func(field string) string) {
	if errors.Is(err, context.Canceled) {
		return []fault.Fault{{Want: "interrupted before it was done"}}, flagOf
	}
	if input, is := err.(inputError); is {
		err = input.err
	}
	place = flagOf
	if placed, is := err.(said); is {
		err, place = placed.err, placed.place
	}
	for _, f := range fault.Each(err) {
		if f.Cause != nil {
			f.Want = plainly(f.Want, f.Cause)
		}
		if !slices.ContainsFunc(faults, func(g fault.Fault) bool { return g.Error() == f.Error() }) {
			faults = append(faults, f)
		}
	}
	return faults, place
}

// plainly says in plain words what the file system says in text, the words for err.
func plainly(text string, err error) string {
	if errors.Is(err, whole.ErrExists) {
		return text + "; use --force to replace it"
	}
	var path *fs.PathError
	if !errors.As(err, &path) {
		return text
	}
	said := ""
	for _, known := range []struct {
		is   error
		said string
	}{
		{fs.ErrNotExist, "there is no file or folder %s"},
		{syscall.EISDIR, "%s is a folder, and a file is wanted"},
		{syscall.ENOTDIR, "%s is a file, and a folder is wanted"},
		{fs.ErrPermission, "%s may not be read or written with your rights"},
		{syscall.ENOSPC, "the disk has no room left for %s"},
		{os.ErrDeadlineExceeded, "%s says nothing"},
	} {
		if errors.Is(path, known.is) {
			said = fmt.Sprintf(known.said, path.Path)
			break
		}
	}
	if said == "" {
		return text
	}
	return strings.TrimPrefix(strings.Replace(text, path.Error(), said, 1), path.Path+": ")
}

// faultInfo is an error as scripts read it; null where something does not apply.
type faultInfo struct {
	Field *string `json:"field"`
	Read  *string `json:"read"`
	Want  *string `json:"want"`
}

// errorInfo is the first fault, and all others.
type errorInfo struct {
	Error faultInfo   `json:"error"`
	More  []faultInfo `json:"more,omitempty"`
}

func faultInfoOf(faults []fault.Fault) errorInfo {
	var infos []faultInfo
	for _, f := range faults {
		if f.Place != "" {
			f.Want = f.Place + ": " + f.Want
		} else if _, key, numbered := strings.Cut(f.Field, "."); numbered { // of an entry of a job
			f.Field = key
		}
		infos = append(infos, faultInfo{orNull(f.Field), orNull(f.Read), orNull(f.Want)})
	}
	return errorInfo{infos[0], infos[1:]}
}

func orNull(text string) *string {
	if text == "" {
		return nil
	}
	return &text
}
