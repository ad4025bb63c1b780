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

// TestMain puts the program itself on the tests' PATH.
func TestMain(m *testing.M) {
	testscript.Main(ownHome{m}, map[string]func(){"tryring": main})
}
