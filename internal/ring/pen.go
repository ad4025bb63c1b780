package ring

// This file sets engraved words: how wide a printer needs their strokes, and where each letter stands.

import (
	"fmt"
	"math"

	v2 "github.com/deadsy/sdfx/vec/v2"

	"tryring/internal/printer"
)

// Pen is what an engraving is drawn with: all lengths follow from the width of its strokes and of what stands between them.
type Pen struct {
	// StrokeMM is the width of the strokes as drawn, GapMM the least width of the islets in letters and between parallel strokes
	// and letters.
	StrokeMM, GapMM float64
}

// What a printer makes of strokes, in widths of its line; common practice, no published source, and held by what a slicer lays.
const (
	// capMM is the least height of engraved capitals: legible at arm's length.
	capMM = 3.0
	// topStrokeLines and topGapLines are those of a face that is printed last: a stroke narrower than a line is closed by what the
	// lines beside it bulge, a wall of less than a line is left out, and one of less than two is laid over itself.
	topStrokeLines, topGapLines = 1.4, 1.9
	// bedStrokeLines is what is left of a stroke on the bed when the first layer has spread from both sides; what stands between
	// gains as much. leastGap is the narrowest gap, in strokes, that the forms of the lettering are drawn for.
	bedStrokeLines, bedGapLines, leastGap = 2.0, 1.9, 0.6
)

// TopPen draws for faces that are printed last.
func TopPen(p printer.Profile) Pen {
	return Pen{topStrokeLines * p.Nozzle.MM(), topGapLines * p.Nozzle.MM()}.legible()
}

// BedPen draws for the face on the bed: two lines and twice what the first layer spreads.
func BedPen(p printer.Profile) Pen {
	stroke := bedStrokeLines*p.Nozzle.MM() + 2*p.FirstLayerSpread.MM()
	return Pen{stroke, math.Max(bedGapLines*p.Nozzle.MM(), leastGap*stroke)}.legible()
}

// legible is the pen, widened where its capitals would be too small to read.
func (p Pen) legible() Pen {
	more := math.Max(1, capMM/p.CapMM())
	return Pen{p.StrokeMM * more, p.GapMM * more}
}

// step is the unit of the lettering: half of a stroke and a gap.
func (p Pen) step() float64 { return (p.StrokeMM + p.GapMM) / 2 }

// CapMM is the height of capitals and digits: three strokes, two gaps.
func (p Pen) CapMM() float64 { return 4*p.step() + p.StrokeMM }

// DropMM is how far letters reach below the base line, RowMM the distance of two lines of text.
func (p Pen) DropMM() float64 { return 2 * p.step() }

// RowMM is the distance from one base line to the next: with room for what hangs below it.
func (p Pen) RowMM() float64 { return p.CapMM() + p.DropMM() + p.GapMM }

// letter is one sign, its lower left corner at the origin, y up, with its advance. Signs without a form below are blanks.
type letter struct {
	glyph   Glyph
	advance float64
}

// letters returns the outlines of text.
func letters(text string, pen Pen) ([]letter, error) {
	signs, err := lettering()
	if err != nil {
		return nil, err
	}
	var out []letter
	half, step := pen.StrokeMM/2, pen.step()
	for _, r := range text {
		drawn, ok := signs[r]
		if !ok {
			return nil, fmt.Errorf("engraving: no letter is drawn for %q; those from A to Z, figures and common signs are", r)
		}
		wide := 0.0
		for _, s := range drawn {
			for _, p := range s {
				wide = math.Max(wide, p.X)
			}
		}
		glyph := drawn.outlines(step, half).moved(v2.Vec{X: half, Y: half}.Add)
		out = append(out, letter{glyph, wide*step + pen.StrokeMM + pen.GapMM})
	}
	return out, nil
}

// width returns the length of text on its base line.
func width(ls []letter) float64 {
	sum := 0.0
	for _, l := range ls {
		sum += l.advance
	}
	return sum
}

// moved is a glyph with each corner in its new place.
func (g Glyph) moved(to func(p v2.Vec) v2.Vec) Glyph {
	placed := make(Glyph, len(g))
	for i, c := range g {
		for _, p := range c {
			placed[i] = append(placed[i], to(p))
		}
	}
	return placed
}

// along sets letters from (x, y) on along x.
func along(ls []letter, x, y float64) (out []Glyph) {
	for _, l := range ls {
		if len(l.glyph) > 0 {
			out = append(out, l.glyph.moved(v2.Vec{X: x, Y: y}.Add))
		}
		x += l.advance
	}
	return out
}

// around sets letters clockwise along the circle of the given radius, feet towards the axis, the middle of the text at
// the angle mid (radians, counter-clockwise from +x). Each letter stays straight, turned to its place.
func around(ls []letter, radius, mid float64) (out []Glyph) {
	at := mid + width(ls)/2/radius
	for _, l := range ls {
		angle := at - l.advance/2/radius
		at -= l.advance / radius
		if len(l.glyph) == 0 {
			continue // a space
		}
		sin, cos := math.Sincos(angle)
		out = append(out, l.glyph.moved(func(p v2.Vec) v2.Vec {
			// x runs along the circle clockwise, y away from the axis.
			x, y := p.X-l.advance/2, radius+p.Y
			return v2.Vec{X: float64(y*cos) + float64(x*sin), Y: float64(y*sin) - float64(x*cos)}
		}))
	}
	return out
}
