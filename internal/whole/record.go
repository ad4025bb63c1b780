package whole

// This file holds the record of a set in a folder: what makes the written files one, and how it is done to the end.

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tryring/internal/datafile"
)

// record tells what makes written files a set.
type record struct {
	// Remove are files of the set as it was made earlier that it has no more.
	Remove []string `json:"remove"`
	// Rename are the written files and the names that they take, in this order.
	Rename [][2]string `json:"rename"`
}

// within says whether all that a record changes lies in the folder; one that somebody else put there may say anything.
func (r record) within() bool {
	names := r.Remove
	for _, n := range r.Rename {
		if !strings.HasPrefix(n[0], tempPrefix) {
			return false
		}
		names = append(names, n[:]...)
	}
	return !slices.ContainsFunc(names, func(name string) bool { return !filepath.IsLocal(filepath.FromSlash(name)) })
}

// tidy finishes the set that a record tells of, and removes what no record tells of.
func (f *Folder) tidy(ctx context.Context) error {
	text, err := datafile.Read(ctx, f.Path(recordName), mostManifestBytes)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	default:
		var r record
		if err := json.Unmarshal(text, &r); err != nil || !r.within() {
			return fmt.Errorf("%s is no record of a set in this folder; remove it", f.Path(recordName))
		}
		if err := f.finish(r); err != nil {
			return err
		}
	}
	entries, err := os.ReadDir(f.Dir)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), tempPrefix) {
			err = errors.Join(err, remove(f.Path(e.Name())))
		}
	}
	return err
}

// ownFiles reads in the manifest that is there which files belong to it, and looks which of them are as they were made.
func (f *Folder) ownFiles(ctx context.Context, manifest string) map[string]string {
	own := map[string]string{}
	text, err := datafile.Read(ctx, f.Path(manifest), mostManifestBytes)
	var made struct {
		Digests map[string]string `json:"digests"`
	}
	if err != nil || json.Unmarshal(text, &made) != nil || len(made.Digests) == 0 {
		return own // whatever it is, it claims no files
	}
	sum := sha256.Sum256(text)
	own[manifest] = hex.EncodeToString(sum[:])
	for name, digest := range made.Digests {
		if !filepath.IsLocal(filepath.FromSlash(name)) {
			continue
		}
		if sum, err := digestOf(f.Path(name)); err == nil && sum == digest {
			own[name] = digest
		}
	}
	return own
}

// finish does what a record tells, as far as it is not done yet, and removes it.
func (f *Folder) finish(r record) error {
	syncFolder(f.Dir) // the record first
	for _, name := range r.Remove {
		if err := remove(f.Path(name)); err != nil {
			return err
		}
	}
	for _, names := range r.Rename {
		if err := f.makeFolder(filepath.Dir(f.Path(names[1]))); err != nil {
			return err
		}
		if err := rename(f.Path(names[0]), f.Path(names[1])); err != nil && !errors.Is(err, fs.ErrNotExist) { // done already
			return err
		}
	}
	syncFolder(f.Dir)
	return remove(f.Path(recordName))
}
