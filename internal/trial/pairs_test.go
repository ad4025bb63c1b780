package trial

import (
	"math"
	"testing"

	"tryring/internal/job"
	"tryring/internal/ladder"
	"tryring/internal/unit"

	"tryring/internal/printer"
	"tryring/internal/thread"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pairsTable is the table of a ladder of pairs with two gaps.
func pairsTable(t *testing.T) ladder.Result {
	t.Helper()
	l := ladder.Ladder{
		Ring: job.Ring{Printer: "filament-0.4", Name: "p"}, Pairs: "M12x1.5",
		From: new(unit.MM(0.1)), To: new(unit.MM(0.4)), Step: new(unit.MM(0.3)),
	}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	table, err := p.Table()
	require.NoError(t, err)
	return table
}

func TestTrialOfPairs(t *testing.T) {
	table := pairsTable(t)
	tried := func(rungs ...string) (printer.Trial, error) {
		return Tried{Printed: &table, Rungs: rungs}.Trial(thread.NewTables())
	}
	got, err := tried("0.1=does not start", "0.4=goes")
	require.NoError(t, err)
	require.Len(t, got.Rungs, 2)
	assert.Equal(t, printer.Pair, got.Rungs[0].Side)
	assert.InDelta(t, 0.1+0.16+2*0.17, got.Rungs[0].ModelledMM, 0.002)

	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	j := journal(t, got)
	r := NewResult(p, j, nil, j.Entries, &table)
	for _, s := range r.Sides {
		assert.Less(t, s.After.SDMM, s.Before.SDMM, s.Side)
		assert.Less(t, half(s.After.FeltRangeMM), half(s.Before.FeltRangeMM), s.Side)
	}
	require.NotNil(t, r.Sides[0].Next)
	assert.True(t, r.Sides[0].Next.Both)
	require.NotNil(t, r.Next)
	assert.True(t, r.Next.Pairs)
	assert.Len(t, r.Next.Rungs, nextRungCount)

	for text, says := range map[string]string{
		"inner:0.1=goes": "a pair has no sides", "0.2=goes": "no rung 0.20", "0.1=fits": "no outcome",
	} {
		_, err := tried(text)
		require.ErrorContains(t, err, says)
	}
	_, err = tried("0.1=goes", "0.10=snug")
	require.ErrorContains(t, err, "named twice")
}

// A caliper over the crests of a plug, named by its rung, tells what both sides come to apart.
func TestTrialOfPlugs(t *testing.T) {
	table := pairsTable(t)
	// M12: 12 mm over the crests, less half the gap of 0.4 mm, the 0.03 mm that filament-0.4 adds, and what the layers' 0.17 mm leave when
	// half the crest of P/8 has gone, P/16 tan 60.
	assert.InDelta(t, 12-0.2-0.03-(0.17-1.5/16*math.Sqrt(3)), table.Rungs[1].PlugCrestsMM, 0.001)
	tried := func(plugs ...string) (printer.Trial, error) {
		return Tried{Printed: &table, Rungs: []string{"0.1=does not start", "0.4=goes"}, Plugs: plugs}.Trial(thread.NewTables())
	}
	p, err := printers(t).Find("filament-0.4")
	require.NoError(t, err)
	alone, err := tried()
	require.NoError(t, err)
	read, err := tried("0.4=11.86mm+-0.02")
	require.NoError(t, err)
	require.Len(t, read.Readings, 1)
	assert.Equal(t, printer.Outside, read.Readings[0].Side)
	assert.InDelta(t, 0.11, p.Learn([]printer.Trial{read}).Plain(printer.Outside, 12).Mean().MM(), 0.02, "11.86 mm where 11.75 mm was modelled")
	assert.Less(t, p.Learn([]printer.Trial{read}).Plain(printer.Inside, 12).SD(), p.Learn([]printer.Trial{alone}).Plain(printer.Inside, 12).SD())
	for text, says := range map[string]string{"0.4": "write RUNG=MEASURED", "0.2=11.8mm": "no rung 0.20", "0.4=wide": "wide", "0.1=14mm": "another part"} {
		_, err := tried(text)
		require.ErrorContains(t, err, "plug: ")
		require.ErrorContains(t, err, says)
	}
	table.Pairs = false
	_, err = Tried{Printed: &table, Plugs: []string{"0.4=11.86mm"}}.Trial(thread.NewTables())
	require.ErrorContains(t, err, "has no plugs")
}
