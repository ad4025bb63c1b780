package build

// This file makes a ring: its solid, the drawing, the report, and what is told of it.

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Make makes the files of the ring that p plans for a. Errors are those of Set.Make.
func Make(ctx context.Context, store whole.Store, a Asked, p ring.Plan) (Result, error) {
	part, r := RingPart(a, p)
	_, err := Set{Parts: []Part{part}}.Make(ctx, store, nil)
	return *r, err
}

// RingPart is the ring that p plans for a as a part of a set. What is told of it is complete once the set is made.
func RingPart(a Asked, p ring.Plan) (Part, *Result) {
	r := NewResult(a, p)
	var found caliper.Report
	part := Part{Name: a.Name, Title: title(p)}
	part.Mesh = func(ctx context.Context) (*mesh.Mesh, error) { return meshOf(ctx, a, p) }
	part.Judge = func(s Solid) (err error) {
		found, err = r.judge(s, a, p)
		return err
	}
	part.Manifest = func(f Files) any {
		r.Files = f
		return r
	}
	part.Sheets = []Sheet{
		{Name: a.Name + ".svg", Write: func(w io.Writer) error { return draw.Section(w, p, a.Paper) }},
		{Name: a.Name + ".pdf", Write: func(w io.Writer) error {
			return draw.Papers(w, draw.PaperData{Name: a.Name, Plan: p, Paper: a.Paper, Goes: a.Goes, Stays: a.Stays})
		}},
		{Name: a.Name + ".html", Write: func(w io.Writer) error {
			var picture bytes.Buffer
			if err := shade(&picture, p); err != nil {
				return err
			}
			return draw.Report(w, draw.ReportData{Name: a.Name, Read: a.Read, Plan: p, Measured: &found, Checks: r.Checks, Files: part.Names(), View: picture.Bytes()})
		}},
	}
	return part, &r
}

// meshOf meshes the plan's solid.
func meshOf(ctx context.Context, a Asked, p ring.Plan) (*mesh.Mesh, error) {
	if a.Mesher == Octree {
		solid, err := p.Solid()
		if err != nil {
			return nil, err
		}
		return mesh.Octree{Cells: mesh.DefaultCells}.Mesh(ctx, solid)
	}
	return mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(p.Shape)
}

// CheckChord tries a chord above DefaultChord, before a file is made: where its mesh does not hold the plan, the error is a fault that
// names the coarsest one that does, within a fifth.
func CheckChord(ctx context.Context, a Asked, p ring.Plan) error {
	if a.Mesher == Octree || a.Chord <= DefaultChord {
		return nil
	}
	for finer := a; ctx.Err() == nil; {
		switch holds := holdsPlan(ctx, finer, p); {
		case holds && finer.Chord >= a.Chord:
			return nil
		case holds:
			return fault.At("chord", a.Chord.TextMM(), "so coarse a mesh does not hold these threads; %s is the coarsest that does", finer.Chord.TextMM())
		case finer.Chord <= DefaultChord:
			return nil // what is wrong is no matter of the chord, and is told when it is proved
		}
		const less, step = 0.8, 0.001 * unit.Millimetre
		finer.Chord = max(unit.Length(math.Floor(float64(finer.Chord*less/step)))*step, DefaultChord)
	}
	return ctx.Err()
}

// holdsPlan says whether the mesh of a chord would be proved to hold the plan.
func holdsPlan(ctx context.Context, a Asked, p ring.Plan) bool {
	m, err := meshOf(ctx, a, p)
	if err != nil {
		return false
	}
	r := NewResult(a, p)
	_, err = r.judge(Solid{Mesh: m, Soundness: mesh.Audit(m)}, a, p)
	return err == nil
}

// viewChordMM is the chord of the mesh that pictures are taken of: about a pixel of theirs.
const viewChordMM = 0.1

// shade draws the part cut open, as a PNG.
func shade(w io.Writer, p ring.Plan) error {
	m, err := mesh.Helix{ChordMM: viewChordMM}.Mesh(p.Shape)
	if err != nil {
		return err
	}
	return draw.Shade(w, m)
}

// Path is the path of the job's file with the given ending.
func (a Asked) Path(ending string) string { return filepath.Join(a.Out, a.Name+ending) }

// title says what the part is: the caution's first words, both threads and their clearances.
func title(p ring.Plan) string {
	return fmt.Sprintf("%s %s gap %.2f/%.2f", ring.Engraved, p.Designations(), p.Inner.Clearance.MM(), p.Outer.Clearance.MM())
}

// judge measures the finished ring, applies all checks, and notes in r what it found.
func (r *Result) judge(s Solid, a Asked, p ring.Plan) (caliper.Report, error) {
	r.Mesh = s.Result(a.Chord)
	r.Cost = p.Printer.Costs(r.Mesh.VolumeMM3, p.Height.MM())
	subject := check.Subject{Plan: &p, Printer: p.Printer, Inner: check.WantedOf(p.Inner, false), Outer: check.WantedOf(p.Outer, true)}
	if a.Mesher == Octree { // it keeps no chord, only its cells
		size := s.Soundness.BoundsMM
		cell := max(size[1][0]-size[0][0], size[1][1]-size[0][1], size[1][2]-size[0][2]) / mesh.DefaultCells
		r.Mesh.ChordMM = unit.Round(cell)
		subject.WallTolMM = 2 * math.Sqrt(3) * cell // a corner lies in its cell, so each face is off by a cell's diagonal at most
	}
	tolerance := max(check.SizeTolMM, 2*a.Chord.MM())
	subject.Inner.TolMM, subject.Outer.TolMM = tolerance, tolerance
	found, findings, err := s.Check(subject, p.Inner.RefMM, p.Outer.RefMM)
	if err != nil {
		return found, err
	}
	r.Inner.Measured, r.Outer.Measured, r.Checks = found.Inner, found.Outer, findings
	if found.WallMM > 0 {
		r.MinWallMM = min(r.MinWallMM, unit.Round(found.WallMM))
	}
	return found, nil
}
