package job

// This file makes a ring's files: builds the mesh, writes it beside its place, reads it back, measures it, and only
// then gives the files their names.

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/whole"
)

// ErrNotProved says that a finished file does not hold what was planned. No file is left of it.
var ErrNotProved = errors.New("the file does not hold what was planned, and was removed")

// provedMM is how far a measured lead, diameter or wall may lie from the plan, in mm: a fifth of what a caliper reads.
// A chord coarser than a half of it is allowed its own error on both ends of the diameter.
const provedMM = 0.01

// stlHeaderBytes is the room for words in a binary STL file.
const stlHeaderBytes = 80

// Make builds the ring that p plans for a and makes its files in a.Out, which is created when it is missing. Existing
// files are replaced only with force. It fails with ErrNotProved (wrapped, with the figures) when the file that was
// written does not measure as planned; all files appear, or none.
func Make(ctx context.Context, a Asked, p ring.Plan, force bool) (Result, error) {
	m, err := build(a, p)
	if err != nil {
		return Result{}, fmt.Errorf("%s mesher: %w", a.Mesher, err)
	}
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	if err := os.MkdirAll(a.Out, 0o777); err != nil {
		return Result{}, fmt.Errorf("output folder: %w", err)
	}
	var files pile
	defer files.discard()
	stl, err := files.add(a.path(".stl"), force, func(w io.Writer) error { return mesh.EncodeSTL(w, m, stlHeader(p)) })
	if err != nil {
		return Result{}, err
	}
	r := NewResult(a, p)
	if err := r.prove(stl.Path(), p); err != nil {
		return Result{}, fmt.Errorf("%s: %w", a.path(".stl"), err)
	}
	if err := ctx.Err(); err != nil {
		return Result{}, err
	}
	r.Files = append(files.names(), a.path(".json"))
	if _, err := files.add(a.path(".json"), force, r.encode); err != nil {
		return Result{}, err
	}
	return r, files.commit()
}

// build meshes the plan's solid.
func build(a Asked, p ring.Plan) (*mesh.Mesh, error) {
	return mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(p.Shape)
}

// path is the path of the job's file with the given ending.
func (a Asked) path(ending string) string { return filepath.Join(a.Out, a.Name+ending) }

// stlHeader says in an STL file what it is: the caution's first words, both threads and their clearances.
func stlHeader(p ring.Plan) string {
	text := fmt.Sprintf("TEST FIT ONLY mm %s gap %.2f/%.2f", p.Designations(), p.Inner.Clearance.MM(), p.Outer.Clearance.MM())
	text = strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, text)
	return text[:min(len(text), stlHeaderBytes)]
}

// prove reads the file at path back, measures it, and notes in r what it found. The error is ErrNotProved (wrapped)
// when the file is not sound, or not as planned.
func (r *Result) prove(path string, p ring.Plan) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	m, err := mesh.LoadSTL(path)
	if err != nil {
		return fmt.Errorf("reading back: %w", err)
	}
	s := mesh.Audit(m)
	r.Mesh.Triangles, r.Mesh.Bytes, r.Mesh.VolumeMM3 = len(m.Faces), info.Size(), rounded(s.VolumeMM3)
	r.Mesh.Closed = s.OpenEdges == 0 && s.NonmanifoldEdges == 0
	if !s.Sound() || s.Shells != 1 {
		return fmt.Errorf("%w: %d open edges, %d with more than two faces, %d misoriented, %d faces without area, %d shells (one wanted), volume %.3f mm3",
			ErrNotProved, s.OpenEdges, s.NonmanifoldEdges, s.MisorientedEdges, s.Degenerate, s.Shells, s.VolumeMM3)
	}
	found, err := caliper.Measure(m, caliper.Options{
		AxisHint:    &caliper.Axis{Direction: [3]float64{0, 0, 1}},
		InnerRefZMM: p.Inner.RefMM, OuterRefZMM: p.Outer.RefMM,
	})
	if err != nil {
		return fmt.Errorf("measuring: %w", err)
	}
	r.Inner.Measured, r.Outer.Measured = found.Inner, found.Outer
	tolerance := max(provedMM, 2*r.Mesh.ChordMM)
	faults := []error{
		r.Inner.compare("inner", found.InnerWhy, tolerance),
		r.Outer.compare("outer", found.OuterWhy, tolerance),
	}
	if !(found.WallMM >= r.MinWallMM-tolerance) {
		faults = append(faults, fmt.Errorf("the wall measures %.3f mm, %.3f was planned", found.WallMM, r.MinWallMM))
	}
	if err := errors.Join(faults...); err != nil {
		return fmt.Errorf("%w: %w", ErrNotProved, err)
	}
	r.Checks = append(r.Checks, check.Finding{
		ID: "measured", Level: check.OK,
		Text: fmt.Sprintf("Read back and measured: closed, one part, both threads within %.3f mm of the model.", tolerance),
	})
	return nil
}

// compare says where the measured thread lies further than tolerance (mm) from the modelled one.
func (t ThreadResult) compare(where, why string, tolerance float64) error {
	if t.Measured == nil {
		return fmt.Errorf("no %s thread was found: %s", where, why)
	}
	var faults []error
	for _, x := range []struct {
		what            string
		found, modelled float64
	}{
		{"major diameter", t.Measured.MajorMM, t.Modelled.MajorMM},
		{"pitch diameter", t.Measured.PitchDMM, t.Modelled.PitchDMM},
		{"minor diameter", t.Measured.MinorMM, t.Modelled.MinorMM},
		{"lead", t.Measured.LeadMM, t.LeadMM},
	} {
		if !(math.Abs(x.found-x.modelled) <= tolerance) { // NaN is never near
			faults = append(faults, fmt.Errorf("%s thread: %s measures %.4f mm, %.4f was planned", where, x.what, x.found, x.modelled))
		}
	}
	if t.Measured.Starts != t.Starts || t.Measured.Hand != t.Hand {
		faults = append(faults, fmt.Errorf("%s thread: %d start %s hand was found, %d start %s hand was planned", where, t.Measured.Starts, t.Measured.Hand, t.Starts, t.Hand))
	}
	return errors.Join(faults...)
}

// encode writes r as the JSON file that scripts read.
func (r Result) encode(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(r)
}

// pile is a number of files that appear together.
type pile struct {
	paths   []string
	pending []*whole.Pending
}

// add writes one more file, still without its name.
func (p *pile) add(path string, force bool, encode func(io.Writer) error) (*whole.Pending, error) {
	f, err := whole.Prepare(path, force, encode)
	if err != nil {
		return nil, err
	}
	p.paths = append(p.paths, path)
	p.pending = append(p.pending, f)
	return f, nil
}

// names lists the files so far.
func (p *pile) names() []string { return append([]string{}, p.paths...) }

// commit gives all files their names.
func (p *pile) commit() error {
	for _, f := range p.pending {
		if err := f.Commit(); err != nil {
			return err
		}
	}
	return nil
}

// discard removes what was not committed.
func (p *pile) discard() {
	for _, f := range p.pending {
		_ = f.Discard() // the error that led here says more
	}
}
