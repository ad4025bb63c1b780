package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPrinters(t *testing.T) {
	code, stdout, stderr := tryring(t, "printers")
	assert.Equal(t, exitDone, code)
	assert.Empty(t, stderr)
	assert.Contains(t, stdout, "filament-0.4")
	assert.Contains(t, stdout, "common practice, no published source")

	code, stdout, _ = tryring(t, "printers", "--json")
	require.Equal(t, exitDone, code)
	var got struct{ Printers []printerInfo }
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	require.Len(t, got.Printers, 3)
	assert.Equal(t, "filament-0.25", got.Printers[0].Name)
}

func TestPrintersFaults(t *testing.T) {
	code, _, stderr := tryring(t, "printers", "--printers", filepath.Join(t.TempDir(), "nowhere"))
	assert.Equal(t, exitFailed, code)
	assert.Contains(t, stderr, "nowhere")

	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "mine.toml"), []byte("nozzle = 0.4\n"), 0o600))
	code, _, stderr = tryring(t, "printers", "--printers", dir)
	assert.Equal(t, exitBadInput, code)
	assert.Contains(t, stderr, `mine.toml:1: there is no key "nozzle"`)
}
