package ring

// This file holds the grip flange: its outline, its engraving, and both as sdfx bodies.

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v2 "github.com/deadsy/sdfx/vec/v2"
	v3 "github.com/deadsy/sdfx/vec/v3"
)

// Contour is a closed polygon in the plane, millimetres, its last point joined to its first.
type Contour []v2.Vec

// Area returns the signed area: positive for a counter-clockwise contour.
func (c Contour) Area() float64 {
	sum := 0.0
	for i, p := range c {
		q := c[(i+1)%len(c)]
		sum += p.X*q.Y - q.X*p.Y
	}
	return sum / 2
}

// width is the least distance of two parallel lines that the corners lie between: one of them runs along a side, or along the
// chord of a hollow.
func (c Contour) width() float64 {
	least := math.Inf(1)
	for i, p := range c {
		for _, q := range c[:i] {
			low, high := 0.0, 0.0
			d := q.Sub(p).Normalize()
			for _, r := range c {
				across := d.X*(r.Y-p.Y) - d.Y*(r.X-p.X)
				low, high = math.Min(low, across), math.Max(high, across)
			}
			least = math.Min(least, high-low)
		}
	}
	return least
}

// Glyph is one engraved letter: its outlines counter-clockwise, the islands in them clockwise.
type Glyph []Contour

// Flange is the grip at the lower end of a ring, a prism from z = 0 to ThicknessMM with words sunk into both faces.
type Flange struct {
	ThicknessMM float64
	// Outline is counter-clockwise around the axis.
	Outline Contour
	// Top is sunk into the face at ThicknessMM, Bed into that at z = 0, where it reads from below.
	Top, Bed Engraving
}

// reach is the largest radius of the flange.
func (f *Flange) reach() (r float64) {
	for _, p := range f.Outline {
		r = math.Max(r, math.Hypot(p.X, p.Y))
	}
	return r
}

// solid returns the flange without its engraving.
func (f *Flange) solid() (sdf.SDF3, error) {
	outline, err := sdf.Polygon2D(f.Outline)
	if err != nil {
		return nil, err
	}
	return prism(outline, 0, f.ThicknessMM), nil
}

// pockets returns the body that the engravings take away.
func (f *Flange) pockets() (sdf.SDF3, error) {
	top, err := pockets(f.Top.Glyphs, f.ThicknessMM-f.Top.DepthMM, f.ThicknessMM+cutMM)
	if err != nil {
		return nil, err
	}
	bed, err := pockets(f.Bed.Glyphs, -cutMM, f.Bed.DepthMM)
	return sdf.Union3D(top, bed), err
}

// pockets cuts glyphs from one height to another.
func pockets(glyphs []Glyph, from, to float64) (sdf.SDF3, error) {
	var letters []sdf.SDF2
	for _, glyph := range glyphs {
		var outside, islands []sdf.SDF2
		for _, c := range glyph {
			p, err := sdf.Polygon2D(c)
			if err != nil {
				return nil, err
			}
			if c.Area() > 0 {
				outside = append(outside, p)
			} else {
				islands = append(islands, p)
			}
		}
		letter := sdf.Union2D(outside...)
		if len(islands) > 0 {
			letter = sdf.Difference2D(letter, sdf.Union2D(islands...))
		}
		letters = append(letters, letter)
	}
	return layer{SDF3: prism(sdf.Union2D(letters...), from, to), from: from, to: to}, nil
}

// layer is a body that lies between two heights. Far above and below it the distance to those heights, which is never
// more than the distance to the body, spares the look at a thousand edges of letters.
type layer struct {
	sdf.SDF3
	from, to float64
}

// Evaluate returns a lower bound of the distance to the body, exact within cutMM of its heights.
func (l layer) Evaluate(p v3.Vec) float64 {
	if gap := math.Max(l.from-p.Z, p.Z-l.to); gap > cutMM {
		return gap
	}
	return l.SDF3.Evaluate(p)
}

// prism extrudes a plane figure from one height to another.
func prism(figure sdf.SDF2, from, to float64) sdf.SDF3 {
	return sdf.Transform3D(sdf.Extrude3D(figure, to-from), sdf.Translate3d(v3.Vec{Z: (from + to) / 2}))
}

const (
	// scallopDepthMM is how deep the finger hollows are: felt through a glove, no weak spot.
	scallopDepthMM = 1.4
	// scallopWidthMM is roughly one finger tip along the rim.
	scallopWidthMM = 9
	// rimStepMM is the chord of the rim's outline: finer than a nozzle.
	rimStepMM = 0.8
)

// outlineOf returns a rim that stays outside the circle of radius clear.
func outlineOf(grip Grip, clear float64) Contour {
	if grip == Flats {
		// A hexagon of 2*clear across its flats, a flat towards +x.
		corner := clear / math.Cos(math.Pi/6)
		c := make(Contour, 6)
		for i := range c {
			a := (float64(i) + 0.5) * math.Pi / 3
			c[i] = v2.Vec{X: corner * math.Cos(a), Y: corner * math.Sin(a)}
		}
		return c
	}
	hollows := max(6, int(math.Round(2*math.Pi*clear/scallopWidthMM)))
	steps := max(10, int(math.Ceil(scallopWidthMM/rimStepMM)))
	c := make(Contour, 0, hollows*steps)
	for i := range hollows * steps {
		a := 2 * math.Pi * float64(i) / float64(hollows*steps)
		r := clear + scallopDepthMM*(1+math.Cos(float64(hollows)*a))/2
		// The chord of a hollow cuts inside the wave by less than 0.05 mm; clear leaves more than that.
		c = append(c, v2.Vec{X: r * math.Cos(a), Y: r * math.Sin(a)})
	}
	return c
}
