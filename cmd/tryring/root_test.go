package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"runtime/debug"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
)

// tryring runs one command line as the program would.
func tryring(t *testing.T, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	var out, err bytes.Buffer
	code = run(t.Context(), args, &out, &err)
	return code, out.String(), err.String()
}

func TestWrongCommandLine(t *testing.T) {
	tests := []struct {
		name string
		args []string
		says []string
	}{
		{"unknown command", []string{"quaver"}, []string{`no command "quaver"`, "tryring --help"}},
		{"mistyped command", []string{"verson"}, []string{`"verson"`, "did you mean version?"}},
		{"mistyped flag", []string{"version", "--jsn"}, []string{"--jsn", "did you mean --json?"}},
		{"flag without value", []string{"version", "--threads"}, []string{"--threads"}},
		{"argument too many", []string{"version", "now"}, []string{"now"}},
		{"argument too many for completion", []string{"completion", "zsh", "now"}, []string{"now"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, tt.args...)
			assert.Equal(t, exitBadInput, code)
			assert.Empty(t, stdout)
			assert.True(t, strings.HasPrefix(stderr, "tryring: "), "stderr = %q, want it to begin with the program's name", stderr)
			for _, want := range tt.says {
				assert.Contains(t, stderr, want)
			}
		})
	}
}

func TestHelp(t *testing.T) {
	for _, args := range [][]string{nil, {"--help"}, {"help"}} {
		code, stdout, stderr := tryring(t, args...)
		assert.Equal(t, exitDone, code)
		assert.Empty(t, stderr)
		assert.Contains(t, stdout, check.Caution)
	}
}

func TestCompletion(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		t.Run(shell, func(t *testing.T) {
			code, stdout, _ := tryring(t, "completion", shell)
			assert.Equal(t, exitDone, code)
			assert.Contains(t, stdout, "tryring")
		})
	}
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
		{"the answer is no", answerNo("%s is not sound", "x.stl"), exitNo},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { assert.Equal(t, tt.want, exitCode(tt.err)) })
	}
	assert.NoError(t, badInput(nil))
}

func TestVersion(t *testing.T) {
	code, stdout, stderr := tryring(t, "version", "--json")
	require.Equal(t, exitDone, code)
	assert.Empty(t, stderr)
	var v versionInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &v))
	assert.NotEmpty(t, v.Version)

	_, stdout, _ = tryring(t, "version")
	assert.True(t, strings.HasPrefix(stdout, "tryring "))

	info := &debug.BuildInfo{
		Main:     debug.Module{Version: "v1.2.3"},
		Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: "abc123"}, {Key: "vcs.modified", Value: "true"}},
	}
	line := readVersion(info, true).String()
	assert.Contains(t, line, "tryring v1.2.3 (revision abc123 with changes, ")
	assert.Contains(t, readVersion(nil, false).String(), "tryring unknown (revision not known, ")
}
