package pose

// This file holds the marks: black discs on a square lattice that leave the middle free, told apart by their holes.

import "math"

// Mark is one disc on the sheet, its middle in mm as drawn.
type Mark struct {
	X, Y float64
	// Holes is how many holes the disc has, 1 to 3.
	Holes       int
	column, row int
}

const (
	// StepMM is the distance of neighbours, RadiusMM the radius of a disc.
	StepMM, RadiusMM = 19.0, 4.4
	// HalfWideMM and HalfHighMM are how far the marks reach from the middle of the sheet: more than 15 mm stay white around
	// them on A4 and Letter, where home printers do not print.
	HalfWideMM, HalfHighMM = 4.5*StepMM + RadiusMM, 6*StepMM + RadiusMM
	// FreeWideMM, FreeFromMM and FreeToMM bound the free place: from -FreeWideMM to FreeWideMM across, from FreeFromMM to
	// FreeToMM up the sheet.
	FreeWideMM, FreeFromMM, FreeToMM = 3.5*StepMM - RadiusMM, -4*StepMM + RadiusMM, 5*StepMM - RadiusMM
	// PlaceMM is where up the sheet the part's axis is to lie, WordsToMM how far up the free place words stand.
	PlaceMM, WordsToMM = -8.0, -48.0
	// LineMM is the line on the sheet that a ruler is held to.
	LineMM = 150.0
)

// rows are the holes of the discs from the upper row down, drawn by lot so that no window of two by two comes often; a point
// is a free place.
var rows = []string{
	"1323112231",
	"2113321213",
	"32......12",
	"13......31",
	"21......23",
	"33......11",
	"12......32",
	"31......22",
	"22......13",
	"13......21",
	"3122131332",
	"1231323121",
	"2313212133",
}

// Marks are all marks of the sheet.
func Marks() (all []Mark) {
	for i, row := range rows {
		for k, sign := range row {
			if sign != '.' {
				all = append(all, Mark{X: (float64(k) - 4.5) * StepMM, Y: (6 - float64(i)) * StepMM, Holes: int(sign - '0'), column: k, row: len(rows) - 1 - i})
			}
		}
	}
	return all
}

// Printed tells whether a place lies on a mark or within a margin about it, or beyond all marks.
func Printed(x, y, margin float64) bool {
	column, row := math.Round(x/StepMM+4.5), math.Round(y/StepMM+6)
	return column >= 0 && row >= 0 && column <= 9 && row <= 12 && rows[12-int(row)][int(column)] != '.' && math.Hypot(x-(column-4.5)*StepMM, y-(row-6)*StepMM) < RadiusMM+margin
}

// Hole is a round hole of a disc, from its middle.
type Hole struct{ X, Y, Radius float64 }

// HolesOf are the holes of a disc with so many: one in its middle, or two or three evenly around it. Their sizes leave a rim and
// ribs of a millimetre and more, three pixels on a picture of 3 megapixels that shows the whole sheet from 20 degrees.
func HolesOf(n int) (holes []Hole) {
	if n == 1 {
		return []Hole{{0, 0, 1.4}}
	}
	for i := range n {
		across, up := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		if n == 2 { // side by side, since a slanting view draws the sheet together upward
			across, up = up, across
		}
		holes = append(holes, Hole{2.1 * across, 2.1 * up, 1.1})
	}
	return holes
}
