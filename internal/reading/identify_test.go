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

func TestIdentifyCommonPractice(t *testing.T) {
	// Which of these threads shops find by such readings is common practice, no published source.
	for _, c := range []struct {
		name   string
		record Batch
		among  Among
		want   string
	}{
		{"1 7/8 in over the crests, 14 to the inch", Batch{Outside: []string{"1 7/8in"}, TPI: []string{"14"}}, Any, "1 7/8-14 UNS"},
		{"1 5/8 in, 16 to the inch", Batch{Outside: []string{"1 5/8in"}, TPI: []string{"16"}}, Any, "1 5/8-16 UN"},
		{"the same by rule", Batch{Outside: []string{"1 5/8in"}, TPI: []string{"16"}, Instrument: "ruler"}, Drain, "1 5/8-16 UN"},
		{"1 7/8 in, 11 1/2 to the inch is 1 1/2-11.5 NPSM (ASME B1.20.1)", Batch{Outside: []string{"1 7/8in"}, TPI: []string{"11 1/2"}}, Any, "1 1/2-11.5 NPSM"},
		{"older bath drain, by throat and outside", Batch{Outside: []string{"1 5/8in"}, Throat: []string{"1 3/8in"}}, Drain, "1 5/8-16 UN"},
		{"hose nipple", Batch{Outside: []string{"1 1/16in"}, TPI: []string{"11.5"}}, Hose, "3/4-11.5 NH"},
		{"ISO 228-1 G 1 1/2 by its angle", Batch{Outside: []string{"47.7mm"}, TPI: []string{"11"}, Angle: "55"}, Any, "G 1 1/2"},
		{"15 crests from the first to the last over an inch", Batch{Outside: []string{"1 7/8in"}, Count: []string{"15"}, Over: []string{"1in"}}, Any, "1 7/8-14 UNS"},
		{"bore of a coarse metric nut", Batch{Bore: []string{"13.9mm"}, Pitch: []string{"2mm"}}, Machine, "M16x2"},
		{"taper seen", Batch{Outside: []string{"21.1mm"}, TPI: []string{"14"}, Tapers: "yes", Angle: "60"}, Any, "1/2-14 NPT"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Identify(thread.NewTables(), read(t, c.record), c.among)
			require.NotNil(t, a.Candidates[0].Thread, "want %s, got none of these", c.want)
			want, err := thread.BuiltIn().Parse(c.want)
			require.NoError(t, err)
			assert.Equal(t, want.Designation, a.Candidates[0].Designation)
			assert.NotEmpty(t, a.Candidates[0].Why)
		})
	}
	// Newer bath drains with a 1 1/2 in throat have a 1 7/8 in thread: which, the throat does not say.
	a := Identify(thread.NewTables(), read(t, Batch{Outside: []string{"1 7/8in"}, Throat: []string{"1 1/2in"}}), Drain)
	named := map[string]float64{}
	for _, c := range a.Candidates {
		named[c.Designation] = c.Weight
	}
	assert.Greater(t, named["1 7/8-14 UNS"]+named["1 1/2-11.5 NPSM"]+named["1 7/8-16 UN"], 0.8)
	for _, each := range []string{"1 7/8-14 UNS", "1 1/2-11.5 NPSM", "1 7/8-16 UN"} {
		assert.Greater(t, named[each], 0.02, each)
	}
	assert.Equal(t, "1 1/2 in", a.Names().ByBore)
	assert.Equal(t, "1 7/8 in", a.Names().ByOutside)
}

func TestNoneOfThese(t *testing.T) {
	tables := thread.NewTables()
	for _, r := range []Batch{
		{Outside: []string{"55.3±0.02"}, Pitch: []string{"1.17±0.005mm"}},
		{Outside: []string{"290mm"}, Pitch: []string{"9.3mm"}},
		{Bore: []string{"31.3±0.01"}, Pitch: []string{"3.33±0.01mm"}},
	} {
		a := Identify(tables, read(t, r), Any)
		last := a.Candidates[len(a.Candidates)-1]
		assert.Equal(t, NoneOfThese, last.Designation, "it stands last")
		assert.Greater(t, last.Weight, 0.5, "%+v", r)
		assert.NotEmpty(t, last.Why)
	}
	// Readings that contradict every thread by far more than float64 can tell still have an answer.
	a := Identify(tables, read(t, Batch{Outside: []string{"290±0.001"}, OverWires: []string{"5±0.001"}, Wire: "1mm"}), Any)
	assert.InDelta(t, 1, sum(a), 1e-12)
}

func sum(a Answer) float64 {
	var s float64
	for _, c := range a.Candidates {
		s += c.Weight
	}
	return s
}

// Every thread of the tables, read in the middle of its limits, is among the first five, and a thread of no table, which may look
// like it, does not drown it.
func TestEveryThreadIsFound(t *testing.T) {
	tables := thread.NewTables()
	count := 0
	for i, th := range tables.All() {
		if i%3 != 0 { // a third of them, for time
			continue
		}
		for _, external := range []bool{true, false} {
			l, err := th.Limits("", external)
			require.NoError(t, err)
			low, high := l.MinorMin, l.MinorMax
			if external {
				low, high = l.MajorMin, l.MajorMax
			}
			if low == nil || high == nil {
				continue
			}
			text := []string{fmt.Sprintf("%.4f±0.03", (*low+*high).MM()/2)}
			r := Batch{Pitch: []string{fmt.Sprintf("%.5fmm±%.5fmm", th.Pitch.MM(), 0.01*th.Pitch.MM())}}
			if external {
				r.Outside = text
			} else {
				r.Bore = text
			}
			a := Identify(tables, read(t, r), Any)
			place := -1
			for k, c := range a.Candidates {
				if c.Designation == th.Designation {
					place = k
				}
			}
			assert.True(t, place >= 0 && place < 5, "%s external %v: place %d", th.Designation, external, place)
			assert.Less(t, a.Candidates[len(a.Candidates)-1].Weight, 0.9, "%s external %v", th.Designation, external)
			count++
		}
	}
	assert.Greater(t, count, 200)
}

// A worn external thread reads under its limits, a worn internal one over: --worn explains that, and only that.
func TestWornWidensOneSide(t *testing.T) {
	tables := thread.NewTables()
	th, err := tables.Parse("1 7/8-14 UNS")
	require.NoError(t, err)
	weigh := func(side string, mm float64, worn bool) float64 {
		c := belief{thread: th}.candidate(side == "outside")
		r := Batch{Outside: []string{fmt.Sprintf("%.3f±0.03", mm)}, Worn: worn}
		if side == "bore" {
			r = Batch{Bore: r.Outside, Worn: worn}
		}
		s := read(t, r)
		return c.chance(s, s.Find(), nil)
	}
	for _, side := range []string{"outside", "bore"} {
		c := belief{thread: th}.candidate(side == "outside")
		lessMetal, moreMetal := c.low-0.15, c.high+0.15
		if side == "bore" {
			lessMetal, moreMetal = c.high+0.15, c.low-0.15
		}
		assert.Greater(t, weigh(side, lessMetal, true), weigh(side, lessMetal, false), side)
		assert.Less(t, weigh(side, moreMetal, true), weigh(side, moreMetal, false), side)
	}
}

// The blurred limits against a sum over the true size.
func TestBlurredAgainstSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := Estimate{
			Value: rapid.Float64Range(9.5, 10.8).Draw(t, "read"), U: rapid.Float64Range(0.02, 0.3).Draw(t, "u"),
			DOF: rapid.SampledFrom([]float64{2, 8.5, math.Inf(1)}).Draw(t, "dof"),
		}
		pieces := []piece{{10, 10 + rapid.Float64Range(0.05, 0.4).Draw(t, "tolerance"), 0.7, 0}, {9.8, 10.5, 0.3, 0.05}}
		const steps = 4000
		var want float64
		for _, p := range pieces {
			step := (p.high - p.low) / steps
			for i := range steps {
				x := p.low + (float64(i)+0.5)*step
				u := math.Hypot(e.U, p.spread)
				want += p.share / steps * density((e.Value-x)/u, e.DOF) / u
			}
		}
		assert.InDelta(t, want, blurred(e, pieces), 1e-4*want+1e-9)
	})
	sharp := blurredPiece(Estimate{Value: 10, U: 1, DOF: math.Inf(1)}, piece{10, 10, 1, 0})
	assert.InDelta(t, 1/math.Sqrt(2*math.Pi), sharp, 1e-9, "a range without width is a point")
}

// draw draws readings of some thread.
func draw(t *rapid.T) Batch {
	mm := rapid.Float64Range(5, 80).Draw(t, "diameter")
	half := rapid.Float64Range(0.01, 1).Draw(t, "±")
	perInch := rapid.Float64Range(6, 32).Draw(t, "to the inch")
	r := Batch{
		Pitch: []string{fmt.Sprintf("%.6fmm±%.6fmm", 25.4/perInch, 0.02*25.4/perInch)},
		Worn:  rapid.Bool().Draw(t, "worn"),
		Angle: rapid.SampledFrom([]string{"", "55", "60"}).Draw(t, "angle"),
	}
	text := []string{fmt.Sprintf("%.6fmm±%.6fmm", mm, half)}
	if rapid.Bool().Draw(t, "external") {
		r.Outside = text
	} else {
		r.Bore = text
	}
	if rapid.Bool().Draw(t, "with throat") {
		r.Throat = []string{fmt.Sprintf("%.6fmm", mm*0.8)}
	}
	return r
}

// Weights are chances: none below 0, sum 1, best first, none of these last.
func TestWeightsSumToOne(t *testing.T) {
	tables, count := thread.NewTables(), 0
	rapid.Check(t, func(rt *rapid.T) {
		r := draw(rt)
		a := Identify(tables, read(t, r), rapid.SampledFrom([]Among{Any, Drain, Supply, Hose, Machine}).Draw(rt, "among"))
		if math.Abs(sum(a)-1) > 1e-12 {
			rt.Fatalf("%+v: weights sum to %v", r, sum(a))
		}
		n := len(a.Candidates)
		for i, c := range a.Candidates {
			if !(c.Weight >= 0) || i > 0 && i < n-1 && c.Weight > a.Candidates[i-1].Weight || (c.Thread == nil) != (i == n-1) {
				rt.Fatalf("%+v: candidate %d of %d is %s with weight %v", r, i, n, c.Designation, c.Weight)
			}
		}
		count++
	})
	assert.Positive(t, count)
}

// The same readings written in inches give the same answer.
func TestAnswerKnowsNoUnits(t *testing.T) {
	tables, count := thread.NewTables(), 0
	inches := func(texts []string) []string {
		var out []string
		for _, text := range texts {
			value, half, err := unit.ParseReading(text)
			require.NoError(t, err)
			s := fmt.Sprintf("%.14fin", value.Inches())
			if half > 0 {
				s += fmt.Sprintf("±%.14fin", half.Inches())
			}
			out = append(out, s)
		}
		return out
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := draw(rt)
		other := r
		other.Outside, other.Bore, other.Throat, other.Pitch = inches(r.Outside), inches(r.Bore), inches(r.Throat), inches(r.Pitch)
		a, b := Identify(tables, read(t, r), Any), Identify(tables, read(t, other), Any)
		weights := map[string]float64{}
		for _, c := range a.Candidates {
			weights[c.Designation] = c.Weight
		}
		for _, c := range b.Candidates {
			// 1e-6: what rounding to 1e-14 in makes of the weights; leastWeight where it drops one from a list.
			if d := math.Abs(c.Weight - weights[c.Designation]); d > 1e-6 && c.Weight > 1.01*leastWeight {
				rt.Fatalf("%+v: %s weighs %v, in inches %v", r, c.Designation, weights[c.Designation], c.Weight)
			}
		}
		count++
	})
	assert.Positive(t, count)
}

// Wider uncertainty never sharpens the answer. For one given reading that is not so: a reading that just misses a thread may
// come to be explained by it. What holds is that on the average over all that could have been read, the answer
// is left no less open by a wider uncertainty: the information that a reading brings on which thread it is never grows, since a
// less certain reading is a certain one with noise added.
func TestWiderNeverSharpens(t *testing.T) {
	tables := thread.NewTables()
	s := read(t, Batch{Outside: []string{"47.6±0.3"}})
	candidates := Believe(tables, Any).gather(s, s.Find())
	require.Greater(t, len(candidates), 5)
	var total float64
	for _, c := range candidates {
		total += c.prior
	}
	// open is the mean entropy, in bits, that a reading of uncertainty u leaves.
	open := func(u float64, worn bool) float64 {
		low, high, steps := 44.0, 51.0, 350
		var mean float64
		for i := range steps {
			e := Estimate{Value: low + (float64(i)+0.5)*(high-low)/float64(steps), U: u, DOF: math.Inf(1)}
			var all float64
			weights := make([]float64, len(candidates))
			for k, c := range candidates {
				weights[k] = c.prior / total * blurred(e, c.sizes(Set{Worn: worn}))
				all += weights[k]
			}
			for k := range weights {
				weights[k] /= math.Max(all, math.SmallestNonzeroFloat64)
			}
			mean += all * entropyBits(weights...) * (high - low) / float64(steps)
		}
		return mean
	}
	count := 0
	rapid.Check(t, func(rt *rapid.T) {
		if count >= 20 { // each takes two quadratures over all candidates
			return
		}
		u := rapid.Float64Range(0.03, 0.4).Draw(rt, "u")
		wider := u * rapid.Float64Range(1, 1.8).Draw(rt, "times")
		worn := rapid.Bool().Draw(rt, "worn")
		if a, b := open(u, worn), open(wider, worn); b < a-1e-4 { // 1e-4 bit: the quadrature
			rt.Fatalf("u = %v leaves %v bits open, u = %v only %v", u, a, wider, b)
		}
		count++
	})
	assert.Positive(t, count)
	assert.Greater(t, open(0.5, false), open(0.03, false)+0.3, "and it makes a difference")
}

// The same input gives the same answer.
func TestIdentifyIsDeterministic(t *testing.T) {
	s := read(t, Batch{Outside: []string{"33.1"}, TPI: []string{"11"}})
	first := Identify(thread.NewTables(), s, Any)
	for range 3 {
		assert.Equal(t, first, Identify(thread.NewTables(), s, Any))
	}
}

func TestPriors(t *testing.T) {
	for _, text := range []string{"", "any", " Drain ", "supply", "hose", "machine"} {
		_, err := ParseAmong(text)
		assert.NoError(t, err, text)
	}
	_, err := ParseAmong("boats")
	assert.ErrorContains(t, err, "drain, supply, hose, machine or any")

	tables := thread.NewTables()
	for _, among := range []Among{Any, Drain, Supply, Hose, Machine} {
		assert.NotEmpty(t, among.Words())
		// Without a reading of the diameter nothing is left out, and the shares of the tables are all there are.
		s := read(t, Batch{NoLeaf: []string{"25mm"}})
		var total float64
		for _, c := range Believe(tables, among).gather(s, s.Find()) {
			total += c.prior
		}
		assert.InDelta(t, tableShare, total, 1e-9, "%s", among)
	}
	// A coarse metric thread is more common than a fine one of the same diameter.
	share := map[string]float64{}
	for _, th := range tables.All() {
		share[th.Designation], _ = Machine.common(th, nil)
	}
	assert.InDelta(t, 8*share["M16x1.5"], share["M16x2"], 1e-9)

	// What the user says it belongs to moves the weight there.
	s := read(t, Batch{Outside: []string{"1.06in"}, TPI: []string{"11.5"}, Instrument: "ruler"})
	hose, machine := Identify(tables, s, Hose), Identify(tables, s, Machine)
	assert.Equal(t, "3/4-11.5 NH", hose.Candidates[0].Designation)
	weight := func(a Answer) float64 {
		for _, c := range a.Candidates {
			if c.Designation == "3/4-11.5 NH" {
				return c.Weight
			}
		}
		return 0
	}
	assert.Greater(t, weight(hose), weight(machine))
}

func BenchmarkIdentify(b *testing.B) {
	tables := thread.NewTables()
	s := read(b, Batch{Outside: []string{"47.6", "47.55"}, Count: []string{"15"}, Over: []string{"1in"}, Throat: []string{"38mm"}})
	for b.Loop() {
		a := Identify(tables, s, Any)
		if len(a.Candidates) < 2 || a.Next() == nil && len(a.Candidates) > 2 {
			b.Fatal("no answer")
		}
	}
}

func BenchmarkIdentifyByPitchAlone(b *testing.B) {
	tables := thread.NewTables()
	s := read(b, Batch{TPI: []string{"14"}})
	for b.Loop() {
		Identify(tables, s, Any).Next()
	}
}
