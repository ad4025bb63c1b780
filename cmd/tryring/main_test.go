package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// ownHome keeps the settings of whoever runs the tests out of them.
type ownHome struct{ tests testscript.TestingM }

func (m ownHome) Run() int {
	home, err := os.MkdirTemp("", "tryring-settings")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(home)
	for _, name := range settingsFrom {
		if err := os.Setenv(name, home); err != nil {
			panic(err)
		}
	}
	return m.tests.Run()
}

// unraced leaves a test out where the race detector watches: each command is one goroutine's work, which takes ten times as long there,
// and where a room starts goroutines its own tests are watched.
func unraced(t *testing.T) {
	t.Helper()
	if raced {
		t.Skip("each command is one goroutine's work, which its room's tests watch")
	}
}

// TestMain puts the program itself on the tests' PATH.
func TestMain(m *testing.M) {
	testscript.Main(ownHome{m}, map[string]func(){"tryring": main})
}
