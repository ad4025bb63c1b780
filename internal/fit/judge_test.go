package fit_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func parse(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := thread.BuiltIn().Parse(text)
	require.NoError(t, err)
	return th
}

func judge(t testing.TB, external, internal string, opt fit.Options) fit.Result {
	t.Helper()
	r, err := fit.Judge(parse(t, external), parse(t, internal), opt)
	require.NoError(t, err)
	return r
}

// The pairs that people ask about. Verdicts of pairs of one standard follow from its limits; the source of each other one
// stands beside it.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		name, external, internal string
		verdict                  fit.Verdict
		why                      []string
	}{
		{"ASME B1.1, class 2A in 2B", "1 3/4-12 UN-2A", "1 3/4-12 UN-2B", fit.Goes, []string{"axial play"}},
		{"ISO 965-1, 6g in 6H", "M45x1.5-6g", "M45x1.5-6H", fit.Goes, nil},
		{"ISO 228-1, G A in G", "G 1 1/2 A", "G 1 1/2", fit.Goes, nil},
		{"ASME B1.20.1, NPSM in NPSM", "1 1/2-11.5 NPSM", "1 1/2-11.5 NPSM", fit.Goes, nil},
		// ASME B1.20.1 has 14 threads to the inch at 1/2 and 3/4 and 60 degrees, ISO 228-1 has 14 and 55 degrees.
		{"1/2 NPT in G 1/2", "1/2-14 NPT", "G 1/2", fit.Binds, []string{"flank angles differ, 60 degrees outside and 55 inside", "14 threads to the inch"}},
		{"3/4 NPT in G 3/4", "3/4-14 NPT", "G 3/4", fit.Binds, []string{"flank angles differ", "14 threads to the inch"}},
		{"G 1/2 in 1/2 NPT", "G 1/2", "1/2-14 NPT", fit.Binds, []string{"flank angles differ"}},
		// ASME B1.20.1 has 11.5 threads to the inch at 1 1/2, ISO 228-1 has 11: 2.309 - 2.209 mm.
		{"1 1/2 NPSM in G 1 1/2", "1 1/2-11.5 NPSM", "G 1 1/2", fit.Binds, []string{"the pitch differs by 0.100 mm a turn", "used up after"}},
		{"G 1 1/2 in 1 1/2 NPSM", "G 1 1/2", "1 1/2-11.5 NPSM", fit.Binds, []string{"the pitch differs by 0.100 mm a turn"}},
		// Common practice, no published source: an 11 1/2 male does not go into a 14 female.
		{"11 1/2 in 14", "1 7/8-11.5 UNS", "1 7/8-14 UNS", fit.Binds, []string{"the pitch differs by 0.394 mm a turn"}},
		{"1 1/2 NPSM in 1 7/8-14", "1 1/2-11.5 NPSM", "1 7/8-14 UNS", fit.Binds, []string{"the pitch differs by 0.394 mm a turn"}},
		// Common practice, no published source: a 14-TPI male that is 0.025 in over size stops within a few turns.
		{"0.025 in over size", "1.9in x 14tpi", "1 7/8-14 UNS", fit.Binds, []string{"overlap by 0.5", "within the first turn"}},
		{"0.025 in under size", "1.85in x 14tpi", "1 7/8-14 UNS", fit.Loose, []string{"clearance at the pitch line"}},
		{"an eighth over size", "2-14 UNS", "1 7/8-14 UNS", fit.WillNotStart, []string{"too large", "does not enter"}},
		{"a quarter under size", "1 5/8-14 UNS", "1 7/8-14 UNS", fit.Loose, []string{"do not reach each other"}},
		{"left in right", "1 3/4-12 UN LH", "1 3/4-12 UN", fit.WillNotStart, []string{"left-hand", "right-hand"}},
		{"two starts in one", "1 3/4-12 UN 2start", "1 3/4-12 UN", fit.WillNotStart, []string{"2 starts outside against 1 start inside"}},
		{"left in left", "1 3/4-12 UN LH", "1 3/4-12 UN LH", fit.Goes, nil},
		{"two starts in two", "1 3/4-12 UN 2start", "1 3/4-12 UN 2start", fit.Goes, nil},
		{"no allowance", "1.75in x 14tpi", "1.75in x 14tpi", fit.Snug, []string{"0.000 mm of clearance to spare"}},
		// 1 1/2-11.5 NPSM measures 1.872 in outside (ASME B1.20.1) and is what shops call 1 7/8-11.5.
		{"NPSM and 1 7/8-11.5 are one thread", "1 7/8-11.5 UNS", "1 1/2-11.5 NPSM", fit.Goes, nil},
		{"M30 of two pitches", "M30x2", "M30x1.5", fit.Binds, []string{"the pitch differs by 0.500 mm a turn"}},
		{"taper in taper, NPT", "1/2-14 NPT", "1/2-14 NPT", fit.Goes, []string{"hand-tight"}},
		// ASME B1.20.1: 4.5 turns hand-tight for L1, and the NPSM flanks are larger by up to their tolerance, so later; no published
		// source says more. A tap for NPSM cuts its root clear of NPT's crest.
		{"taper in parallel, NPT in NPSM", "1/2-14 NPT", "1/2-14 NPSM", fit.Goes, []string{"the flanks wedge after 5.1 turns"}},
		{"taper in taper, ISO 7-1", "R 1/2", "Rc 1/2", fit.Goes, nil},
		{"taper in parallel, ISO 7-1", "R 1/2", "Rp 1/2", fit.Goes, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := judge(t, c.external, c.internal, fit.Options{})
			assert.Equal(t, c.verdict, r.Verdict, r.Why)
			for _, why := range c.why {
				assert.Contains(t, r.Why, why)
			}
			sum := 0.0
			for _, share := range r.Chances {
				sum += share
			}
			assert.InDelta(t, 1, sum, 1e-12, "chances sum to 1")
			usable := r.ChanceOf(fit.Goes) + r.ChanceOf(fit.Snug)
			assert.GreaterOrEqual(t, r.Chance, usable-1e-12)
			assert.LessOrEqual(t, r.Chance, usable+r.ChanceOf(fit.Loose)+1e-12)
			again := judge(t, c.external, c.internal, fit.Options{})
			assert.Equal(t, r, again, "the same input gives the same answer")
		})
	}
}

// A pair of one standard never binds within its limits: with both at maximum material it still turns in, with both at
// minimum material it has not lost its hold, for all straight threads from 1 mm pitch on.
func TestEveryStandardPairGoes(t *testing.T) {
	judged := 0
	for _, th := range thread.BuiltIn().All() {
		// A side alone has no pair; limits by formula are no published ones; flat angles have another measure of looseness.
		if th.Taper > 0 || th.Side() != "" || strings.HasSuffix(th.Standard, "by formula") || th.Form.AngleDeg() < 45 {
			continue
		}
		if l, err := th.Limits("", true); err != nil || l.PitchMin == nil {
			continue // a size without published limits
		}
		judged++
		for _, at := range []fit.Point{fit.MaxMaterial, fit.MidLimits, fit.MinMaterial} {
			r, err := fit.Judge(th, th, fit.Options{External: fit.Side{At: at}, Internal: fit.Side{At: at}})
			require.NoError(t, err, th.Designation)
			if at == fit.MinMaterial {
				assert.Contains(t, []fit.Verdict{fit.Goes, fit.Loose}, r.Verdict, "%s at %v: %s", th.Designation, at, r.Why)
				if th.Pitch >= 1 {
					assert.Equal(t, fit.Goes, r.Verdict, "%s at %v: %s", th.Designation, at, r.Why)
				}
				continue
			}
			assert.True(t, r.Verdict.Usable(), "%s at %v is %s: %s", th.Designation, at, r.Verdict, r.Why)
		}
	}
	assert.Greater(t, judged, 200)
}

// Hand-tight engagement of the standards: L1 of ASME B1.20.1 table 2 (1/2: 0.320 in, 3/4: 0.339 in, 1 1/2: 0.420 in) times
// the threads in an inch; gauge length of ISO 7-1 table 1 (R 1/2: 8.2 mm) over the pitch of 1.814 mm.
func TestHandTightTurns(t *testing.T) {
	for _, c := range []struct {
		external, internal string
		turns              float64
	}{
		{"1/2-14 NPT", "1/2-14 NPT", 0.320 * 14},
		{"3/4-14 NPT", "3/4-14 NPT", 0.339 * 14},
		{"1 1/2-11.5 NPT", "1 1/2-11.5 NPT", 0.420 * 11.5},
		{"R 1/2", "Rc 1/2", 8.2 / 1.814},
	} {
		t.Run(c.external, func(t *testing.T) {
			r := judge(t, c.external, c.internal, fit.Options{})
			require.NotNil(t, r.Turns)
			assert.InDelta(t, c.turns, *r.Turns, 0.02, "turns of %s in %s", c.external, c.internal)
		})
	}
}

// One turn of tolerance on the gauge plane (ASME B1.20.1) makes two turns with both at maximum material.
func TestTaperAtItsLimits(t *testing.T) {
	at := func(p fit.Point) fit.Options {
		return fit.Options{External: fit.Side{At: p}, Internal: fit.Side{At: p}}
	}
	tight := judge(t, "1/2-14 NPT", "1/2-14 NPT", at(fit.MaxMaterial))
	assert.InDelta(t, 4.48-2, *tight.Turns, 0.02)
	assert.Equal(t, fit.Snug, tight.Verdict, tight.Why)
}

func TestGivenDiameters(t *testing.T) {
	internal := "1 7/8-14 UNS"
	for _, c := range []struct {
		inches float64
		want   fit.Verdict
	}{{1.872, fit.Goes}, {1.90, fit.Binds}, {1.84, fit.Loose}} {
		given := thread.Diameters{Major: unit.Inches(c.inches)}
		r := judge(t, internal, internal, fit.Options{External: fit.Side{Given: &given}})
		assert.Equal(t, c.want, r.Verdict, "%v in: %s", c.inches, r.Why)
	}
	given := thread.Diameters{Major: unit.Inches(1.7), Pitch: unit.Inches(1.8)}
	_, err := fit.Judge(parse(t, internal), parse(t, internal), fit.Options{External: fit.Side{Given: &given}})
	require.ErrorContains(t, err, "external thread")
	assert.ErrorContains(t, err, "must fall in this order")
}

func TestBadOptions(t *testing.T) {
	th := parse(t, "M45x1.5")
	for _, o := range []fit.Options{
		{External: fit.Side{U: -1}},
		{Internal: fit.Side{UPitch: unit.Length(math.NaN())}},
		{Engaged: unit.Length(math.Inf(1))},
	} {
		_, err := fit.Judge(th, th, o)
		assert.ErrorContains(t, err, "0 or more")
	}
}

// The bounds of the range are where the verdict changes.
func TestUsableRange(t *testing.T) {
	th := parse(t, "1 7/8-14 UNS")
	u, ok, err := fit.UsableRange(th, th)
	require.NoError(t, err)
	require.True(t, ok)
	for _, c := range []struct {
		name   string
		bound  unit.Length
		inward unit.Length
	}{{"least", u.External[0], 0.001}, {"most", u.External[1], -0.001}} {
		t.Run(c.name, func(t *testing.T) {
			for _, step := range []struct {
				by     unit.Length
				usable bool
			}{{c.inward, true}, {-c.inward, false}} {
				middle := middles(th)
				given := middle.Plus(c.bound + step.by - middle.Major)
				r, err := fit.Judge(th, th, fit.Options{External: fit.Side{Given: &given}})
				require.NoError(t, err)
				assert.Equal(t, step.usable, r.Verdict.Usable(), "%s: %s", r.Verdict, r.Why)
			}
		})
	}
	_, ok, err = fit.UsableRange(parse(t, "M30x2"), parse(t, "M30x1.5"))
	require.NoError(t, err)
	assert.False(t, ok)
}

// middles are the external diameters in the middle of their limits.
func middles(th thread.Thread) thread.Diameters {
	l, err := th.Limits("", true)
	if err != nil {
		panic(err)
	}
	d := thread.Diameters{Major: (*l.MajorMax + *l.MajorMin) / 2, Pitch: (*l.PitchMax + *l.PitchMin) / 2}
	d.Minor = *l.MinorMax - (*l.PitchMax - d.Pitch)
	return d
}

func BenchmarkJudge(b *testing.B) {
	for _, c := range []struct{ external, internal string }{
		{"1 3/4-12 UN", "1 3/4-12 UN"}, {"G 1 1/2", "1 1/2-11.5 NPSM"}, {"R 1/2", "Rc 1/2"},
	} {
		b.Run(c.external+" in "+c.internal, func(b *testing.B) {
			e, i := parse(b, c.external), parse(b, c.internal)
			for b.Loop() {
				if _, err := fit.Judge(e, i, fit.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
