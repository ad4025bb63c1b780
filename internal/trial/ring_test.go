package trial

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func TestParseFelt(t *testing.T) {
	tests := []struct {
		text string
		want felt
	}{
		{"goes", felt{kind: feltGoes}},
		{"Goes all  the way", felt{kind: feltGoes}},
		{"snug", felt{kind: feltSnug}},
		{"starts and rattles", felt{kind: feltRattles}},
		{"does not start", felt{kind: feltNotStart}},
		{"stops after 4 turns", felt{feltStops, 4}},
		{"Stops after 1 turn", felt{feltStops, 1}},
		{"stops after 2 1/2 turns", felt{feltStops, 2.5}},
		{"stops after 3,5 turns", felt{feltStops, 3.5}},
	}
	for _, tt := range tests {
		got, err := parseFelt(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
	}
	for _, text := range []string{"", "fell", "stops", "stops after", "stops after no turns", "stops after 0 turns", "stops after 900 turns", "stops after -1 turns"} {
		_, err := parseFelt(text)
		require.Error(t, err, text)
	}
}

func FuzzParseFelt(f *testing.F) {
	f.Add("stops after 4 turns")
	f.Add("goes")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := parseFelt(text)
		if err == nil && got.kind == feltStops && !(got.turns > 0 && got.turns <= mostTurns) {
			t.Fatalf("parseFelt(%q) = %+v", text, got)
		}
	})
}

// allFelt are the results that a person tells apart on a ring of that many turns.
func allFelt(turns float64) []felt {
	out := []felt{{kind: feltNotStart}, {kind: feltSnug}, {kind: feltGoes}, {kind: feltRattles}}
	for n := 1.0; n <= math.Ceil(turns); n++ {
		out = append(out, felt{feltStops, n})
	}
	return out
}

// Whatever truly happens, the chances of all results sum to 1, and none is out of the question.
func TestResultsExhaust(t *testing.T) {
	for _, ringTurns := range []float64{6, 9, 12} {
		for _, hands := range []*[5]float64{&handsNoStart, &handsOverlap, &handsStops, &handsSnug, &handsGoes, &handsLoose, &handsTaper, &handsFullDeep} {
			for _, stop := range []float64{math.NaN(), 0.5, 2, 5.5} {
				sum := 0.0
				for _, f := range allFelt(ringTurns) {
					p := f.chance(meeting{hands, stop}, ringTurns)
					assert.Positive(t, p)
					sum += p
				}
				assert.InDelta(t, 1, sum, 0.01, "hands %v, stop %v of %v", *hands, stop, ringTurns)
			}
		}
	}
	assert.Greater(t, felt{feltStops, 4}.chance(meeting{&handsStops, 4}, 9), 4*felt{feltStops, 8}.chance(meeting{&handsStops, 4}, 9))
}

// ringTry is a ring of a designation as printed by a printer of no offset.
func ringTry(t *testing.T, designation, side string, clearance, u float64) job.Try {
	t.Helper()
	own, err := thread.NewTables().Parse(designation)
	require.NoError(t, err)
	sign := 1.0
	if side == outerSide {
		sign = -1
	}
	d := own.Basic.Plus(unit.MM(sign * clearance))
	return job.Try{
		Side: side, Thread: designation, MajorMM: d.Major.MM(), PitchDMM: d.Pitch.MM(), MinorMM: d.Minor.MM(), EngagedMM: 8 * own.Lead().MM(),
		Printer: "none", UMM: u, Result: "goes",
	}
}

// among makes an answer of threads with weights, none of these last.
func among(t *testing.T, weights map[string]float64, order ...string) reading.Answer {
	t.Helper()
	var a reading.Answer
	left := 1.0
	for _, name := range order {
		own, err := thread.NewTables().Parse(name)
		require.NoError(t, err)
		a.Candidates = append(a.Candidates, reading.Candidate{Designation: name, Weight: weights[name], Thread: &own})
		left -= weights[name]
	}
	a.Candidates = append(a.Candidates, reading.Candidate{Designation: reading.NoneOfThese, Weight: left})
	return a
}

func weightOf(a reading.Answer, name string) float64 {
	for _, c := range a.Candidates {
		if c.Designation == name {
			return c.Weight
		}
	}
	return 0
}

func TestReweigh(t *testing.T) {
	tables := thread.NewTables()
	before := among(t, map[string]float64{"M42x1.5": 0.45, "1 5/8-16 UN": 0.45}, "M42x1.5", "1 5/8-16 UN")
	try := ringTry(t, "M42x1.5", innerSide, 0.2, 0.03)
	tests := []struct {
		result string
		likelier,
		than string
	}{
		{"goes", "M42x1.5", "1 5/8-16 UN"},                // 0.09 mm of pitch over 8 turns uses the play up
		{"stops after 2 turns", "1 5/8-16 UN", "M42x1.5"}, // and does so after about as many turns
	}
	for _, tt := range tests {
		t.Run(tt.result, func(t *testing.T) {
			try.Result = tt.result
			after, err := Reweigh(before, []job.Try{try}, tables)
			require.NoError(t, err)
			assert.Greater(t, weightOf(after, tt.likelier), 4*weightOf(after, tt.than))
			assert.Equal(t, tt.likelier, after.Candidates[0].Designation, "best first")
			assert.Equal(t, reading.NoneOfThese, after.Candidates[len(after.Candidates)-1].Designation, "none of these last")
			sum := 0.0
			for _, c := range after.Candidates {
				sum += c.Weight
			}
			assert.InDelta(t, 1, sum, 1e-9)
		})
	}
	assert.InDelta(t, 0.45, before.Candidates[0].Weight, 1e-12, "what was known before is left as it was")
	same, err := Reweigh(before, nil, tables)
	require.NoError(t, err)
	assert.Equal(t, before, same)
}

// A worse known print tells less, and no result moves the odds of two threads by more than hands allow.
func TestTryTellsNoMoreThanTheEvidence(t *testing.T) {
	tables := thread.NewTables()
	names := []string{"M42x1.5", "1 5/8-16 UN", "1 5/8-18 UNEF", "G 1 1/4"}
	before := among(t, map[string]float64{names[0]: 0.3, names[1]: 0.3, names[2]: 0.2, names[3]: 0.1}, names...)
	// odds is how much likelier a result is on what leads to it most often than on what leads to it least.
	odds := func(f felt) float64 {
		least, most := math.Inf(1), 0.0
		for _, hands := range []*[5]float64{&handsNoStart, &handsOverlap, &handsStops, &handsSnug, &handsGoes, &handsLoose} {
			for _, stop := range []float64{math.NaN(), 0.5, 1, 2, 3, 4, 6, 8, 20} {
				p := f.chance(meeting{hands, stop}, 8)
				least, most = min(least, p), max(most, p)
			}
		}
		return most / least
	}
	for _, u := range []float64{0.02, 0.1, 0.3} {
		for _, result := range []string{"goes", "does not start", "rattles", "stops after 3 turns"} {
			try := ringTry(t, "M42x1.5", innerSide, 0.25, u)
			try.Result = result
			f, err := parseFelt(result)
			require.NoError(t, err)
			after, err := Reweigh(before, []job.Try{try}, tables)
			require.NoError(t, err)
			for _, a := range names {
				for _, b := range names {
					ratio := weightOf(after, a) / weightOf(after, b) / (weightOf(before, a) / weightOf(before, b))
					assert.LessOrEqual(t, ratio, odds(f)*(1+1e-9), "%s against %s when it %s", a, b, result)
				}
			}
		}
	}
	told := func(u float64) float64 { // expected information, bits
		var gain float64
		for _, f := range allFelt(8) {
			var all float64
			var ps []float64
			for _, name := range names {
				own, err := tables.Parse(name)
				require.NoError(t, err)
				try := ringTry(t, "M42x1.5", innerSide, 0.25, u)
				try.Result = f.text()
				p, err := chanceOf(own, []job.Try{try}, tables)
				require.NoError(t, err)
				ps = append(ps, p/4)
				all += p / 4
			}
			for _, p := range ps {
				gain += p * math.Log2(p/all*4)
			}
		}
		return gain
	}
	sharp, blunt := told(0.03), told(0.3)
	assert.Greater(t, sharp, blunt, "a print known to 0.03 mm tells more than one known to 0.3 mm")
	assert.Positive(t, blunt)
}

// text writes f as a person would.
func (f felt) text() string {
	if f.kind == feltStops {
		return "stops after " + turnText(f.turns)
	}
	return []string{"does not start", "", "snug", "goes", "rattles"}[f.kind]
}

// simulatedOffMM is what the simulated printer adds to outside diameters and takes from inside ones.
const simulatedOffMM = 0.15

// offTry is a ring that its printer makes with the given clearance in the mean, modelled for what the printer adds or takes.
func offTry(t *testing.T, designation, side string, clearance, u float64) job.Try {
	try := ringTry(t, designation, side, clearance+simulatedOffMM, u)
	try.OffMM = simulatedOffMM
	return try
}

// meetsTrue is what a ring does on a real thread, worked out beside the quadrature: the part lies at size between its limits,
// the print z standard uncertainties off its mean.
func meetsTrue(t *testing.T, try job.Try, real thread.Thread, size, z float64, tables *thread.Tables) meeting {
	t.Helper()
	own, err := tables.Parse(try.Thread)
	require.NoError(t, err)
	grown := unit.MM(z*try.UMM - simulatedOffMM) // a bore comes out smaller
	external, internal := real, own
	if try.Side == outerSide {
		grown = unit.MM(z*try.UMM + simulatedOffMM) // and a ring's outside larger
		external, internal = own, real
	}
	made := thread.Diameters{Major: unit.MM(try.MajorMM) + grown, Pitch: unit.MM(try.PitchDMM) + grown, Minor: unit.MM(try.MinorMM) + grown}
	opt := fit.Options{External: fit.Side{At: fit.Point(size)}, Internal: fit.Side{Given: &made}, Engaged: unit.MM(try.EngagedMM), Tables: tables}
	if try.Side == outerSide {
		opt.External, opt.Internal = opt.Internal, opt.External
	}
	r, err := fit.Judge(external, internal, opt)
	require.NoError(t, err)
	return meetingOf(r, false, 8)
}

// The quadrature gives the chances that many random parts and prints give, on both sides of a ring; and the same ring tried
// twice does on the second try what it did on the first more often than another one would.
func TestChanceAgainstRandomDraws(t *testing.T) {
	tables := thread.NewTables()
	rng := rand.New(rand.NewPCG(3, 3))
	real, err := tables.Parse("M42x1.5")
	require.NoError(t, err)
	tests := []struct {
		side         string
		clearance, u float64
	}{
		{innerSide, 0, 0.03},
		{innerSide, -0.1, 0.1},
		{innerSide, 0.4, 0.1},
		{outerSide, 0, 0.03},
		{outerSide, -0.1, 0.1},
		{outerSide, 0.4, 0.1},
	}
	for _, tt := range tests {
		try := offTry(t, "M42x1.5", tt.side, tt.clearance, tt.u)
		const draws = 1500
		results := []felt{{kind: feltNotStart}, {kind: feltSnug}, {kind: feltGoes}, {kind: feltRattles}}
		once, twice := make([]float64, len(results)), make([]float64, len(results))
		for range draws {
			m := meetsTrue(t, try, real, 2*rng.Float64()-1, rng.NormFloat64(), tables)
			for k, f := range results {
				p := f.chance(m, 8)
				once[k] += p / draws
				twice[k] += p * p / draws
			}
		}
		for k, f := range results {
			try.Result = f.text()
			got, err := chanceOf(real, []job.Try{try}, tables)
			require.NoError(t, err)
			again, err := chanceOf(real, []job.Try{try, try}, tables)
			require.NoError(t, err)
			// 1500 draws scatter by at most 0.013, and the layers of the quadrature by about as much.
			assert.InDelta(t, once[k], got, 0.03, "%s, clearance %g, u %g: %s", tt.side, tt.clearance, tt.u, try.Result)
			assert.InDelta(t, twice[k], again, 0.03, "%s, clearance %g, u %g: %s twice", tt.side, tt.clearance, tt.u, try.Result)
			assert.GreaterOrEqual(t, again, got*got-1e-12)
		}
	}
}

// A ring that is modelled for what its printer adds or takes tells what one tells that comes out so without.
func TestOffsetOfPrinterIsTakenOff(t *testing.T) {
	tables := thread.NewTables()
	real, err := tables.Parse("M42x1.5")
	require.NoError(t, err)
	for _, side := range []string{innerSide, outerSide} {
		plain, off := ringTry(t, "M42x1.5", side, 0.05, 0.03), offTry(t, "M42x1.5", side, 0.05, 0.03)
		want, err := chanceOf(real, []job.Try{plain}, tables)
		require.NoError(t, err)
		got, err := chanceOf(real, []job.Try{off}, tables)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9, side)
	}
}

// A thread of no table does with the same ring what it did before: the tenth time tells little beyond the first, and other
// rings tell by themselves.
func TestSameRingOnNoTableTellsOnce(t *testing.T) {
	tables := thread.NewTables()
	for _, result := range []string{"goes", "does not start", "stops after 3 turns"} {
		one, other := ringTry(t, "M42x1.5", innerSide, 0.2, 0.03), ringTry(t, "1 5/8-16 UN", innerSide, 0.2, 0.03)
		one.Result, other.Result = result, result
		once, err := chanceOfNone([]job.Try{one}, tables)
		require.NoError(t, err)
		learned := one
		learned.UMM, learned.OffMM = 0.01, 0.02
		twice, err := chanceOfNone([]job.Try{one, learned}, tables)
		require.NoError(t, err)
		apart, err := chanceOfNone([]job.Try{one, other}, tables)
		require.NoError(t, err)
		second, err := chanceOfNone([]job.Try{other}, tables)
		require.NoError(t, err)
		assert.InDelta(t, once*second, apart, 1e-12)
		assert.Greater(t, twice, 1.5*once*once, result)
		assert.Less(t, twice, once, result)
	}
	for _, turns := range []float64{0.4, 6, 9.6} {
		sum := 0.0
		for _, u := range unknownMeetings(turns) {
			sum += u.share
		}
		assert.InDelta(t, 1, sum, 1e-12)
	}
}

// On simulated truths the weights mean what they say: over many tries, the weight that the true thread gets is what the
// weights themselves expect, and the leading thread is the true one as often as its weight says. The truth here is drawn
// without the quadrature: any size within the limits, any print.
func TestWeightsAreTrueChances(t *testing.T) {
	skipInBrief(t)
	for _, side := range []string{innerSide, outerSide} {
		t.Run(side, func(t *testing.T) { weightsAreTrueChances(t, side) })
	}
}

func weightsAreTrueChances(t *testing.T, side string) {
	tables := thread.NewTables()
	rng := rand.New(rand.NewPCG(7, 7))
	names := []string{"M42x1.5", "1 5/8-16 UN", "1 5/8-18 UNEF"}
	weights := map[string]float64{names[0]: 0.4, names[1]: 0.35, names[2]: 0.25}
	const tries = 150
	var got, expected, variance, top, topRight float64
	for range tries {
		truth, x := names[0], rng.Float64()
		switch {
		case x > 0.75:
			truth = names[2]
		case x > 0.4:
			truth = names[1]
		}
		real, err := tables.Parse(truth)
		require.NoError(t, err)
		try := offTry(t, "M42x1.5", side, 0.1+0.3*rng.Float64(), 0.06)
		m, dice := meetsTrue(t, try, real, 2*rng.Float64()-1, rng.NormFloat64(), tables), rng.Float64()
		for _, f := range allFelt(8) {
			if dice -= f.chance(m, 8); dice <= 0 {
				try.Result = f.text()
				break
			}
		}
		after, err := Reweigh(among(t, weights, names...), []job.Try{try}, tables)
		require.NoError(t, err)
		got += weightOf(after, truth)
		for _, c := range after.Candidates {
			expected += c.Weight * c.Weight
			variance += c.Weight * c.Weight * c.Weight
		}
		variance -= math.Pow(sumOfSquares(after), 2)
		top += after.Candidates[0].Weight
		if after.Candidates[0].Designation == truth {
			topRight++
		}
	}
	t.Logf("weight of the truth %.3f, expected %.3f; leading thread right %.1f %%, said %.1f %%", got/tries, expected/tries, 100*topRight/tries, 100*top/tries)
	assert.InDelta(t, expected, got, 3*math.Sqrt(variance))
	assert.InDelta(t, top, topRight, 3*math.Sqrt(tries*0.25))
	assert.Greater(t, got/tries, 0.45, "a try tells something")
}

func sumOfSquares(a reading.Answer) float64 {
	sum := 0.0
	for _, c := range a.Candidates {
		sum += c.Weight * c.Weight
	}
	return sum
}

// The figures of the words follow from the closed form: a clearance c leaves c tan(a) of play, which a pitch off by d uses up
// after c tan(a)/d turns.
func TestMeaning(t *testing.T) {
	tables := thread.NewTables()
	try := ringTry(t, "M42x1.5", innerSide, 0.3, 0.02)
	try.Result = "stops after 4 turns"
	words, err := Meaning(try, tables)
	require.NoError(t, err)
	play := func(c float64) float64 { return c / math.Sqrt(3) }
	low, high := play(0.3-1.96*0.02)/5, play(0.3+1.96*0.02)/3
	all := strings.Join(words, "\n")
	assert.Contains(t, all, pitchText(1.5 + low)[:5])
	assert.Contains(t, all, pitchText(1.5 + high)[:5])
	assert.Contains(t, all, "Stops after 4 turns: the pitch is a little off")
	assert.Contains(t, all, "0.26 mm larger", "0.3 mm less 1.96 x 0.02 mm")
	assert.Contains(t, all, "1 in 16 wedges in this ring after about 3.2 turns", "0.3 x 16 / 1.5")
	try.Result = "rattles"
	words, err = Meaning(try, tables)
	require.NoError(t, err)
	assert.Contains(t, words[0], "at least 0.20 mm smaller", "0.36 x 1.5 less 0.3 and 0.04 mm")
	outside := ringTry(t, "M42x1.5", outerSide, 0.3, 0.02)
	outside.Result = "does not start"
	words, err = Meaning(outside, tables)
	require.NoError(t, err)
	assert.Contains(t, words[0], "the fitting's thread measures at least 0.27 mm smaller", "a fitting's thread stops a ring by being small")
}

func TestLearnFromTry(t *testing.T) {
	tables := thread.NewTables()
	path := filepath.Join(t.TempDir(), "bath.toml")
	require.NoError(t, os.WriteFile(path, []byte("# mine\ninner = \"M42x1.5\"\n\n[[goes]]\noutside = [\"41.3mm\"]\ninstrument = \"ruler\"\n"), 0o600))
	r, err := job.Load(t.Context(), path)
	require.NoError(t, err)
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	try := ringTry(t, "M42x1.5", innerSide, 0.25, 0.05)
	try.Result = "stops after 2 turns"
	first, err := Learn(r, path, try, tables, p)
	require.NoError(t, err)
	require.NotEmpty(t, first.Candidates)
	assert.NotEmpty(t, first.Next)
	assert.Len(t, first.Candidates, len(first.Answer.Candidates))
	require.NoError(t, job.Change(t.Context(), path, func(d *job.Document) error {
		d.Tries = append(d.Tries, try)
		return nil
	}))
	r, err = job.Load(t.Context(), path)
	require.NoError(t, err)
	kept := try
	kept.ID = 2
	require.Equal(t, []job.Try{kept}, r.Tries)
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(text), "# mine\n"), "comments stay")
	second, err := Learn(r, path, try, tables, p)
	require.NoError(t, err)
	assert.Equal(t, 2, second.Tries)
	for _, c := range second.Candidates {
		for _, d := range first.Candidates {
			if c.Designation == d.Designation {
				assert.InDelta(t, d.Weight, c.Before, 1e-6, "what was learned stays learned")
			}
		}
	}
	set, err := reading.Read(r.Goes...)
	require.NoError(t, err)
	with, n, err := WithTries(r, job.Goes, reading.Identify(tables, set, reading.Any), tables)
	require.NoError(t, err)
	assert.Equal(t, 1, n)
	assert.InDelta(t, first.Candidates[0].Weight, with.Candidates[0].Weight, 1e-6)
	_, n, err = WithTries(r, job.Stays, with, tables)
	require.NoError(t, err)
	assert.Zero(t, n, "the other side was not tried")
	var words strings.Builder
	require.NoError(t, second.WriteText(&words))
	assert.Contains(t, words.String(), "Next: ")

	bad := try
	bad.PitchDMM = 0
	r.Tries = []job.Try{bad}
	_, err = Learn(r, path, try, tables, p)
	require.ErrorContains(t, err, "try 1")
	_, err = Learn(job.New(), path, try, tables, p)
	require.ErrorContains(t, err, "holds no readings")
	_, err = NewTry(build.Result{}, "top", p, "goes")
	require.ErrorContains(t, err, "--side")
	_, err = NewTry(build.Result{}, innerSide, p, "falls")
	require.ErrorContains(t, err, "--result")
}

// A try takes the side's own diameters of the file and the printer's own figure for that side.
func TestNewTrySides(t *testing.T) {
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	require.Greater(t, math.Abs((p.InsideTakes - p.OutsideAdds).MM()), 0.05, "the test needs figures that differ")
	p.OutsideU = p.InsideU + 0.01
	side := func(designation string, pitch, from, to float64) build.ThreadResult {
		s := build.ThreadResult{Designation: designation, ZMM: [2]float64{from, to}}
		s.Modelled.MajorMM, s.Modelled.PitchDMM, s.Modelled.MinorMM = pitch+1, pitch, pitch-1
		return s
	}
	r := build.Result{Inner: side("M42x1.5", 41.2, 1, 9), Outer: side("M50x1.5", 49.1, 2, 14)}
	inner, err := NewTry(r, innerSide, p, "goes")
	require.NoError(t, err)
	outer, err := NewTry(r, outerSide, p, "goes")
	require.NoError(t, err)
	assert.Equal(t, []any{"M42x1.5", 41.2, 8.0, unit.RoundMM(p.InsideTakes), unit.RoundMM(p.InsideU)}, []any{inner.Thread, inner.PitchDMM, inner.EngagedMM, inner.OffMM, inner.UMM})
	assert.Equal(t, []any{"M50x1.5", 49.1, 12.0, unit.RoundMM(p.OutsideAdds), unit.RoundMM(p.OutsideU)}, []any{outer.Thread, outer.PitchDMM, outer.EngagedMM, outer.OffMM, outer.UMM})
}
