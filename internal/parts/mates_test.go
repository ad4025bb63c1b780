package parts_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/parts"
)

// Where it is not sure what the threads are, the chance of a part is that over all they could be (the law of total
// probability), the parts that were weighed for each pair of them being the oracle.
func TestMatesAreWeighedOver(t *testing.T) {
	l := read(t, adapters(t), parts.Options{})
	goes, stays := []string{"1 5/8-16 UN", "1 11/16-16 UN", "1 1/2-11.5 NPSM"}, []string{"1 7/8-14 UNS", "1 7/8-16 UN"}
	known := map[[2]string]map[string]parts.Ranked{}
	for _, in := range goes {
		for _, out := range stays {
			known[[2]string{in, out}], _ = rank(t, l, in, out)
		}
	}
	samples := 0
	rapid.Check(t, func(rt *rapid.T) {
		weights := func(names []string, what string) (mates []parts.Mate) {
			left := 1.0
			for _, name := range names {
				w := left * rapid.Float64Range(0, 1).Draw(rt, what)
				left -= w
				mates = append(mates, parts.Mate{Thread: parse(t, name), Weight: w})
			}
			return mates
		}
		in, out := weights(goes, "goes"), weights(stays, "stays")
		ranked, err := l.Shortlist(in, out)
		if err != nil {
			rt.Fatal(err)
		}
		for _, r := range ranked {
			want := 0.0
			for _, i := range in {
				for _, o := range out {
					want += i.Weight * o.Weight * known[[2]string{i.Designation, o.Designation}][r.Name].Chance
				}
			}
			if r.Chance-want > 1e-9 || want-r.Chance > 1e-9 {
				rt.Fatalf("%s: %v, want %v", r.Name, r.Chance, want)
			}
			samples++
		}
	})
	require.Positive(t, samples)
}

func TestQuestionsToTheShopAreOfTheList(t *testing.T) {
	l := read(t, adapters(t), parts.Options{})
	pick := func(in, out []parts.Mate) map[string]parts.Ranked {
		ranked, err := l.Shortlist(in, out)
		require.NoError(t, err)
		byName := map[string]parts.Ranked{}
		for _, r := range ranked {
			byName[r.Name] = r
		}
		return byName
	}
	fine, between, none := parse(t, "1 7/8-16 UN"), parse(t, "1 7/8-14 UNS"), 0.2
	doubtful := pick(parts.Sure(parse(t, "1 5/8-16 UN")), []parts.Mate{{Thread: fine, Weight: 0.2}, {Thread: between, Weight: 1 - none - 0.2}})
	d := doubtful["part D"]
	assert.InDelta(t, 0.6, d.Chance, 0.02)
	assert.True(t, d.Open())
	assert.Empty(t, d.Ask, "the drawing leaves nothing open; the thread in hand does")
	assert.Equal(t, "1 7/8-14 UNS", d.Outer.Thread)
	assert.Equal(t, "1 7/8-14 UNS", d.Outer.Internal, "the likeliest, wherever it stands")
	a := doubtful["part A"]
	assert.Contains(t, a.Ask, "bore of the inner thread")
	assert.Less(t, a.Chance, d.Chance)
	assert.InDelta(t, 0.2*0.8, doubtful["part B"].Chance, 0.03, "it has the finer thread, and its inner one is open")

	unlikely := pick([]parts.Mate{{Thread: parse(t, "1 5/8-16 UN"), Weight: 0.3}}, parts.Sure(between))
	assert.Contains(t, unlikely["part A"].Ask, "bore of the inner thread", "if it is that thread at all, the shop can still say more")

	_, err := l.Shortlist(nil, parts.Sure(between))
	require.ErrorIs(t, err, parts.ErrNoMate)
	assert.ErrorContains(t, err, "inner thread")
}
