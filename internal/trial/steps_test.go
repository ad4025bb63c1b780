package trial

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// A caliper on what lies there costs least for what it tells; once it was used, the next ladder is worth more.
func TestSteps(t *testing.T) {
	l := table(t, "1 5/8-16 UN", "1 7/8-14 UNS")
	say := func(tried Tried) *Result {
		if len(tried.Rungs) > 0 {
			tried.Printed = l
		}
		trial, err := tried.Trial(thread.NewTables())
		require.NoError(t, err)
		p, err := printers(t).Find("filament-0.4")
		require.NoError(t, err)
		j := journal(t, trial)
		r := NewResult(p, j, nil, j.Entries, l)
		return &r
	}
	rungs := Tried{Rungs: []string{"inner:0.10=does not start", "inner:0.20/0.30=snug"}, PartInner: "40.15mm+-0.02"}
	first := say(rungs)
	require.Len(t, first.Steps, 4)
	assert.Contains(t, first.Steps[0].What, "caliper")
	by := map[string]Step{}
	for _, s := range first.Steps {
		by[s.What] = s
		assert.LessOrEqual(t, s.FeltMM, half(first.Sides[0].After.FeltRangeMM)+0.002, s.What)
		assert.LessOrEqual(t, s.PlainMM, half(first.Sides[0].After.RangeMM)+0.002, s.What)
	}
	five, three, read := by["a ladder of five rungs"], by["a ladder of three rungs"], first.Steps[0]
	assert.Less(t, three.Minutes, five.Minutes)
	assert.Less(t, read.PlainMM, five.PlainMM, "rungs do not tell plain size")
	assert.Greater(t, first.Next.HeightMM, 6.0)

	rungs.CaliperInside = []string{"40=39.9", "40=39.89", "40=39.91", "40=39.9", "40=39.9", "40=39.9"}
	assert.NotContains(t, say(rungs).Steps[0].What, "caliper", "one more reading with the same instrument tells nothing")
	assert.Empty(t, say(Tried{CaliperInside: []string{"40=39.9"}}).Steps)
}
