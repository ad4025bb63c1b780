package gauge

// This file makes the files of gauges: each is read back, measured, and only then given its name.

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

	"golang.org/x/sync/errgroup"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Make makes a pair of gauges, or one, in j.Out: each as STL and 3MF, and the card and the JSON of them all. Existing
// files are replaced only with force. It fails with build.ErrNotProved (wrapped, with the figures) when a file does not measure
// as planned; all files appear, or none.
func Make(ctx context.Context, name string, asked []Asked, j Job, force bool) (SetResult, error) {
	out := SetResult{Caution: []string{check.Caution}, Printer: j.Printer.Name, Gauges: make([]Result, len(asked))}
	meshes := make([]*mesh.Mesh, len(asked))
	var built errgroup.Group
	for i, a := range asked {
		built.Go(func() (err error) {
			meshes[i], err = a.build()
			return err
		})
	}
	if err := errors.Join(built.Wait(), ctx.Err()); err != nil {
		return SetResult{}, err
	}
	if err := os.MkdirAll(j.Out, 0o777); err != nil {
		return SetResult{}, fmt.Errorf("output folder: %w", err)
	}
	files := build.Pile{Force: force}
	defer files.Discard()
	var proofs errgroup.Group
	for i, a := range asked {
		proofs.Go(func() error {
			stl, threeMF, err := a.write(&files, j.Out, meshes[i])
			if err != nil {
				return err
			}
			out.Gauges[i], err = a.prove(stl, threeMF, meshes[i])
			return build.Named(a.Name, err)
		})
		out.Files = append(out.Files, filepath.Join(j.Out, a.Name+".stl"), filepath.Join(j.Out, a.Name+".3mf"))
	}
	if err := errors.Join(proofs.Wait(), ctx.Err()); err != nil {
		return SetResult{}, err
	}
	card := draw.CardData{Title: name, Printer: j.Printer, Gauges: gaugesOf(asked)}
	page, told := filepath.Join(j.Out, name+".html"), filepath.Join(j.Out, name+".json")
	if _, err := files.Add(page, func(w io.Writer) error { return draw.Card(w, card) }); err != nil {
		return SetResult{}, err
	}
	out.Files = append(out.Files, page, told)
	if _, err := files.Add(told, func(w io.Writer) error { return encodeIndented(w, out) }); err != nil {
		return SetResult{}, err
	}
	return out, files.Commit()
}

func gaugesOf(asked []Asked) []ring.Gauge {
	out := make([]ring.Gauge, len(asked))
	for i, a := range asked {
		out[i] = a.Gauge
	}
	return out
}

// build meshes the gauge.
func (a Asked) build() (*mesh.Mesh, error) {
	m, err := mesh.Helix{ChordMM: a.Chord.MM()}.Mesh(a.Shape)
	if err != nil {
		return nil, fmt.Errorf("%s: helix mesher: %w", a.Name, err)
	}
	return m, nil
}

// title says what the gauge is.
func (a Asked) title() string { return ring.Engraved + " " + a.Label }

// header is title in the letters and the room that an STL file has.
func (a Asked) header() string {
	text := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, "mm "+strings.ReplaceAll(a.title(), "±", "+-"))
	return text[:min(len(text), build.STLHeaderBytes)]
}

// encodeSTL and encode3MF write the gauge's mesh.
func (a Asked) encodeSTL(w io.Writer, m *mesh.Mesh) error {
	return mesh.EncodeSTL(w, m, a.header())
}

func (a Asked) encode3MF(w io.Writer, m *mesh.Mesh) error {
	return mesh.Encode3MF(w, []mesh.Object{{Name: a.Name, Mesh: m}}, mesh.Meta{Title: a.title(), Description: check.Caution})
}

// write adds the gauge's two files to a pile and returns where they stand until they have their names.
func (a Asked) write(files *build.Pile, out string, m *mesh.Mesh) (stl, threeMF string, err error) {
	s, err := files.Add(filepath.Join(out, a.Name+".stl"), func(w io.Writer) error { return a.encodeSTL(w, m) })
	if err != nil {
		return "", "", err
	}
	t, err := files.Add(filepath.Join(out, a.Name+".3mf"), func(w io.Writer) error { return a.encode3MF(w, m) })
	if err != nil {
		return "", "", err
	}
	return s.Path(), t.Path(), nil
}

// prove reads both files of a gauge back: the STL must be sound and measure as modelled, the 3MF must hold the same mesh.
func (a Asked) prove(stl, threeMF string, m *mesh.Mesh) (Result, error) {
	r := newResult(a)
	info, err := os.Stat(stl)
	if err != nil {
		return r, err
	}
	back, err := mesh.LoadSTL(stl)
	if err != nil {
		return r, fmt.Errorf("reading back: %w", err)
	}
	s := mesh.Audit(back)
	r.Mesh.Triangles, r.Mesh.Bytes, r.Mesh.VolumeMM3 = len(back.Faces), info.Size(), unit.Round(s.VolumeMM3)
	r.Mesh.Closed = s.OpenEdges == 0 && s.NonmanifoldEdges == 0
	if s.Sound() && s.Shells != 1 {
		return r, fmt.Errorf("%w: it holds %d parts, one was planned", build.ErrNotProved, s.Shells)
	}
	found, err := caliper.Measure(back, caliper.Options{
		AxisHint:    &caliper.Axis{Direction: [3]float64{0, 0, 1}},
		InnerRefZMM: refZ(a.Thread, a.Shape.Inner), OuterRefZMM: refZ(a.Thread, a.Shape.Outer),
	})
	if err != nil {
		return r, fmt.Errorf("measuring: %w", err)
	}
	wanted := check.WantedThread(a.Thread, a.Modelled)
	wanted.TolMM = max(check.SizeTolMM, 2*a.Chord.MM())
	subject := check.Subject{Printer: a.Printer, Soundness: &s, Measured: &found}
	if a.Kind == ring.RingGauge {
		subject.Inner, r.Measured = wanted, found.Inner
	} else {
		subject.Outer, r.Measured = wanted, found.Outer
	}
	r.Checks = check.All(subject)
	if a.Gap == nil {
		r.Checks = append(r.Checks, a.checks()...)
	}
	var faults []error
	for _, c := range r.Checks {
		if c.Level == check.Stop {
			faults = append(faults, errors.New(c.Text))
		}
	}
	if len(faults) > 0 {
		return r, fmt.Errorf("%w: %w", build.ErrNotProved, errors.Join(faults...))
	}
	return r, build.ProveCopy(threeMF, m)
}

// refZ is the z at which the diameters of a gauge are stated: the gauge plane of a taper thread, the middle of a straight one.
func refZ(t thread.Thread, s ring.Surface) float64 {
	if t.Taper > 0 {
		return s.RefMM
	}
	return math.NaN()
}

// decisionCheck is the id of the finding on what a printed pair decides.
const decisionCheck = "decision"

// checks are the cautions that only a gauge has.
func (a Asked) checks() []check.Finding {
	d := a.Decision()
	level := check.OK
	if !d.Resolves {
		level = check.Warn
	}
	out := []check.Finding{{ID: decisionCheck, Level: level, Text: d.Words()}}
	if a.Thread.Pitch < a.Printer.MinPitch {
		out = append(out, check.Finding{ID: "pitch", Level: check.Warn, Text: fmt.Sprintf(
			"The pitch of %s is finer than the %s that this printer makes well: the gauge may decide nothing.", a.Thread.Pitch.TextMM(), a.Printer.MinPitch.TextMM())})
	}
	return out
}

// encodeIndented writes v as the JSON that scripts read.
func encodeIndented(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}

// MakePart makes and proves the two files of one part.
func (a Asked) MakePart(out string, force bool) error {
	m, err := a.build()
	if err != nil {
		return err
	}
	files := build.Pile{Force: force}
	defer files.Discard()
	stl, threeMF, err := a.write(&files, out, m)
	if err != nil {
		return err
	}
	if _, err := a.prove(stl, threeMF, m); err != nil {
		return build.Named(a.Name, err)
	}
	return files.Commit()
}
