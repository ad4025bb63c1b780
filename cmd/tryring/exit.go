package main

// This file turns errors into exit codes and into what is said on stderr; it is the one place that does.

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
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

// inputError is an error of the person's input: mending the command line, job file or profile mends it.
type inputError struct{ err error }

func (e inputError) Error() string { return e.err.Error() }
func (e inputError) Unwrap() error { return e.err }

// noError says that the work was done and that the answer is no.
type noError struct{ reason string }

func (e noError) Error() string { return e.reason }

// badInput marks err as one of the input. An error of the file system stays what it is, the disk's, and so does a signal.
func badInput(err error) error {
	var disk *fs.PathError
	var naming *os.LinkError
	if err == nil || errors.As(err, &disk) || errors.As(err, &naming) || errors.Is(err, context.Canceled) {
		return err
	}
	return inputError{err}
}

// answerNo ends a command whose work was done and whose answer is no.
func answerNo(format string, args ...any) error { return noError{fmt.Sprintf(format, args...)} }

// exitCode returns the exit code that belongs to err.
func exitCode(err error) int {
	var input inputError
	var no noError
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &no):
		return exitNo
	case errors.As(err, &input):
		return exitBadInput
	}
	return exitFailed
}

// report says err on stderr, if there is one, and returns its exit code.
func report(stderr io.Writer, err error) int {
	code := exitCode(err)
	if errors.Is(err, context.Canceled) {
		err = errInterrupted
	}
	if err != nil {
		fmt.Fprintf(stderr, "tryring: %v\n", err)
	}
	return code
}

// errInterrupted stands for a signal that ended the command.
var errInterrupted = errors.New("interrupted before it was done")
