package printer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// entries numbers trials from 1.
func entries(trials ...Trial) []Entry {
	var out []Entry
	for i, t := range trials {
		out = append(out, Entry{ID: i + 1, Trial: t})
	}
	return out
}

// Rungs that did what cannot be are named; those that scatter as prints do are not.
func TestRungDoubts(t *testing.T) {
	rung := func(part, name string, mm float64, o Felt) Trial {
		return Trial{Rungs: []SeenRung{{Side: Inside, Part: part, Rung: name, ModelledMM: mm, PitchMM: 1.5, Outcome: o}}}
	}
	tests := []struct {
		name string
		a, b Trial
		says []string
	}{
		{"in order", rung("p", "0.00", 0, DoesNotStart), rung("p", "0.20", 0.2, Goes), nil},
		{"alike", rung("p", "0.00", 0, Rattles), rung("p", "0.20", 0.2, Goes), nil},
		{
			"goes, and with more room does not start", rung("p", "0.00", 0, Goes), rung("p", "0.20", 0.2, DoesNotStart),
			[]string{"rung 0.00 (inside) goes (trial 1)", "rung 0.20 (inside), with 0.20 mm more room, does not start (trial 2)"},
		},
		{"named the other way round", rung("p", "0.20", 0.2, Snug), rung("p", "0.00", 0, Goes), []string{"0.00 (inside) goes (trial 2)", "is snug (trial 1)"}},
		{"with more room it stops", rung("p", "0.00", 0, Snug), rung("p", "0.20", 0.2, StopsAfter(2)), []string{"is snug", "stops after 2 turns"}},
		{"on two parts", rung("p", "0.00", 0, Goes), rung("q", "0.20", 0.2, DoesNotStart), nil},
		{"near each other", rung("p", "0.00", 0, Goes), rung("p", "0.05", 0.05, Snug), nil},
		{"one rung, twice", rung("p", "0.00", 0, Goes), rung("p", "0.00", 0, DoesNotStart), []string{"rung 0.00 (inside) goes (trial 1) and does not start (trial 2)"}},
		{"one rung, nearly alike", rung("p", "0.00", 0, Goes), rung("p", "0.00", 0, Snug), nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := Doubts("x", entries(tt.a, tt.b))
			if tt.says == nil {
				require.Empty(t, got)
				return
			}
			require.Len(t, got, 1)
			for _, want := range tt.says {
				assert.Contains(t, got[0].Text, want)
			}
			assert.True(t, got[0].Concerns(1) && got[0].Concerns(2))
			assert.False(t, got[0].Concerns(3))
			dropped := entries(tt.a, tt.b)
			dropped[1].Dropped = true
			assert.Empty(t, Doubts("x", dropped))
		})
	}
}

func TestOtherDoubts(t *testing.T) {
	mine, other, plain := tried(Goes), tried(Goes), tried(Goes)
	other.BuiltFor, plain.BuiltFor = "resin", "none"
	got := Doubts("filament-0.4", entries(mine, other, plain))
	require.Len(t, got, 1)
	assert.Equal(t, Doubt{"trial 2 was tried on a ladder that was built for printer resin, not for filament-0.4", []int{2}}, got[0])
	got = Doubts("filament-0.4", entries(mine, plain, mine))
	require.Len(t, got, 1)
	assert.Equal(t, []int{1, 3}, got[0].IDs)
	assert.Contains(t, got[0].Text, "word for word")
}

// read is a caliper reading of an outside diameter that came out so far off.
func read(off, u float64) Trial {
	return Trial{Readings: []SeenReading{{Side: Outside, ModelledMM: 40, MeasuredMM: 40 + off, UMM: u}}}
}

// Readings that lie further apart than print and instrument explain are named, and the interval widens until it reaches what
// was read.
func TestReadingsThatDisagree(t *testing.T) {
	const u = 0.0337 // mm, of a caliper reading without its own ±
	p := Unnamed()
	p.OutsideAdds, p.OutsideU = 0.05, 0.1
	width := func(trials ...Trial) float64 {
		low, high := p.Learn(trials).Plain(Outside, 40).Interval()
		return (high - low).MM()
	}
	agree := []Trial{read(0.10, u), read(0.13, u), read(0.08, u)}
	assert.Empty(t, Doubts("x", entries(agree...)))
	assert.InDelta(t, 0.13, width(agree...), 0.02)

	wild := []Trial{read(0.1, u), read(0.9, u), read(-0.9, u)}
	got := Doubts("x", entries(wild...))
	require.Len(t, got, 1)
	assert.Equal(t, []int{3, 2}, got[0].IDs)
	for _, want := range []string{"outside diameters disagree", "-0.900 mm (trial 3)", "+0.900 mm (trial 2)", "1.80 mm apart", "explain 0.14 mm"} {
		assert.Contains(t, got[0].Text, want)
	}
	near := []Trial{read(0, u), read(0.14, u), read(0, 0.001)}
	require.Empty(t, Doubts("x", entries(near[:2]...)))
	got = Doubts("x", entries(near...))
	require.Len(t, got, 1)
	assert.True(t, got[0].Concerns(3), "the reading that tips the balance")
	assert.Greater(t, width(wild...), 4*width(agree...), "what contradicts itself tells little beyond the profile")
	assert.Greater(t, width(read(0.1, 0.01), read(0.6, 0.03)), 2*width(read(0.1, 0.01), read(0.11, 0.03)), "two instruments that disagree")
	assert.Empty(t, Doubts("x", entries(read(0.9, u))), "one reading contradicts none")
}

// The factor is the root of the sum of squares over its expectation, in closed form for two readings with one instrument.
func TestDisagreement(t *testing.T) {
	const u = 0.03
	sd := math.Hypot(0.02, u)
	two := func(apart float64) float64 {
		return disagreement(append(read(0, u).Readings, read(apart, u).Readings...))
	}
	assert.InDelta(t, 1, two(2.57*math.Sqrt2*sd), 1e-12, "2.576 standard deviations are the limit of 99 %")
	assert.InDelta(t, 2.58, two(2.58*math.Sqrt2*sd), 0.01)
	assert.InDelta(t, 10, two(10*math.Sqrt2*sd), 1e-9)
	assert.InDelta(t, 1, disagreement(nil), 1e-12)
}
