package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

var flank60, flank55 = thread.Form60.FlankRad, thread.Form55.FlankRad

// Three-wire method of ASME B1.2 and of Machinery's Handbook, lead angle neglected: M = d2 - 0.866025 P + 3 W and best
// wire 0.577350 P at 60 degrees, M = d2 - 0.960491 P + 3.165681 W at 55 (from memory).
func TestOverWiresFormulas(t *testing.T) {
	assert.InDelta(t, -0.866025, OverWires(0, 1, 0, flank60), 1e-6)
	assert.InDelta(t, 3, OverWires(0, 0, 1, flank60), 1e-6)
	assert.InDelta(t, -0.960491, OverWires(0, 1, 0, flank55), 1e-6)
	assert.InDelta(t, 3.165681, OverWires(0, 0, 1, flank55), 1e-6)
	assert.InDelta(t, 0.577350, BestWire(1, flank60), 1e-6)
}

// 1/4-20 UNC-2A has a pitch diameter of 0.2127 to 0.2164 in (ASME B1.1, table 2); over wires of 0.0289 in that reads 0.2561
// to 0.2598 in (worked example of the three-wire method, Machinery's Handbook, from memory).
func TestOverWiresExample(t *testing.T) {
	const tolerance = 0.00006 // half of the last digit published, in
	assert.InDelta(t, 0.2561, OverWires(0.2127, 1.0/20, 0.0289, flank60), tolerance)
	assert.InDelta(t, 0.2598, OverWires(0.2164, 1.0/20, 0.0289, flank60), tolerance)

	caliper, err := FindInstrument("caliper")
	require.NoError(t, err)
	w, err := ParseWires("0.2598in±0.0002", "0.0289in", caliper)
	require.NoError(t, err)
	pitch, err := ParsePerInch("20±0.05")
	require.NoError(t, err)
	d2 := w.PitchDiameter(pitch.Value, flank60)
	assert.InDelta(t, 0.2164, unit.MM(d2.Value).Inches(), tolerance)
	// JCGM 100:2008 5.1.2 by hand: M contributes 0.0002/√3 in, the pitch 0.866025 x (0.05/√3) x 0.05/20 in.
	assert.InDelta(t, math.Hypot(0.0002/math.Sqrt(3), 0.866025*0.05/math.Sqrt(3)*0.05/20), unit.MM(d2.U).Inches(), 1e-8)
}

// The length over wires against geometry: each wire's centre stands where it touches both flanks of a vee whose
// flanks are a pitch's half apart on the pitch line.
func TestOverWiresAgainstGeometry(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d2 := rapid.Float64Range(5, 100).Draw(t, "pitch diameter")
		pitch := rapid.Float64Range(0.5, 4).Draw(t, "pitch")
		flank := rapid.SampledFrom([]float64{flank55, flank60}).Draw(t, "flank")
		wire := BestWire(pitch, flank) * rapid.Float64Range(0.9, 1.2).Draw(t, "wire")
		// The flanks meet at the radius r0 where the gap of half a pitch has closed; the centre is wire/2/sin(flank) above.
		r0 := d2/2 - pitch/4/math.Tan(flank)
		want := 2 * (r0 + wire/2/math.Sin(flank) + wire/2)
		assert.InDelta(t, want, OverWires(d2, pitch, wire, flank), 1e-9)
	})
}

func TestWiresSettleAPitchDiameter(t *testing.T) {
	tables := thread.NewTables()
	in, err := tables.Parse("1 1/2-12 UNF")
	require.NoError(t, err)
	l, err := in.Limits("", true)
	require.NoError(t, err)
	wire := BestWire(in.Pitch.MM(), flank60)
	m := OverWires((l.PitchMin.MM()+l.PitchMax.MM())/2, in.Pitch.MM(), wire, flank60)
	s := read(t, Batch{OverWires: []string{unit.MM(m).TextMM()}, Wire: unit.MM(wire).TextMM(), TPI: []string{"12"}})
	a := Identify(tables, s, Machine)
	assert.Equal(t, "1 1/2-12 UNF", a.Candidates[0].Designation)
	require.NotNil(t, a.Found.PitchDiameter)
	assert.InDelta(t, (l.PitchMin.MM()+l.PitchMax.MM())/2, a.Found.PitchDiameter.Value, 0.001)
}
