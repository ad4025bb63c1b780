package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const adapters = "../../testdata/adapters.csv"

func TestShortlist(t *testing.T) {
	args := []string{"shortlist", adapters, "--inner", "1 5/8-16 UN", "--outer", "1 7/8-14 UNS"}
	code, stdout, stderr := tryring(t, args...)
	assert.Equal(t, exitDone, code)
	assert.Contains(t, stderr, "line 11")
	assert.Contains(t, stderr, "left out")
	assert.Contains(t, stdout, "part D")
	assert.Contains(t, stdout, "The list does not tell part A from part F")
	assert.Contains(t, stdout, "ask for")

	code, stdout, _ = tryring(t, append(args, "--json")...)
	assert.Equal(t, exitDone, code)
	var got struct{ Parts []map[string]any }
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	require.Len(t, got.Parts, 8)
	assert.Equal(t, "part D", got.Parts[0]["part"])
	for _, p := range got.Parts {
		for _, key := range []string{"part", "inner", "outer", "chance", "verdict", "ask"} {
			assert.Contains(t, p, key)
		}
		for _, side := range []string{"inner", "outer"} {
			for _, key := range []string{"verdict", "turns", "pitch_clearance_mm", "axial_play_mm", "chance", "why"} {
				assert.Contains(t, p[side], key)
			}
		}
	}
	_, again, _ := tryring(t, append(args, "--json")...)
	assert.Equal(t, stdout, again, "the same list gives the same bytes")

	code, _, stderr = tryring(t, "shortlist", adapters, "--inner", "M20", "--outer", "M30")
	assert.Equal(t, exitNo, code)
	assert.Contains(t, stderr, "no part")
}

func TestShortlistFaults(t *testing.T) {
	dir := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	threads := []string{"--inner", "1 5/8-16 UN", "--outer", "1 7/8-14 UNS"}
	for _, c := range []struct {
		name string
		args []string
		code int
		says string
	}{
		{"no list", threads, exitBadInput, "arg"},
		{"no file", append([]string{filepath.Join(dir, "none.csv")}, threads...), exitFailed, "none.csv"},
		{"no thread", []string{adapters, "--inner", "1 5/8-16 UN"}, exitBadInput, "--outer is missing"},
		{"unit", append([]string{adapters, "--unit", "ell"}, threads...), exitBadInput, "--unit"},
		{"no usable row", append([]string{file("bad.csv", "part,inner thread,outer thread\nx,wide,narrow\n")}, threads...), exitBadInput, "line 2"},
		{"no columns", append([]string{file("names.csv", "a,b\nx,y\n")}, threads...), exitBadInput, "--columns"},
		{"empty", append([]string{file("empty.csv", "")}, threads...), exitBadInput, "no usable row"},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"shortlist"}, c.args...)...)
			assert.Equal(t, c.code, code, stderr)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, c.says)
		})
	}
}
