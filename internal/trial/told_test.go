package trial

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

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
	try.Result = "first turn tight, then free"
	words, err = Meaning(try, tables)
	require.NoError(t, err)
	assert.Contains(t, words[0], "first layer has spread")
	assert.Contains(t, words[1], "It goes all the way")
	try.Result = "drops in"
	words, err = Meaning(try, tables)
	require.NoError(t, err)
	assert.Contains(t, words[0], "at least 1.28 mm smaller", "1.0825 x 1.5 less 0.3 and 0.04 mm")
	outside := ringTry(t, "M42x1.5", outerSide, 0.3, 0.02)
	outside.Result = "does not start"
	words, err = Meaning(outside, tables)
	require.NoError(t, err)
	assert.Contains(t, words[0], "the fitting's thread measures at least 0.27 mm smaller", "a fitting's thread stops a ring by being small")
}

func TestTell(t *testing.T) {
	tables := thread.NewTables()
	d, err := job.Parse("bath.toml", []byte("inner = \"M42x1.5\"\n\n[[goes]]\noutside = [\"41.3mm\"]\ninstrument = \"ruler\"\n"))
	require.NoError(t, err)
	set, err := reading.Read(d.Goes...)
	require.NoError(t, err)
	read := reading.Identify(tables, set, reading.Any)
	weigh := func(side string) (reading.Answer, int) {
		a, n, err := WithTries(d, side, read, tables)
		require.NoError(t, err)
		return a, n
	}
	before, n := weigh(job.Goes)
	assert.Zero(t, n)
	assert.Equal(t, read, before)
	try := ringTry(t, "M42x1.5", innerSide, 0.25, 0.05)
	try.Result = "stops after 2 turns"
	d.Tries = append(d.Tries, try)
	after, n := weigh(job.Goes)
	assert.Equal(t, 1, n)
	_, n = weigh(job.Stays)
	assert.Zero(t, n, "the other side was not tried")
	r, err := Tell(d.Tries, before, after, tables)
	require.NoError(t, err)
	assert.Equal(t, []any{"inner", "M42x1.5", "stops after 2 turns", 1}, []any{r.Side, r.Ring, r.Result, r.Tries})
	assert.Empty(t, r.Doubts)
	assert.NotEmpty(t, r.Meaning)
	require.Len(t, r.Candidates, len(after.Candidates))
	for _, c := range r.Candidates {
		assert.InDelta(t, weightOf(before, c.Designation), c.Before, 1e-6)
		assert.InDelta(t, weightOf(after, c.Designation), c.Weight, 1e-6)
	}

	d.Tries[0].PitchDMM = 0
	_, _, err = WithTries(d, job.Goes, read, tables)
	require.ErrorContains(t, err, "try 1")
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	_, err = NewTry(build.Result{}, "top", p, tables, "goes")
	assert.Equal(t, "side", fault.Each(err)[0].Field)
	_, err = NewTry(build.Result{}, innerSide, p, tables, "falls")
	assert.Equal(t, "result", fault.Each(err)[0].Field)
}

// Results of one ring that cannot all be right are named, and leave no thread nearly certain; those that differ as hands do
// leave it.
func TestTriesThatContradict(t *testing.T) {
	tables := thread.NewTables()
	answer := among(t, map[string]float64{"M42x1.5": 0.98}, "M42x1.5")
	of := func(side string, results ...string) (tries []job.Try) {
		for i, result := range results {
			try := ringTry(t, "M42x1.5", side, 0.2, 0.05)
			try.ID, try.Result = i+1, result
			tries = append(tries, try)
		}
		return tries
	}
	weigh := func(results ...string) (doubts []printer.Doubt, weight float64) {
		tries := of(innerSide, results...)
		after, err := reweigh(answer, tries, tables)
		require.NoError(t, err)
		doubts, err = Doubts(tries, tables)
		require.NoError(t, err)
		assert.InDelta(t, 1, weightOf(after, "M42x1.5")+weightOf(after, reading.NoneOfThese), 1e-9)
		return doubts, weightOf(after, "M42x1.5")
	}
	doubts, weight := weigh("stops after 2 turns", "does not start", "rattles")
	require.Len(t, doubts, 1)
	assert.Contains(t, doubts[0].Text, "stops after 2 turns (try 1) and rattles (try 3)")
	assert.True(t, doubts[0].Concerns(3))
	assert.Less(t, weight, 0.5, "what cannot all be right makes the thread doubtful")
	for _, same := range [][]string{{"goes"}, {"goes", "goes", "goes"}, {"goes", "snug"}, {"goes", "rattles", "goes"}} {
		doubts, weight = weigh(same...)
		assert.Empty(t, doubts, "%v", same)
		assert.Greater(t, weight, 0.97, "%v", same)
	}
	doubts, err := Doubts(append(of(innerSide, "goes"), of(outerSide, "does not start")...), tables)
	require.NoError(t, err)
	assert.Empty(t, doubts, "two sides are two threads")
	wider := of(innerSide, "goes", "does not start")
	wider[1].PitchDMM, wider[1].MajorMM, wider[1].MinorMM = wider[1].PitchDMM+0.2, wider[1].MajorMM+0.2, wider[1].MinorMM+0.2
	wider[0].ID, wider[1].ID, wider[1].Doubt = 7, 9, "it is another ring"
	doubts, err = Doubts(wider, tables)
	require.NoError(t, err)
	require.Len(t, doubts, 2)
	assert.Contains(t, doubts[0].Text, "try 9 was kept all the same: it is another ring")
	assert.Contains(t, doubts[1].Text, "goes (try 7), and the ring (inner side), with 0.20 mm more room, does not start (try 9)")
}

// A ring is of a job by its threads, its name, and its file; another one, and what contradicts, is kept only with a word.
func TestAddTry(t *testing.T) {
	tables := thread.NewTables()
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	side := func(designation string, pitch float64) build.ThreadResult {
		s := build.ThreadResult{Designation: designation, ZMM: [2]float64{0, 12}}
		s.Modelled = thread.Diameters{Major: unit.MM(pitch + 1), Pitch: unit.MM(pitch), Minor: unit.MM(pitch - 1)}
		return s
	}
	tests := []struct {
		name   string
		change func(d *job.Document, r *build.Result, t *job.Try)
		says   []string
		stays  bool
	}{
		{"the ring of the job", func(*job.Document, *build.Result, *job.Try) {}, nil, false},
		{"a job that asks for nothing", func(d *job.Document, r *build.Result, _ *job.Try) { *d, r.Name = job.Document{}, "bath" }, nil, false},
		{"another thread", func(d *job.Document, _ *build.Result, _ *job.Try) { d.Inner = "M42x1.5" }, []string{"1 5/8-16 UN as its inner thread, the job's ring M42x1.5"}, true},
		{"another name", func(_ *job.Document, r *build.Result, _ *job.Try) { r.Name = "bath" }, []string{"called bath, the job's ring tub"}, true},
		{"another file", func(_ *job.Document, _ *build.Result, t *job.Try) { t.Digest = "old" }, []string{"not the one that was made for this job"}, true},
		{"another result", func(d *job.Document, _ *build.Result, t *job.Try) {
			d.Tries = []job.Try{*t}
			d.Tries[0].ID, d.Tries[0].Result = 4, "does not start"
		}, []string{"does not start (try 4) and goes (this try)"}, true},
		{"the same again", func(d *job.Document, _ *build.Result, t *job.Try) {
			d.Tries = []job.Try{*t}
			d.Tries[0].ID = 4
		}, []string{"try 4 says the same"}, false},
		{"the same on another day", func(d *job.Document, _ *build.Result, t *job.Try) {
			d.Tries = []job.Try{*t}
			d.Tries[0].When = "Tuesday"
		}, nil, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := job.New()
			d.Inner, d.Outer, d.Name = "1 5/8-16", "1 7/8-14", "tub"
			d.Files = []job.File{{Name: "out/tub.json", Digest: "old"}, {Name: "out/tub.json", Digest: "aa"}}
			r := build.Result{Name: "tub", Inner: side("1 5/8-16 UN", 40.4), Outer: side("1 7/8-14 UNS", 46.2)}
			try, err := NewTry(r, "goes", p, tables, "goes")
			require.NoError(t, err)
			require.Equal(t, innerSide, try.Side)
			try.Digest, try.When = "aa", "Monday"
			tt.change(d, &r, &try)
			held := len(d.Tries)
			err = AddTry(d, r, try, tables, false)
			if tt.says == nil {
				require.NoError(t, err)
				assert.Len(t, d.Tries, held+1)
				return
			}
			require.ErrorIs(t, err, ErrDoubted)
			for _, want := range tt.says {
				require.ErrorContains(t, err, want)
			}
			assert.Len(t, d.Tries, held)
			require.NoError(t, AddTry(d, r, try, tables, true))
			require.Len(t, d.Tries, held+1)
			doubts, err := Doubts(d.Tries, tables)
			require.NoError(t, err)
			assert.Equal(t, tt.stays, len(doubts) > 0, "the doubt stays")
		})
	}
}

// A try takes the side's own diameters of the file and the printer's own figure for that side.
func TestNewTrySides(t *testing.T) {
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	require.Greater(t, math.Abs((p.InsideTakes - p.OutsideAdds).MM()), 0.05, "the test needs figures that differ")
	p.OutsideU = p.InsideU + 0.01
	side := func(designation string, pitch, from, to float64) build.ThreadResult {
		s := build.ThreadResult{Designation: designation, ZMM: [2]float64{from, to}}
		s.Modelled = thread.Diameters{Major: unit.MM(pitch + 1), Pitch: unit.MM(pitch), Minor: unit.MM(pitch - 1)}
		return s
	}
	r := build.Result{Inner: side("M42x1.5", 41.2, 1, 9), Outer: side("M50x1.5", 49.1, 2, 14)}
	inner, err := NewTry(r, innerSide, p, thread.NewTables(), "goes")
	require.NoError(t, err)
	m42, err := thread.NewTables().Parse("M42x1.5")
	require.NoError(t, err)
	m50, err := thread.NewTables().Parse("M50x1.5")
	require.NoError(t, err)
	outer, err := NewTry(r, outerSide, p, thread.NewTables(), "goes")
	require.NoError(t, err)
	assert.Equal(t, []any{"M42x1.5", 41.2, 8.0, unit.RoundMM(p.InsideTakes), unit.RoundMM(p.Makes(m42, printer.Inside).Pitch.U)}, []any{inner.Thread, inner.PitchDMM, inner.EngagedMM, inner.OffMM, inner.UMM})
	assert.Equal(t, []any{"M50x1.5", 49.1, 12.0, unit.RoundMM(p.OutsideAdds), unit.RoundMM(p.Makes(m50, printer.Outside).Pitch.U)}, []any{outer.Thread, outer.PitchDMM, outer.EngagedMM, outer.OffMM, outer.UMM})
}
