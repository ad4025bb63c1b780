package reading

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/unit"
)

func readings(t testing.TB, instrument string, texts ...string) []Reading {
	t.Helper()
	i, err := FindInstrument(instrument)
	require.NoError(t, err)
	var out []Reading
	for _, text := range texts {
		r, err := ParseReading(text, i)
		require.NoError(t, err)
		out = append(out, r)
	}
	return out
}

func TestOneReading(t *testing.T) {
	stated, _ := repeats("diameter", readings(t, "caliper", "47.55mm±0.05"), false)
	assert.InDelta(t, 47.55, stated.Value, tolMM)
	assert.InDelta(t, 0.05/math.Sqrt(3), stated.U, tolMM, "GUM 4.3.7")
	own, _ := repeats("diameter", readings(t, "caliper", "47.55mm"), false)
	// By hand from the caliper's figures: step 0.01, accuracy ± 0.03, held ± 0.1, handling ± 0.05 mm.
	assert.InDelta(t, math.Sqrt(0.005*0.005+0.03*0.03+0.1*0.1+0.05*0.05)/math.Sqrt(3), own.U, tolMM)
	last := 0.0
	for _, i := range Instruments() {
		e, _ := repeats("diameter", readings(t, i.Name, "47.55mm"), false)
		assert.Greater(t, e.U, last, "%s is less exact than the one before", i.Words)
		last = e.U
	}
}

// Repeats average out the handling, never the instrument.
func TestRepeatsAverage(t *testing.T) {
	one, _ := repeats("diameter", readings(t, "caliper", "47.55"), false)
	four, bad := repeats("diameter", readings(t, "caliper", "47.55", "47.57", "47.53", "47.55"), false)
	assert.Empty(t, bad)
	assert.InDelta(t, 47.55, four.Value, tolMM)
	assert.Less(t, four.U, one.U)
	assert.Greater(t, four.U, math.Hypot(UniformU(0.1), UniformU(0.03)))
	// By hand: s^2 = 0.0008/3; pooled with 8 degrees of freedom of (0.05/√3)^2, over 4 (GUM 4.2.4).
	pooled := (8*0.05*0.05/3 + 0.0008) / 11 / 4
	assert.InDelta(t, math.Sqrt(pooled+0.03*0.03/3+0.1*0.1/3+0.01*0.01/12), four.U, tolMM)
}

func TestRepeatsScatter(t *testing.T) {
	tight, _ := repeats("diameter", readings(t, "caliper", "47.55±0.05", "47.56±0.05"), false)
	assert.InDelta(t, 0.05/math.Sqrt(3), tight.U, tolMM, "the stated ± holds the scatter")
	wild, _ := repeats("diameter", readings(t, "caliper", "47.4±0.05", "47.7±0.05"), false)
	s2, u2 := 0.3*0.3/2, 0.05*0.05/3
	assert.InDelta(t, math.Sqrt(u2+(s2-u2)/2), wild.U, tolMM)
}

func TestContradictions(t *testing.T) {
	for _, c := range []struct {
		name  string
		texts []string
		again string // "" for none
	}{
		{"all agree", []string{"47.55", "47.58", "47.52"}, ""},
		{"one is out", []string{"47.55", "47.58", "46.90", "47.52"}, "46.90"},
		{"two alike: both", []string{"47.55", "46.55"}, "47.55 and 46.55"},
		{"two unlike: the less certain", []string{"47.55±0.02", "46.55±0.2"}, "46.55±0.2"},
		{"wide ± explains it", []string{"47.55±1", "46.90±1"}, ""},
		{"inches among mm", []string{"47.62mm", "1.875in", "1.75in"}, "1.75in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, bad := repeats("outside diameter", readings(t, "caliper", c.texts...), false)
			if c.again == "" {
				assert.Empty(t, bad)
				return
			}
			require.Len(t, bad, 1)
			assert.Equal(t, c.again, bad[0].Again)
			assert.Contains(t, bad[0].Text, "outside diameter")
		})
	}
}

func TestInchesTakenForMillimetres(t *testing.T) {
	for _, r := range []Batch{
		{Outside: []string{"1"}, TPI: []string{"11.5"}},
		{Outside: []string{"1.9"}, Count: []string{"15"}, Over: []string{"1in"}},
		{Outside: []string{"26"}, Pitch: []string{"14"}},
	} {
		f := read(t, r).Find()
		require.Len(t, f.Contradictions, 1, "%+v", r)
		assert.Contains(t, f.Contradictions[0].Text, "inches are written 1in and threads to the inch 14tpi")
	}
	// ISO 261: M1x0.25 has the fewest pitches to its bore.
	assert.Empty(t, read(t, Batch{Bore: []string{"0.75mm"}, Pitch: []string{"0.25mm"}}).Find().Contradictions)
}

func TestContradictionsBetweenKinds(t *testing.T) {
	f := read(t, Batch{Outside: []string{"47.6"}, Count: []string{"15"}, Over: []string{"1in"}, TPI: []string{"11"}}).Find()
	require.Len(t, f.Contradictions, 1)
	assert.Equal(t, "11 to the inch", f.Contradictions[0].Again)

	f = read(t, Batch{Outside: []string{"30mm"}, Throat: []string{"38mm"}}).Find()
	require.Len(t, f.Contradictions, 1)
	assert.Contains(t, f.Contradictions[0].Text, "throat, 38.000 mm (1.4961 in), is larger than the outside diameter")

	f = read(t, Batch{Length: []string{"10mm"}, Count: []string{"15"}, Over: []string{"25mm"}}).Find()
	require.Len(t, f.Contradictions, 1)
	assert.Contains(t, f.Contradictions[0].Text, "larger than the threaded length")

	f = read(t, Batch{Outside: []string{"20mm"}, TPI: []string{"14"}, OverWires: []string{"30mm"}, Wire: "1mm"}).Find()
	require.Len(t, f.Contradictions, 1)
	assert.Contains(t, f.Contradictions[0].Text, "pitch diameter over wires")

	f = read(t, Batch{Outside: []string{"30mm"}, TPI: []string{"14"}, Leaf: []string{"2.5mm"}}).Find()
	require.Len(t, f.Contradictions, 1)
	assert.Contains(t, f.Contradictions[0].Text, "leaf 2.5mm")
}

func TestIndependent(t *testing.T) {
	a, b := Combine(10, Part{U: 0.1, DOF: math.Inf(1)}), Combine(10.1, Part{U: 0.2, DOF: math.Inf(1)})
	e, bad := independent("pitch", []string{"a", "b"}, []Estimate{a, b})
	assert.Empty(t, bad)
	assert.InDelta(t, (10/0.01+10.1/0.04)/(1/0.01+1/0.04), e.Value, tolMM)
	assert.InDelta(t, 1/math.Sqrt(1/0.01+1/0.04), e.U, tolMM)

	b.Value = 12
	e, bad = independent("pitch", []string{"a", "b"}, []Estimate{a, b})
	require.Len(t, bad, 1)
	assert.Greater(t, e.U, 0.5, "what disagrees is less certain")
}

// nearby draws readings near each other, each with its own ±.
func nearby(t *rapid.T) []Reading {
	var out []Reading
	half := rapid.Float64Range(0.005, 1).Draw(t, "half")
	for i := range rapid.IntRange(1, 4).Draw(t, "n") {
		out = append(out, Reading{
			Text: fmt.Sprintf("reading %d", i), Value: unit.MM(40 + rapid.Float64Range(-1, 1).Draw(t, "reading")),
			Half: unit.MM(half * rapid.Float64Range(1, 3).Draw(t, "times")),
		})
	}
	return out
}

// Stating every ± wider never makes the standard uncertainty smaller. (Widening a single one of several readings may: it
// can explain why that one lies apart.)
func TestWiderReadingsNeverSharpen(t *testing.T) {
	count := 0
	rapid.Check(t, func(rt *rapid.T) {
		narrow := nearby(rt)
		k := rapid.Float64Range(1, 5).Draw(rt, "k")
		wide := append([]Reading(nil), narrow...)
		for i := range wide {
			wide[i].Half *= unit.Length(k)
		}
		a, _ := repeats("d", narrow, false)
		b, _ := repeats("d", wide, false)
		if b.U < a.U*(1-1e-12) {
			rt.Fatalf("u of %v is %v, of %v times the ± only %v", narrow, a.U, k, b.U)
		}
		count++
	})
	assert.Positive(t, count)
}

// The same readings in inches give the same value and uncertainty.
func TestUnitsChangeNothing(t *testing.T) {
	count := 0
	rapid.Check(t, func(rt *rapid.T) {
		mm := nearby(rt)
		var inches []string
		for _, r := range mm {
			inches = append(inches, fmt.Sprintf("%.14fin±%.14fin", r.Value.Inches(), r.Half.Inches()))
		}
		a, _ := repeats("d", mm, false)
		b, _ := repeats("d", readings(t, "dial", inches...), false)
		if math.Abs(a.Value-b.Value) > 1e-8 || math.Abs(a.U-b.U) > 1e-8 {
			rt.Fatalf("%v: %v ± %v; in inches %v ± %v", mm, a.Value, a.U, b.Value, b.U)
		}
		count++
	})
	assert.Positive(t, count)
}
