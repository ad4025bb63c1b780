package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/mesh"
	"tryring/internal/unit"
)

// TestInspectAsksForInches takes a ring of inch threads, in a file whose figures are inches, from the question to the measurement.
func TestInspectAsksForInches(t *testing.T) {
	unraced(t)
	dir := t.TempDir()
	code, _, stderr := tryring(t, "ring", "--inner", "1 5/8-16 UN", "--outer", "1 7/8-14 UNS", "--grip", "none", "--name", "bath", "--out", dir)
	require.Equal(t, exitDone, code, stderr)
	part, err := mesh.Load(t.Context(), filepath.Join(dir, "bath.stl"), mesh.Options{UnitMM: 1 / unit.MMPerInch})
	require.NoError(t, err)
	var inches bytes.Buffer
	require.NoError(t, mesh.EncodeSTL(&inches, part.Mesh, "inches"))
	path := filepath.Join(dir, "inches.stl")
	require.NoError(t, os.WriteFile(path, inches.Bytes(), 0o600))

	code, stdout, stderr := tryring(t, "inspect", path)
	require.Equal(t, exitNo, code, "so small a wall does not print: %s", stderr)
	assert.Contains(t, stdout, "in inches this is 1 ")
	assert.Contains(t, stdout, "inches.stl --unit in\n")
	code, _, stderr = tryring(t, "inspect", path, "--job", filepath.Join(dir, "tub.toml"), "--side", "stays", "--scale", "0", "--thread", "1")
	require.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, "--unit: the figures are taken in mm, and in inches this is 1 ")
	code, stdout, stderr = tryring(t, "inspect", path, "--unit", "in", "--json")
	require.Equal(t, exitDone, code, stderr)
	var got inspection
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	assert.Nil(t, got.UnitQuestion)
	require.NotNil(t, got.Outer)
	assert.InDelta(t, 25.4/14, got.Outer.LeadMM, 0.001)
	require.NotNil(t, got.Inner)
	assert.InDelta(t, 25.4/16, got.Inner.LeadMM, 0.001)
}
