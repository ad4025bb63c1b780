package trial

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
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

// ladderFile writes the table of a small ladder, without its rings.
func ladderFile(t *testing.T, inner, outer string) string {
	t.Helper()
	l := ladder.Ladder{Ring: job.Ring{Inner: inner, Outer: outer, Printer: "filament-0.4", Name: "l"}, Rungs: []string{"0.1", "0.2/0.3"}}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	table, err := p.Table(thread.NewTables())
	require.NoError(t, err)
	text, err := json.Marshal(table)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "l.json")
	require.NoError(t, os.WriteFile(path, text, 0o600))
	return path
}

func TestTriedRungs(t *testing.T) {
	path := ladderFile(t, "1 5/8-16 UN", "1 7/8-14 UNS")
	got, err := Tried{
		Ladder: path, Rungs: []string{"0.10=goes", "outer:0.20/0.30=Does not  start"}, Side: "inner", PartOuter: "46.5mm+-0.02", Part: "red",
	}.Trial(thread.NewTables())
	require.NoError(t, err)
	require.Len(t, got.Rungs, 2)
	inner, outer := got.Rungs[0], got.Rungs[1]
	assert.Equal(t, printer.SeenRung{
		Side: printer.Inside, Part: "1 5/8-16 UN, red", Rung: "0.10", ModelledMM: 0.25, PitchMM: 1.5875, Outcome: printer.Goes,
	}, inner, "0.10 mm and the 0.15 mm that filament-0.4 takes")
	assert.Equal(t, printer.DoesNotStart, outer.Outcome)
	assert.InDelta(t, 0.35, outer.ModelledMM, 1e-9)
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

func TestTriedFaults(t *testing.T) {
	straight, taper := ladderFile(t, "1 5/8-16 UN", "1 7/8-14 UNS"), ladderFile(t, "1/2-14 NPT", "1 7/8-14 UNS")
	broken := filepath.Join(t.TempDir(), "broken.json")
	require.NoError(t, os.WriteFile(broken, []byte(`{"inner": "M8", "rungs": [{`), 0o600))
	one := filepath.Join(t.TempDir(), "one.json")
	require.NoError(t, os.WriteFile(one, []byte(`{"inner": {"designation": "M8"}}`), 0o600))
	tests := []struct {
		name  string
		tried Tried
		says  []string
	}{
		{"nothing", Tried{}, []string{"nothing was tried"}},
		{"no ladder", Tried{Rungs: []string{"inner:0.10=goes"}}, []string{"--ladder: missing"}},
		{"no rung", Tried{Ladder: straight}, []string{"--rung: missing"}},
		{"broken ladder", Tried{Ladder: broken, Rungs: []string{"inner:0.10=goes"}}, []string{"not the JSON file of a ladder"}},
		{"file of one rung", Tried{Ladder: one, Rungs: []string{"inner:0.10=goes"}}, []string{"not that of a ladder", "the whole ladder"}},
		{"no side", Tried{Ladder: straight, Rungs: []string{"0.10=goes"}}, []string{"say which side", "inner:0.10"}},
		{"no such side", Tried{Ladder: straight, Rungs: []string{"top:0.10=goes"}}, []string{"say which side"}},
		{"no such rung", Tried{Ladder: straight, Rungs: []string{"inner:0.5=goes"}}, []string{"no rung 0.50", "0.10, 0.20/0.30"}},
		{"no outcome", Tried{Ladder: straight, Rungs: []string{"inner:0.1"}}, []string{"RUNG=OUTCOME"}},
		{"no such outcome", Tried{Ladder: straight, Rungs: []string{"inner:0.1=falls"}}, []string{`"falls" is no outcome`}},
		{"rung twice", Tried{Ladder: straight, Rungs: []string{"inner:0.1=goes", "inner:0.10=snug"}}, []string{"named twice"}},
		{"taper", Tried{Ladder: taper, Rungs: []string{"inner:0.1=goes"}}, []string{"taper thread", "caliper"}},
		{"part without ±", Tried{Ladder: straight, Rungs: []string{"inner:0.1=goes"}, PartInner: "40.2mm"}, []string{"--part-inner", "how well it is known"}},
		{"crests for the pitch line", Tried{Ladder: straight, Rungs: []string{"inner:0.1=goes"}, PartInner: "41.27mm+-0.02"}, []string{"not that over the crests"}},
		{"two faults", Tried{CaliperInside: []string{"40"}, CaliperOutside: []string{"40mm=45mm"}}, []string{"--caliper-inside", "MODELLED=MEASURED", "--caliper-outside", "more than 1 mm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.tried.Trial(thread.NewTables())
			for _, want := range tt.says {
				require.ErrorContains(t, err, want)
			}
		})
	}
	_, err := Tried{Ladder: filepath.Join(t.TempDir(), "nowhere.json"), Rungs: []string{"inner:0.1=goes"}}.Trial(thread.NewTables())
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestTrialResult(t *testing.T) {
	path := ladderFile(t, "1 5/8-16 UN", "1 7/8-14 UNS")
	trial, err := Tried{Ladder: path, Rungs: []string{"inner:0.10=does not start", "inner:0.20/0.30=snug"}, PartInner: "40.15mm+-0.02"}.Trial(thread.NewTables())
	require.NoError(t, err)
	printed, err := ladder.Load(path)
	require.NoError(t, err)
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	r := NewResult(p, "h.toml", nil, []printer.Trial{trial}, &printed)
	require.Len(t, r.Sides, 2)
	inside, outside := r.Sides[0], r.Sides[1]
	assert.Greater(t, inside.After.ValueMM, inside.Before.ValueMM, "rungs that are too tight show that more is lost")
	assert.Less(t, inside.After.SDMM, inside.Before.SDMM)
	require.NotNil(t, inside.Next)
	assert.Len(t, inside.Next.ClearancesMM, NextRungCount)
	assert.Empty(t, inside.Next.Hint, "the part was read")
	assert.Less(t, inside.Next.WidthMM, inside.After.RangeMM[1]-inside.After.RangeMM[0])
	assert.Equal(t, outside.Before, outside.After, "the side not tried stays as it was")
	assert.Nil(t, outside.Next)
	assert.Contains(t, r.Command, `tryring ladder --inner "1 5/8-16 UN" --outer "1 7/8-14 UNS" --rungs=`)
	// The rungs of the command are ones that a ladder takes.
	rungs := strings.Fields(r.Command[strings.Index(r.Command, "--rungs=")+len("--rungs="):])[0]
	_, err = ladder.Ladder{Rungs: strings.Split(rungs, ",")}.Clearances()
	require.NoError(t, err)
	var text strings.Builder
	require.NoError(t, r.WriteText(&text))
	for _, want := range []string{"h.toml", "1 trial kept", "What inside diameters lose", "█", "next rungs", check.Caution} {
		assert.Contains(t, text.String(), want)
	}
	assert.NotContains(t, text.String(), "contradict")
	assert.NotContains(t, text.String(), " bits", "a word for scripts alone")
	page, err := r.Page(filepath.Join(t.TempDir(), "p.html"), false)
	require.NoError(t, err)
	html, err := os.ReadFile(page.Path())
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(string(html), "<svg"))
	assert.NotContains(t, string(html), "ZgotmplZ")
	require.NoError(t, page.Discard())
}

func TestTrialHintsAtAPartKnownBadly(t *testing.T) {
	trial, err := Tried{Ladder: ladderFile(t, "1 5/8-16 UN", "1 7/8-14 UNS"), Rungs: []string{"outer:0.10=goes"}}.Trial(thread.NewTables())
	require.NoError(t, err)
	r := NewResult(printer.Unnamed(), "h.toml", nil, []printer.Trial{trial}, nil)
	assert.Contains(t, r.Sides[1].Next.Hint, "--part-outer")
}

// Rungs that did what cannot be are named; those that scatter as prints do are not.
func TestDoubt(t *testing.T) {
	rung := func(part, name string, mm float64, o printer.Outcome) printer.SeenRung {
		return printer.SeenRung{Side: printer.Inside, Part: part, Rung: name, ModelledMM: mm, PitchMM: 1.5, Outcome: o}
	}
	tests := []struct {
		name string
		a, b printer.SeenRung
		says []string
	}{
		{"in order", rung("p", "0.00", 0, printer.DoesNotStart), rung("p", "0.20", 0.2, printer.Goes), nil},
		{"alike", rung("p", "0.00", 0, printer.Rattles), rung("p", "0.20", 0.2, printer.Goes), nil},
		{
			"goes, and with more room does not start", rung("p", "0.00", 0, printer.Goes), rung("p", "0.20", 0.2, printer.DoesNotStart),
			[]string{"rung 0.00 goes", "rung 0.20, with 0.20 mm more room, does not start"},
		},
		{"named the other way round", rung("p", "0.20", 0.2, printer.Snug), rung("p", "0.00", 0, printer.Goes), []string{"rung 0.00 goes", "is snug"}},
		{"on two parts", rung("p", "0.00", 0, printer.Goes), rung("q", "0.20", 0.2, printer.DoesNotStart), nil},
		{"near each other", rung("p", "0.00", 0, printer.Goes), rung("p", "0.05", 0.05, printer.Snug), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			trials := []printer.Trial{{Rungs: []printer.SeenRung{tt.a}}, {Rungs: []printer.SeenRung{tt.b}}}
			got := doubt(printer.Inside, trials)
			assert.Equal(t, tt.says == nil, got == "", got)
			for _, want := range tt.says {
				assert.Contains(t, got, want)
			}
			assert.Empty(t, doubt(printer.Outside, trials), "the other side was not tried")
			r := NewResult(printer.Unnamed(), "h.toml", nil, trials, nil)
			assert.Equal(t, got, r.Sides[0].Doubt)
		})
	}
}

// The bar of a belief with one hump rises and falls once, however its steps fall on the belief's points.
func TestBarHasNoSteps(t *testing.T) {
	p := printer.Unnamed()
	p.OutsideAdds, p.OutsideU = 0.13, 0.03
	for _, high := range []float64{0.3, 0.4, 0.5} {
		fallen, last := false, rune(' ')
		for _, block := range bar(p.Learn(printer.Outside, nil), 0, high) {
			fallen = fallen || block < last && last != ' '
			if fallen && block > last && last != ' ' {
				t.Errorf("up to %g mm: %s", high, bar(p.Learn(printer.Outside, nil), 0, high))
				break
			}
			last = block
		}
	}
}

func FuzzTriedRung(f *testing.F) {
	f.Add("inner:0.10=goes")
	f.Add(`both:0.05/0.10="does not start"`)
	f.Add("=:=")
	tables := thread.NewTables()
	printed := ladder.Result{Name: "l", Inner: "M12x1.5", Outer: "M20x2", Rungs: []ladder.RungResult{{Rung: "0.10"}}}
	f.Fuzz(func(t *testing.T, text string) {
		var trial printer.Trial
		if err := (Tried{Side: "inner"}).addRung(&trial, printed, tables, text); err != nil {
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
