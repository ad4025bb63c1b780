package printer

// This file holds what is believed of one offset of a printer, or of the sum of two, as chances on a grid, and how trials
// change it (Bayes' rule: the chance of an offset is that beforehand times the chance of what was seen, if it were true).

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// The grid of offsets, mm: the range that a profile may state, in steps far below what trials can tell.
const (
	gridLow, gridHigh = -1.0, 1.0
	gridStep          = 0.0025
	gridPoints        = 801 // (gridHigh-gridLow)/gridStep + 1
)

// Belief is the chance of each offset on a grid in steps of gridStep; the chances sum to 1.
type Belief struct {
	// low is the first offset, mm.
	low float64
	p   []float64
}

// offset is the offset at point i of the grid, mm.
func (b Belief) offset(i int) float64 { return b.low + float64(i)*gridStep }

// priorDOF are the degrees of freedom of the belief that a profile stands for. Its figures come from other machines and
// materials, and its uncertainty is a rough one: Student's law with few degrees of freedom lets a printer lie far outside
// without being disbelieved (JCGM 100:2008, G.4.2: 3 degrees of freedom are an uncertainty known to about 40 %).
const priorDOF = 3

// prior is what a profile says of an offset.
func prior(value, u unit.Length) Belief {
	law := distuv.StudentsT{Mu: value.MM(), Sigma: u.MM(), Nu: priorDOF}
	b := Belief{gridLow, make([]float64, gridPoints)}
	for i := range b.p {
		b.p[i] = law.Prob(b.offset(i))
	}
	b.normalize()
	return b
}

// normalize makes the chances sum to 1. They never all vanish: see lapse.
func (b Belief) normalize() { floats.Scale(1/floats.Sum(b.p), b.p) }

// times returns the belief after something was seen whose chance at each offset is likely.
func (b Belief) times(likely []float64) Belief {
	out := Belief{b.low, make([]float64, len(b.p))}
	floats.MulTo(out.p, b.p, likely)
	out.normalize()
	return out
}

// Mean is the expected offset.
func (b Belief) Mean() unit.Length {
	m := 0.0
	for i, p := range b.p {
		m += p * b.offset(i)
	}
	return unit.MM(m)
}

// SD is the standard deviation of the offset.
func (b Belief) SD() unit.Length {
	m, v := b.Mean().MM(), 0.0
	for i, p := range b.p {
		v += p * (b.offset(i) - m) * (b.offset(i) - m)
	}
	return unit.MM(math.Sqrt(v))
}

// Quantile is the offset below which the share q of the chances lies. Each point of the grid stands for the step around it.
func (b Belief) Quantile(q float64) unit.Length {
	return unit.MM(b.low + quantile(b.p, q)*gridStep)
}

// quantile is Quantile in steps from the first point, for chances in equal steps that sum to 1.
func quantile(p []float64, q float64) float64 {
	below := 0.0
	for i, x := range p {
		if below+x >= q && x > 0 {
			return float64(i) + (q-below)/x - 0.5
		}
		below += x
	}
	return float64(len(p) - 1)
}

// Interval is the range that holds the offset with 95 % chance, 2.5 % lying to either side.
func (b Belief) Interval() (low, high unit.Length) { return b.Quantile(0.025), b.Quantile(0.975) }

// Points gives the curve of the belief: offsets in mm, and the chance per mm.
func (b Belief) Points() (offsets, density []float64) {
	for i, p := range b.p {
		offsets = append(offsets, b.offset(i))
		density = append(density, p/gridStep)
	}
	return offsets, density
}

// bits is the entropy of chances that sum to 1, in bits.
func bits(p []float64) float64 {
	h := 0.0
	for _, x := range p {
		if x > 0 {
			h -= x * math.Log2(x)
		}
	}
	return h
}
