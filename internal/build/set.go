package build

// This file makes a set of files: solids, plates of them and sheets to read, which become one by their manifest.

import (
	"context"
	"fmt"
	"io"

	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/whole"
)

// Set is a set of files to be made. Its last file is its manifest, a JSON file that holds the digests of all others.
type Set struct {
	// Name begins the manifest's name; it may be empty when Manifest is nil.
	Name   string
	Parts  []Part
	Plates []Plate
	// Bed is the printer on whose bed the plates' parts stand.
	Bed    printer.Profile
	Sheets []Sheet
	// Manifest is what NAME.json tells. It is nil for a set of one part, whose own Manifest serves.
	Manifest func(Files) any
	// Earlier reads the manifest of the set as it was made earlier, and returns the keys of the parts and plates that may be
	// kept of it, by name. It may refuse. It is nil for sets that are made anew each time.
	Earlier func(manifest io.Reader) (map[string]string, error)
}

// Part is one solid: NAME.stl, NAME.3mf, its own sheets, and NAME.json if it has a manifest.
type Part struct {
	// Name may begin with a folder, "gauges/".
	Name string
	// Title says in its files what it is.
	Title string
	Mesh  func(context.Context) (*mesh.Mesh, error)
	// Judge measures the solid as it was read back. The error is ErrNotProved (wrapped) when it is not as planned.
	Judge func(Solid) error
	// Sheets are written once the part is judged.
	Sheets   []Sheet
	Manifest func(Files) any
	// Key tells all that the part is made from; "" when it is made anew each time.
	Key string
}

// Sheet is a file for a person to read.
type Sheet struct {
	Name  string
	Write func(io.Writer) error
}

// Files are files of a set as they are told.
type Files struct {
	// Paths has them in order, the manifest among them.
	Paths []string `json:"files"`
	// Digests are their SHA-256 in hex, by name; a manifest cannot hold its own.
	Digests map[string]string `json:"digests"`
}

// Made is what a set was made of.
type Made struct {
	Files
	// New and Kept count files.
	New, Kept int
}

// Progress is told after each finished piece of a long work; done runs from 1 to all. It may be called from several
// goroutines, but never twice at a time. Nil tells nobody.
type Progress func(done, all int)

const (
	stlEnding      = ".stl"
	threeMFEnding  = ".3mf"
	manifestEnding = ".json"
)

// Names are the names of its files.
func (p Part) Names() []string {
	names := []string{p.Name + stlEnding, p.Name + threeMFEnding}
	for _, s := range p.Sheets {
		names = append(names, s.Name)
	}
	if p.Manifest != nil {
		names = append(names, p.Name+manifestEnding)
	}
	return names
}

func (s Set) names() []string {
	var names []string
	for _, p := range s.Parts {
		names = append(names, p.Names()...)
	}
	for _, p := range s.Plates {
		names = append(names, p.Name+threeMFEnding)
	}
	for _, sheet := range s.Sheets {
		names = append(names, sheet.Name)
	}
	if s.Manifest != nil {
		names = append(names, s.Name+manifestEnding)
	}
	return names
}

// Make meshes, writes and proves all parts and plates, writes the sheets and the manifest, and only then commits them to the
// store. Errors: ErrNotProved (wrapped, with the figures), whole.ErrExists, those of ctx, of Earlier and of the store. All
// files appear, or none.
func (s Set) Make(ctx context.Context, store whole.Store, progress Progress) (Made, error) {
	defer store.Discard()
	names := s.names()
	m := &making{Set: s, store: store, digests: map[string]string{}, progress: progress}
	if err := store.Begin(ctx, names); err != nil {
		return Made{}, calledOff(ctx, err)
	}
	if err := m.readEarlier(names[len(names)-1]); err != nil {
		return Made{}, err
	}
	if err := m.make(ctx, names); err != nil {
		return Made{}, calledOff(ctx, err)
	}
	if err := store.Commit(); err != nil {
		return Made{}, err
	}
	return Made{Files: m.files(names), New: len(names) - m.kept, Kept: m.kept}, nil
}

// calledOff is the error of work that was called off before it was done, and err otherwise.
func calledOff(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return fmt.Errorf("stopped before it was done, no file was made: %w", ctx.Err())
	}
	return err
}
