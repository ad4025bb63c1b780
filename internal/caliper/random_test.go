package caliper_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/caliper"
)

// columnsFor holds a chord of 0.005 mm: sagitta 0.0075 mm with corners moved out by two thirds of it, and the twist
// of the flanks, (depth lead cos(30 deg) / 8 pi r) times the step.
func columnsFor(radius float64, forms ...form) int {
	step := math.Sqrt(8 * 0.0075 / radius)
	for _, f := range forms {
		k := (f.major - f.minor) / 2 * f.lead() / (2 * math.Pi) / (2 * f.minor)
		step = math.Min(step, 0.0015/k)
	}
	return max(64, int(math.Ceil(2*math.Pi/step)))
}

// drawForm draws a thread whose major diameter at height refZ is d.
func drawForm(t *rapid.T, name string, d, refZ float64) form {
	pitch := rapid.Float64Range(math.Max(0.35, d/50), math.Min(6, d/8)).Draw(t, name+" pitch")
	f := iso(d, pitch)
	switch rapid.SampledFrom([]string{"iso", "pipe", "npt", "free"}).Draw(t, name+" kind") {
	case "pipe":
		f = pipe(d, pitch)
	case "npt":
		f = npt(d-0.8*pitch, pitch, refZ)
		f.taper *= rapid.SampledFrom([]float64{1, -1}).Draw(t, name+" widens")
	case "free":
		f.up = rapid.Float64Range(20, 38).Draw(t, name+" up")
		f.down = rapid.Float64Range(20, 38).Draw(t, name+" down")
		depth := rapid.Float64Range(0.3, 0.55).Draw(t, name+" depth") * pitch
		f.pitchD, f.minor = d-depth, d-2*depth
	}
	f.refZ = refZ
	f.starts = rapid.SampledFrom([]int{1, 1, 1, 2, 3, 4, 6}).Draw(t, name+" starts")
	if f.lead() > d {
		f.starts = 1 // steeper than 18 degrees is no part of ours
	}
	f.hand = rapid.SampledFrom([]float64{1, -1}).Draw(t, name+" hand")
	return f
}

// drawPart makes a nested or stacked ring, with or without a flange.
func drawPart(t *rapid.T) (p part, in, out form) {
	d := rapid.Float64Range(4, 140).Draw(t, "inside diameter")
	wall := rapid.Float64Range(1, 4).Draw(t, "wall")
	turns := rapid.Float64Range(4, 9)
	if rapid.Bool().Draw(t, "flange") {
		p.flange = 3
		p.pockets = rapid.Bool().Draw(t, "pockets")
	}
	p.fine, p.out = 3, 2.0/3
	deep := rapid.Float64Range(0.01, 0.1).Draw(t, "chamfer")
	if rapid.Bool().Draw(t, "stacked") {
		in = drawForm(t, "inner", d, 0)
		cup := p.flange + turns.Draw(t, "inner turns")*in.pitch
		in.refZ = cup / 2
		bore := in.minor/2 - 0.5 - math.Abs(in.taper)*cup
		outD := math.Max(4, d*rapid.Float64Range(0.5, 1).Draw(t, "smaller"))
		out = drawForm(t, "outer", outD, 0)
		bore = math.Min(bore, out.minor/2-wall-2)
		bore = math.Max(bore, 0.5)
		shell := math.Max(in.major/2, out.major/2) + wall + math.Abs(in.taper)*cup
		foot := cup + in.major/2 + shell - bore // both cones have room
		p.height = foot + turns.Draw(t, "outer turns")*out.pitch
		out.refZ = (foot + p.height) / 2
		inside, outside := internal(in, 0, cup, deep*in.pitch), external(out, foot, p.height, deep*out.pitch)
		p.inner = &side{in, func(theta, z float64) float64 {
			return math.Max(bore, math.Min(inside.form.radius(theta, z)+math.Max(0, inside.radius(theta, math.Min(z, cup/2))-inside.form.radius(theta, math.Min(z, cup/2))), in.major/2+cup-z))
		}}
		p.outer = &side{out, func(theta, z float64) float64 {
			return math.Max(math.Min(shell, shell-(z-(foot-shell+0.5))), outside.radius(theta, math.Max(z, foot)))
		}}
	} else {
		in = drawForm(t, "inner", d, 0)
		out = drawForm(t, "outer", d+2*wall+2*6*0.9+4, 0)
		p.height = p.flange + turns.Draw(t, "turns")*math.Max(in.pitch, out.pitch)
		in.refZ, out.refZ = p.height/2, p.height/2
		p.inner, p.outer = internal(in, 0, p.height, deep*in.pitch), external(out, p.flange, p.height, deep*out.pitch)
	}
	edge := math.Max(in.major, out.major)/2 + 8
	lobes := rapid.SampledFrom([]float64{0, 6, 12}).Draw(t, "lobes")
	p.flangeR = func(theta float64) float64 { return edge + 1.5*math.Cos(lobes*theta) }
	p.columns = columnsFor(edge, in, out)
	return p, in, out
}

func TestRandomRings(t *testing.T) {
	seen := 0
	rapid.Check(t, func(rt *rapid.T) {
		p, in, out := drawPart(rt)
		m := p.build()
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		require.NoError(rt, err)
		c := &collect{}
		agrees(c, in, rep.Inner, lengthTol)
		agreesAngles(c, in, rep.Inner, false)
		if c.bad != "" {
			rt.Fatalf("inner %+v: %s %s %+v", in, rep.InnerWhy, c.bad, rep.Inner)
		}
		agrees(c, out, rep.Outer, lengthTol)
		agreesAngles(c, out, rep.Outer, true)
		if c.bad != "" {
			rt.Fatalf("outer %+v: %s %s %+v", out, rep.OuterWhy, c.bad, rep.Outer)
		}
		seen++
	})
	assert.Positive(t, seen)
}
