package parts

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// printAs writes a size in inches as a list of that habit does.
func printAs(inches float64, h Habit, digits int) string {
	scale := math.Pow10(digits)
	switch h {
	case Rounds:
		inches = math.Floor(inches*scale+0.5) / scale
	case CutsOff:
		inches = math.Floor(inches*scale+1e-9) / scale
	}
	return fmt.Sprintf("%.*f", digits, inches)
}

// Lists made of threads that drains and fixtures use, printed by each habit: the thread that a row really is of is always
// among those that it could be, its chances come true as often as they say, and the habit shows.
func TestListsOfKnownThreads(t *testing.T) {
	tables := thread.NewTables()
	var used []thread.Thread
	for _, u := range thread.Uses() {
		household := strings.Contains(u.What, "drain") || strings.Contains(u.What, "aerator") || strings.Contains(u.What, "compression")
		if th := u.Designation; strings.Contains(th, " UN") && household {
			parsed, err := tables.Parse(th)
			require.NoError(t, err)
			used = append(used, parsed)
		}
	}
	require.Greater(t, len(used), 8)
	random := rand.New(rand.NewPCG(1, 2)) // the same lists at each run
	const lists, rows = 40, 8
	for _, h := range []Habit{Rounds, CutsOff} {
		t.Run(h.String(), func(t *testing.T) {
			shown, claimed, right := 0, 0.0, 0.0
			for range lists {
				var text strings.Builder
				text.WriteString("part,outer size,outer tpi\n")
				var truth []thread.Thread
				for range rows {
					th := used[random.IntN(len(used))]
					truth = append(truth, th)
					fmt.Fprintf(&text, "x,%s,%.0f\n", printAs(th.Basic.Major.Inches(), h, 1), 25.4/th.Pitch.MM())
				}
				l, err := Read(text.String(), Options{Tables: tables})
				require.NoError(t, err)
				require.Len(t, l.Parts, rows, "%v", l.Skipped)
				if l.Habit[h] > 0.5 {
					shown++
				}
				for k, p := range l.Parts {
					found := 0.0
					for _, c := range l.guesses[outer][p.spec[outer].text].candidates {
						if c.Designation == truth[k].Designation {
							found = l.ways.of(outer).with(c.weight)
						}
						// Each candidate claims its weight; the true one makes it come true.
						claimed += l.ways.of(outer).with(c.weight) * l.ways.of(outer).with(c.weight)
					}
					assert.Positive(t, found, "%s printed as %s is ruled out", truth[k].Designation, p.spec[outer].text)
					right += found
				}
			}
			assert.Greater(t, shown, lists*3/4, "the habit shows in %d of %d lists", shown, lists)
			// All threads of these lists are of the common kind, so the guesses are better than they claim.
			assert.GreaterOrEqual(t, right, claimed)
			assert.Greater(t, right/(lists*rows), 0.5)
		})
	}
}

// What may join by a way of some share is never struck out; by a way of hardly any it is.
func TestSmallSharesAreAsked(t *testing.T) {
	one := func(share float64) (p ways) {
		p[0][0][0], p[0][1][1] = 1-share, share
		return p
	}
	var goes belief
	goes[way(0, 1)] = 1
	assert.InDelta(t, leastOpen, one(0.02).joint(goes, goes, OpenFrom), 1e-12)
	assert.InDelta(t, 0.005, one(0.005).joint(goes, goes, OpenFrom), 1e-12)
	assert.InDelta(t, 0.3, one(0.3).joint(goes, goes, OpenFrom), 1e-12)
	assert.InDelta(t, 0.0225, one(0.3).joint(each(0.15), each(0.15), OpenFrom), 1e-12)
	assert.InDelta(t, leastOpen, one(0.3).joint(each(0.15), each(0.15), realShare), 1e-12, "a size that is not printed")
}

// An inch keeps one decimal of those that are padded, a millimetre none.
func TestPaddedCells(t *testing.T) {
	for _, c := range []struct {
		text  string
		zeros int
		wide  float64
	}{
		{"2.0", 1, 0.1 * 25.4},
		{"1.500", 2, 0.1 * 25.4},
		{"1.500", 1, 0.01 * 25.4},
		{"1.500", 0, 0.001 * 25.4},
		{"41.0", 1, 1},
		{"41.30", 1, 0.1},
	} {
		n, err := readSize(c.text, 0)
		require.NoError(t, err)
		low, high := n.cell(writing{CutsOff, c.zeros})
		assert.InDelta(t, c.wide, high-low, 1e-9, "%s with %d zeros behind", c.text, c.zeros)
	}
}
