package build

// This file lays the rungs of a ladder on the printer's bed, and makes and proves the plates.

import (
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"

	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Gaps on the bed, mm; common practice, no published source.
const (
	// BedMarginMM is kept free along the edges of the bed, for the skirt and where plates hold badly.
	BedMarginMM = 5.0
	// partGapMM stands between two parts, so that a nozzle's fan does not push one into the other.
	partGapMM = 4.0
)

// Placed is one part on a plate: the middle of its box in the bed's own x and y, mm.
type Placed struct {
	Part int
	X, Y float64
}

// Shelves lays parts that fit into circles of the given diameters on as few plates as rows allow, in their order: rows
// along x, each as deep as its largest part. The error names the part that does not fit at all.
func Shelves(diameters []float64, p printer.Profile) ([][]Placed, error) {
	wide, deep := p.BedX.MM()-2*BedMarginMM, p.BedY.MM()-2*BedMarginMM
	var plates [][]Placed
	var plate []Placed
	x, y, row := 0.0, 0.0, 0.0
	for i, d := range diameters {
		if d > wide || d > deep {
			return nil, fmt.Errorf("part %d is %.1f mm across; the bed of printer %s leaves %.0f x %.0f mm within its margin of %.0f mm", i+1, d, p.Name, wide, deep, BedMarginMM)
		}
		if x > 0 && x+d > wide { // next row
			x, y, row = 0, y+row+partGapMM, 0
		}
		if y > 0 && y+d > deep { // next plate
			plates, plate = append(plates, plate), nil
			x, y, row = 0, 0, 0
		}
		plate = append(plate, Placed{Part: i, X: BedMarginMM + x + d/2, Y: BedMarginMM + y + d/2})
		x, row = x+d+partGapMM, max(row, d)
	}
	if len(plate) > 0 {
		plates = append(plates, plate)
	}
	return plates, nil
}

// Across is the diameter of the circle around the axis that holds the part, mm.
func Across(s ring.Shape) float64 {
	r := max(s.Outer.MajorRadius(s.Outer.From), s.Outer.MajorRadius(s.Outer.To))
	if s.Outer.Lo != nil {
		r = max(r, s.Outer.Lo.At(s.Outer.From))
	}
	if s.Flange != nil {
		for _, p := range s.Flange.Outline {
			r = max(r, math.Hypot(p.X, p.Y))
		}
	}
	return 2 * r
}

// Standing is one part of a ladder that stands on a plate.
type Standing struct {
	// Rung is the rung that it belongs to.
	Rung string
	// Name is the part's own, STL its finished file.
	Name, STL string
	Shape     ring.Shape
}

// LayPlates lays parts out on the bed of p.
func LayPlates(parts []Standing, p printer.Profile) ([][]Placed, error) {
	diameters := make([]float64, len(parts))
	for i, s := range parts {
		diameters[i] = math.Ceil(Across(s.Shape)*10) / 10
		if tall := unit.MM(s.Shape.HeightMM); tall > p.BedZ {
			return nil, fmt.Errorf("rung %s is %s tall; printer %s reaches %s", s.Rung, tall.TextMM(), p.Name, p.BedZ.TextMM())
		}
	}
	return Shelves(diameters, p)
}

// PlatePath is the path of plate k of n.
func (a Asked) PlatePath(k, n int) string {
	if n == 1 {
		return a.Path("-plate.3mf")
	}
	return a.Path(fmt.Sprintf("-plate-%d.3mf", k+1))
}

// PlateResult is one plate as it was made.
type PlateResult struct {
	File string `json:"file"`
	// Parts are the rungs on it, in rows from the front left.
	Parts []PlatePart `json:"parts"`
}

// PlatePart is one rung on a plate; the middle of the ring in the bed's own x and y.
type PlatePart struct {
	Rung string  `json:"rung"`
	Name string  `json:"name"`
	XMM  float64 `json:"x_mm"`
	YMM  float64 `json:"y_mm"`
}

// MakePlate writes a plate at path from the finished files of parts, reads it back, and gives it its name. What says what
// the ladder is of.
func MakePlate(path, what string, parts []Standing, plate []Placed, p printer.Profile, force bool) (PlateResult, error) {
	out := PlateResult{File: path}
	var objects []mesh.Object
	for _, at := range plate {
		s := parts[at.Part]
		m, err := mesh.LoadSTL(s.STL)
		if err != nil {
			return out, err
		}
		objects = append(objects, mesh.Object{Name: s.Name, Mesh: m, X: at.X, Y: at.Y})
		out.Parts = append(out.Parts, PlatePart{Rung: s.Rung, Name: s.Name, XMM: unit.Round(at.X), YMM: unit.Round(at.Y)})
	}
	meta := mesh.Meta{Title: ring.Engraved + " ladder " + what, Description: check.Caution}
	file, err := whole.Prepare(path, force, func(w io.Writer) error { return mesh.Encode3MF(w, objects, meta) })
	if err != nil {
		return out, err
	}
	defer func() { _ = file.Discard() }() // does nothing once the file has its name
	if err := ProvePlate(file.Path(), objects, p); err != nil {
		return out, fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return out, file.Commit()
}

// ProvePlate reads a plate back: each object is there under its name and to the last bit, sound, inside the bed, and
// clear of all others.
func ProvePlate(path string, wanted []mesh.Object, p printer.Profile) error {
	found, _, err := mesh.Decode3MF(path)
	if err != nil {
		return fmt.Errorf("reading back: %w", err)
	}
	if len(found) != len(wanted) {
		return fmt.Errorf("%w: it holds %d parts, not %d", ErrNotProved, len(found), len(wanted))
	}
	boxes := make([][2][3]float64, len(found))
	for i, o := range found {
		w := wanted[i]
		if o.Name != w.Name || !slices.Equal(o.Mesh.Vertices, w.Mesh.Vertices) || !slices.Equal(o.Mesh.Faces, w.Mesh.Faces) {
			return fmt.Errorf("%w: part %d differs from %s", ErrNotProved, i+1, w.Name)
		}
		s := mesh.Audit(o.Mesh)
		if !s.Sound() {
			return fmt.Errorf("%w: %s is not sound", ErrNotProved, o.Name)
		}
		box := s.BoundsMM
		for k := range box {
			box[k][0] += o.X
			box[k][1] += o.Y
		}
		if box[0][0] < 0 || box[0][1] < 0 || box[1][0] > p.BedX.MM() || box[1][1] > p.BedY.MM() || box[1][2] > p.BedZ.MM() {
			return fmt.Errorf("%w: %s stands over the edge of the bed", ErrNotProved, o.Name)
		}
		for j := range i {
			if box[0][0] < boxes[j][1][0] && boxes[j][0][0] < box[1][0] && box[0][1] < boxes[j][1][1] && boxes[j][0][1] < box[1][1] {
				return fmt.Errorf("%w: %s and %s overlap", ErrNotProved, found[j].Name, o.Name)
			}
		}
		boxes[i] = box
	}
	return nil
}

// BedWords says how large the bed is.
func BedWords(p printer.Profile) string {
	return fmt.Sprintf("%s x %s mm", unit.Short(p.BedX.MM()), unit.Short(p.BedY.MM()))
}
