package parts_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"tryring/internal/parts"
)

const sized = "part,inner thread,inner tpi,outer thread,outer tpi\n"

// 1 5/8-16, 1 3/8-16 and 1 7/8-14 of drains have throats of 1 3/8, 1 1/8 and 1 1/2 in (common practice, no published source): a list
// may go by either, in each column for itself, and never says which.
func TestByTheBoreWithoutTheWord(t *testing.T) {
	for _, c := range []struct {
		name, rows   string
		inner, outer bool
	}{
		{"both by the bore", "A,1 3/8,16,1 1/2,14\nB,1 1/8,16,1 1/2,16\nC,1 1/4,16,1 1/2,14\n", true, true},
		{"both by the outside", "A,1 5/8,16,1 7/8,14\nB,1 3/8,16,1 7/8,16\nC,1 1/2,16,1 7/8,14\n", false, false},
		{"the inner ones by the bore", "A,1 3/8,16,1 7/8,14\nB,1 1/8,16,1 7/8,16\nC,1 1/4,16,1 7/8,14\n", true, false},
		{"padded and cut off", "A,1.300,16,1.500,14\nB,1.100,16,1.500,16\nC,1.200,16,1.500,14\n", true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := read(t, sized+c.rows, parts.Options{})
			byName, order := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
			assert.Equal(t, "A", order[0])
			assert.Greater(t, byName["A"].Chance, 0.4)
			assert.NotEqual(t, "B", order[1], "it has the finer thread outside")
			assert.Equal(t, c.inner, l.Bore[0] > 0.5, "%v", l.Bore)
			assert.Equal(t, c.outer, l.Bore[1] > 0.5, "%v", l.Bore)
		})
	}
}

// A row that joins only if it is written otherwise than the rest is asked about, and said to be unlikely.
func TestOddRowsAreAsked(t *testing.T) {
	l := read(t, sized+"A,1 5/8,16,1 7/8,14\nB,1 3/8,16,1 7/8,16\nC,1 1/2,16,1 7/8,14\nodd,1 3/8,16,1 7/8,14\nboth,1 1/8,16,1 1/2,16\n", parts.Options{})
	byName, order := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
	assert.Equal(t, "A", order[0])
	odd := byName["odd"]
	assert.True(t, odd.Open(), "%v", odd.Chance)
	assert.Less(t, odd.Chance, 0.5)
	assert.NotEmpty(t, odd.Ask)
	assert.Less(t, byName["both"].Chance, parts.OpenFrom, "its counts rule it out whatever its sizes go by")
}

// What is not printed is asked for as long as what is printed lets the part join.
func TestMissingSizesAreNeverStruck(t *testing.T) {
	l := read(t, sized+"A,1 5/8,16,1 7/8,14\nB,1 3/8,16,1 7/8,16\nC,G 1,,G 1 1/2,\nD,G 3/4,,G 1 1/4,\nnone,,16,,14\nwrong,,11,,14\nhalf,1 5/8,,,14\n", parts.Options{})
	byName, _ := rank(t, l, "1 5/8-16 UN", "1 7/8-14 UNS")
	for _, name := range []string{"none", "half"} {
		assert.Greater(t, byName[name].Chance, parts.OpenFrom, name)
		assert.Contains(t, byName[name].Ask, "ask for the size of the", name)
	}
	assert.Less(t, byName["wrong"].Chance, parts.OpenFrom)
}

// A size without threads per inch is likelier what the same size is elsewhere in the list.
func TestCountsAreSharedAmongEqualSizes(t *testing.T) {
	chance := func(rest string) float64 {
		byName, _ := rank(t, read(t, sized+"x,1 1/2,,1 7/8,14\n"+rest, parts.Options{}), "1 1/2-16 UN", "1 7/8-14 UNS")
		return byName["x"].Inner.Chance
	}
	alone, with, against := chance("y,1 5/8,16,1 7/8,14\n"), chance("y,1 1/2,16,1 7/8,14\n"), chance("y,1 1/2,11.5,1 7/8,14\n")
	assert.Greater(t, with, alone)
	assert.Greater(t, alone, against)
	assert.Greater(t, against, parts.OpenFrom)
}
