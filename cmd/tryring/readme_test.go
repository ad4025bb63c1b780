package main

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite the golden files in testdata; look at the pictures before you commit them")

// TestReadmeCommands runs every command of the README in its order, in an empty folder that sees the project's testdata.
func TestReadmeCommands(t *testing.T) {
	unraced(t)
	root, err := filepath.Abs(filepath.Join("..", ".."))
	require.NoError(t, err)
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.CopyFS("testdata", os.DirFS(filepath.Join(root, "testdata"))))
	commands := 0
	for _, line := range strings.Split(string(text), "\n") {
		args, ok := strings.CutPrefix(line, "go run ./cmd/tryring ")
		if !ok || strings.HasPrefix(args, "bench") { // the page stays until it is stopped
			continue
		}
		commands++
		code, stdout, stderr := tryring(t, shellWords(args)...)
		assert.Contains(t, []int{exitDone, exitNo}, code, "%s\n%s", line, stderr)
		assert.NotEmpty(t, stdout, line)
	}
	assert.Greater(t, commands, 5)
}

// shellWords splits a line as a shell does, as far as the README goes: double quotes, and comments behind " #".
func shellWords(line string) []string {
	line, _, _ = strings.Cut(line, " #")
	var words []string
	for _, w := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(line, -1) {
		words = append(words, strings.Trim(w, `"`))
	}
	return words
}

// TestReadmePicture holds the README's drawing to what the first command makes.
func TestReadmePicture(t *testing.T) {
	out := t.TempDir()
	code, _, stderr := tryring(t, "ring", "../../testdata/bath-drain.toml", "--out", out)
	require.Equal(t, exitDone, code, stderr)
	made, err := os.ReadFile(filepath.Join(out, "bath-drain.svg"))
	require.NoError(t, err)
	golden := filepath.Join("..", "..", "testdata", "bath-drain.svg")
	if *update {
		require.NoError(t, os.WriteFile(golden, made, 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.True(t, string(want) == string(made), "the drawing has changed: run go test ./cmd/tryring -update and look at it")
}
