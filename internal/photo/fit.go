package photo

// This file holds the least-squares fits: polynomials, and a wave on a slope.

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// leastSquares solves for the coefficients that make the sum of the columns come closest to y, each row with a weight.
func leastSquares(rows, columns int, entry func(i, k int) float64, y, weight func(i int) float64) ([]float64, bool) {
	normal, right := mat.NewSymDense(columns, nil), mat.NewVecDense(columns, nil)
	row := make([]float64, columns)
	a, b := normal.RawSymmetric().Data, right.RawVector().Data
	for i := range rows {
		w := weight(i)
		for k := range columns {
			row[k] = entry(i, k)
		}
		for k := range columns {
			b[k] += w * row[k] * y(i)
			for m := k; m < columns; m++ {
				a[k*columns+m] += w * row[k] * row[m]
			}
		}
	}
	var chol mat.Cholesky
	var out mat.VecDense
	if !chol.Factorize(normal) || chol.SolveVecTo(&out, right) != nil {
		return nil, false
	}
	return out.RawVector().Data, true
}

// polyfit fits a polynomial of the given degree; x should run from about -1 to 1.
func polyfit(x, y []float64, degree int) ([]float64, bool) {
	if len(x) <= degree {
		return nil, false
	}
	return leastSquares(len(x), degree+1,
		func(i, k int) float64 { return math.Pow(x[i], float64(k)) },
		func(i int) float64 { return y[i] },
		func(int) float64 { return 1 })
}

func polyval(c []float64, x float64) float64 {
	v := 0.0
	for k := len(c) - 1; k >= 0; k-- {
		v = v*x + c[k]
	}
	return v
}

// robustLine fits y = a + b x, and leaves out what lies beyond three of the usual deviations.
func robustLine(x, y []float64) (a, b, spread float64, ok bool) {
	keep := make([]bool, len(x))
	for i := range keep {
		keep[i] = true
	}
	for range 4 {
		var n, sx, sy, sxx, sxy float64
		for i := range x {
			if keep[i] {
				n, sx, sy, sxx, sxy = n+1, sx+x[i], sy+y[i], sxx+x[i]*x[i], sxy+x[i]*y[i]
			}
		}
		d := n*sxx - sx*sx
		if n < 3 || d <= 0 {
			return a, b, spread, false
		}
		b = (n*sxy - sx*sy) / d
		a = (sy - b*sx) / n
		off := make([]float64, len(x))
		for i := range x {
			off[i] = math.Abs(y[i] - a - b*x[i])
		}
		spread = math.Max(1.4826*median(off), 1e-6) // pixels; a perfect line has no spread to judge by
		for i := range off {
			keep[i] = off[i] <= 3*spread
		}
	}
	return a, b, spread, true
}

// wave is what an outline does around a row: a cosine on a slope.
type wave struct {
	// amplitude is in pixels, phase in radians, 0 where a crest stands on the row.
	amplitude, phase float64
	// rest is the standard deviation of what the wave does not tell.
	rest float64
}

// waveAt fits the wave of a period around row centre, over two periods with Hann's weights.
func waveAt(v []float64, centre, period float64) (w wave, ok bool) {
	from, to := int(math.Ceil(centre-period)), int(math.Floor(centre+period))
	if from < 0 || to >= len(v) {
		return w, false
	}
	x := func(i int) float64 { return (float64(from+i) - centre) / period }
	lost := 0
	weight := func(i int) float64 {
		if math.IsNaN(v[from+i]) {
			return 0
		}
		return 0.5 + 0.5*math.Cos(math.Pi*x(i))
	}
	y := func(i int) float64 {
		if math.IsNaN(v[from+i]) {
			return 0
		}
		return v[from+i]
	}
	entry := func(i, k int) float64 {
		switch k {
		case 0:
			return 1
		case 1:
			return x(i)
		case 2:
			return math.Cos(2 * math.Pi * x(i))
		}
		return math.Sin(2 * math.Pi * x(i))
	}
	n := to - from + 1
	for i := range n {
		if math.IsNaN(v[from+i]) {
			lost++
		}
	}
	if lost > n/5 || n < 7 {
		return w, false
	}
	c, ok := leastSquares(n, 4, entry, y, weight)
	if !ok {
		return w, false
	}
	var sum, weights float64
	for i := range n {
		d := y(i)
		for k := range 4 {
			d -= c[k] * entry(i, k)
		}
		sum, weights = sum+weight(i)*d*d, weights+weight(i)
	}
	// c2 cos x + c3 sin x = A cos(x - phi): the crest stands phi further on, so that the row's own phase is -phi.
	return wave{math.Hypot(c[2], c[3]), -math.Atan2(c[3], c[2]), math.Sqrt(sum / weights)}, true
}
