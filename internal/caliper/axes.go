package caliper

// This file guesses the axes about which a body's threads may stand, from the normals of its faces.
//
// On a surface of revolution, and nearly so on a thread, all normals pass by the axis, and those of each flank stand at one
// angle to it: on the sphere of normals they lie on two circles about the axis. So a direction is guessed where normals
// crowd on circles, and a place where, seen along the direction, they cross.

import (
	"cmp"
	"math"
	"slices"
)

const (
	// axisFaces bounds how many faces the guesses look at; the threads themselves refine them.
	axisFaces = 4000
	// passShare is how far from an axis, as a share of the way to it, a normal may pass and still be of a thread about it.
	passShare = 0.25
	// straight and square are the least and the largest share of the normal along the axis that a flank may have: beyond are
	// walls parallel to the axis, and faces across it.
	straight, square = 0.03, 0.998
	// mostAxes bounds how many guesses of one body are measured about; leastFlank is the share of the faces looked at that a
	// thread has at least.
	mostAxes, leastFlank = 16, 0.01
	// straightest is the cosine of the angle within which an axis is tried along a direction of the file's.
	straightest = 0.9994
	// leastPart is how many faces around a place are looked into, mostPart how many at most.
	leastPart, mostPart = 40, 800
)

// guess is a frame (in the lengths of looks) with the share of the faces around that may be flanks about it.
type guess struct {
	f     frame
	share float64
}

// scale is how far around how many places the faces are looked at together.
type scale struct {
	radius float64
	places int
}

// scales are tried one after the other, while there are faces of no axis known: all faces together, then those around places, of which
// a part with several threads needs many.
var scales = [][]scale{{{math.Inf(1), 1}}, {{0.4, 4}, {0.2, 12}, {0.1, 24}, {0.05, 36}}}

// axes returns the guesses of axes beside those known, best first, all in the lengths of l.
func (l *looks) axes(known []frame, scales []scale) []frame {
	faces := l.unknown(known)
	if float64(len(faces)) < l.least() {
		return nil
	}
	own := append([]vec{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}}, planes(faces)...)
	var guesses []guess
	for _, sc := range scales {
		for i := range sc.places {
			o := faces[(2*i+1)*len(faces)/(2*sc.places)].p
			reach, most := 3*sc.radius, 1
			if math.IsInf(sc.radius, 1) {
				o, reach, most = vec{}, 1.1, 6
			}
			if part := around(faces, o, sc.radius); len(part) >= leastPart {
				guesses = append(guesses, l.guess(faces, part, own, o, reach, most)...)
			}
		}
	}
	slices.SortStableFunc(guesses, func(a, b guess) int { return cmp.Compare(b.share, a.share) })
	var out []frame
	for _, g := range guesses {
		near := func(f frame) bool { return f.near(g.f) }
		if len(out) < mostAxes && !slices.ContainsFunc(known, near) && !slices.ContainsFunc(out, near) {
			out = append(out, g.f)
		}
	}
	return out
}

// around returns the faces within reach of a place, at most mostPart of them.
func around(faces []sample, o vec, reach float64) []sample {
	near := func(s *sample) bool { d := s.p.minus(o); return d.dot(d) < reach*reach }
	n := 0
	for i := range faces {
		if near(&faces[i]) {
			n++
		}
	}
	step := (n / mostPart) | 1
	out := make([]sample, 0, n/step+1)
	n = 0
	for i := range faces {
		if near(&faces[i]) {
			if n%step == 0 {
				out = append(out, faces[i])
			}
			n++
		}
	}
	return out
}

// guess returns guesses of the axes of part, at most so many, whose places lie within reach of o, each moved to where the faces about it
// say; own are the file's own directions.
func (l *looks) guess(faces, part []sample, own []vec, o vec, reach float64, most int) (out []guess) {
	var rough []guess
	for _, d := range directions(part, own) {
		for _, f := range crossings(part, d, o, reach) {
			if n := f.flanks(part, l.smooth); n > leastPart/4 {
				rough = append(rough, guess{f, n})
			}
		}
	}
	slices.SortStableFunc(rough, func(a, b guess) int { return cmp.Compare(b.share, a.share) })
	for _, g := range rough[:min(len(rough), most)] {
		near, _ := g.f.amid(part, faces, l.smooth)
		add := func(f frame) {
			if f.flanks(near, l.smooth) > leastPart/4 {
				about, reach := f.amid(near, faces, l.smooth)
				out = append(out, guess{f.within(reach), f.flanks(about, l.smooth) / float64(len(about))})
			}
		}
		// From step to step less of what is not about the axis counts.
		f := g.f
		for _, across := range []float64{0.3, 0.3, 0.1, 0.1, 0.1, 0.03, 0.03, 0.03} {
			f = turnAbout(near, f, true, across)
		}
		if f.d.dot(g.f.d) < 0.8 { // it ran away: there was nothing to hold it
			f = g.f
		}
		// Most files have it along a direction of theirs, exactly.
		for _, d := range own {
			if math.Abs(d.dot(f.d)) < straightest {
				continue
			}
			along := newFrame(f.o, d)
			for _, across := range []float64{0.1, 0.03, 0.03} {
				along = turnAbout(near, along, false, across)
			}
			add(along)
		}
		add(f)
	}
	return out
}

// amid returns the faces around the middle of those of part that may be flanks about f, and how far out from the axis those reach.
func (f frame) amid(part, faces []sample, plain bool) (near []sample, reach float64) {
	var mid vec
	var arm, n float64
	for i := range part {
		if _, is := f.mayHave(&part[i], plain); is {
			p := part[i].p.minus(f.o)
			z := p.dot(f.d)
			mid = mid.plus(f.d.times(z))
			arm += p.minus(f.d.times(z)).length()
			n++
		}
	}
	const wide = 1.7 // of the way to the axis
	reach = wide * arm / n
	return around(faces, f.o.plus(mid.times(1/n)), reach), reach
}

// mayHave tells whether s may be of a flank about f (with plain, or of a wall along it), and how far off its normal passes.
func (f frame) mayHave(s *sample, plain bool) (share float64, is bool) {
	share, along := f.passes(s)
	return share, share < passShare && (along > straight || plain) && along < square
}

// near tells whether two frames of looks are about one axis.
func (f frame) near(g frame) bool {
	const far, aslant = 0.02, 0.02
	off := g.o.minus(f.o)
	off = off.minus(f.d.times(off.dot(f.d)))
	return off.length() < far && f.d.cross(g.d).length() < aslant
}

// flanks tells how much of the faces may be flanks about f, each counting by how near to the axis its normal passes; nothing unless
// they stand about it for a part of the turn. With plain, walls along the axis count as well.
func (f frame) flanks(faces []sample, plain bool) float64 {
	const sectors, leastSectors, near = 12, 4, 0.1
	var seen [sectors]bool
	var sum float64
	for i := range faces {
		if share, is := f.mayHave(&faces[i], plain); is {
			p := faces[i].p.minus(f.o)
			if turn := turnOf(p.dot(f.e1), p.dot(f.e2)); turn >= 0 {
				sum += 1 / (1 + share*share/(near*near))
				seen[int(turn*sectors/4)%sectors] = true
			}
		}
	}
	about := 0
	for _, is := range seen {
		if is {
			about++
		}
	}
	if about < leastSectors {
		return 0
	}
	return sum
}
