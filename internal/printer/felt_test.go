package printer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseFelt(t *testing.T) {
	tests := []struct {
		text string
		want Felt
		said string
	}{
		{"goes", Goes, "goes"},
		{"Goes all  the way", Goes, "goes"},
		{"snug", Snug, "snug"},
		{"starts and rattles", Rattles, "rattles"},
		{"First turn tight, then free", EntryTight, "first turn tight, then free"},
		{"drops in", DropsIn, "drops in"},
		{"does not start", DoesNotStart, "does not start"},
		{"stops after 4 turns", StopsAfter(4), "stops after 4 turns"},
		{"Stops after 1 turn", StopsAfter(1), "stops after 1 turn"},
		{"stop at 2 1/2 turns", StopsAfter(2.5), "stops after 2.5 turns"},
		{"stops after 3,5 turns", StopsAfter(3.5), "stops after 3.5 turns"},
	}
	for _, tt := range tests {
		got, err := ParseFelt(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
		assert.Equal(t, tt.said, got.String())
	}
	for _, text := range []string{"", "fell", "stops", "stops after", "stops after no turns", "stops after 0 turns", "stops after 900 turns", "stops after -1 turns", "stops after 0.0001 turns"} {
		_, err := ParseFelt(text)
		require.Error(t, err, text)
	}
}

func FuzzParseFelt(f *testing.F) {
	f.Add("stops after 4 turns")
	f.Add("stops after 0.001 turns")
	f.Add("goes")
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseFelt(text)
		if err != nil {
			return
		}
		if n, stopped := got.Stopped(); stopped && !(n > 0 && n <= mostTurns) {
			t.Fatalf("ParseFelt(%q) stops after %v turns", text, n)
		}
		if again, err := ParseFelt(got.String()); err != nil || again != got {
			t.Fatalf("ParseFelt(%q) = %v, which is read as %v (%v)", text, got, again, err)
		}
	})
}

// Neighbouring words may be said of one meeting, others may not.
func TestContradicts(t *testing.T) {
	order := []Felt{DoesNotStart, StopsAfter(2), Snug, Goes, Rattles, DropsIn}
	for i, a := range order {
		for k, b := range order {
			assert.Equal(t, i-k > 1 || k-i > 1, a.Contradicts(b), "%s and %s", a, b)
		}
	}
	for _, c := range []struct {
		a, b float64
		want bool
	}{{2, 3, false}, {2, 5, false}, {1, 7, true}, {6, 8, false}, {2, 12, true}} {
		assert.Equal(t, c.want, StopsAfter(c.a).Contradicts(StopsAfter(c.b)), "after %v and %v turns", c.a, c.b)
		assert.Equal(t, c.want, StopsAfter(c.b).Contradicts(StopsAfter(c.a)))
	}
	assert.True(t, DoesNotStart.Contradicts(StopsAfter(6)))
	for f, want := range map[Felt]bool{DoesNotStart: false, StopsAfter(1): false, StopsAfter(4): true, Snug: false, Goes: false, Rattles: false, DropsIn: true, EntryTight: false} {
		assert.Equal(t, want, EntryTight.Contradicts(f), "a tight first turn and %s", f)
		assert.Equal(t, want, f.Contradicts(EntryTight))
		assert.False(t, EntryTight.Tighter(f) || f.Tighter(EntryTight), "the entry tells nothing of the thread")
	}
	assert.True(t, Snug.Tighter(Goes))
	assert.False(t, Goes.Tighter(Rattles))
	assert.False(t, Rattles.Tighter(Goes))
	assert.Equal(t, []bool{false, false, true, true, true}, []bool{order[0].Through(), order[1].Through(), EntryTight.Through(), order[2].Through(), order[5].Through()})
}

// chanceOn is the chance of f on a rung of one clearance.
func chanceOn(f Felt, w way, mm float64) float64 {
	for _, x := range f.onRung(w, 1.5) {
		if mm >= x.from && mm < x.to {
			return x.chance
		}
	}
	return 0
}

func TestRungChances(t *testing.T) {
	ways := Unnamed().ways()
	total := 0.0
	for _, w := range ways {
		total += w.before
		for mm := -0.5; mm < 1; mm += 0.003 {
			sum := 0.0
			for _, o := range []Felt{DoesNotStart, EntryTight, Snug, Goes} {
				c := chanceOn(o, w, mm)
				assert.Positive(t, c)
				sum += c
			}
			require.InDelta(t, 1+lapse/3, sum, 1e-12, "the outcomes that a person tells apart exhaust what can happen; a slip may be any")
		}
	}
	assert.InDelta(t, 1, total, 1e-12)
	usual, closed := ways[0], way{entry: 0.15, knows: true, wider: 1}
	require.Zero(t, usual.entry+usual.rub)
	for _, c := range []struct {
		f    Felt
		w    way
		mm   float64
		most bool
	}{
		{Goes, usual, 0.2, true},
		{Snug, usual, 0.01, true},
		{DoesNotStart, usual, -0.1, true},
		{StopsAfter(2), usual, -0.1, true}, // too tight to go on, as one that does not start
		{Rattles, usual, 0.65, true},
		{Rattles, usual, 0.2, false},
		{DropsIn, usual, 1.9, true},
		{DropsIn, usual, 0.65, false},
		{EntryTight, usual, 0.1, false},
		{EntryTight, closed, 0.1, true},
		{StopsAfter(5), closed, 0.1, false}, // the entry lies behind it
		{DoesNotStart, closed, -0.1, true},
		{Goes, closed, 0.3, true},
		{Snug, way{rub: 0.06, wider: 1}, 0.06, true},
	} {
		got := chanceOn(c.f, c.w, c.mm)
		assert.Equal(t, c.most, got > 0.5, "%s at %v: %v", c.f, c.mm, got)
		assert.Equal(t, !c.most, got < 0.1, "%s at %v: %v", c.f, c.mm, got)
	}
}

// Whatever truly happens, the chances of all that may be felt sum to 1, and none is out of the question.
func TestWordsExhaust(t *testing.T) {
	for _, ringTurns := range []float64{6, 9, 12} {
		for _, m := range []Meeting{CannotStart, Overlaps, Locks(3), RunsSnug, RunsFree, RunsLoose, Drops, Wedges(3), Seats} {
			for _, stop := range []float64{math.NaN(), 0.5, 2, 5.5} {
				all := []Felt{DoesNotStart, EntryTight, Snug, Goes, Rattles, DropsIn}
				for n := 1.0; n <= math.Ceil(ringTurns); n++ {
					all = append(all, StopsAfter(n))
				}
				sum := 0.0
				for _, f := range all {
					p := f.In(Meeting{m.told, stop}, ringTurns)
					assert.Positive(t, p)
					sum += p
				}
				assert.InDelta(t, 1, sum, 0.01, "words %v, stop %v of %v", m.told, stop, ringTurns)
			}
		}
	}
	assert.Greater(t, StopsAfter(4).In(Locks(4), 9), 4*StopsAfter(8).In(Locks(4), 9))
	for _, turns := range []float64{0.4, 6, 9.6} {
		sum := 0.0
		for _, u := range Unknown(turns) {
			sum += u.Of
		}
		assert.InDelta(t, 1, sum, 1e-12)
	}
}
