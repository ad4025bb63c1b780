// Package build is the way from a plan to files that are proved: meshed, written, read back, measured, and only then named.
package build

// This file makes a ring's files: builds the mesh, writes it beside its place, reads it back, measures it, and only
// then gives the files their names.

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// ErrNotProved says that a finished file does not hold what was planned. No file is left of it.
var ErrNotProved = errors.New("the file does not hold what was planned, and was removed")

// STLHeaderBytes is the room for words in a binary STL file.
const STLHeaderBytes = 80

// Make builds the ring that p plans for a and makes its files in a.Out, which is created when it is missing. Existing
// files are replaced only with force. It fails with ErrNotProved (wrapped, with the figures) when the file that was
// written does not measure as planned; all files appear, or none.
func Make(ctx context.Context, a Asked, p ring.Plan, force bool) (Result, error) {
	var picture bytes.Buffer
	var shading, parts errgroup.Group
	shading.Go(func() error { return shade(&picture, p) })
	defer func() { _ = shading.Wait() }() // whatever ends this early
	m, err := build(a, p)
	if err != nil {
		return Result{}, fmt.Errorf("%s mesher: %w", a.Mesher, err)
	}
	if err := CalledOff(ctx); err != nil {
		return Result{}, err
	}
	if err := os.MkdirAll(a.Out, 0o777); err != nil {
		return Result{}, fmt.Errorf("output folder: %w", err)
	}
	files := Pile{Force: force, pending: make([]*whole.Pending, 0, len(Endings))}
	defer files.Discard()
	r := NewResult(a, p)
	parts.Go(func() error {
		stl, err := files.Add(a.Path(".stl"), func(w io.Writer) error { return mesh.EncodeSTL(w, m, stlHeader(p)) })
		if err != nil {
			return err
		}
		found, err := r.prove(stl.Path(), a, p)
		if err := errors.Join(Named(a.Path(".stl"), err), shading.Wait()); err != nil {
			return err
		}
		for _, ending := range Endings {
			r.Files = append(r.Files, a.Path(ending))
		}
		parts.Go(func() error {
			_, err := files.Add(a.Path(".json"), r.encode)
			return err
		})
		report := draw.ReportData{Name: a.Name, Read: a.Read, Plan: p, Measured: &found, Checks: r.Checks, Files: a.names(), View: picture.Bytes()}
		_, err = files.Add(a.Path(".html"), func(w io.Writer) error { return draw.Report(w, report) })
		return err
	})
	parts.Go(func() error {
		threeMF, err := files.Add(a.Path(".3mf"), func(w io.Writer) error {
			return mesh.Encode3MF(w, []mesh.Object{{Name: a.Name, Mesh: m}}, mesh.Meta{Title: title(p), Description: check.Caution})
		})
		if err != nil {
			return err
		}
		return Named(a.Path(".3mf"), ProveCopy(threeMF.Path(), m))
	})
	parts.Go(func() error {
		_, err := files.Add(a.Path(".svg"), func(w io.Writer) error { return draw.Section(w, p) })
		return err
	})
	if err := errors.Join(parts.Wait(), CalledOff(ctx)); err != nil {
		return Result{}, err
	}
	return r, files.Commit()
}

// Progress is told after each finished piece of a long work; done runs from 1 to all. It may be called from several
// goroutines, but never twice at a time. Nil tells nobody.
type Progress func(done, all int)

// CalledOff is the error of work that was called off before it was done.
func CalledOff(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("stopped before it was done, no file was made: %w", err)
	}
	return nil
}

// Endings are those of a ring's files, in the order in which they are told.
var Endings = []string{".stl", ".3mf", ".svg", ".html", ".json"}

// names are the names of a ring's files, without their folder.
func (a Asked) names() []string {
	names := make([]string, len(Endings))
	for i, ending := range Endings {
		names[i] = a.Name + ending
	}
	return names
}

// viewChordMM is the chord of the mesh that pictures are taken of: about a pixel of theirs.
const viewChordMM = 0.1

// shade draws the part cut open, as a PNG.
func shade(w io.Writer, p ring.Plan) error {
	m, err := mesh.Helix{ChordMM: viewChordMM}.Mesh(p.Shape)
	if err != nil {
		return err
	}
	v := draw.DefaultView()
	v.Cut = true
	return draw.Shade(w, m, v)
}

// Named puts the file's name before err.
func Named(path string, err error) error {
	if err == nil {
		return nil
	}
	return fmt.Errorf("%s: %w", path, err)
}

// build meshes the plan's solid.
func build(a Asked, p ring.Plan) (*mesh.Mesh, error) {
	if a.Mesher == Octree {
		solid, err := p.Solid()
		if err != nil {
			return nil, err
		}
		return mesh.Octree{Cells: mesh.DefaultCells}.Mesh(solid)
	}
	return mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(p.Shape)
}

// Path is the path of the job's file with the given ending.
func (a Asked) Path(ending string) string { return filepath.Join(a.Out, a.Name+ending) }

// title says what the part is: the caution's first words, both threads and their clearances.
func title(p ring.Plan) string {
	return fmt.Sprintf("%s %s gap %.2f/%.2f", ring.Engraved, p.Designations(), p.Inner.Clearance.MM(), p.Outer.Clearance.MM())
}

// stlHeader is title in the letters and the room that an STL file has.
func stlHeader(p ring.Plan) string {
	text := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, "mm "+title(p))
	return text[:min(len(text), STLHeaderBytes)]
}

// prove reads the STL file at path back, measures it, applies all checks, and notes in r what it found. The error is
// ErrNotProved (wrapped) when the file is not sound, or not as planned.
func (r *Result) prove(path string, a Asked, p ring.Plan) (caliper.Report, error) {
	info, err := os.Stat(path)
	if err != nil {
		return caliper.Report{}, err
	}
	m, err := mesh.LoadSTL(path)
	if err != nil {
		return caliper.Report{}, fmt.Errorf("reading back: %w", err)
	}
	return r.judge(m, info.Size(), a, p)
}

// judge is prove for the mesh m that was read back from a file of the given bytes.
func (r *Result) judge(m *mesh.Mesh, bytes int64, a Asked, p ring.Plan) (caliper.Report, error) {
	s := mesh.Audit(m)
	r.Mesh.Triangles, r.Mesh.Bytes, r.Mesh.VolumeMM3 = len(m.Faces), bytes, unit.Round(s.VolumeMM3)
	r.Mesh.Closed = s.OpenEdges == 0 && s.NonmanifoldEdges == 0
	if s.Sound() && s.Shells != 1 {
		return caliper.Report{}, fmt.Errorf("%w: it holds %d parts, one was planned", ErrNotProved, s.Shells)
	}
	found, err := caliper.Measure(m, caliper.Options{
		AxisHint:    &caliper.Axis{Direction: [3]float64{0, 0, 1}},
		InnerRefZMM: p.Inner.RefMM, OuterRefZMM: p.Outer.RefMM,
	})
	if err != nil {
		return caliper.Report{}, fmt.Errorf("measuring: %w", err)
	}
	r.Inner.Measured, r.Outer.Measured = found.Inner, found.Outer
	if found.WallMM > 0 {
		r.MinWallMM = min(r.MinWallMM, unit.Round(found.WallMM))
	}
	subject := check.Subject{
		Plan: &p, Printer: p.Printer, Soundness: &s, Measured: &found,
		Inner: check.WantedOf(p.Inner), Outer: check.WantedOf(p.Outer),
	}
	if a.Mesher == Octree { // it keeps no chord, only its cells
		size := s.BoundsMM
		cell := max(size[1][0]-size[0][0], size[1][1]-size[0][1], size[1][2]-size[0][2]) / mesh.DefaultCells
		r.Mesh.ChordMM = unit.Round(cell)
		subject.WallTolMM = 2 * math.Sqrt(3) * cell // a corner lies in its cell, so each face is off by a cell's diagonal at most
	}
	tolerance := max(check.SizeTolMM, 2*a.Chord.MM())
	subject.Inner.TolMM, subject.Outer.TolMM = tolerance, tolerance
	r.Checks = check.All(subject)
	var faults []error
	for _, c := range r.Checks {
		if c.Level == check.Stop {
			faults = append(faults, errors.New(c.Text))
		}
	}
	if len(faults) > 0 {
		return caliper.Report{}, fmt.Errorf("%w: %w", ErrNotProved, errors.Join(faults...))
	}
	return found, nil
}

// ProveCopy reads the 3MF file at path back: it must hold the mesh m to the last bit.
func ProveCopy(path string, m *mesh.Mesh) error {
	objects, _, err := mesh.Decode3MF(path)
	if err != nil {
		return fmt.Errorf("reading back: %w", err)
	}
	return sameMesh(objects, m)
}

// sameMesh fails unless the one object is m.
func sameMesh(objects []mesh.Object, m *mesh.Mesh) error {
	if len(objects) != 1 || !slices.Equal(objects[0].Mesh.Vertices, m.Vertices) || !slices.Equal(objects[0].Mesh.Faces, m.Faces) {
		return fmt.Errorf("%w: its mesh differs from the one that was written", ErrNotProved)
	}
	return nil
}

// encode writes r as the JSON file that scripts read.
func (r Result) encode(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(r)
}

// Pile is a number of files that appear together. Files may be added from several goroutines.
type Pile struct {
	Force   bool
	lock    sync.Mutex
	pending []*whole.Pending
}

// Add writes one more file, still without its name.
func (p *Pile) Add(path string, encode func(io.Writer) error) (*whole.Pending, error) {
	f, err := whole.Prepare(path, p.Force, encode)
	if err != nil {
		return nil, err
	}
	p.lock.Lock()
	defer p.lock.Unlock()
	p.pending = append(p.pending, f)
	return f, nil
}

// Commit gives all files their names.
func (p *Pile) Commit() error {
	for _, f := range p.pending {
		if err := f.Commit(); err != nil {
			return err
		}
	}
	return nil
}

// Discard removes what was not committed.
func (p *Pile) Discard() {
	for _, f := range p.pending {
		_ = f.Discard() // the error that led here says more
	}
}
