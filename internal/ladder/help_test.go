package ladder

import (
	"encoding/json"
	"os"
	"testing"

	"tryring/internal/printer"
	"tryring/internal/whole"

	"github.com/stretchr/testify/require"
)

// This file holds what the tests of this room share.

func printers(t testing.TB) printer.Profiles {
	t.Helper()
	list, err := printer.Load("")
	require.NoError(t, err)
	return list
}

func filesIn(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// in is the folder that the files of p go to.
func in(p Planned) whole.Store { return &whole.Folder{Dir: p.Asked.Out} }

// asJSON is what scripts are told.
func asJSON(t testing.TB, told any) string {
	t.Helper()
	text, err := json.Marshal(told)
	require.NoError(t, err)
	return string(text)
}
