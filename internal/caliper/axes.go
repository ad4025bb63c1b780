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

	"gonum.org/v1/gonum/mat"

	"tryring/internal/mesh"
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

// sample is a face as the guesses see it, in lengths of about one about the middle of the body.
type sample struct {
	p, n vec
	area float64
}

// looks is a body as the guesses see it.
type looks struct {
	mid   vec
	size  float64
	faces []sample
	// smooth says that each of faces is the mean of many.
	smooth bool
}

func looksOf(m *mesh.Mesh) looks {
	box := m.Bounds()
	lo, hi := vec(box[0]), vec(box[1])
	l := looks{mid: lo.plus(hi).times(0.5), size: hi.minus(lo).length() / 2}
	if !(l.size > 0) {
		return l
	}
	// An odd step, since meshers make faces in pairs.
	step := (len(m.Faces) / axisFaces) | 1
	l.faces = make([]sample, 0, len(m.Faces)/step+1)
	for i := 0; i < len(m.Faces); i += step {
		if p, n := l.face(m.Faces[i], m); n != (vec{}) {
			l.faces = append(l.faces, sample{p: p, n: n.unit(), area: n.length() / 2})
		}
	}
	return l
}

// face returns the middle of a face, and its normal with twice its area for length.
func (l *looks) face(f [3]uint32, m *mesh.Mesh) (middle, normal vec) {
	a := at(m, f[0]).minus(l.mid).times(1 / l.size)
	b := at(m, f[1]).minus(l.mid).times(1 / l.size)
	c := at(m, f[2]).minus(l.mid).times(1 / l.size)
	return a.plus(b).plus(c).times(1.0 / 3), b.minus(a).cross(c.minus(a))
}

// smoothed returns l with the means of all faces of a cell for its faces: of a rough skin, where a face says little by itself, they
// show at least the cylinder or cone that a thread stands on.
func (l *looks) smoothed(m *mesh.Mesh) looks {
	const cells, wide = 10, 2*10 + 2 // to a half of the size, and in a row
	out := looks{mid: l.mid, size: l.size, smooth: true}
	if !(l.size > 0) {
		return out
	}
	means := make([]sample, wide*wide*wide)
	for _, f := range m.Faces {
		p, n := l.face(f, m)
		cell := 0
		for k := range 3 {
			cell = cell*wide + int((p[k]+1)*cells)
		}
		s, area := &means[cell], n.length()
		s.n, s.p, s.area = s.n.plus(n), s.p.plus(p.times(area)), s.area+area
	}
	for _, s := range means {
		if s.n != (vec{}) {
			out.faces = append(out.faces, sample{p: s.p.times(1 / s.area), n: s.n.unit(), area: s.n.length() / 2})
		}
	}
	return out
}

// inside and outside put a frame into the lengths of l and back.
func (l *looks) inside(f frame) frame {
	return newFrame(f.o.minus(l.mid).times(1/l.size), f.d).within(f.reach / l.size)
}

func (l *looks) outside(f frame) frame {
	return newFrame(f.o.times(l.size).plus(l.mid), f.d).within(f.reach * l.size)
}

// passes tells how far from the axis the normal of s passes, as a share of the way to it (without end beyond the frame's reach), and its
// share along the axis.
func (f frame) passes(s *sample) (share, along float64) {
	p := s.p.minus(f.o)
	d := p.dot(f.d)
	arm := math.Sqrt(max(p.dot(p)-d*d, 0))
	share, along = math.Abs(f.d.dot(p.cross(s.n)))/arm, math.Abs(f.d.dot(s.n))
	if !(arm > 0) || arm > f.reach {
		share = math.Inf(1)
	}
	return share, along
}

// unknown returns the faces that may be of a thread about another axis than those known: their normals do not pass by, and they
// stand neither along nor across.
func (l *looks) unknown(known []frame) []sample {
	if len(known) == 0 {
		return l.faces
	}
	var out []sample
	for i := range l.faces {
		s := &l.faces[i]
		if !slices.ContainsFunc(known, func(f frame) bool {
			share, along := f.passes(s)
			return share < passShare || !math.IsInf(share, 1) && (along < straight || along > square)
		}) {
			out = append(out, *s)
		}
	}
	return out
}

// stillUnknown tells whether f, a guess, explains faces that the frames known do not.
func (l *looks) stillUnknown(f frame, known []frame) bool {
	inner := make([]frame, len(known))
	for i, k := range known {
		inner[i] = l.inside(k)
	}
	return l.inside(f).flanks(l.unknown(inner), l.smooth) >= l.least()
}

// least is how much must be flanks about a guess.
func (l *looks) least() float64 { return leastFlank*float64(len(l.faces)) + 12 }

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

// axes returns the guesses of axes beside those known, best first.
func (l *looks) axes(known []frame, scales []scale) []frame {
	inner := make([]frame, len(known))
	for i, f := range known {
		inner[i] = l.inside(f)
	}
	faces := l.unknown(inner)
	if float64(len(faces)) < l.least() {
		return nil
	}
	flat := planes(faces)
	var guesses []guess
	for _, sc := range scales {
		for i := range sc.places {
			o := faces[(2*i+1)*len(faces)/(2*sc.places)].p
			reach, most := 3*sc.radius, 1
			if math.IsInf(sc.radius, 1) {
				o, reach, most = vec{}, 1.1, 6
			}
			if part := around(faces, o, sc.radius); len(part) >= leastPart {
				guesses = append(guesses, l.guess(faces, part, flat, o, reach, most)...)
			}
		}
	}
	slices.SortStableFunc(guesses, func(a, b guess) int { return cmp.Compare(b.share, a.share) })
	var out []frame
	for _, g := range guesses {
		near := func(f frame) bool { return f.near(g.f) }
		if len(out) < mostAxes && !slices.ContainsFunc(inner, near) && !slices.ContainsFunc(out, near) {
			out = append(out, g.f)
		}
	}
	for i, f := range out {
		out[i] = l.outside(f)
	}
	return out
}

// around returns the faces within reach of a place, at most mostPart of them.
func around(faces []sample, o vec, reach float64) (out []sample) {
	for i := range faces {
		if d := faces[i].p.minus(o); d.dot(d) < reach*reach {
			out = append(out, faces[i])
		}
	}
	step := (len(out) / mostPart) | 1
	for i := range (len(out) + step - 1) / step {
		out[i] = out[i*step]
	}
	return out[:(len(out)+step-1)/step]
}

// guess returns guesses of the axes of part, at most so many, whose places lie within reach of o, each moved to where the faces about it say.
func (l *looks) guess(faces, part []sample, flat []vec, o vec, reach float64, most int) (out []guess) {
	var rough []guess
	for _, d := range directions(part, flat) {
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
		for _, d := range append(slices.Clone(flat), vec{0, 0, 1}, vec{0, 1, 0}, vec{1, 0, 0}) {
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
		s := &part[i]
		if share, along := f.passes(s); share < passShare && (along > straight || plain) && along < square {
			p := s.p.minus(f.o)
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
		s := &faces[i]
		if share, along := f.passes(s); share < passShare && (along > straight || plain) && along < square {
			p := s.p.minus(f.o)
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

// directions returns the directions in which an axis of the faces may point, best first: the mesh's own three, the flat ones given, and
// those about which the normals are spread evenly.
func directions(faces []sample, flat []vec) []vec {
	const (
		bins  = 48
		most  = 5 // directions that are looked into
		alike = 0.9994
	)
	var xx, xy, xz, yy, yz, zz float64
	for i := range faces {
		n := faces[i].n
		xx, xy, xz = xx+n[0]*n[0], xy+n[0]*n[1], xz+n[0]*n[2]
		yy, yz, zz = yy+n[1]*n[1], yz+n[1]*n[2], zz+n[2]*n[2]
	}
	list := append([]vec{{0, 0, 1}, {0, 1, 0}, {1, 0, 0}}, flat...)
	list = append(list, principal(mat.NewSymDense(3, []float64{xx, xy, xz, xy, yy, yz, xz, yz, zz}))...)
	type scored struct {
		d     vec
		score float64
	}
	var out []scored
	for _, d := range list {
		if slices.ContainsFunc(out, func(s scored) bool { return math.Abs(s.d.dot(d)) > alike }) {
			continue
		}
		var crowd [bins + 1]float64
		for i := range faces {
			crowd[int(math.Abs(d.dot(faces[i].n))*bins)]++
		}
		s := scored{d: d}
		for _, c := range crowd {
			s.score += c * c
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b scored) int { return cmp.Compare(b.score, a.score) })
	var ds []vec
	for _, s := range out[:min(len(out), most)] {
		ds = append(ds, s.d)
	}
	return ds
}

// planes returns the normals that many faces share.
func planes(faces []sample) []vec {
	const grid, most, least = 40, 6, 0.01 // cells to a unit, normals, share of the area
	area := map[[3]int8]vec{}
	var all float64
	for i := range faces {
		s := &faces[i]
		n := s.n
		for k := 2; k >= 0; k-- { // a plane's two sides are one
			if math.Abs(n[k]) > 0.5/grid {
				n = n.times(math.Copysign(1, n[k]))
				break
			}
		}
		key := [3]int8{int8(math.Round(n[0] * grid)), int8(math.Round(n[1] * grid)), int8(math.Round(n[2] * grid))}
		area[key] = area[key].plus(n.times(s.area))
		all += s.area
	}
	var out []vec
	for _, n := range area {
		if n.length() > least*all {
			out = append(out, n)
		}
	}
	slices.SortFunc(out, func(a, b vec) int {
		return cmp.Or(cmp.Compare(b.length(), a.length()), slices.Compare(a[:], b[:]))
	})
	out = out[:min(len(out), most)]
	for i := range out {
		out[i] = out[i].unit()
	}
	return out
}

// crossings returns the frames along d within reach of o by which many normals pass, seen along d: pairs of them vote for where they cross.
func crossings(faces []sample, d, o vec, reach float64) []frame {
	const (
		cells  = 50 // each way from o
		most   = 8
		least  = 6 // votes
		aslant = 0.15
	)
	pairs := min(8*len(faces), 4000)
	base := newFrame(vec{}, d)
	ox, oy := o.dot(base.e1), o.dot(base.e2)
	type ray struct{ x, y, u, v float64 }
	var rays []ray
	for i := range faces {
		s := &faces[i]
		u, v := s.n.dot(base.e1), s.n.dot(base.e2)
		if l := math.Hypot(u, v); l > aslant {
			rays = append(rays, ray{s.p.dot(base.e1) - ox, s.p.dot(base.e2) - oy, u / l, v / l})
		}
	}
	if len(rays) < 2*least {
		return nil
	}
	const wide = 2*cells + 3
	votes := make([]int32, wide*wide)
	cell := func(x float64) int { return int(math.Round(x/reach*cells)) + cells + 1 }
	// The same numbers in every run, without a source of chance: multiples of the golden ratio.
	at := uint64(0)
	pick := func() *ray {
		at += 0x9e3779b97f4a7c15
		return &rays[(at>>32)*uint64(len(rays))>>32]
	}
	for i := range pairs {
		a, b := &rays[i%len(rays)], pick()
		det := a.u*b.v - a.v*b.u
		if math.Abs(det) < 0.2 {
			continue
		}
		t := ((b.x-a.x)*b.v - (b.y-a.y)*b.u) / det
		x, y := a.x+t*a.u, a.y+t*a.v
		if math.Abs(x) < reach && math.Abs(y) < reach {
			votes[cell(y)*wide+cell(x)]++
		}
	}
	type peak struct{ at, votes int }
	var peaks []peak
	for y := 1; y < wide-1; y++ {
		for x := 1; x < wide-1; x++ {
			i := y*wide + x
			if votes[i] == 0 {
				continue
			}
			sum := 0
			for _, j := range []int{-wide - 1, -wide, -wide + 1, -1, 0, 1, wide - 1, wide, wide + 1} {
				sum += int(votes[i+j])
			}
			if sum >= least {
				peaks = append(peaks, peak{i, sum})
			}
		}
	}
	slices.SortStableFunc(peaks, func(a, b peak) int { return cmp.Compare(b.votes, a.votes) })
	var out []frame
	for _, p := range peaks {
		x, y := float64(p.at%wide-cells-1)*reach/cells, float64(p.at/wide-cells-1)*reach/cells
		at := base.e1.times(ox + x).plus(base.e2.times(oy + y))
		if !slices.ContainsFunc(out, func(f frame) bool { return f.o.minus(at).length() < 4*reach/cells }) {
			out = append(out, newFrame(at, d))
		}
		if len(out) == most {
			break
		}
	}
	return out
}

// principal returns the principal directions of a symmetrical matrix.
func principal(a *mat.SymDense) (out []vec) {
	var e mat.EigenSym
	if !e.Factorize(a, true) {
		return nil
	}
	var v mat.Dense
	e.VectorsTo(&v)
	for k := range 3 {
		out = append(out, vec{v.At(0, k), v.At(1, k), v.At(2, k)})
	}
	return out
}
