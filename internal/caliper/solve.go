package caliper

// This file holds the small least-squares system that the fits share.

import "math"

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
	n := s.n
	var scale [maxUnknowns]float64
	for i := range n {
		if !(s.a[i][i] > 0) || math.IsInf(s.a[i][i], 0) {
			return x, false
		}
		scale[i] = 1 / math.Sqrt(s.a[i][i])
	}
	// Cholesky on the matrix scaled to a diagonal of ones, where the size of a pivot means something.
	const leastPivot = 1e-11
	var l [maxUnknowns][maxUnknowns]float64
	for i := range n {
		for j := 0; j <= i; j++ {
			v := s.a[j][i] * scale[i] * scale[j]
			for k := range j {
				v -= l[i][k] * l[j][k]
			}
			if i == j {
				if !(v > leastPivot) {
					return x, false
				}
				l[i][i] = math.Sqrt(v)
			} else {
				l[i][j] = v / l[j][j]
			}
		}
	}
	for i := range n {
		v := s.b[i] * scale[i]
		for k := range i {
			v -= l[i][k] * x[k]
		}
		x[i] = v / l[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	for i := range n {
		x[i] *= scale[i]
	}
	return x, true
}
