package reading

// This file holds the arithmetic of uncertainty of JCGM 100:2008 (GUM): type A, type B, combination and coverage.

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Part is one contribution to the uncertainty of a value, in the value's own unit.
type Part struct {
	// What says in words where the contribution comes from, Source what its figure rests on.
	What, Source string
	// U is its standard uncertainty, times the sensitivity of the value to it.
	U float64
	// DOF are the degrees of freedom of U: n-1 of n repeats, +Inf of a figure that is taken as known (GUM G.4.3).
	DOF float64
}

// Estimate is a value with its standard uncertainty.
type Estimate struct {
	Value float64
	// U is the combined standard uncertainty (GUM 5.1.2), DOF its effective degrees of freedom (GUM G.4.1).
	U, DOF float64
	Parts  []Part
}

// UniformU is the standard uncertainty of a value of which only a range of the given half width is known (GUM 4.3.7).
func UniformU(half float64) float64 { return half / math.Sqrt(3) }

// ResolutionU is that of a display or scale that shows steps of the given size (GUM F.2.2.1: 0.29 steps).
func ResolutionU(step float64) float64 { return UniformU(step / 2) }

// Combine returns value with the root of the sum of squares of its parts (GUM equation (10)) and the effective degrees of
// freedom of Welch and Satterthwaite (GUM equation (G.2b)). Parts of +Inf degrees of freedom add none to the sum there.
func Combine(value float64, parts ...Part) Estimate {
	var sum, fourth float64
	for _, p := range parts {
		sum += p.U * p.U
		fourth += math.Pow(p.U, 4) / p.DOF
	}
	e := Estimate{Value: value, U: math.Sqrt(sum), DOF: math.Inf(1), Parts: parts}
	if fourth > 0 {
		e.DOF = sum * sum / fourth
	}
	return e
}

// Coverage is the coverage factor k of an interval that holds the value with the given chance: Student's t for the
// effective degrees of freedom, cut to a whole number, at least 1 (GUM G.4.1, G.6.4).
func (e Estimate) Coverage(chance float64) float64 {
	q := (1 + chance) / 2
	if dof := math.Max(1, math.Floor(e.DOF)); dof < manyDOF {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: dof}.Quantile(q)
	}
	return distuv.UnitNormal.Quantile(q)
}

// manyDOF are so many degrees of freedom that Student's t and the normal distribution differ by less than 0.0001.
const manyDOF = 1e5

// Interval returns the interval that holds the value with a chance of 95 %; what is above 0 is nowhere below it.
func (e Estimate) Interval() (low, high float64) {
	half := e.Coverage(covered) * e.U
	if low = e.Value - half; e.Value > 0 {
		low = math.Max(0, low)
	}
	return low, e.Value + half
}

// Scaled returns the estimate of factor times the value.
func (e Estimate) Scaled(factor float64) Estimate {
	out := Estimate{Value: e.Value * factor, U: e.U * math.Abs(factor), DOF: e.DOF}
	for _, p := range e.Parts {
		p.U *= math.Abs(factor)
		out.Parts = append(out.Parts, p)
	}
	return out
}

// below is the chance that a value known as zero with standard uncertainty 1 is below z.
func below(z, dof float64) float64 {
	if dof < manyDOF {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(1, dof)}.CDF(z)
	}
	return 0.5 * math.Erfc(-z/math.Sqrt2)
}

// between is the chance that such a value lies between low and high; it keeps its precision far out on either side.
func between(low, high, dof float64) float64 {
	if low > 0 {
		low, high = -high, -low
	}
	return math.Max(0, below(high, dof)-below(low, dof))
}

// density is the density of such a value at z.
func density(z, dof float64) float64 {
	if dof < manyDOF {
		return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(1, dof)}.Prob(z)
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
}

// surprise is the chance that so large a sum of squared normalised residuals, or a larger one, comes about by chance.
func surprise(chiSquare float64, dof int) float64 {
	return distuv.ChiSquared{K: float64(dof)}.Survival(chiSquare)
}
