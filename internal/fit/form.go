package fit

// This file finds how far a ridge can move along the axis inside a groove, from the true sections of both threads.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
)

// chordMM is how far the chords of a rounded crest or root may lie from the arc: half of the last digit of published
// diameters in mm.
const chordMM = 0.0005

// sameRadiusMM is how far two radii that should be equal may differ by rounding.
const sameRadiusMM = 1e-9

// corner is a corner of one side of a form: at radius r millimetres the flank stands x pitches from the middle of the ridge.
type corner struct{ x, r float64 }

// form is the axial section of a thread over one pitch, seen from the middle of its ridge to either side. Along each side x
// rises and r falls.
type form struct {
	pitchMM float64
	// sides are the side toward -z and the side toward +z.
	sides        [2][]corner
	major, minor float64
}

// section returns the axial section of t with the given diameters.
func section(t thread.Thread, d thread.Diameters) (thread.Profile, error) {
	p, err := thread.NewProfile(t.Section(d))
	if err != nil {
		return p, fmt.Errorf("%s: %w", t.Designation, err)
	}
	return p, nil
}

// newForm returns the form of t with the given diameters.
func newForm(t thread.Thread, d thread.Diameters) (form, error) {
	p, err := section(t, d)
	if err != nil {
		return form{}, err
	}
	f := form{pitchMM: t.Pitch.MM()}
	knots := p.Knots(chordMM)
	top := 0
	for i, k := range knots {
		if k.R > knots[top].R {
			top = i
		}
	}
	f.major, f.minor = knots[top].R, math.Inf(1)
	for _, k := range knots {
		f.minor = math.Min(f.minor, k.R)
	}
	first, last := knots[0], knots[len(knots)-1]
	var left, right []corner
	for i := top; i >= 0; i-- {
		left = append(left, corner{-knots[i].Z / f.pitchMM, knots[i].R})
	}
	left = append(left, corner{1 - last.Z/f.pitchMM, last.R})
	for _, k := range knots[top:] {
		right = append(right, corner{k.Z / f.pitchMM, k.R})
	}
	right = append(right, corner{1 + first.Z/f.pitchMM, first.R})
	f.sides = [2][]corner{flank(left), flank(right)}
	return f, nil
}

// flank leaves out the flats across crest and root: of corners on one radius only the outer one at the top and the inner one
// at the bottom can touch.
func flank(side []corner) []corner {
	for len(side) > 2 && side[0].r-side[1].r < sameRadiusMM {
		side = side[1:]
	}
	for n := len(side); n > 2 && side[n-2].r-side[n-1].r < sameRadiusMM; n = len(side) {
		side = side[:n-1]
	}
	return side
}

// reach finds the x at which a side has a radius, for radii that fall from call to call.
type reach struct {
	side []corner
	at   int
}

// x returns where the side has radius r; beyond its ends, the end.
func (w *reach) x(r float64) float64 {
	for w.at < len(w.side) && w.side[w.at].r > r {
		w.at++
	}
	switch {
	case w.at == 0:
		return w.side[0].x
	case w.at == len(w.side):
		return w.side[w.at-1].x
	}
	a, b := w.side[w.at-1], w.side[w.at]
	return a.x + (b.x-a.x)*(a.r-r)/(a.r-b.r)
}

// room is how a ridge lies in a groove, millimetres.
type room struct {
	// lower and upper are how far the ridge can move toward -z and +z before flanks meet; below zero when they overlap
	// already, +Inf when ridge and groove do not reach each other.
	lower, upper float64
	// crest and root are the gaps on the radius at the major and the minor diameter.
	crest, root float64
	// bore is the gap on the radius between the external crest and the internal crest; below zero when they engage.
	bore float64
}

// play is the whole axial travel.
func (r room) play() float64 { return r.lower + r.upper }

// roomIn returns the room of the ridge of e in the groove of i when the internal thread's radii are larger by wider.
//
// Sections are straight between corners, so flanks that approach along z touch at a corner of the one or the other.
func roomIn(e, i form, wider float64) room {
	r := room{crest: i.major + wider - e.major, root: i.minor + wider - e.minor, bore: i.minor + wider - e.major}
	if r.bore >= 0 {
		r.lower, r.upper = math.Inf(1), math.Inf(1)
		return r
	}
	travel := func(side int) float64 {
		least := math.Inf(1)
		groove := reach{side: i.sides[side]}
		for _, k := range e.sides[side] {
			if in := k.r - wider; in >= i.minor && in <= i.major+sameRadiusMM {
				least = math.Min(least, groove.x(in)-k.x)
			}
		}
		ridge := reach{side: e.sides[side]}
		for _, k := range i.sides[side] {
			if out := k.r + wider; out <= e.major && out >= e.minor-sameRadiusMM {
				least = math.Min(least, k.x-ridge.x(out))
			}
		}
		return least * e.pitchMM
	}
	r.lower, r.upper = travel(0), travel(1)
	return r
}
