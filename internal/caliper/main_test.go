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
	if err := flag.Set("rapid.checks", "40"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}
