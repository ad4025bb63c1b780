package caliper

// This file finds the least thickness between the inner and the outer surface.

import (
	"cmp"
	"math"
	"slices"
)

const (
	wallTries = 4       // places from which the least wall is looked for in space
	wallPairs = 4 << 20 // pairs of pieces looked at in all
	wallSteps = 60      // steps to and fro between the surfaces
)

// nearPair is a nearest pair of points of one section.
type nearPair struct {
	dist       float64
	inR, inZ   float64
	outR, outZ float64
	sec        int
}

// wall returns the least distance between the inner and the outer surface, and its height; 0 when one is missing.
//
// The sections give the places where the wall is thin; from the thinnest of them the nearest points of the two
// surfaces are then sought in space, going to and fro between the faces around.
func wall(pts []place3, faces [][3]uint32, secs []section) (least, z float64) {
	best := math.Inf(1)
	budget := wallPairs
	var pairs []nearPair
	for i, s := range secs {
		p := s.nearest(best*1.1, &budget)
		p.sec = i
		if !math.IsInf(p.dist, 0) {
			pairs = append(pairs, p)
			best = min(best, p.dist)
		}
	}
	if len(pairs) == 0 {
		return 0, 0
	}
	slices.SortStableFunc(pairs, func(a, b nearPair) int { return cmp.Compare(a.dist, b.dist) })
	pairs = pairs[:min(len(pairs), wallTries)]
	least, z = pairs[0].dist, (pairs[0].inZ+pairs[0].outZ)/2
	sh := shellsOf(secs)
	for _, p := range pairs {
		in, out := sh.around(p, pts, faces, &secs[p.sec])
		if found := p.toAndFro(in, out, &secs[p.sec]); found < least {
			least, z = found, (p.inZ+p.outZ)/2
		}
	}
	return least, z
}

// nearest returns the nearest pair of points of the section's two sides that is nearer than within.
func (s *section) nearest(within float64, budget *int) nearPair {
	best := nearPair{dist: math.Inf(1)}
	limit := within
	first := 0
	tall := 0.0
	leastOut := math.Inf(1)
	for _, o := range s.out {
		tall = max(tall, o.z1-o.z0)
		leastOut = min(leastOut, o.r0, o.r1)
	}
	tallIn := 0.0
	for _, p := range s.in {
		tallIn = max(tallIn, p.z1-p.z0)
	}
	// Both sides are in order of their middles, which the tallest pieces turn into bounds for their ends.
	for _, p := range s.in {
		for first < len(s.out) && s.out[first].z1+tallIn+limit < p.z0 {
			first++
		}
		far := max(p.r0, p.r1)
		if leastOut-far >= limit {
			continue
		}
		for j := first; j < len(s.out); j++ {
			o := s.out[j]
			if o.z0-tall > p.z1+limit {
				break
			}
			if *budget--; *budget < 0 {
				return best
			}
			dz := max(0, o.z0-p.z1, p.z0-o.z1)
			dr := max(0, min(o.r0, o.r1)-far)
			if dz*dz+dr*dr >= limit*limit {
				continue
			}
			if q := p.near(o); q.dist < limit {
				best, limit = q, q.dist
			}
		}
	}
	return best
}

// near returns the nearest points of an inner piece p and an outer piece o, which do not cross.
func (p piece) near(o piece) nearPair {
	best := nearPair{dist: math.Inf(1)}
	try := func(r, z float64, q piece, fromIn bool) {
		dr, dz := q.r1-q.r0, q.z1-q.z0
		u := 0.0
		if l := dr*dr + dz*dz; l > 0 {
			u = min(max(((r-q.r0)*dr+(z-q.z0)*dz)/l, 0), 1)
		}
		qr, qz := q.r0+u*dr, q.z0+u*dz
		if d := math.Sqrt((r-qr)*(r-qr) + (z-qz)*(z-qz)); d < best.dist {
			best = nearPair{dist: d, inR: r, inZ: z, outR: qr, outZ: qz}
			if !fromIn {
				best = nearPair{dist: d, inR: qr, inZ: qz, outR: r, outZ: z}
			}
		}
	}
	try(p.r0, p.z0, o, true)
	try(p.r1, p.z1, o, true)
	try(o.r0, o.z0, p, false)
	try(o.r1, o.z1, p, false)
	return best
}
