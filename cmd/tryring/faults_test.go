package main

// These tests break each command that writes off at the steps in which it changes the disk: by an error, as of a full disk, and as if it
// were killed there, so that nothing is changed any more. The next command in that folder then finds or makes one whole set.

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"tryring/internal/whole"
)

// breakable is a command that writes, in a folder in which another was run before. A trial's picture lies elsewhere: what is kept of a
// trial is its journal.
type breakable struct {
	name         string
	before, args []string
}

// Commands stand as one line each; DIR is the folder.
var breakables = []breakable{
	{"ring", words("ring --inner M12x1.5 --outer M20x2 --height 8mm --name r --out DIR"), words("ring --inner M10x1.5 --outer M20x2 --height 8mm --name r --out DIR --force")},
	{"ladder", nil, words("ladder --inner M12x1.5 --outer M20x2 --height 8mm --from 0.1mm --to 0.2mm --step 0.1mm --name l --out DIR --force")},
	{"leaf", nil, words("leaf M20x2 M20x1.5 --name l --out DIR --force")},
	{"page", nil, words("sheet M20x2 --name s --out DIR --force")},
	{"reading", words("identify --outside 20.1 --job DIR/j.toml --side goes"), words("identify --pitch 2 --job DIR/j.toml --side goes")},
	{"first reading", nil, words("identify --outside 20.1 --job DIR/j.toml --side goes")},
	{"trial", words("trial --printer resin --caliper-outside 20mm=20.1mm --printers DIR --out DIR-pictures --force"), words("trial --printer resin --caliper-inside 20mm=19.9mm --printers DIR --out DIR-pictures --force")},
	{"printer", nil, words("printers --new attic --from resin --printers DIR")},
	{"drawing", nil, words("fit --external M20x2 --internal M20x2 --drawing DIR/fit.svg --force")},
}

func words(line string) []string { return strings.Fields(line) }

var errNoRoom = &fs.PathError{Op: "write", Path: "a file", Err: syscall.ENOSPC}

// runIn runs a command line in a folder and returns its exit code.
func runIn(t *testing.T, dir string, args []string) int {
	t.Helper()
	var out bytes.Buffer
	var placed []string
	for _, a := range args {
		placed = append(placed, strings.ReplaceAll(a, "DIR", dir))
	}
	return run(t.Context(), placed, &out, &out)
}

// lyingIn are the digests of the files below a folder by their names, hidden ones too.
func lyingIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		all[strings.TrimPrefix(path, dir)] = fmt.Sprintf("%x", sha256.Sum256(text))
		return err
	}))
	return all
}

// picked are the steps at which a command of so many is broken off: all of a short one, some of a long one with all its last ones, in
// which files take their names.
func picked(steps int) []int {
	every := 1
	if os.Getenv("TRYRING_FAULTS") == "" && steps > 12 {
		every = steps / 4
	}
	var out []int
	for at := 1; at <= steps; at++ {
		if at%every == 0 || at > steps-5 {
			out = append(out, at)
		}
	}
	return out
}

func TestEachStepOfEachCommand(t *testing.T) {
	unraced(t)
	defer func() { whole.Step = nil }()
	for _, name := range settingsFrom {
		t.Setenv(name, t.TempDir())
	}
	for _, c := range breakables {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "here")
			ready := func() {
				require.NoError(t, os.RemoveAll(dir))
				require.NoError(t, os.Mkdir(dir, 0o777))
				if c.before != nil {
					require.Zero(t, runIn(t, dir, c.before))
				}
			}
			ready()
			steps, old := 0, lyingIn(t, dir)
			whole.Step = func(string, string) error { steps++; return nil }
			require.Zero(t, runIn(t, dir, c.args))
			whole.Step = nil
			made := lyingIn(t, dir)
			require.NotEqual(t, old, made)
			for _, at := range picked(steps) {
				for _, killed := range []bool{false, true} {
					ready()
					count, where := 0, fmt.Sprintf("step %d of %d, killed %v", at, steps, killed)
					whole.Step = func(what, path string) error {
						if count++; count == at || killed && count > at {
							where += ": " + what + " " + filepath.Base(path)
							return errNoRoom
						}
						return nil
					}
					code := runIn(t, dir, c.args)
					whole.Step = nil
					left := lyingIn(t, dir)
					begun := slices.ContainsFunc(slices.Collect(maps.Keys(left)), hidden)
					if !killed && !begun { // it failed and tidied up, or what failed did not matter
						want := old
						if code == 0 {
							want = made
						}
						require.Equal(t, want, left, where)
					}
					if code != 0 {
						require.Equal(t, 1, code, where)
					}
					// The next command in the folder leaves one whole set, or all was done already. What was left of a single file is
					// nobody's a day later.
					runIn(t, dir, c.args)
					found := lyingIn(t, dir)
					maps.DeleteFunc(found, func(name, _ string) bool {
						return strings.HasPrefix(filepath.Base(name), ".part-"+strconv.Itoa(os.Getpid()))
					})
					require.Equal(t, made, found, where)
				}
			}
		})
	}
}

// hidden says whether a file is one of those that are there while others are made.
func hidden(name string) bool { return strings.HasPrefix(filepath.Base(name), ".") }
