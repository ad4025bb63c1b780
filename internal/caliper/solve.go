package caliper

// This file holds the small least-squares system that the fits share.

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// maxUnknowns is the most unknowns of any fit here.
const maxUnknowns = 10

// system gathers the normal equations of a linear least-squares problem.
type system struct {
	n int
	a [maxUnknowns][maxUnknowns]float64
	b [maxUnknowns]float64
}

// add counts the equation row . x = y with weight w.
func (s *system) add(row []float64, y, w float64) {
	for i, ri := range row {
		wr := w * ri
		s.b[i] += wr * y
		a := s.a[i][i:len(row)]
		for j, rj := range row[i:] {
			a[j] += wr * rj
		}
	}
}

// solve returns the least-squares solution; ok is false when the equations leave something open.
func (s *system) solve() (x [maxUnknowns]float64, ok bool) {
	const mostCond = 1e11 // of the matrix scaled to a diagonal of ones
	var scale [maxUnknowns]float64
	a, b := mat.NewSymDense(s.n, nil), mat.NewVecDense(s.n, nil)
	for i := range s.n {
		if !(s.a[i][i] > 0) || math.IsInf(s.a[i][i], 0) {
			return x, false
		}
		scale[i] = 1 / math.Sqrt(s.a[i][i])
		for j := range i + 1 {
			a.SetSym(i, j, s.a[j][i]*scale[i]*scale[j])
		}
		b.SetVec(i, s.b[i]*scale[i])
	}
	var c mat.Cholesky
	if !c.Factorize(a) || !(c.Cond() < mostCond) || c.SolveVecTo(b, b) != nil {
		return x, false
	}
	for i := range s.n {
		x[i] = b.AtVec(i) * scale[i]
	}
	return x, true
}
