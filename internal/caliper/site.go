package caliper

// This file finds the places where a thread may stand, and has each measured.

import (
	"cmp"
	"math"
	"slices"
)

// site is a place where a thread may stand: the lines of one wall, a line to each section, in the frame of the cut, and the
// swings of them that may be the thread's flanks.
type site struct {
	// outer tells that the material lies on the axis's side of the wall.
	outer bool
	// lines are those of all sections, in order of theta; one without spots has no wall here.
	lines []line
	// swings are in order of section and height; size is how large they usually are, on the radius.
	swings []swing
	size   float64
}

// Reasons for no site.
const (
	whyNone    = "no wall on this side"
	whyTangled = "its faces lie through one another like no part's"
	whyCoil    = "the ridges are those of a coiled wire"
)

// measured is a thread with its fit.
type measured struct {
	*Thread
	outer bool
	fit   fitted
}

// span is a range of heights.
type span struct{ lo, hi float64 }

func (s span) has(z float64) bool { return s.lo <= z && z <= s.hi }
func (s span) len() float64       { return s.hi - s.lo }

// shared is how much of the shorter of two spans lies in the other, at most 1.
func (s span) shared(o span) float64 {
	return (min(s.hi, o.hi) - max(s.lo, o.lo)) / max(min(s.len(), o.len()), math.SmallestNonzeroFloat64)
}

// train is a stretch of regular swings that stands at about the same heights in most sections.
type train struct {
	span
	size, radius float64
	// secs counts the sections that show it, swings the swings in all.
	secs, swings int
	last         int
}

const (
	// looked is how many sections the search for trains looks at, shrink the step from one size of swings tried to the next, smallShare the
	// share of the radius below which swings are no thread but facets: the finest of optics, M80x0.5, have 8e-3.
	looked, shrink, smallShare = 10, 0.75, 1e-3
	// mostTries bounds how many trains of one wall are measured.
	mostTries = 16
)

// threadsOn returns the threads of one wall, the deepest first, or says why there is none.
func threadsOn(lines []line, outer bool, refZ float64) (found []measured, why string) {
	walls := 0
	var span, radius float64
	for _, l := range lines {
		if len(l.spots) == 0 {
			continue
		}
		walls++
		lo, hi := math.Inf(1), 0.0
		for _, s := range l.spots {
			lo, hi = min(lo, s.r), max(hi, s.r)
		}
		span, radius = max(span, hi-lo), max(radius, hi)
	}
	if walls < len(lines)/4 {
		return nil, whyNone
	}
	why = whyPlain
	var tried, taken []train
	for least := 0.9 * span; least > smallShare*radius && len(tried) < mostTries; least *= shrink {
		for _, t := range trains(lines, least, taken) {
			if slices.ContainsFunc(tried, t.like) {
				continue
			}
			tried = append(tried, t)
			s := site{outer: outer, lines: lines, swings: likeSwings(lines, t, taken), size: t.size}
			if len(s.swings) == 0 {
				continue
			}
			th, fit, no := s.measure(refZ)
			if no == "" {
				found, taken = append(found, measured{th, outer, fit}), append(taken, fit.holds())
			} else if len(tried) == 1 {
				why = no
			}
		}
	}
	return found, why
}

// like tells whether two trains are one.
func (t train) like(o train) bool {
	return t.shared(o.span) > 0.6 && max(t.len(), o.len()) < 1.5*min(t.len(), o.len()) && max(t.size, o.size) < 1.2*min(t.size, o.size)
}

// holds returns the heights at which the swings of a fitted thread stand, so that they are not taken for another's.
func (t *fitted) holds() train {
	return train{span: span{min(t.full[0], t.held[0]) - t.pitch, max(t.full[1], t.held[1]) + t.pitch}, size: t.depth, radius: t.radius}
}

// trains returns the stretches of regular swings larger than least, outside those taken.
func trains(lines []line, least float64, taken []train) []train {
	var out []train
	var buf []swing
	tried := 0
	stride := max(1, len(lines)/looked)
	for i := 0; i < len(lines); i += stride {
		if len(lines[i].spots) == 0 {
			continue
		}
		tried++
		buf = slices.DeleteFunc(lines[i].swings(least, buf[:0]), func(w swing) bool { return isTaken(taken, w) })
		for _, run := range regular(buf) {
			out = join(out, run, i)
		}
	}
	out = slices.DeleteFunc(out, func(t train) bool { return 2*t.secs < tried })
	slices.SortStableFunc(out, func(a, b train) int { return cmp.Compare(b.swings, a.swings) })
	return out
}

func isTaken(taken []train, w swing) bool {
	return slices.ContainsFunc(taken, func(t train) bool { return t.has(w.zMid) })
}

// join counts a run of the section sec to the train of the others that it is like, or begins one.
func join(list []train, run []swing, sec int) []train {
	n := len(run)
	sizes, rs := make([]float64, n), make([]float64, n)
	for i, w := range run {
		sizes[i], rs[i] = w.size, w.rMid
	}
	r := train{span: span{run[0].zMid, run[n-1].zMid}, size: median(sizes), radius: median(rs), secs: 1, swings: n, last: sec}
	for i := range list {
		t := &list[i]
		if t.shared(r.span) < 0.3 || max(t.size, r.size) > sizeRatio*min(t.size, r.size) || math.Abs(t.radius-r.radius) > 2*t.size {
			continue
		}
		t.lo, t.hi = min(t.lo, r.lo), max(t.hi, r.hi)
		share := float64(n) / float64(t.swings+n)
		t.size, t.radius = t.size+(r.size-t.size)*share, t.radius+(r.radius-t.radius)*share
		t.swings += n
		if t.last != sec {
			t.secs, t.last = t.secs+1, sec
		}
		return list
	}
	return append(list, r)
}
