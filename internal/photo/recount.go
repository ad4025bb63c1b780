package photo

// This file turns crests that a person marked, moved or struck out on a picture into a pitch: the marks' places alone
// count, not the pixels under them.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

// Marked are crests marked on both edges of a part.
type Marked struct {
	// Width and Height are those of the upright picture, in pixels.
	Width, Height int
	// Focal35 is the focal length for a frame of 36 by 24 mm in mm that the camera wrote, 0 for none.
	Focal35 float64
	// Crests are the marks, in any order.
	Crests []HandMark
	// Outside and Distance are those of Options.
	Outside  *reading.Estimate
	Distance unit.Length
}

// HandMark is a crest's mark. UHand is how well a person put it, as a standard uncertainty in pixels; 0 for one that was found
// on the picture.
type HandMark struct {
	Mark
	UHand float64
}

// u is how well the mark stands, whoever put it.
func (m HandMark) u() float64 {
	if m.UHand > 0 {
		return m.UHand
	}
	return uFound
}

// Place says which crest a mark is: its outline (0 or 1, in the order of Result.Outlines) and its number there, from 1. A
// number is left out where a crest was struck out.
type Place struct{ Outline, Number int }

// ErrMarks is wrapped by every error about marks from which nothing can be counted.
var ErrMarks = errors.New("the marks cannot be counted")

// OddMark is the error about one mark that is no crest of its row: Index is its place in the list given.
type OddMark struct {
	Index int
	why   string
}

func (o *OddMark) Error() string { return ErrMarks.Error() + ": " + o.why }

// Unwrap returns ErrMarks.
func (o *OddMark) Unwrap() error { return ErrMarks }

const (
	// MostMarks is how many marks are taken.
	MostMarks = 400
	// longRow and shortRow are the fewest marks on one edge and on the other.
	longRow, shortRow = 4, 2
	// uFound is how well a mark stands that was found on the picture, in pixels (judgement, no published source).
	uFound = 0.5
	// outOfStep is how far a crest may stand from a whole number of pitches, in pitches, before it is no crest of the row.
	outOfStep = 0.3
	// uRounded is how much lower than the crest a mark may lie for blur and worn crests, as a share of the pitch on either
	// edge (judgement, no published source).
	uRounded = 0.03
)

// Recount reads ratio, pitch and taper off marks. The places tell, for each mark in the order given, which crest it is. The
// result is answered, without hand and flank angle. Errors wrap ErrMarks, but for those of Outside and Distance.
func Recount(m Marked) (*Result, []Place, error) {
	o := Options{Outside: m.Outside, Distance: m.Distance}
	if err := errors.Join(m.check(), o.check()); err != nil {
		return nil, nil, err
	}
	rows, err := m.rows()
	if err != nil {
		return nil, nil, err
	}
	r := &Result{Width: m.Width, Height: m.Height}
	w := &measured{outlines: outlines{frame: rows.frame}, shrink: 1, options: o, period: rows.period, uPeriod: rows.uPeriod}
	reference, uReference := w.seenBetween(rows, m)
	w.scale(reference, uReference)
	if why, mend := possible(w); why != "" {
		return nil, nil, fmt.Errorf("%w: %s; mark the crests along both edges of the part (%s)", ErrMarks, why, mend)
	}
	r.answer(w, "the marks")
	r.Outlines = rows.outlines(m.Crests)
	if note := rows.level(m, w.width, w.view.wide); note != "" {
		r.Notes = append(r.Notes, note)
	}
	return r, rows.places, nil
}

func (m Marked) check() error {
	fault := func(format string, args ...any) error {
		return fmt.Errorf("%w: "+format, append([]any{ErrMarks}, args...)...)
	}
	switch {
	case m.Width < minSide || m.Height < minSide || m.Width > maxSide || m.Height > maxSide:
		return fault("a picture of %d by %d pixels", m.Width, m.Height)
	case !(m.Focal35 >= 0 && m.Focal35 < 5000):
		return fault("a focal length of %v mm", m.Focal35)
	case len(m.Crests) > MostMarks:
		return fault("%d marks; at most %d are taken", len(m.Crests), MostMarks)
	case len(m.Crests) < longRow+shortRow:
		return fault("%d crests are marked; it takes %d along one edge and %d along the other", len(m.Crests), longRow, shortRow)
	}
	for i, c := range m.Crests {
		if !(c.X >= -1 && c.X <= float64(m.Width) && c.Y >= -1 && c.Y <= float64(m.Height)) {
			return fault("mark %d stands at %.6g, %.6g, beside the picture", i+1, c.X, c.Y)
		}
		if !(c.UHand >= 0 && c.UHand < float64(max(m.Width, m.Height))) {
			return fault("mark %d is put as well as %v pixels", i+1, c.UHand)
		}
	}
	return nil
}

// seenBetween fills in width, view and taper from both rows, and returns the width that the outside diameter stands for.
func (w *measured) seenBetween(rows *markRows, m Marked) (reference, u float64) {
	a, b := &rows.row[0], &rows.row[1]
	middle := (math.Max(a.from, b.from) + math.Min(a.to, b.to)) / 2
	from, to := math.Min(a.from, b.from), math.Max(a.to, b.to)
	left, right := a.at(middle), b.at(middle)
	w.width = right - left
	w.uWidth = math.Hypot(2*uRounded*w.period/math.Sqrt(3), math.Hypot(a.uAcross, b.uAcross))
	w.view = w.options.seen(size{m.Width, m.Height}, rows.frame, middle, left, right, m.Focal35).view()
	w.taper = b.slope - a.slope + w.view.wide*w.view.lean
	w.uTaper = math.Hypot(w.view.wide*w.view.uLean, math.Hypot(a.uSlope, b.uSlope))
	grown := math.Abs(w.taper) * (to - middle)
	if w.taper < 0 {
		grown = math.Abs(w.taper) * (middle - from)
	}
	open := math.Abs(w.taper) * w.period / math.Sqrt(3)
	return w.atLargerEnd(grown, open)
}

// MarkedOn are the crests that were found on a picture, as marks.
func MarkedOn(p *Picture, r *Result) Marked {
	m := Marked{Width: r.Width, Height: r.Height, Focal35: p.focal35}
	for _, o := range r.Outlines {
		for _, c := range o.Crests {
			m.Crests = append(m.Crests, HandMark{Mark: c})
		}
	}
	return m
}
