package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestTypeB(t *testing.T) {
	for _, c := range []struct {
		name      string
		got, want float64
		within    float64
	}{
		{"JCGM 100:2008 4.3.7: half width 0.40 gives 0.23", UniformU(0.40), 0.23, 0.005},
		{"JCGM 100:2008 4.4.5: bounds 96 and 104 degrees give 2.3", UniformU(4), 2.3, 0.05},
		{"JCGM 100:2008 F.2.2.1: 0.29 of a step", ResolutionU(1), 0.29, 0.005},
	} {
		t.Run(c.name, func(t *testing.T) { assert.InDelta(t, c.want, c.got, c.within) })
	}
}

// JCGM 100:2008, G.4.1, example: relative uncertainties of 0.25, 0.57 and 0.82 % from 10, 5 and 15 readings combine to
// 1.03 % with 19.0 effective degrees of freedom. Unrounded they are 18.99, cut to 18, for which t of 95 % is 2.10 (table
// G.2).
func TestCombineGUMExample(t *testing.T) {
	e := Combine(0, Part{U: 0.25, DOF: 9}, Part{U: 0.57, DOF: 4}, Part{U: 0.82, DOF: 14})
	assert.InDelta(t, 1.03, e.U, 0.005)
	assert.InDelta(t, 19.0, e.DOF, 0.05)
	assert.InDelta(t, 2.10, e.Coverage(0.95), 0.005)
}

// JCGM 100:2008, H.1.4: the end gauge's parts of 25, 9.7, 2.9 and 16.6 nm combine to 32 nm (parts from memory).
func TestCombineEndGauge(t *testing.T) {
	e := Combine(50.000838, Part{U: 25, DOF: 18}, Part{U: 9.7, DOF: 25.6}, Part{U: 2.9, DOF: 50}, Part{U: 16.6, DOF: 2})
	assert.InDelta(t, 32, e.U, 0.5)
}

func TestCoverage(t *testing.T) {
	// JCGM 100:2008, table G.2, fractions 95 % and 99 %.
	for _, c := range []struct{ dof, chance, want float64 }{
		{1, 0.95, 12.71},
		{2, 0.95, 4.30},
		{5, 0.95, 2.57},
		{10, 0.95, 2.23},
		{17, 0.99, 2.90},
		{math.Inf(1), 0.95, 1.96},
		{10.9, 0.95, 2.23}, // cut to 10, G.4.1
		{0.4, 0.95, 12.71}, // at least 1
	} {
		assert.InDelta(t, c.want, Estimate{U: 1, DOF: c.dof}.Coverage(c.chance), 0.006, "t of %v for %v degrees of freedom", c.chance, c.dof)
	}
	low, high := Estimate{Value: 10, U: 1, DOF: math.Inf(1)}.Interval()
	assert.InDelta(t, 8.04, low, 0.001)
	assert.InDelta(t, 11.96, high, 0.001)
}

// Scaling a value scales its uncertainty and keeps its degrees of freedom: the same reading in another unit.
func TestScaled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Combine(rapid.Float64Range(1, 100).Draw(t, "value"), Part{U: rapid.Float64Range(0.01, 1).Draw(t, "u"), DOF: rapid.Float64Range(1, 50).Draw(t, "dof")}, Part{U: 0.1, DOF: math.Inf(1)})
		s := e.Scaled(1 / 25.4)
		again := Combine(s.Value, s.Parts...)
		assert.InEpsilon(t, e.U/25.4, again.U, 1e-12)
		assert.InEpsilon(t, e.DOF, again.DOF, 1e-9)
	})
}

// below and between against sums of the density.
func TestDistributionsAgainstSums(t *testing.T) {
	for _, dof := range []float64{1, 3, 12.5, math.Inf(1)} {
		const step = 1e-3
		var sum float64
		for z := -1.5 + step/2; z < 2.2; z += step {
			sum += density(z, dof) * step
		}
		assert.InDelta(t, sum, between(-1.5, 2.2, dof), 1e-6, "dof %v", dof)
		assert.InDelta(t, 0.5, below(0, dof), 1e-12)
	}
	require.Positive(t, between(8, 9, math.Inf(1)), "far out on the upper side nothing is lost")
	assert.InEpsilon(t, between(-9, -8, math.Inf(1)), between(8, 9, math.Inf(1)), 1e-9)
}

// A chi-square of 3.841 with one degree of freedom comes about in 5 % of cases (standard tables).
func TestSurprise(t *testing.T) {
	assert.InDelta(t, 0.05, surprise(3.841, 1), 1e-4)
	assert.InDelta(t, 0.01, surprise(13.277, 4), 1e-4)
}
