package caliper

// This file cuts a mesh with half planes that stand on the axis.

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"tryring/internal/mesh"
)

// sections is the number of half planes. A face of a part meets one or two of them; where each meets more than mostMet on average,
// and they are more than fewPieces in all, the mesh is no part that can be measured.
const (
	sections           = 36
	mostMet, fewPieces = 3, 20_000
)

// leastFacing is the least share of a face's normal along the radius for it to be a wall and not an end face: flanks
// within half a degree of square do not count.
const leastFacing = 0.008

// place3 is a vertex in the frame of the axis.
type place3 struct {
	x, y, z float64
	// r is the radius, turn a number from 0 to 4 that grows with the angle (not evenly); -1 on the axis.
	r, turn float64
}

// place puts the vertices of m into the frame f.
func place(m *mesh.Mesh, f frame) []place3 {
	out := make([]place3, len(m.Vertices))
	for i := range out {
		p := at(m, uint32(i)).minus(f.o)
		x, y := p.dot(f.e1), p.dot(f.e2)
		out[i] = place3{x: x, y: y, z: p.dot(f.d), r: math.Sqrt(x*x + y*y), turn: turnOf(x, y)}
	}
	return out
}

// turnOf returns a number in [0, 4) that grows with the angle of (x, y), to which half a turn adds exactly 2.
func turnOf(x, y float64) float64 {
	s := math.Abs(x) + math.Abs(y)
	if !(s > 0) {
		return -1
	}
	t := y / s
	if x < 0 {
		return 2 - t
	}
	if t < 0 {
		return 4 + t
	}
	return t
}

// piece is where a half plane cuts a face, from the lower end to the upper.
type piece struct {
	z0, r0, z1, r1 float64
	// m0 and m1 are the radii of the two ends as means over the angle (see meanRadius).
	m0, m1 float64
}

// section is one cut: the walls that face outwards and those that face the axis, from below to above.
type section struct {
	theta, cos, sin float64
	out, in         []piece
	// outRest and inRest are the walls that have others beyond them.
	outRest, inRest []piece
}

// sectionAngles are uneven, so that no mesh's columns keep step with them: one in each equal part of the turn, at a
// place that the golden ratio chooses.
func sectionAngles() []section {
	out := make([]section, sections)
	for i := range out {
		_, part := math.Modf(float64(i) * (math.Sqrt(5) - 1) / 2)
		s := &out[i]
		s.theta = 2 * math.Pi * (float64(i) + 0.02 + 0.96*part) / sections
		s.sin, s.cos = math.Sincos(s.theta)
	}
	return out
}

// cut cuts the faces with a standing set of half planes; each face meets only those within its own angle. There are no sections of a
// mesh whose faces meet too many. What lies farther than reach from the axis is left out.
func cut(pts []place3, faces [][3]uint32, reach float64) []section {
	secs := sectionAngles()
	left := max(mostMet*len(faces), fewPieces)
	turns := make([]float64, len(secs))
	for i := range secs {
		turns[i] = turnOf(secs[i].cos, secs[i].sin)
	}
	between := func(lo, hi float64, f [3]uint32) {
		for i, _ := slices.BinarySearch(turns, lo); i < len(turns) && turns[i] <= hi; i++ {
			if secs[i].take(pts, f) {
				left--
			}
		}
	}
	for _, f := range faces {
		if left < 0 {
			return nil
		}
		p, q, r := &pts[f[0]], &pts[f[1]], &pts[f[2]]
		if min(p.r, q.r, r.r) > reach {
			continue
		}
		a, b, c := p.turn, q.turn, r.turn
		lo, hi := min(a, b, c), max(a, b, c)
		mid := a + b + c - lo - hi
		switch {
		case lo < 0: // a corner on the axis
			between(0, 4, f)
		case hi-lo < 2:
			between(lo, hi, f)
		case mid-lo > 2: // across the seam, one corner behind it
			between(0, lo, f)
			between(mid, 4, f)
		case hi-mid > 2: // across the seam, two corners behind it
			between(0, mid, f)
			between(hi, 4, f)
		default: // around the axis
			between(0, 4, f)
		}
	}
	// What is seen from either side is parted from the rest.
	var both sync.WaitGroup
	both.Go(func() {
		for i := range secs {
			secs[i].out, secs[i].outRest = outermost(secs[i].out, 1)
		}
	})
	for i := range secs {
		secs[i].in, secs[i].inRest = outermost(secs[i].in, -1)
	}
	both.Wait()
	return secs
}

// take adds the piece of face f that the half plane cuts, if any.
func (s *section) take(pts []place3, f [3]uint32) bool {
	v := [3]*place3{&pts[f[0]], &pts[f[1]], &pts[f[2]]}
	var d [3]float64
	for i, p := range v {
		d[i] = s.cos*p.y - s.sin*p.x
	}
	var r, z, m [2]float64
	n := 0
	for i := range 3 {
		j := (i + 1) % 3
		if (d[i] >= 0) == (d[j] >= 0) || n == 2 {
			continue
		}
		p, q := v[i], v[j]
		t := d[i] / (d[i] - d[j])
		z[n] = p.z + t*(q.z-p.z)
		r[n] = s.cos*(p.x+t*(q.x-p.x)) + s.sin*(p.y+t*(q.y-p.y))
		m[n] = meanRadius(p, q, t)
		n++
	}
	if n < 2 || (r[0] <= 0 && r[1] <= 0) {
		return false
	}
	ax, ay, az := v[1].x-v[0].x, v[1].y-v[0].y, v[1].z-v[0].z
	bx, by, bz := v[2].x-v[0].x, v[2].y-v[0].y, v[2].z-v[0].z
	nx, ny, nz := ay*bz-az*by, az*bx-ax*bz, ax*by-ay*bx
	facing := nx*s.cos + ny*s.sin
	if facing*facing <= leastFacing*leastFacing*(nx*nx+ny*ny+nz*nz) {
		return false
	}
	lo, hi := 0, 1
	if z[1] < z[0] {
		lo, hi = 1, 0
	}
	pc := piece{z0: z[lo], r0: max(r[lo], 0), m0: m[lo], z1: z[hi], r1: max(r[hi], 0), m1: m[hi]}
	if facing > 0 {
		s.out = append(s.out, pc)
	} else {
		s.in = append(s.in, pc)
	}
	return true
}

// meanRadius returns the radius at the share t of the edge p-q as the mean over the edge's angle would have it. A
// chord between two points of a circle sinks below it by 4 t (1-t) s, on average by 2/3 s, s being its greatest sagitta;
// taking the mean everywhere makes a section's radius independent of where in a facet it fell.
func meanRadius(p, q *place3, t float64) float64 {
	s := (p.r + q.r - math.Sqrt((p.x+q.x)*(p.x+q.x)+(p.y+q.y)*(p.y+q.y))) / 2
	return max(p.r+t*(q.r-p.r)-2.0/3*s, 0)
}

// occlusionCells is how finely outermost looks along z.
const occlusionCells = 1024

// outermost sorts pieces from below to above and parts from them those that have another piece beyond them (side 1: farther
// from the axis, side -1: nearer to it): the walls of pockets, and whatever else is not seen from that side.
func outermost(ps []piece, side float64) (kept, rest []piece) {
	if len(ps) == 0 {
		return nil, nil
	}
	slices.SortFunc(ps, func(a, b piece) int {
		if c := cmp.Compare(a.z0+a.z1, b.z0+b.z1); c != 0 {
			return c
		}
		return cmp.Compare(a.r0+a.r1, b.r0+b.r1)
	})
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range ps {
		lo, hi = min(lo, p.z0), max(hi, p.z1)
	}
	step := (hi - lo) / occlusionCells
	if !(step > 0) {
		return ps, nil
	}
	var edge [occlusionCells + 2]float64
	for i := range edge {
		edge[i] = math.Inf(-1)
	}
	cell := func(z float64) int { return int(min((z-lo)/step, occlusionCells)) }
	for _, p := range ps {
		slope := 0.0
		if p.z1 > p.z0 {
			slope = (p.r1 - p.r0) / (p.z1 - p.z0)
		}
		for c := cell(p.z0 + step/2); c < cell(p.z1+step/2); c++ {
			r := side * (p.r0 + slope*(lo+(float64(c)+0.5)*step-p.z0))
			edge[c+1] = max(edge[c+1], r)
		}
	}
	kept = ps[:0]
	var last piece
	for i, p := range ps {
		if i > 0 && p == last { // of a face that is there twice
			continue
		}
		last = p
		c := cell((p.z0+p.z1)/2) + 1
		beyond := edge[min(c, occlusionCells+1)]
		if c > 1 {
			beyond = min(beyond, edge[c-1])
		}
		if c < occlusionCells {
			beyond = min(beyond, edge[c+1])
		}
		if side*(p.r0+p.r1)/2 > beyond-2*step {
			kept = append(kept, p)
		} else {
			rest = append(rest, p)
		}
	}
	return kept, rest
}
