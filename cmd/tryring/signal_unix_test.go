//go:build unix

package main

import (
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// waiting starts the program on a pipe that is open and says nothing, and returns it once it reads there.
func waiting(t *testing.T, said io.Writer, args ...string) *exec.Cmd {
	t.Helper()
	pipe := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	cmd := exec.Command("tryring", append(args, pipe)...)
	cmd.Stderr = said
	require.NoError(t, cmd.Start())
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	open, err := os.OpenFile(pipe, os.O_WRONLY, 0) // waits for a reader
	require.NoError(t, err)
	t.Cleanup(func() { _ = open.Close() })
	return cmd
}

// A command that waits for input ends within a second of the first signal, with words.
func TestSignalEndsAWaitingCommand(t *testing.T) {
	for _, args := range [][]string{
		{"photo"},
		{"shortlist", "--inner", "M20", "--outer", "M30"},
		{"ring"},
	} {
		t.Run(args[0], func(t *testing.T) {
			var said heard
			cmd := waiting(t, &said, args...)
			at := time.Now()
			require.NoError(t, cmd.Process.Signal(os.Interrupt))
			var ended *exec.ExitError
			require.ErrorAs(t, cmd.Wait(), &ended)
			assert.Equal(t, exitFailed, ended.ExitCode())
			assert.Contains(t, said.String(), "tryring: interrupted")
			assert.Less(t, time.Since(at), time.Second)
		})
	}
}

// The second signal does not wait for the grace that the first gives. A busy machine may hand it over after that: so it is tried a few
// times.
func TestSecondSignalEndsAtOnce(t *testing.T) {
	for range 5 {
		if ended, said := twoSignals(t); ended.Signaled() {
			assert.Empty(t, said)
			return
		}
	}
	t.Error("the second signal was never the end")
}

// twoSignals gives them to a command that is held up by a reader which takes one byte of a megabyte, and returns how it ended.
func twoSignals(t *testing.T) (syscall.WaitStatus, string) {
	t.Helper()
	reader, writer, err := os.Pipe()
	require.NoError(t, err)
	defer reader.Close()
	var said heard
	cmd := exec.Command("tryring", "threads", "--json")
	cmd.Stdout, cmd.Stderr = writer, &said
	require.NoError(t, cmd.Start())
	require.NoError(t, writer.Close())
	_, err = io.ReadFull(reader, make([]byte, 1))
	require.NoError(t, err)
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	time.Sleep(grace / 4) // two signals at once may be heard as one
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	var ended *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &ended)
	return ended.Sys().(syscall.WaitStatus), said.String()
}
