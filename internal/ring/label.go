package ring

// This file turns words into outlines that run around the axis on the flange's face.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	v2 "github.com/deadsy/sdfx/vec/v2"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

const (
	// strokePerEm and capPerEm are the stem of a bold capital and its height, measured on the Go Bold font's "I" and "T".
	strokePerEm = 0.147
	capPerEm    = 0.723
	// curveSteps is the number of chords a glyph's quadratic curve gets: within 0.02 mm at the sizes engraved here.
	curveSteps = 4
	// unitsPerEm is the resolution at which outlines are read from the font.
	unitsPerEm = 2048
)

// lettering is the engraving font, read once.
var lettering = sync.OnceValues(func() (*sfnt.Font, error) { return sfnt.Parse(gobold.TTF) })

// letter is one glyph in em units, y up, with its advance.
type letter struct {
	glyph   Glyph
	advance float64
}

// letters returns the outlines of text, scaled to em millimetres.
func letters(text string, em float64) ([]letter, error) {
	f, err := lettering()
	if err != nil {
		return nil, fmt.Errorf("engraving font: %w", err)
	}
	var buf sfnt.Buffer
	scale := em / unitsPerEm / 64
	out := make([]letter, 0, len(text))
	for _, r := range text {
		index, err := f.GlyphIndex(&buf, r)
		if err != nil {
			return nil, fmt.Errorf("engraving %q: %w", r, err)
		}
		if index == 0 {
			return nil, fmt.Errorf("engraving: the font has no letter %q", r)
		}
		advance, err := f.GlyphAdvance(&buf, index, fixed.I(unitsPerEm), font.HintingNone)
		segments, also := f.LoadGlyph(&buf, index, fixed.I(unitsPerEm), nil)
		if err := errors.Join(err, also); err != nil {
			return nil, fmt.Errorf("engraving %q: %w", r, err)
		}
		out = append(out, letter{glyph: flatten(segments, scale), advance: float64(advance) * scale})
	}
	return out, nil
}

// flatten turns a glyph's curves into polygons, outlines counter-clockwise (the font has them clockwise, y down).
func flatten(segments sfnt.Segments, scale float64) Glyph {
	var g Glyph
	var c Contour
	point := func(p fixed.Point26_6) v2.Vec { return v2.Vec{X: float64(p.X) * scale, Y: -float64(p.Y) * scale} }
	closeContour := func() {
		if n := len(c); n > 1 && c[0].Equals(c[n-1], scale/2) { // the font repeats the first point
			c = c[:n-1]
		}
		if len(c) > 2 {
			g = append(g, c)
		}
		c = nil
	}
	for _, s := range segments {
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			closeContour()
			c = Contour{point(s.Args[0])}
		case sfnt.SegmentOpLineTo:
			c = append(c, point(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a, b, d := c[len(c)-1], point(s.Args[0]), point(s.Args[1])
			for i := 1; i <= curveSteps; i++ {
				t := float64(i) / curveSteps
				u := 1 - t
				c = append(c, a.MulScalar(u*u).Add(b.MulScalar(2*u*t)).Add(d.MulScalar(t*t)))
			}
		}
	}
	closeContour()
	return turnedOutward(g)
}

// turnedOutward reverses all contours of a glyph when its largest, which is an outline, runs clockwise.
func turnedOutward(g Glyph) Glyph {
	largest := 0.0
	for _, c := range g {
		if a := c.Area(); math.Abs(a) > math.Abs(largest) {
			largest = a
		}
	}
	if largest >= 0 {
		return g
	}
	for _, c := range g {
		slices.Reverse(c)
	}
	return g
}

// width returns the length of text on its base line.
func width(ls []letter) float64 {
	sum := 0.0
	for _, l := range ls {
		sum += l.advance
	}
	return sum
}

// around sets letters clockwise along the circle of the given radius, feet towards the axis, the middle of the text at
// the angle mid (radians, counter-clockwise from +x). Each letter stays straight, turned to its place.
func around(ls []letter, radius, mid float64) []Glyph {
	var out []Glyph
	at := mid + width(ls)/2/radius
	for _, l := range ls {
		angle := at - l.advance/2/radius
		at -= l.advance / radius
		if len(l.glyph) == 0 {
			continue // a space
		}
		sin, cos := math.Sincos(angle)
		placed := make(Glyph, len(l.glyph))
		for i, c := range l.glyph {
			placed[i] = make(Contour, len(c))
			for j, p := range c {
				// x runs along the circle clockwise, y away from the axis.
				x, y := p.X-l.advance/2, radius+p.Y
				placed[i][j] = v2.Vec{X: y*cos + x*sin, Y: y*sin - x*cos}
			}
		}
		out = append(out, placed)
	}
	return out
}
