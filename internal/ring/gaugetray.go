package ring

// This file plans the trays of a drawer: flat blocks with a well for each gauge and its name engraved beside the well.

import (
	"fmt"
	"math"

	v2 "github.com/deadsy/sdfx/vec/v2"

	"tryring/internal/printer"
)

// Pocket is sunk into a tray's top face: outlines counter-clockwise, islands clockwise, as deep as DepthMM.
type Pocket struct {
	Glyph
	DepthMM float64
}

// Slab is a flat body with pockets, from z = 0 to ThicknessMM.
type Slab struct {
	ThicknessMM float64
	Outline     Contour
	Pockets     []Pocket
	// Sole is the outline up to SoleMM where it is another, inside Outline; nil where it is the same.
	Sole   Contour `json:",omitempty"`
	SoleMM float64 `json:",omitempty"`
}

// Tray is a flat block with wells, its corner at the origin.
type Tray struct {
	Slab
	WidthMM, DepthMM float64
	// Wells are the round pockets, in the order of the things that lie in them.
	Wells []WellPlace
}

// Well is asked of a tray: a round place for something AcrossMM wide, with its name.
type Well struct {
	// Label stands beside the well, a line each.
	Label    []string
	AcrossMM float64
}

// WellPlace is where a well came to lie.
type WellPlace struct {
	// Index is the well's number in the order asked, Row and Column are its place from the front left, from 1.
	Index, Row, Column int
	// X and Y are its middle, RadiusMM its radius.
	X, Y, RadiusMM float64
}

// The sizes of a tray, millimetres. All are common practice, no published source.
const (
	// trayFloorMM is left under a well, wellMM its depth: past the flange, so that the gauge cannot tip out.
	trayFloorMM, wellMM = 1.2, 3.6
	// wellPlayMM is the play around a gauge, on the diameter: it goes in whatever the printer adds.
	wellPlayMM = 1.2
	// trayWallMM stands around wells and words.
	trayWallMM = 1.6
	// bedEdgeMM is kept free along the bed's edges.
	bedEdgeMM = 2.0
	// largestTrayMM keeps a tray inside the exact range of the vertex grid.
	largestTrayMM = 250.0
	// wellStepMM is the chord of a well's rim.
	wellStepMM = 1.0
)

// cell is a well with its label, before it has its place.
type cell struct {
	lines      [][]letter
	radius     float64
	wide, deep float64
}

// PlanTrays lays wells out in rows, in their order, on as few trays as the printer's bed asks for. Wells that with their
// label are larger than the bed are left out and named by their number.
func PlanTrays(wells []Well, p printer.Profile) (trays []Tray, leftOut []int, err error) {
	wide := math.Min(p.BedX.MM()-2*bedEdgeMM, largestTrayMM)
	deep := math.Min(p.BedY.MM()-2*bedEdgeMM, largestTrayMM)
	pen := TopPen(p)
	caution, err := letters(Engraved, pen)
	if err != nil {
		return nil, nil, err
	}
	footer := pen.CapMM() + 2*trayWallMM
	t := newTrayBuilder(pen, pocketDepth(p))
	x, y, row := 0.0, footer, 0.0
	for i, w := range wells {
		c, err := newCell(w, pen)
		if err != nil {
			return nil, nil, err
		}
		if c.wide > wide || c.deep+footer > deep {
			leftOut = append(leftOut, i)
			continue
		}
		if x > 0 && x+c.wide > wide {
			x, y, row = 0, y+row, 0
			t.nextRow()
		}
		if y+c.deep > deep && len(t.tray.Wells) > 0 {
			trays = append(trays, t.done(caution))
			t = newTrayBuilder(pen, pocketDepth(p))
			x, y, row = 0, footer, 0
		}
		t.add(i, c, x, y)
		x, row = x+c.wide, math.Max(row, c.deep)
	}
	if len(t.tray.Wells) > 0 {
		trays = append(trays, t.done(caution))
	}
	return trays, leftOut, nil
}

func newCell(w Well, pen Pen) (cell, error) {
	c := cell{radius: (w.AcrossMM + wellPlayMM) / 2}
	c.wide = 2 * c.radius
	for _, line := range w.Label {
		ls, err := letters(line, pen)
		if err != nil {
			return c, fmt.Errorf("label %q: %w", line, err)
		}
		c.lines = append(c.lines, ls)
		c.wide = math.Max(c.wide, width(ls))
	}
	c.wide += 2 * trayWallMM
	c.deep = 2*c.radius + float64(len(c.lines))*pen.RowMM() + 2*trayWallMM
	return c, nil
}

// trayBuilder fills one tray.
type trayBuilder struct {
	tray             Tray
	pen              Pen
	engrave          float64
	row, column      int
	widest, farthest float64
}

func newTrayBuilder(pen Pen, engrave float64) *trayBuilder {
	return &trayBuilder{
		pen: pen, engrave: engrave, row: 1,
		tray: Tray{Slab: Slab{ThicknessMM: trayFloorMM + wellMM}},
	}
}

func (t *trayBuilder) nextRow() { t.row, t.column = t.row+1, 0 }

// add sets a cell with its front left corner at (x, y): the label in front, the well behind it.
func (t *trayBuilder) add(index int, c cell, x, y float64) {
	t.column++
	middle := x + c.wide/2
	for i, line := range c.lines {
		base := y + trayWallMM + t.pen.DropMM() + float64(len(c.lines)-1-i)*t.pen.RowMM()
		t.words(line, middle-width(line)/2, base)
	}
	w := WellPlace{Index: index, Row: t.row, Column: t.column, X: middle, Y: y + c.deep - trayWallMM - c.radius, RadiusMM: c.radius}
	t.tray.Wells = append(t.tray.Wells, w)
	t.tray.Pockets = append(t.tray.Pockets, Pocket{Glyph: Glyph{circle(w.X, w.Y, w.RadiusMM)}, DepthMM: wellMM})
	t.widest, t.farthest = math.Max(t.widest, x+c.wide), math.Max(t.farthest, y+c.deep)
}

// words engraves a line from x on, on the base line y.
func (t *trayBuilder) words(line []letter, x, y float64) {
	for _, g := range along(line, x, y) {
		t.tray.Pockets = append(t.tray.Pockets, Pocket{Glyph: g, DepthMM: t.engrave})
	}
}

// done closes the tray with the caution along its front edge.
func (t *trayBuilder) done(caution []letter) Tray {
	w := math.Max(t.widest, width(caution)+2*trayWallMM)
	t.words(caution, (w-width(caution))/2, trayWallMM)
	t.tray.WidthMM, t.tray.DepthMM = w, t.farthest
	t.tray.Outline = Contour{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: t.farthest}, {X: 0, Y: t.farthest}}
	return t.tray
}

// circle is a counter-clockwise polygon about (x, y) whose sides touch the circle from outside, so that what fits the
// circle fits the polygon.
func circle(x, y, radius float64) Contour {
	n := max(24, int(math.Ceil(2*math.Pi*radius/wellStepMM)))
	r := radius / math.Cos(math.Pi/float64(n))
	c := make(Contour, n)
	for i := range c {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		c[i] = v2.Vec{X: x + r*cos, Y: y + r*sin}
	}
	return c
}
