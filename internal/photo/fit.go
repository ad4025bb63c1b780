package photo

// This file holds the least-squares fits: polynomials, and a wave on a slope.

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// leastSquares collects equations, row . coefficients = y, each with a weight, for the coefficients that come closest to all.
type leastSquares struct {
	normal *mat.SymDense
	right  *mat.VecDense
}

func newLeastSquares(columns int) leastSquares {
	return leastSquares{mat.NewSymDense(columns, nil), mat.NewVecDense(columns, nil)}
}

func (l leastSquares) add(weight, y float64, row ...float64) {
	a, b := l.normal.RawSymmetric().Data, l.right.RawVector().Data
	for k := range row {
		b[k] += weight * row[k] * y
		for m := k; m < len(row); m++ {
			a[k*len(row)+m] += weight * row[k] * row[m]
		}
	}
}

func (l leastSquares) solve() ([]float64, bool) {
	var chol mat.Cholesky
	var out mat.VecDense
	if !chol.Factorize(l.normal) || chol.SolveVecTo(&out, l.right) != nil {
		return nil, false
	}
	return out.RawVector().Data, true
}

// polyfit fits a polynomial of the given degree; x should run from about -1 to 1.
func polyfit(x, y []float64, degree int) ([]float64, bool) {
	if len(x) <= degree {
		return nil, false
	}
	fit, row := newLeastSquares(degree+1), make([]float64, degree+1)
	for i := range x {
		for k := range row {
			row[k] = math.Pow(x[i], float64(k))
		}
		fit.add(1, y[i], row...)
	}
	return fit.solve()
}

func polyval(c []float64, x float64) float64 {
	v := 0.0
	for k := len(c) - 1; k >= 0; k-- {
		v = v*x + c[k]
	}
	return v
}

// robustLine fits y = a + b x, and leaves out what lies beyond three of the usual deviations. It starts from the median slope of pairs far
// apart, since least squares would start from a step onto a bolt's head.
func robustLine(x, y []float64) (a, b, spread float64, ok bool) {
	off, keep := make([]float64, len(x)), make([]float64, len(x))
	var slopes []float64
	for i := range x {
		if k := (i + len(x)/3) % len(x); math.Abs(x[k]-x[i]) > 1e-9 {
			slopes = append(slopes, (y[k]-y[i])/(x[k]-x[i]))
		}
	}
	if len(slopes) < 2 {
		return 0, 0, 0, false
	}
	b = median(slopes)
	for i := range x {
		off[i] = y[i] - b*x[i]
	}
	a = median(off)
	for range 4 {
		for i := range x {
			off[i] = math.Abs(y[i] - a - b*x[i])
		}
		spread = math.Max(1.4826*median(off), 1e-6) // pixels; a perfect line has no spread to judge by
		left := 0.0
		for i := range keep {
			keep[i] = 0
			if off[i] <= 3*spread {
				keep[i] = 1
				left++
			}
		}
		if left < 3 {
			return a, b, spread, false
		}
		if a, b = stat.LinearRegression(x, y, keep, false); math.IsNaN(b) || math.IsInf(b, 0) {
			return a, b, spread, false
		}
	}
	return a, b, spread, true
}

// wave is what an outline does around a row: a cosine on a slope. The amplitude is in pixels, the phase in radians, 0 where
// a crest stands on the row.
type wave struct{ amplitude, phase float64 }

// waveAt fits the wave of a period around row centre, over two periods with Hann's weights.
func waveAt(v []float64, centre, period float64) (w wave, ok bool) {
	from, to := int(math.Ceil(centre-period)), int(math.Floor(centre+period))
	if from < 0 || to >= len(v) {
		return w, false
	}
	fit, lost, n := newLeastSquares(4), 0, to-from+1
	for i := from; i <= to; i++ {
		if math.IsNaN(v[i]) {
			lost++
			continue
		}
		x := (float64(i) - centre) / period
		sin, cos := math.Sincos(2 * math.Pi * x)
		fit.add(0.5+0.5*math.Cos(math.Pi*x), v[i], 1, x, cos, sin)
	}
	if lost > n/5 || n < 7 {
		return w, false
	}
	c, ok := fit.solve()
	if !ok {
		return w, false
	}
	// c2 cos x + c3 sin x = A cos(x - phi): the crest stands phi further on, so that the row's own phase is -phi.
	return wave{math.Hypot(c[2], c[3]), -math.Atan2(c[3], c[2])}, true
}
