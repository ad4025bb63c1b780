package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"

	"tryring/internal/fault"
)

// tryring runs one command line as the program would.
func tryring(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(t.Context(), args, &out, &err)
	return code, out.String(), err.String()
}

func TestExitCode(t *testing.T) {
	disk := &fs.PathError{Op: "open", Path: "x", Err: fs.ErrNotExist}
	tests := []struct {
		name string
		err  error
		want int
	}{
		{"done", nil, exitDone},
		{"disk", disk, exitFailed},
		{"disk while reading input", badInput(fmt.Errorf("job: %w", disk)), exitFailed},
		{"anything else", errors.New("x"), exitFailed},
		{"input", badInput(errors.New("x")), exitBadInput},
		{"input, wrapped", fmt.Errorf("ring: %w", badInput(errors.New("x"))), exitBadInput},
		{"the answer is no", errNo, exitNo},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, exitCode(tt.err)) })
	}
	assert.NoError(t, badInput(nil))
	faults, _ := faultsOf(badInput(badInput(fault.At("bore", "x", "a length"))))
	assert.Equal(t, []fault.Fault{fault.At("bore", "x", "a length")}, faults, "marked twice, its field stays")
}

func TestVersion(t *testing.T) {
	info := &debug.BuildInfo{
		Main:     debug.Module{Version: "v1.2.3"},
		Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: "abc123"}, {Key: "vcs.modified", Value: "true"}},
	}
	line := readVersion(info, true).String()
	assert.Contains(t, line, "tryring v1.2.3 (revision abc123 with changes, ")
	assert.Contains(t, readVersion(nil, false).String(), "tryring unknown (revision not known, ")
}
