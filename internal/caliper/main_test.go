package caliper_test

import (
	"flag"
	"os"
	"testing"
)

// TestMain keeps the random rings to a number that takes seconds; -rapid.checks on the command line asks for more.
func TestMain(m *testing.M) {
	// The same threads in every run; -rapid.seed on the command line takes others.
	if err := flag.Set("rapid.seed", "41"); err != nil {
		panic(err)
	}
	checks := "40"
	if brief() {
		checks = "8"
	}
	if err := flag.Set("rapid.checks", checks); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}

// brief tells whether less is asked of what is long.
func brief() bool { return os.Getenv("TRYRING_BRIEF") != "" }

// long leaves a test out of a brief run.
func long(t *testing.T) {
	t.Helper()
	if brief() {
		t.Skip("long work, which a brief run does without")
	}
}
