package caliper_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
)

// What a measurement of our own meshes (chord 0.005 mm) must hold.
const (
	lengthTol = 0.003 // mm, on a diameter or the lead
	angleTol  = 0.1   // degrees
	taperTol  = 5e-4  // mm of diameter per mm
	wallTol   = 0.01  // mm
)

func agrees(t assert.TestingT, f form, got *caliper.Thread, lengthTol float64) {
	if got == nil {
		assert.NotNil(t, got, "no thread found")
		return
	}
	assert.Equal(t, f.starts, got.Starts, "starts")
	hand := "right"
	if f.hand < 0 {
		hand = "left"
	}
	assert.Equal(t, hand, got.Hand, "hand")
	assert.InDelta(t, f.lead(), got.LeadMM, lengthTol, "lead")
	assert.InDelta(t, f.pitch, got.PitchMM, lengthTol, "pitch")
	shift := f.taper * (got.RefZMM - f.refZ)
	assert.InDelta(t, f.major+shift, got.MajorMM, lengthTol, "major")
	assert.InDelta(t, f.pitchD+shift, got.PitchDMM, lengthTol, "pitch diameter")
	assert.InDelta(t, f.minor+shift, got.MinorMM, lengthTol, "minor")
	// On a short thread the taper is no better known than the diameters at its ends.
	assert.InDelta(t, math.Abs(f.taper), got.Taper, math.Max(taperTol, 1.5*lengthTol/(got.ZMM[1]-got.ZMM[0])), "taper")
}

func measure(t *testing.T, p part) caliper.Report {
	t.Helper()
	rep, err := caliper.Measure(p.build(), caliper.DefaultOptions())
	require.NoError(t, err)
	return rep
}

// reference is M42x1.5 in M48x2, 25 mm tall.
func reference() part {
	in, out := iso(42, 1.5), iso(48, 2)
	return part{inner: internal(in, 0, 25, 0.2), outer: external(out, 0, 25, 0.2), height: 25, columns: 128, fine: 0, out: 2.0 / 3}
}

func TestReferenceRing(t *testing.T) {
	rep := measure(t, reference())
	agrees(t, iso(42, 1.5), rep.Inner, lengthTol)
	agrees(t, iso(48, 2), rep.Outer, lengthTol)
	require.NotNil(t, rep.Inner)
	require.NotNil(t, rep.Outer)
	t.Logf("%+v\n%+v\n%+v", *rep.Inner, *rep.Outer, rep)
}

func BenchmarkReferenceRing(b *testing.B) {
	m := welded(reference().build())
	for b.Loop() {
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		if err != nil || rep.Inner == nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(m.Faces)), "faces")
}

// BenchmarkManyFaces is to take no longer for a face than BenchmarkReferenceRing.
func BenchmarkManyFaces(b *testing.B) {
	p := reference()
	p.columns, p.fine = 1200, 40
	m := welded(p.build())
	b.ResetTimer()
	for b.Loop() {
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		if err != nil || rep.Inner == nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(m.Faces)), "faces")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(m.Faces)), "ns/face")
}

// collect gathers what does not agree.
type collect struct{ bad string }

func (c *collect) Errorf(format string, args ...any) { c.bad += fmt.Sprintf(format, args...) }

func agreesAngles(t assert.TestingT, f form, got *caliper.Thread, outer bool) {
	if got == nil {
		return
	}
	upper, lower := f.down, f.up
	if !outer {
		upper, lower = lower, upper
	}
	assert.InDelta(t, upper, got.FlankDeg[1], angleTol, "flank that faces up")
	assert.InDelta(t, lower, got.FlankDeg[0], angleTol, "flank that faces down")
	assert.InDelta(t, f.up+f.down, got.AngleDeg, angleTol, "angle")
}
