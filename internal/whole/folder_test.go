package whole

// These tests break a set off at each step in which it changes the disk, and look at what the next one leaves.

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// makeSet makes a set in f: the files of the given contents, and set.json with their digests.
func makeSet(ctx context.Context, f Store, files map[string]string, names ...string) error {
	defer f.Discard()
	if err := f.Begin(ctx, append(names, "set.json")); err != nil {
		return err
	}
	write := func(name, text string) error {
		return f.Add(name, func(w io.Writer) error {
			for _, part := range []string{text[:len(text)/2], text[len(text)/2:]} {
				if _, err := io.WriteString(w, part); err != nil {
					return err
				}
			}
			return nil
		})
	}
	digests := map[string]string{}
	for _, name := range names {
		sum := sha256.Sum256([]byte(files[name]))
		digests[name] = hex.EncodeToString(sum[:])
		if f.Kept(name) == digests[name] {
			continue
		}
		if err := write(name, files[name]); err != nil {
			return err
		}
	}
	text, err := json.Marshal(map[string]any{"digests": digests})
	if err == nil {
		err = write("set.json", string(text))
	}
	if err != nil {
		return err
	}
	return f.Commit()
}

var (
	oldFiles = map[string]string{"a.stl": "old a", "b.stl": "old b", "sub/c.stl": "old c", "kept.svg": "the same"}
	newFiles = map[string]string{"a.stl": "new a", "kept.svg": "the same", "new/d.stl": "new d"}
	oldNames = []string{"a.stl", "b.stl", "sub/c.stl", "kept.svg"}
	newNames = []string{"a.stl", "kept.svg", "new/d.stl"}
)

func makeOld(t *testing.T, dir string) {
	t.Helper()
	require.NoError(t, makeSet(t.Context(), &Folder{Dir: dir}, oldFiles, oldNames...))
}

// contents are all files below a folder, hidden ones too, without the manifest.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		text, err := os.ReadFile(path)
		if rel := strings.TrimPrefix(path, dir+string(filepath.Separator)); rel != "set.json" {
			all[filepath.ToSlash(rel)] = string(text)
		}
		return err
	}))
	return all
}

var errStopped = errors.New("stopped here")

// The ways in which a set is brought up to date, and whether that is by force.
var ways = map[string]bool{"forced": true, "updated": false}

// Whatever step a run is killed at, the next run in the folder finds or makes one whole set, and nothing else is left.
func TestKilledAtEachStep(t *testing.T) {
	for way, force := range ways {
		t.Run(way, func(t *testing.T) {
			sawOld, sawNew := 0, 0
			for at := 1; ; at++ {
				dir := filepath.Join(t.TempDir(), "out")
				makeOld(t, dir)
				f := &Folder{Dir: dir, Force: force, Update: !force}
				steps := 0
				Step = func(string, string) error { // the dead change nothing any more
					if steps++; steps >= at {
						return errStopped
					}
					return nil
				}
				err := makeSet(t.Context(), f, newFiles, newNames...)
				Step = nil
				require.NoError(t, os.WriteFile(filepath.Join(dir, ".set.lock"), nil, 0o600), "a killed run leaves its lock's file")
				if err == nil && steps < at {
					break // the run was over before
				}
				// The next run is killed in the middle of tidying up; the one after that makes another set beside it.
				next, left := &Folder{Dir: dir}, at%5
				Step = func(string, string) error {
					if left--; left < 0 {
						return errStopped
					}
					return nil
				}
				_ = next.Begin(t.Context(), []string{"other.json"})
				next.Discard()
				Step = nil
				other := &Folder{Dir: dir}
				require.NoError(t, other.Begin(t.Context(), []string{"other.json"}), "step %d", at)
				other.Discard()
				switch found := contents(t, dir); found["a.stl"] {
				case "old a":
					sawOld++
					require.Equal(t, oldFiles, found, "step %d", at)
				default:
					sawNew++
					require.Equal(t, newFiles, found, "step %d", at)
				}
				// And the same command again makes what it is to make.
				require.NoError(t, makeSet(t.Context(), &Folder{Dir: dir, Force: force, Update: !force}, newFiles, newNames...), "step %d", at)
				require.Equal(t, newFiles, contents(t, dir), "step %d", at)
			}
			assert.GreaterOrEqual(t, sawOld, 10, "writing three files and a record")
			assert.GreaterOrEqual(t, sawNew, 6, "two removals, three names, and the record's end")
		})
	}
}

// A step that fails leaves the old set and nothing else, or else what the next run makes the new one of.
func TestEachStepFails(t *testing.T) {
	for way, force := range ways {
		t.Run(way, func(t *testing.T) {
			for at := 1; ; at++ {
				dir := filepath.Join(t.TempDir(), "out")
				makeOld(t, dir)
				f := &Folder{Dir: dir, Force: force, Update: !force}
				steps, failed := 0, ""
				Step = func(what, path string) error {
					if steps++; steps == at {
						failed = fmt.Sprintf("step %d: %s %s", at, what, path)
						return errStopped
					}
					return nil
				}
				err := makeSet(t.Context(), f, newFiles, newNames...)
				Step = nil
				if failed == "" {
					require.NoError(t, err)
					break
				}
				require.ErrorIs(t, err, errStopped, failed)
				if _, begun := os.Stat(filepath.Join(dir, recordName)); begun != nil {
					require.Equal(t, oldFiles, contents(t, dir), failed)
					continue
				}
				require.ErrorContains(t, err, dir, failed)
				other := &Folder{Dir: dir}
				require.NoError(t, other.Begin(t.Context(), []string{"other.json"}), failed)
				other.Discard()
				require.Equal(t, newFiles, contents(t, dir), failed)
			}
		})
	}
}

// A first set that is killed or fails leaves nothing, not even the folder that was made for it.
func TestFirstSetOrNothing(t *testing.T) {
	for at := 1; ; at++ {
		parent := t.TempDir()
		dir := filepath.Join(parent, "made", "out")
		f := &Folder{Dir: dir}
		steps := 0
		Step = func(string, string) error {
			if steps++; steps == at {
				return errStopped
			}
			return nil
		}
		err := makeSet(t.Context(), f, oldFiles, oldNames...)
		Step = nil
		if err == nil {
			require.Less(t, steps, at)
			require.Equal(t, oldFiles, contents(t, dir))
			break
		}
		if f.committed {
			continue
		}
		left, err := os.ReadDir(parent)
		require.NoError(t, err)
		require.Empty(t, left, "step %d", at)
	}
}

func TestFolderReplacesNothing(t *testing.T) {
	dir := t.TempDir()
	makeOld(t, dir)
	before := contents(t, dir)
	for name, f := range map[string]*Folder{"neither": {Dir: dir}, "force of no use": {Dir: dir}} {
		require.ErrorIs(t, makeSet(t.Context(), f, newFiles, newNames...), ErrExists, name)
		require.Equal(t, before, contents(t, dir))
	}
	// What was changed since is nobody's to update, and stays when it is no part of the set any more.
	require.NoError(t, os.WriteFile(filepath.Join(dir, "a.stl"), []byte("mine"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "b.stl"), []byte("mine, too"), 0o600))
	err := makeSet(t.Context(), &Folder{Dir: dir, Update: true}, newFiles, newNames...)
	require.ErrorIs(t, err, ErrExists)
	require.ErrorContains(t, err, "a.stl")
	require.NoError(t, makeSet(t.Context(), &Folder{Dir: dir, Force: true}, newFiles, newNames...))
	want := map[string]string{"b.stl": "mine, too"}
	for name, text := range newFiles {
		want[name] = text
	}
	require.Equal(t, want, contents(t, dir))
}

// A manifest that names files elsewhere has none of them removed.
func TestManifestOwnsNothingElsewhere(t *testing.T) {
	parent := t.TempDir()
	dir, victim := filepath.Join(parent, "out"), filepath.Join(parent, "victim")
	require.NoError(t, os.Mkdir(dir, 0o755))
	require.NoError(t, os.WriteFile(victim, []byte("x"), 0o600))
	sum := sha256.Sum256([]byte("x"))
	manifest := fmt.Sprintf(`{"digests":{"../victim":%q,%q:%q}}`, hex.EncodeToString(sum[:]), victim, hex.EncodeToString(sum[:]))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "set.json"), []byte(manifest), 0o600))
	require.NoError(t, makeSet(t.Context(), &Folder{Dir: dir, Force: true}, newFiles, newNames...))
	assert.FileExists(t, victim)
}

// A name that leads nowhere is an error, and not waited for.
func TestFolderThatIsNone(t *testing.T) {
	dir := t.TempDir()
	link, file := filepath.Join(dir, "link"), filepath.Join(dir, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	require.NoError(t, os.Symlink(filepath.Join(dir, "nowhere"), link))
	for _, bad := range []string{link, file, filepath.Join(file, "below")} {
		err := makeSet(t.Context(), &Folder{Dir: bad}, newFiles, newNames...)
		require.ErrorContains(t, err, "output folder "+bad, bad)
	}
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "out", "a.stl"), 0o755))
	err := makeSet(t.Context(), &Folder{Dir: filepath.Join(dir, "out"), Force: true}, newFiles, newNames...)
	require.ErrorContains(t, err, "is a folder")
}

func TestFolderTakesTurns(t *testing.T) {
	dir := t.TempDir()
	first := &Folder{Dir: dir}
	require.NoError(t, first.Begin(t.Context(), []string{"first.json"}))
	require.NoError(t, first.Add("first.json", func(w io.Writer) error { _, err := io.WriteString(w, "{}"); return err }))
	waits, stop := context.WithCancel(t.Context())
	second := make(chan error)
	go func() { second <- makeSet(waits, &Folder{Dir: dir}, newFiles, newNames...) }()
	stop()
	require.ErrorIs(t, <-second, context.Canceled, "waiting ends with the run")
	go func() { second <- makeSet(t.Context(), &Folder{Dir: dir}, newFiles, newNames...) }()
	require.NoError(t, first.Commit())
	first.Discard()
	require.NoError(t, <-second)
	want := map[string]string{"first.json": "{}"}
	for name, text := range newFiles {
		want[name] = text
	}
	require.Equal(t, want, contents(t, dir))
}

// Many sets at once in a folder that none of them found: all are made, whole.
func TestManySetsInOneFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	one := func(i int) error {
		f := &Folder{Dir: dir}
		defer f.Discard()
		name := fmt.Sprintf("%d.json", i)
		if err := f.Begin(t.Context(), []string{name}); err != nil {
			return err
		}
		if err := f.Add(name, func(w io.Writer) error { _, err := io.WriteString(w, name); return err }); err != nil {
			return err
		}
		if i%2 == 0 {
			return f.Commit()
		}
		return nil
	}
	done := make(chan error)
	for i := range 8 {
		go func() { done <- one(i) }()
	}
	for range 8 {
		require.NoError(t, <-done)
	}
	require.Len(t, contents(t, dir), 4)
	for name, text := range contents(t, dir) {
		require.Equal(t, name, text)
	}
}

// Whatever stands in a record, nothing outside its folder changes, and a record that is none stops the set with its name.
func FuzzRecord(f *testing.F) {
	f.Add(`{"remove":["b.stl"],"rename":[[".part-set-1","a.stl"]]}`)
	f.Add(`{"remove":["../mine"],"rename":[]}`)
	f.Add(`{"remove":[],"rename":[["../mine","a.stl"],[".part-set-1","../mine"],[".part-set-1/../../mine","b.stl"]]}`)
	f.Add(`{"remove":["/etc/passwd"]`)
	f.Fuzz(func(t *testing.T, text string) {
		parent := t.TempDir()
		dir, mine := filepath.Join(parent, "out"), filepath.Join(parent, "mine")
		require.NoError(t, os.Mkdir(dir, 0o755))
		require.NoError(t, os.WriteFile(mine, []byte("mine"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(dir, ".part-set-1"), []byte("new"), 0o600))
		require.NoError(t, os.WriteFile(filepath.Join(dir, recordName), []byte(text), 0o600))
		next := &Folder{Dir: dir}
		err := next.Begin(t.Context(), []string{"other.json"})
		next.Discard()
		left, _ := os.ReadDir(parent)
		got, _ := os.ReadFile(mine)
		if string(got) != "mine" || len(left) != 2 {
			t.Fatalf("%q changed what lies outside: %v", text, left)
		}
		if err != nil && !strings.Contains(err.Error(), dir) {
			t.Fatalf("%q: %v names no file", text, err)
		}
	})
}
