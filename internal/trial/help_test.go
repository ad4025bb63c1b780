package trial

import (
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

// skipInBrief leaves a test of long work in one goroutine out of a brief run.
func skipInBrief(t *testing.T) {
	t.Helper()
	if os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("one goroutine at long work, which a brief run does without")
	}
}
