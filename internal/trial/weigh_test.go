package trial

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// heard are the outcomes that a person tells apart on a ring of that many turns.
func heard(turns float64) []printer.Felt {
	out := []printer.Felt{printer.DoesNotStart, printer.EntryTight, printer.Snug, printer.Goes, printer.Rattles, printer.DropsIn}
	for n := 1.0; n <= math.Ceil(turns); n++ {
		out = append(out, printer.StopsAfter(n))
	}
	return out
}

// chance is the chance of tries on a thread, chanceOfNo that on a thread of no table.
func chance(t *testing.T, real thread.Thread, tries ...job.Try) float64 {
	t.Helper()
	tables := thread.NewTables()
	all, err := meetAll(tries, tables)
	require.NoError(t, err)
	p, err := chanceOf(&real, all)
	require.NoError(t, err)
	return p
}

func chanceOfNo(t *testing.T, tries ...job.Try) float64 {
	t.Helper()
	all, err := meetAll(tries, thread.NewTables())
	require.NoError(t, err)
	return chanceOfNone(all)
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
			after, err := reweigh(before, []job.Try{try}, tables)
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
	same, err := reweigh(before, nil, tables)
	require.NoError(t, err)
	assert.Equal(t, before, same)
}

// A worse known print tells less, and no result moves the odds of two threads by more than hands allow.
func TestTryTellsNoMoreThanTheEvidence(t *testing.T) {
	tables := thread.NewTables()
	names := []string{"M42x1.5", "1 5/8-16 UN", "1 5/8-18 UNEF", "G 1 1/4"}
	before := among(t, map[string]float64{names[0]: 0.3, names[1]: 0.3, names[2]: 0.2, names[3]: 0.1}, names...)
	// odds is how much likelier a result is on what leads to it most often than on what leads to it least.
	odds := func(f printer.Felt) float64 {
		least, most := math.Inf(1), 0.0
		meetings := []printer.Meeting{printer.CannotStart, printer.Overlaps, printer.RunsSnug, printer.RunsFree, printer.RunsLoose}
		for _, stop := range []float64{0.5, 1, 2, 3, 4, 6, 8, 20} {
			meetings = append(meetings, printer.Locks(stop))
		}
		for _, m := range meetings {
			p := f.In(m, 8)
			least, most = min(least, p), max(most, p)
		}
		return most / least
	}
	for _, u := range []float64{0.02, 0.1, 0.3} {
		for _, result := range []string{"goes", "does not start", "rattles", "stops after 3 turns"} {
			try := ringTry(t, "M42x1.5", innerSide, 0.25, u)
			try.Result = result
			f, err := printer.ParseFelt(result)
			require.NoError(t, err)
			after, err := reweigh(before, []job.Try{try}, tables)
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
		for _, f := range heard(8) {
			var all float64
			var ps []float64
			for _, name := range names {
				own, err := tables.Parse(name)
				require.NoError(t, err)
				try := ringTry(t, "M42x1.5", innerSide, 0.25, u)
				try.Result = f.String()
				p := chance(t, own, try)
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
func meetsTrue(t *testing.T, try job.Try, real thread.Thread, size, z float64, tables *thread.Tables) printer.Meeting {
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
	opt := fit.Options{External: fit.Side{At: fit.Point(size)}, Internal: fit.Side{Given: &made}, Engaged: unit.MM(try.EngagedMM)}
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
		results := []printer.Felt{printer.DoesNotStart, printer.Snug, printer.Goes, printer.Rattles}
		once, twice := make([]float64, len(results)), make([]float64, len(results))
		for range draws {
			m := meetsTrue(t, try, real, 2*rng.Float64()-1, rng.NormFloat64(), tables)
			for k, f := range results {
				p := f.In(m, 8)
				once[k] += p / draws
				twice[k] += p * p / draws
			}
		}
		for k, f := range results {
			try.Result = f.String()
			got, again := chance(t, real, try), chance(t, real, try, try)
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
		assert.InDelta(t, chance(t, real, plain), chance(t, real, off), 1e-9, side)
	}
}

// A thread of no table does with the same ring what it did before: the tenth time tells little beyond the first, and other
// rings tell by themselves.
func TestSameRingOnNoTableTellsOnce(t *testing.T) {
	for _, result := range []string{"goes", "does not start", "stops after 3 turns"} {
		one, other := ringTry(t, "M42x1.5", innerSide, 0.2, 0.03), ringTry(t, "1 5/8-16 UN", innerSide, 0.2, 0.03)
		one.Result, other.Result = result, result
		learned := one
		learned.UMM, learned.OffMM = 0.01, 0.02
		once, twice, apart, second := chanceOfNo(t, one), chanceOfNo(t, one, learned), chanceOfNo(t, one, other), chanceOfNo(t, other)
		assert.InDelta(t, once*second, apart, 1e-12)
		assert.Greater(t, twice, 1.5*once*once, result)
		assert.Less(t, twice, once, result)
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
		for _, f := range heard(8) {
			if dice -= f.In(m, 8); dice <= 0 {
				try.Result = f.String()
				break
			}
		}
		after, err := reweigh(among(t, weights, names...), []job.Try{try}, tables)
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

// What truly happens follows from the verdict, and from the turns where there are any.
func TestMeetingOf(t *testing.T) {
	at := func(v fit.Verdict, turns ...float64) (r fit.Result) {
		r.Verdict = v
		for _, n := range turns {
			r.Turns = &n
		}
		return r
	}
	play := func(r fit.Result) fit.Result {
		r.AxialPlay = new(unit.MM(0.4))
		return r
	}
	for _, c := range []struct {
		name  string
		r     fit.Result
		taper bool
		want  printer.Meeting
	}{
		{"cannot start", at(fit.WillNotStart), false, printer.CannotStart},
		{"binds at once", at(fit.Binds, 0.3), false, printer.Overlaps},
		{"binds", at(fit.Binds, 3), false, printer.Locks(3)},
		{"snug", at(fit.Snug), false, printer.RunsSnug},
		{"free", at(fit.Goes), false, printer.RunsFree},
		{"loose", play(at(fit.Loose)), false, printer.RunsLoose},
		{"loose, and the crests pass each other", at(fit.Loose), false, printer.Drops},
		{"taper that cannot start", at(fit.WillNotStart, 0.1), true, printer.CannotStart},
		{"taper that wedges", at(fit.Goes, 4), true, printer.Wedges(4)},
		{"taper to the last turn", at(fit.Goes, 7.6), true, printer.Seats},
		{"taper that falls in", at(fit.Loose, 9), true, printer.Drops},
	} {
		assert.Equal(t, fmt.Sprint(c.want), fmt.Sprint(meetingOf(c.r, c.taper, 8)), c.name)
	}
}
