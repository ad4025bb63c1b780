package gauge

import (
	"encoding/json"
	"os"
	"testing"

	"tryring/internal/printer"

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

// skipInBrief leaves a test of long work in one goroutine out of a brief run.
func skipInBrief(t *testing.T) {
	t.Helper()
	if os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("one goroutine at long work, which a brief run does without")
	}
}

// asJSON is what scripts are told.
func asJSON(t testing.TB, told any) string {
	t.Helper()
	text, err := json.Marshal(told)
	require.NoError(t, err)
	return string(text)
}
