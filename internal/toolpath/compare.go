package toolpath

// This file compares a print with the ring that was drawn: scaled, or its outlines grown or shrunk in the slicer.

import "math"

// Change is what a slicer did to a ring.
type Change struct {
	// Across and Along are the scales across the axis and along it.
	Across, Along float64
	// GrownMM is how far the outlines were moved into the air, on each side; below zero into the material.
	GrownMM float64
}

const (
	// scaleTol is how far a scale may lie from 1: a tenth of a millimetre at 50 mm.
	scaleTol = 0.002
	// grownTolMM is how far outlines may be moved: some slicers take a bead for a rectangle of its width, which makes it wider by
	// 0.21 h, 0.02 mm to either side at layers of 0.2 mm.
	grownTolMM = 0.04
	// layerTolMM is how far a layer may differ from the one that a ring was made for: the last digit that slicers show.
	layerTolMM = 0.005
)

// Scaled says that the print is of another size than the ring.
func (c Change) Scaled() bool {
	return math.Abs(c.Across-1) > scaleTol || math.Abs(c.Along-1) > scaleTol
}

// Grown says that its outlines were moved.
func (c Change) Grown() bool { return math.Abs(c.GrownMM) > grownTolMM }

// InLayersOf says that the print has the layers that a ring was made for, mm.
func (p *Print) InLayersOf(mm float64) bool { return math.Abs(p.LayerMM-mm) <= layerTolMM }

// EndsBefore says that the print is not as tall as it should be, mm.
func (p *Print) EndsBefore(mm float64) bool { return p.HeightMM < mm-2*p.LayerMM }

// Compare fits scale s and growth g to the crests and roots of all threads: a diameter D becomes s D + 2 g where material lies inside
// of it, s D - 2 g where it lies outside, by least squares. With the threads of one side alone scale and growth are the same to the
// eye, and all is taken for growth.
func Compare(walls []Wall) (c Change) {
	var dd, dn, nn, yd, yn float64
	sides := map[bool]bool{}
	for _, w := range walls {
		sign := w.of.toward()
		sides[w.of.External] = true
		c.Along += w.Pitch.MM() / w.of.Pitch.MM() / float64(len(walls))
		for _, d := range [][2]float64{{w.of.Modelled.Major.MM(), w.OutlineMajor.MM()}, {w.of.Modelled.Minor.MM(), w.OutlineMinor.MM()}} {
			dd, dn, nn = dd+d[0]*d[0], dn+d[0]*2*sign, nn+4
			yd, yn = yd+(d[1]-d[0])*d[0], yn+(d[1]-d[0])*2*sign
		}
	}
	c.Across = 1
	if len(sides) < 2 {
		c.GrownMM = yn / nn
		return c
	}
	det := dd*nn - dn*dn
	c.Across += (yd*nn - yn*dn) / det
	c.GrownMM = (yn*dd - yd*dn) / det
	return c
}
