package draw

// This file draws dimensions as in ISO 129-1: extension lines, a dimension line with arrows, millimetres above it and
// inches in brackets beneath.

import (
	"math"

	"tryring/internal/unit"
)

const (
	arrowMM = 3.0
	// tailMM is how far a dimension line reaches past arrows that stand outside.
	tailMM = 5.0
	// overMM is how far an extension line passes its dimension line, gapMM the gap at the part.
	overMM, gapMM = 1.5, 0.8
	// clearMM keeps words off lines.
	clearMM = 0.6
)

// arrow draws a closed narrow head with its tip at p, pointing along (dx, dy), a unit vector.
func (s *sheet) arrow(p at, dx, dy float64) {
	const half = arrowMM / 6
	bx, by := p.X-dx*arrowMM, p.Y-dy*arrowMM
	s.area("arrow", black, p, at{bx - dy*half, by + dx*half}, at{bx + dy*half, by - dx*half})
}

// dim is a dimension between two places a < b on one axis of the sheet, its line at the place line on the other.
type dim struct {
	a, b, line float64
	// fromA and fromB are where the extension lines start on the other axis.
	fromA, fromB float64
	mm, inch     string
	// past is where words go that do not fit between the arrows: beyond this place, to the right or, upright, up (or down).
	past []float64
}

// words returns the width of a dimension's words.
func (d dim) words() float64 {
	return textMM * math.Max(textWidth(d.mm, false), textWidth(d.inch, false))
}

// lengthWords returns the two texts of a dimension.
func lengthWords(prefix string, l unit.Length) (mm, inch string) {
	return prefix + mmText(l), inchText(l)
}

// across draws a dimension along x.
func (s *sheet) across(d dim) { s.dimension(d, false, false) }

// along draws a dimension along y; a is the upper end. Words that do not fit go below, or above with up set.
func (s *sheet) along(d dim, up bool) { s.dimension(d, true, up) }

func (s *sheet) dimension(d dim, upright, up bool) {
	on := func(axis, other float64) at {
		if upright {
			return at{other, axis}
		}
		return at{axis, other}
	}
	side := math.Copysign(1, d.line-d.fromA)
	s.open("extension", thin, on(d.a, d.fromA+side*gapMM), on(d.a, d.line+side*overMM))
	s.open("extension", thin, on(d.b, d.fromB+side*gapMM), on(d.b, d.line+side*overMM))
	turned := d
	if up {
		// Seen from the other end the same rules hold.
		turned.a, turned.b = -d.b, -d.a
		turned.past = nil
		for _, p := range d.past {
			turned.past = append(turned.past, -p)
		}
	}
	mid, end, dir := turned.place()
	from, to := turned.a, math.Max(turned.b, end)
	if dir < 0 {
		from -= tailMM
	}
	if up {
		mid, from, to = -mid, -from, -to
	}
	s.open("dimension", thin, on(from, d.line), on(to, d.line))
	toB := on(dir, 0)
	s.arrow(on(d.a, d.line), -toB.X, -toB.Y)
	s.arrow(on(d.b, d.line), toB.X, toB.Y)
	st := style{size: textMM, anchor: "middle", upright: upright}
	s.text(on(mid, d.line-clearMM-descender*textMM), d.mm, st)
	s.text(on(mid, d.line+clearMM+0.78*textMM), d.inch, st)
}

// place returns the middle of the words, the end of the line under them, and whether the arrows stand inside (1) or outside (-1).
func (d dim) place() (mid, end, dir float64) {
	w, dir := d.words(), 1.0
	room := d.b - d.a
	if room < 2*arrowMM+2 {
		dir = -1
	} else if w+2*arrowMM+2*clearMM <= room {
		return (d.a + d.b) / 2, d.b, dir
	}
	start := d.b + arrowMM + 2
	for _, p := range d.past {
		if p > d.b && start+w+1 > p {
			start = math.Max(start, p+2)
		}
	}
	return start + w/2, start + w, dir
}
