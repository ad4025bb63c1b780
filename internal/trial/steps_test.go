package trial

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
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
	require.Len(t, first.Steps, 5)
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

// Where a job's threads are of another size than what was tried, scale is what is open, and a second size is proposed; where they are
// of the same it is not. Rungs tried from the end on top are not to be tried there again.
func TestStepsOfAJob(t *testing.T) {
	l := table(t, "M20x1.5", "M30x2")
	tables := thread.NewTables()
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	steps := func(designation string, top bool) map[string]Step {
		t.Helper()
		tried, err := Tried{Rungs: []string{"outer:0.10=does not start", "outer:0.20/0.30=snug"}, PartOuter: "28.70mm+-0.02", Printed: l, FromTop: top}.Trial(tables)
		require.NoError(t, err)
		own, err := tables.Parse(designation)
		require.NoError(t, err)
		by := map[string]Step{}
		for _, s := range Steps(p, []printer.Trial{tried}, l, Uses{printer.Outside: own}) {
			by[s.What] = s
		}
		return by
	}
	far, near := steps("M60x2", true), steps("M33x2", false)
	second, here := far["a second size: three rungs of M60x2 on its part"], far["a ladder of three rungs"]
	require.Positive(t, second.FeltMM)
	assert.Less(t, second.FeltMM, 0.8*here.FeltMM)
	assert.Contains(t, far, "a caliper over the crests of the job's ring, outside M60x2, once it is printed")
	assert.Len(t, far, 6)
	again := near["the same rungs, tried from the ends that were printed on top, and told so"]
	assert.Less(t, again.FeltMM, near["a ladder of three rungs"].FeltMM+0.05)
	assert.Len(t, near, 5)
}
