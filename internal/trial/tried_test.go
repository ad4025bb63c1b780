package trial

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/fault"
	"tryring/internal/fit"
	"tryring/internal/job"
	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/thread"
)

// The printer's trials divide outcomes where fit divides verdicts.
func TestOutcomesDivideWhereVerdictsDo(t *testing.T) {
	assert.InDelta(t, -fit.Touch.MM(), printer.StartsAbove.MM(), 1e-12)
	assert.InDelta(t, fit.SnugBelow.MM(), printer.FreeAbove.MM(), 1e-12)
	assert.InDelta(t, fit.LooseAbove.MM(), printer.RattlesAbove.MM(), 1e-12)
	assert.InDelta(t, fit.LooseAbovePitches, printer.RattlesAbovePitches, 1e-12)
}

// table is the table of a small ladder.
func table(t *testing.T, inner, outer string) *ladder.Result {
	t.Helper()
	l := ladder.Ladder{Ring: job.Ring{Inner: inner, Outer: outer, Printer: "filament-0.4", Name: "l"}, Rungs: []string{"0.1", "0.2/0.3"}}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	table, err := p.Table()
	require.NoError(t, err)
	return &table
}

func TestTriedRungs(t *testing.T) {
	got, err := Tried{
		Printed: table(t, "1 5/8-16 UN", "1 7/8-14 UNS"), Rungs: []string{"0.10=goes", "outer:0.20/0.30=Does not  start"}, Side: "inner", PartOuter: "46.5mm+-0.02", Part: "red",
	}.Trial(thread.NewTables())
	require.NoError(t, err)
	require.Len(t, got.Rungs, 2)
	inner, outer := got.Rungs[0], got.Rungs[1]
	assert.Equal(t, printer.SeenRung{
		Side: printer.Inside, Part: "1 5/8-16 UN, red", Rung: "0.10", ModelledMM: 0.4, PitchMM: 1.5875, DiameterMM: 40.243889, LayersMM: 0.2, Outcome: printer.Goes,
	}, inner, "0.10 mm and the 0.13 mm that filament-0.4 takes and 0.17 mm for its layers, which would take 0.2 mm by their shape")
	assert.InDelta(t, 0.2, got.LayerMM, 1e-9)
	assert.Equal(t, printer.DoesNotStart, outer.Outcome)
	assert.InDelta(t, 0.5, outer.ModelledMM, 1e-6)
	// The allowance of class 2A of 1 5/8-16 UN is 0.0016 in (ASME B1.1-2003, table 2; from memory).
	require.Len(t, got.Parts, 2)
	assert.InDelta(t, 0.0016*25.4, got.Parts[0].LeastMM, 0.002)
	assert.Greater(t, got.Parts[0].MostMM, got.Parts[0].LeastMM+0.1)
	assert.Zero(t, got.Parts[0].UMM)
	mate, err := thread.NewTables().Parse("1 7/8-14 UNS")
	require.NoError(t, err)
	assert.InDelta(t, 46.5-mate.Basic.Pitch.MM(), got.Parts[1].LeastMM, 1e-6)
	assert.InDelta(t, 0.02/1.7320508, got.Parts[1].UMM, 1e-6)
}

// A caliper without its own ± is good to its 0.03 mm and 0.05 mm of handling, half widths of rectangles.
func TestTriedReadings(t *testing.T) {
	got, err := Tried{CaliperInside: []string{"40=39.9", "40mm=39.9mm+-0.03mm"}}.Trial(thread.NewTables())
	require.NoError(t, err)
	require.Len(t, got.Readings, 2)
	assert.InDelta(t, math.Hypot(0.03, 0.05)/math.Sqrt(3), got.Readings[0].UMM, 1e-6)
	assert.InDelta(t, 0.03/math.Sqrt(3), got.Readings[1].UMM, 1e-6)
	assert.Equal(t, []any{printer.Inside, 40.0, 39.9}, []any{got.Readings[0].Side, got.Readings[0].ModelledMM, got.Readings[0].MeasuredMM})
}

func TestTriedFaults(t *testing.T) {
	straight, taper := table(t, "1 5/8-16 UN", "1 7/8-14 UNS"), table(t, "1/2-14 NPT", "1 7/8-14 UNS")
	rungs := func(of *ladder.Result, rungs ...string) Tried { return Tried{Printed: of, Rungs: rungs} }
	badPart, crests := rungs(straight, "inner:0.1=goes"), rungs(straight, "inner:0.1=goes")
	badPart.PartInner, crests.PartInner = "40.2mm", "41.27mm+-0.02"
	tests := []struct {
		name  string
		tried Tried
		field string
		says  []string
	}{
		{"nothing", Tried{}, "", []string{"nothing was tried"}},
		{"no ladder", Tried{Rungs: []string{"inner:0.10=goes"}}, "ladder", []string{"missing"}},
		{"no rung", Tried{Printed: straight}, "rung", []string{"missing"}},
		{"no side", rungs(straight, "0.10=goes"), "rung", []string{"say which side", "inner:0.10"}},
		{"no such side", rungs(straight, "top:0.10=goes"), "rung", []string{"say which side"}},
		{"no such rung", rungs(straight, "inner:0.5=goes"), "rung", []string{"no rung 0.50", "0.10, 0.20/0.30"}},
		{"no outcome", rungs(straight, "inner:0.1"), "rung", []string{"RUNG=OUTCOME"}},
		{"no such outcome", rungs(straight, "inner:0.1=falls"), "rung", []string{`"falls" is no outcome`}},
		{"rung twice", rungs(straight, "inner:0.1=goes", "inner:0.10=snug"), "rung", []string{"named twice"}},
		{"taper", rungs(taper, "inner:0.1=goes"), "rung", []string{"taper thread", "caliper"}},
		{"part without ±", badPart, "rung.part_inner", []string{"how well it is known"}},
		{"crests for the pitch line", crests, "rung.part_inner", []string{"not that over the crests"}},
		{"two faults", Tried{CaliperInside: []string{"40"}, CaliperOutside: []string{"40mm=45mm"}}, "caliper_inside", []string{"MODELLED=MEASURED", "caliper_outside", "more than 1 mm"}},
		{"plug of rings", Tried{Printed: straight, Plugs: []string{"0.1=40"}}, "plug", []string{"has no plugs"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.tried.Trial(thread.NewTables())
			require.Error(t, err)
			assert.Equal(t, tt.field, fault.Each(err)[0].Field)
			for _, want := range tt.says {
				require.ErrorContains(t, err, want)
			}
			assert.NotContains(t, err.Error(), "--", "words for flags are made elsewhere")
		})
	}
}

// journal is that of a printer, with trials.
func journal(t *testing.T, trials ...printer.Trial) *printer.Journal {
	t.Helper()
	j, err := printer.OpenJournal(t.TempDir(), "filament-0.4")
	require.NoError(t, err)
	for _, x := range trials {
		_, err := j.Append(t.Context(), x, func(printer.Entry) error { return nil })
		require.NoError(t, err)
	}
	return j
}

func TestResult(t *testing.T) {
	l := table(t, "1 5/8-16 UN", "1 7/8-14 UNS")
	trial, err := Tried{Printed: l, Rungs: []string{"inner:0.10=does not start", "inner:0.20/0.30=snug"}, PartInner: "40.3mm+-0.02"}.Trial(thread.NewTables())
	require.NoError(t, err)
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	j := journal(t, trial)
	r := NewResult(p, j, nil, j.Entries, l)
	require.Len(t, r.Sides, 2)
	inside, outside := r.Sides[0], r.Sides[1]
	assert.Greater(t, inside.After.ValueMM, inside.Before.ValueMM, "rungs that are too tight show that more is lost")
	assert.Less(t, inside.After.SDMM, inside.Before.SDMM)
	require.NotNil(t, inside.Next)
	assert.Len(t, inside.Next.Clearances, nextRungCount)
	assert.Zero(t, inside.Next.Vague, "the part was read")
	assert.InDelta(t, inside.After.FeltRangeMM[1]-inside.After.FeltRangeMM[0], inside.Next.WidthNow.MM(), 0.002)
	assert.Less(t, inside.Next.Width.MM(), inside.Next.WidthNow.MM())
	assert.InDelta(t, outside.Before.ValueMM, outside.After.ValueMM, 0.2*outside.Before.SDMM+0.01, "of the side not tried, trials tell no more than the scale")
	assert.InDelta(t, outside.Before.SDMM, outside.After.SDMM, 0.02)
	assert.Less(t, half(inside.After.FeltRangeMM), half(inside.After.RangeMM), "rungs tell what is felt, not what of it is plain size")
	require.NotEmpty(t, r.Untold)
	assert.Contains(t, r.Untold[0], "a caliper over the crests of a print")
	assert.Contains(t, strings.Join(r.Untold, "\n"), "a caliper at another size, or a ladder there on a part, would tell; pairs would not")
	assert.Nil(t, outside.Next)
	assert.Empty(t, r.Doubts)
	require.NotNil(t, r.Next)
	assert.Equal(t, []string{"1 5/8-16 UN", "1 7/8-14 UNS", "filament-0.4", "filament-0.4-ladder-2"}, []string{r.Next.Inner, r.Next.Outer, r.Next.Printer, r.Next.Name})
	_, err = ladder.Ladder{Rungs: r.Next.Rungs}.Clearances()
	require.NoError(t, err, "the rungs are ones that a ladder takes")
	assert.Len(t, r.Next.Rungs, nextRungCount)
}

func TestResultOfAPartKnownBadly(t *testing.T) {
	trial, err := Tried{Printed: table(t, "1 5/8-16 UN", "1 7/8-14 UNS"), Rungs: []string{"outer:0.10=goes"}}.Trial(thread.NewTables())
	require.NoError(t, err)
	j := journal(t, trial)
	r := NewResult(printer.Unnamed(), j, nil, j.Entries, nil)
	assert.Greater(t, r.Sides[1].Next.Vague, vagueMM)
	assert.Nil(t, r.Next, "without a ladder there is none to print like it")
}

// What is doubted is kept only with a word, and stays doubted.
func TestKeep(t *testing.T) {
	l := table(t, "1 5/8-16 UN", "1 7/8-14 UNS")
	say := func(builtFor string, tried Tried) printer.Trial {
		tried.Printed = l
		trial, err := tried.Trial(thread.NewTables())
		require.NoError(t, err)
		require.Equal(t, "filament-0.4", trial.BuiltFor)
		trial.BuiltFor = builtFor
		return trial
	}
	first := say("filament-0.4", Tried{Rungs: []string{"inner:0.10=goes"}, CaliperOutside: []string{"40=40.1"}})
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	ready := func(Result) error { return nil }
	tests := []struct {
		name string
		next printer.Trial
		says string
	}{
		{"another printer's ladder", say("resin", Tried{Rungs: []string{"outer:0.10=goes"}}), "built for printer resin"},
		{"rungs that contradict", say("filament-0.4", Tried{Rungs: []string{"inner:0.20/0.30=does not start"}}), "more room, does not start"},
		{"one rung, two outcomes", say("filament-0.4", Tried{Rungs: []string{"inner:0.10=does not start"}}), "cannot both be right"},
		{"readings that disagree", say("filament-0.4", Tried{Rungs: []string{"outer:0.10=goes"}, CaliperOutside: []string{"40=40.9"}}), "disagree"},
		{"the same again", first, "word for word"},
		{"nothing of it", say("filament-0.4", Tried{Rungs: []string{"inner:0.20/0.30=goes"}, CaliperOutside: []string{"40=40.12"}}), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			j := journal(t, first)
			r, err := Keep(t.Context(), p, j, tt.next, l, false, ready)
			if tt.says == "" {
				require.NoError(t, err)
				assert.Empty(t, r.Doubts)
				assert.Len(t, j.Entries, 2)
				return
			}
			require.ErrorIs(t, err, ErrDoubted)
			require.ErrorContains(t, err, tt.says)
			assert.Len(t, j.Entries, 1, "nothing is kept without the word")
			r, err = Keep(t.Context(), p, j, tt.next, l, true, ready)
			require.NoError(t, err)
			assert.Equal(t, []int{2, 2}, []int{r.Trial, r.Trials})
			assert.Contains(t, strings.Join(r.Doubts, "\n"), tt.says)
			assert.Contains(t, strings.Join(ListOf(p, j).Doubts, "\n"), tt.says, "the doubt stays")
			harmless := say("filament-0.4", Tried{Rungs: []string{"outer:0.20/0.30=goes"}})
			r, err = Keep(t.Context(), p, j, harmless, l, false, ready)
			require.NoError(t, err, "what has nothing to do with an old doubt needs no word")
			assert.Contains(t, strings.Join(r.Doubts, "\n"), tt.says)
			r, e, err := Drop(t.Context(), p, j, 2, "")
			require.NoError(t, err)
			assert.Equal(t, tt.next, e.Trial)
			assert.Empty(t, r.Doubts, "taken back, the doubt is gone")
			list := ListOf(p, j)
			require.Len(t, list.Trials, 3)
			assert.Equal(t, []bool{false, true, false}, []bool{list.Trials[0].Dropped, list.Trials[1].Dropped, list.Trials[2].Dropped})
		})
	}
	j := journal(t, first)
	_, err = Keep(t.Context(), p, j, tests[5].next, l, false, func(Result) error { return os.ErrExist })
	require.ErrorIs(t, err, os.ErrExist)
	assert.Len(t, j.Entries, 1)
	_, _, err = Drop(t.Context(), p, j, 9, "")
	require.ErrorIs(t, err, printer.ErrNoEntry)
}

func FuzzTriedRung(f *testing.F) {
	f.Add("inner:0.10=goes")
	f.Add(`both:0.05/0.10="does not start"`)
	f.Add("=:=")
	tables := thread.NewTables()
	printed := &ladder.Result{Name: "l", Inner: "M12x1.5", Outer: "M20x2", Rungs: []ladder.RungResult{{Rung: "0.10"}}}
	f.Fuzz(func(t *testing.T, text string) {
		var trial printer.Trial
		if err := (Tried{Side: "inner", Printed: printed}).addRung(&trial, tables, text); err != nil {
			return
		}
		if len(trial.Rungs) == 0 {
			t.Fatalf("addRung(%q) added nothing", text)
		}
		if err := trial.Validate(); err != nil {
			t.Fatalf("addRung(%q) made a trial that does not hold: %v", text, err)
		}
	})
}
