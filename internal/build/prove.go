package build

// This file proves what was made: solids as they were read back, and 3MF files against what was written.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// ErrNotProved says that a finished file does not hold what was planned. No file is left of it.
var ErrNotProved = errors.New("the file does not hold what was planned, and was removed")

// Solid is a solid as it was read back from its STL file.
type Solid struct {
	Mesh      *mesh.Mesh
	Soundness mesh.Soundness
	// Bytes is the size of the file.
	Bytes int64
}

// Result tells what the mesh is like that was made within chord of the ideal surface.
func (s Solid) Result(chord unit.Length) MeshResult {
	return MeshResult{
		Triangles: len(s.Mesh.Faces), Closed: s.Soundness.Closed(),
		VolumeMM3: unit.Round(s.Soundness.VolumeMM3), ChordMM: unit.RoundMM(chord), Bytes: s.Bytes,
	}
}

// sound fails unless the solid is one closed shell that faces outward.
func (s Solid) sound() error {
	switch {
	case !s.Soundness.Sound():
		return fmt.Errorf("%w: it is not sound: %s", ErrNotProved, strings.Join(s.Soundness.Faults(), ", "))
	case s.Soundness.Shells != 1:
		return fmt.Errorf("%w: it holds %d parts, one was planned", ErrNotProved, s.Soundness.Shells)
	}
	return nil
}

// holds fails unless the solid has the faces of m, in their order and to the last bit.
func (s Solid) holds(m *mesh.Mesh) error {
	same := len(s.Mesh.Faces) == len(m.Faces)
	for i := 0; same && i < len(m.Faces); i++ {
		for k, corner := range m.Faces[i] {
			same = same && s.Mesh.Vertices[s.Mesh.Faces[i][k]] == m.Vertices[corner]
		}
	}
	if !same {
		return fmt.Errorf("%w: its faces differ from those that were written", ErrNotProved)
	}
	return nil
}

// Check measures the solid's threads at the given z (NaN for the middle), and applies all checks.
// The error is ErrNotProved (wrapped) when one of them says stop.
func (s Solid) Check(subject check.Subject, innerRefMM, outerRefMM float64) (caliper.Report, []check.Finding, error) {
	found, err := caliper.Measure(s.Mesh, caliper.Options{InnerRefZMM: innerRefMM, OuterRefZMM: outerRefMM})
	if err != nil {
		return caliper.Report{}, nil, fmt.Errorf("measuring: %w", err)
	}
	subject.Measured = &found
	findings, err := s.judged(subject)
	return found, findings, err
}

// CheckLeaf measures the solid's edges and applies all checks of a leaf; the error is as that of Check.
func (s Solid) CheckLeaf(l ring.Leaf, p printer.Profile) ([]check.Finding, error) {
	return s.judged(check.Subject{Leaf: &l, Body: s.Mesh, Printer: p})
}

// judged applies all checks to a solid.
func (s Solid) judged(subject check.Subject) ([]check.Finding, error) {
	subject.Soundness = &s.Soundness
	findings := check.All(subject)
	var faults []error
	for _, c := range findings {
		if c.Level == check.Stop {
			faults = append(faults, errors.New(c.Text))
		}
	}
	if len(faults) > 0 {
		return findings, fmt.Errorf("%w: %w", ErrNotProved, errors.Join(faults...))
	}
	return findings, nil
}

// Measures fails unless the box around the solid has the given sizes, mm along x, y and z.
func (s Solid) Measures(sizes [3]float64) error {
	for axis, size := range sizes {
		if got := s.Soundness.BoundsMM[1][axis] - s.Soundness.BoundsMM[0][axis]; math.Abs(got-size) > check.SizeTolMM {
			return fmt.Errorf("%w: it measures %.3f mm where %.3f mm was planned", ErrNotProved, got, size)
		}
	}
	return nil
}

// placeTolMM is how far a place on a plate may be off: 3MF files keep thousandths.
const placeTolMM = 0.001

// same fails unless the objects that were found are those that were written: names, places, and meshes to the last bit.
func same(found, wrote []mesh.Object) error {
	if len(found) != len(wrote) {
		return fmt.Errorf("%w: it holds %d parts, not %d", ErrNotProved, len(found), len(wrote))
	}
	for i, f := range found {
		w := wrote[i]
		if f.Name != w.Name || !slices.Equal(f.Mesh.Vertices, w.Mesh.Vertices) || !slices.Equal(f.Mesh.Faces, w.Mesh.Faces) ||
			!(math.Hypot(f.X-w.X, f.Y-w.Y) <= placeTolMM) {
			return fmt.Errorf("%w: part %d differs from %s", ErrNotProved, i+1, w.Name)
		}
	}
	return nil
}

// onBed fails unless the objects of a plate, which are proved parts, stand on the bed of p, and are clear of each other.
func onBed(objects []mesh.Object, p printer.Profile) error {
	boxes := make([][2][3]float64, len(objects))
	for i, o := range objects {
		box := o.Mesh.Bounds()
		for k := range box {
			box[k][0] += o.X
			box[k][1] += o.Y
		}
		size := [3]float64{p.BedX.MM(), p.BedY.MM(), p.BedZ.MM()}
		if box[0][2] > 0 {
			return fmt.Errorf("%w: %s floats %.3f mm above the bed", ErrNotProved, o.Name, box[0][2])
		}
		for axis := range size {
			if box[0][axis] < 0 || box[1][axis] > size[axis] {
				return fmt.Errorf("%w: %s reaches past the bed of printer %s", ErrNotProved, o.Name, p.Name)
			}
		}
		for j := range i {
			if box[0][0] < boxes[j][1][0] && boxes[j][0][0] < box[1][0] && box[0][1] < boxes[j][1][1] && boxes[j][0][1] < box[1][1] {
				return fmt.Errorf("%w: %s and %s overlap", ErrNotProved, objects[j].Name, o.Name)
			}
		}
		boxes[i] = box
	}
	return nil
}
