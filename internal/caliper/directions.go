package caliper

// This file guesses in which directions axes may point, and where along each direction normals cross.

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// directions returns the directions in which an axis of the faces may point, best first: the file's own, and
// those about which the normals are spread evenly.
func directions(faces []sample, own []vec) []vec {
	const (
		bins = 48
		most = 5 // directions that are looked into
	)
	type scored struct {
		d     vec
		score float64
	}
	var out []scored
	for _, d := range append(slices.Clip(own), principal(faces)...) {
		if slices.ContainsFunc(out, func(s scored) bool { return math.Abs(s.d.dot(d)) > straightest }) {
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
		cells = 50 // each way from o
		most  = 8
		least = 6 // votes
	)
	pairs := min(8*len(faces), 4000)
	base := newFrame(vec{}, d)
	ox, oy := o.dot(base.e1), o.dot(base.e2)
	rays := raysOf(faces, base, ox, oy)
	if len(rays) < 2*least {
		return nil
	}
	const wide = 2*cells + 3
	votes := make([]int, wide*wide)
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
	var out []frame
	for _, i := range loudest(votes, wide, least) {
		x, y := float64(i%wide-cells-1)*reach/cells, float64(i/wide-cells-1)*reach/cells
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

// ray is a normal seen along a direction: a place, and a unit vector.
type ray struct{ x, y, u, v float64 }

// raysOf returns the normals seen along the axis of base, from the place (ox, oy), but those that point along it.
func raysOf(faces []sample, base frame, ox, oy float64) (rays []ray) {
	const aslant = 0.15
	for i := range faces {
		s := &faces[i]
		u, v := s.n.dot(base.e1), s.n.dot(base.e2)
		if l := math.Hypot(u, v); l > aslant {
			rays = append(rays, ray{s.p.dot(base.e1) - ox, s.p.dot(base.e2) - oy, u / l, v / l})
		}
	}
	return rays
}

// loudest returns the cells that have, with the eight around, at least so many votes, those with the most first. Cells are in rows so
// wide; there are no votes at the rim.
func loudest(votes []int, wide, least int) (cells []int) {
	sums := make([]int, len(votes))
	for i, n := range votes {
		if n == 0 {
			continue
		}
		for _, j := range []int{i - wide, i, i + wide} {
			sums[i] += votes[j-1] + votes[j] + votes[j+1]
		}
		if sums[i] >= least {
			cells = append(cells, i)
		}
	}
	slices.SortStableFunc(cells, func(a, b int) int { return cmp.Compare(sums[b], sums[a]) })
	return cells
}

// principal returns the principal directions of the normals.
func principal(faces []sample) (out []vec) {
	a := mat.NewSymDense(3, nil)
	for i := range faces {
		a.SymRankOne(a, 1, mat.NewVecDense(3, faces[i].n[:]))
	}
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
