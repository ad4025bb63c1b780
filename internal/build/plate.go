package build

// This file lays parts on a printer's bed, and makes the plates.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"path"
	"slices"

	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// Plate is NAME.3mf, parts of the set that stand on the printer's bed together.
type Plate struct {
	Name   string
	Title  string
	Places []Placed
	// Key tells all that the plate is made from; "" when it is made anew each time.
	Key string
}

// Placed is one part on a plate: its number in the set, and the middle of its box in the bed's own x and y, mm.
type Placed struct {
	Part int
	X, Y float64
}

// plate makes one plate from the finished files of its parts, or keeps it.
func (m *making) plate(_ context.Context, p Plate) error {
	if m.keep(p.Name, p.Key, []string{p.Name + threeMFEnding}) {
		return nil
	}
	var objects []mesh.Object
	for _, at := range p.Places {
		name := m.Parts[at.Part].Name
		s, err := m.readSTL(name + stlEnding)
		if err != nil {
			return err
		}
		objects = append(objects, mesh.Object{Name: path.Base(name), Mesh: s.Mesh, X: at.X, Y: at.Y})
	}
	found, err := m.add3MF(p.Name, p.Title, objects)
	if err != nil {
		return err
	}
	if err := onBed(found, m.Bed); err != nil {
		return named(m.store.Path(p.Name+threeMFEnding), err)
	}
	m.step()
	return nil
}

// Gaps on the bed, mm; common practice, no published source.
const (
	// bedMarginMM is kept free along the edges of the bed, for the skirt and where plates hold badly.
	bedMarginMM = 5.0
	// partGapMM stands between two parts, so that a nozzle's fan does not push one into the other.
	partGapMM = 4.0
)

// Standing is a part that is to stand on the bed; Name is what its faults call it.
type Standing struct {
	Name  string
	Shape ring.Shape
}

// Lay lays parts out on the bed of p, on as few plates as rows allow: in their order, or the largest first, so that rows fill.
// All parts that are too large for the bed are reported.
func Lay(parts []Standing, p printer.Profile, largestFirst bool) ([][]Placed, error) {
	order, sizes := make([]int, len(parts)), make([]float64, len(parts))
	free := min(p.BedX, p.BedY).MM() - 2*bedMarginMM
	var faults []error
	for i, s := range parts {
		order[i], sizes[i] = i, math.Ceil(Across(s.Shape)*10)/10
		if sizes[i] > free {
			faults = append(faults, fmt.Errorf("%s is %.1f mm across; the bed of printer %s leaves %.0f mm within its margin of %.0f mm", s.Name, sizes[i], p.Name, free, bedMarginMM))
		}
		if tall := unit.MM(s.Shape.HeightMM); tall > p.BedZ {
			faults = append(faults, fmt.Errorf("%s is %s tall; printer %s reaches %s", s.Name, tall.TextMM(), p.Name, p.BedZ.TextMM()))
		}
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	if largestFirst {
		slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(sizes[j], sizes[i]) })
	}
	return shelves(order, sizes, p), nil
}

// shelves lays parts that fit into circles of the given diameters out, in the given order: rows along x, each as deep as its
// largest part.
func shelves(order []int, diameters []float64, p printer.Profile) [][]Placed {
	wide, deep := p.BedX.MM()-2*bedMarginMM, p.BedY.MM()-2*bedMarginMM
	var plates [][]Placed
	var plate []Placed
	x, y, row := 0.0, 0.0, 0.0
	for _, i := range order {
		d := diameters[i]
		if x > 0 && x+d > wide { // next row
			x, y, row = 0, y+row+partGapMM, 0
		}
		if y > 0 && y+d > deep { // next plate
			plates, plate = append(plates, plate), nil
			x, y, row = 0, 0, 0
		}
		plate = append(plate, Placed{Part: i, X: bedMarginMM + x + d/2, Y: bedMarginMM + y + d/2})
		x, row = x+d+partGapMM, max(row, d)
	}
	if len(plate) > 0 {
		plates = append(plates, plate)
	}
	return plates
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
