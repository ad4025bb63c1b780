package reading

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

func answer(t testing.TB, r Batch) Answer {
	t.Helper()
	return Identify(thread.NewTables(), read(t, r), Any)
}

func TestNextReading(t *testing.T) {
	for _, c := range []struct {
		name   string
		record Batch
		best   string
	}{
		{"same size, straight or taper", Batch{Outside: []string{"33.2mm"}, TPI: []string{"11"}}, "tapers"},
		{"11 or 11.5 to the inch", Batch{Outside: []string{"47.62±0.03"}, TPI: []string{"11.25±0.5"}, Tapers: "no"}, "count the crests over"},
	} {
		t.Run(c.name, func(t *testing.T) {
			n := answer(t, c.record).Next()
			require.NotNil(t, n)
			require.NotNil(t, n.Best, "%+v", n)
			assert.Contains(t, n.Best.What, c.best)
			assert.Greater(t, n.Best.GainBits, 0.8*n.OpenBits)
			for _, o := range n.Others {
				assert.LessOrEqual(t, o.GainBits, n.Best.GainBits+asGoodBits)
			}
		})
	}
}

// The fields of a further reading are those of a record, and what is known of them is read as such.
func TestFurtherReadingsFillARecord(t *testing.T) {
	keys := map[string]bool{}
	for _, k := range Kinds() {
		keys[k.Key], keys[k.Over] = true, true
	}
	delete(keys, "")
	a := answer(t, Batch{Outside: []string{"47.6mm"}, TPI: []string{"11.5"}}).Next()
	all := append(a.Others, *a.Best)
	assert.Greater(t, len(all), 6)
	for _, f := range all {
		require.NotEmpty(t, f.Fields, f.What)
		for _, field := range f.Fields {
			assert.True(t, keys[field.Key], "%s: %q", f.What, field.Key)
			if field.Text == "" {
				continue
			}
			_, err := unit.ParsePitch(field.Text)
			assert.NoError(t, err, "%s: %s", f.What, field.Text)
		}
		if f.Otherwise != "" {
			assert.True(t, keys[f.Otherwise], f.Otherwise)
		}
	}
}

// Every gain is a number from 0 to 1 bit, also where a thread far off is weighed and densities fall below the least float64.
func TestGainsAreNumbers(t *testing.T) {
	tables := thread.NewTables()
	pairs := 0
	rapid.Check(t, func(rt *rapid.T) {
		outside := rapid.Float64Range(4, 70).Draw(rt, "outside")
		pitch := rapid.SampledFrom([]string{"1mm", "1.25mm", "1.5mm", "1.75mm", "2mm", "14tpi", "11.5tpi", "16tpi"}).Draw(rt, "pitch")
		n := Identify(tables, read(t, Batch{Outside: []string{fmt.Sprintf("%.1fmm", outside)}, Pitch: []string{pitch}}), Any).Next()
		if n == nil {
			return
		}
		pairs++
		gains := n.Others
		if n.Best != nil {
			gains = append(gains, *n.Best)
		}
		for _, g := range gains {
			require.True(rt, g.GainBits >= 0 && g.GainBits <= 1, "%s: %v bits", g.What, g.GainBits)
		}
	})
	assert.Positive(t, pairs, "pairs that were weighed")
	n := answer(t, Batch{Outside: []string{"12.3mm"}, Pitch: []string{"1.75mm"}}).Next() // 9.9 standard uncertainties off M12
	require.NotNil(t, n)
	for _, o := range n.Others {
		assert.False(t, math.IsNaN(o.GainBits), o.What)
	}
}

// A count over a longer length never tells less.
func TestLongerCountTellsMore(t *testing.T) {
	g, npsm := candidateOf(t, "G 1 1/2", true), candidateOf(t, "1 1/2-11.5 NPSM", true)
	x := pair{a: g, b: npsm, p: 0.5, answer: Answer{Set: read(t, Batch{Outside: []string{"47.6"}})}}
	last, seen := -1.0, 0
	for _, f := range x.further() {
		if len(f.What) > 5 && f.What[:5] == "count" {
			assert.GreaterOrEqual(t, f.GainBits, last, f.What)
			last = f.GainBits
			seen++
		}
	}
	assert.Equal(t, len(counted), seen)
	assert.Greater(t, last, 0.9)

	// A thread of 12 mm has no 20 mm to count over.
	short := read(t, Batch{Outside: []string{"47.6"}, Length: []string{"12mm"}})
	x.answer = Answer{Set: short, Found: short.Find()}
	for _, f := range x.further() {
		assert.NotContains(t, f.What, "20 mm")
	}
}

// What was read already is not asked for again.
func TestNextAsksNothingTwice(t *testing.T) {
	a := answer(t, Batch{Outside: []string{"20.9"}, TPI: []string{"14"}, Angle: "60", Tapers: "no", Throat: []string{"15mm"}})
	n := a.Next()
	require.NotNil(t, n)
	all := n.Others
	if n.Best != nil {
		all = append(all, *n.Best)
	}
	require.NotEmpty(t, all)
	for _, f := range all {
		for _, not := range []string{"55 degree", "taper", "throat", "diameter again"} {
			assert.NotContains(t, f.What, not)
		}
	}
	assert.Nil(t, answer(t, Batch{Outside: []string{"290"}, Pitch: []string{"9.3mm"}}).Next(), "with no two threads there is nothing to tell apart")
}

// The gain of a yes-or-no reading against the definition, the sum of p log2(p / (p p')).
func TestYesNoAgainstDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chance := rapid.Float64Range(0.01, 0.99)
		x := pair{p: chance.Draw(t, "p")}
		qa, qb := chance.Draw(t, "qa"), chance.Draw(t, "qb")
		var want float64
		yes := x.p*qa + (1-x.p)*qb
		for _, c := range []struct{ joint, thread, seen float64 }{
			{x.p * qa, x.p, yes},
			{x.p * (1 - qa), x.p, 1 - yes},
			{(1 - x.p) * qb, 1 - x.p, yes},
			{(1 - x.p) * (1 - qb), 1 - x.p, 1 - yes},
		} {
			want += c.joint * math.Log2(c.joint/(c.thread*c.seen))
		}
		assert.InDelta(t, want, x.yesNo(qa, qb), 1e-9)
	})
}

func normally(mean, u float64) outcome { return outcome{[]piece{{mean, mean, 1, 0}}, u} }

// The gain of a continuous reading: nothing when both show the same, all when they never do, and in between what a quadrature
// with twenty times the steps finds.
func TestContinuous(t *testing.T) {
	x := pair{p: 0.3}
	open := entropyBits(0.3, 0.7)
	assert.InDelta(t, 0, x.continuous(normally(1, 0.1), normally(1, 0.1)), 1e-9)
	assert.InDelta(t, open, x.continuous(normally(1, 0.1), normally(3, 0.1)), 1e-9)
	count := 0
	rapid.Check(t, func(rt *rapid.T) {
		a := normally(1, rapid.Float64Range(0.05, 0.3).Draw(rt, "ua"))
		b := normally(rapid.Float64Range(1, 2).Draw(rt, "b"), rapid.Float64Range(0.05, 0.3).Draw(rt, "ub"))
		const steps = 20 * quadratureSteps
		var want float64
		for i := range steps {
			y := -1 + (float64(i)+0.5)*5/steps
			fa, fb := a.at(y), b.at(y)
			if fa > 0 {
				want += x.p * fa * math.Log2(fa/(x.p*fa+(1-x.p)*fb)) * 5 / steps
			}
			if fb > 0 {
				want += (1 - x.p) * fb * math.Log2(fb/(x.p*fa+(1-x.p)*fb)) * 5 / steps
			}
		}
		if got := x.continuous(a, b); math.Abs(got-want) > 1e-3 {
			rt.Fatalf("gain of %v and %v = %v, want %v", a, b, got, want)
		}
		// A wider uncertainty of the further reading never tells more.
		const noise = 0.1
		if wide := x.continuous(outcome{a.pieces, math.Hypot(a.u, noise)}, outcome{b.pieces, math.Hypot(b.u, noise)}); wide > want+1e-3 {
			rt.Fatalf("with noise the gain of %v and %v rises from %v to %v", a, b, want, wide)
		}
		count++
	})
	assert.Positive(t, count)
}

func TestPitchName(t *testing.T) {
	for designation, want := range map[string]string{"44.4mm x 12tpi": "12 to the inch", "44.4mm x 2mm": "2 mm", "M16x1.5": "1.5 mm", "G 1 1/2": "11 to the inch", "1 1/2-11.5 NPSM": "11.5 to the inch", "44.4mm x 1.7mm": "1.7 mm"} {
		th, err := thread.BuiltIn().Parse(designation)
		require.NoError(t, err)
		assert.Equal(t, want, PitchName(th), designation)
	}
}
