package ring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func TestPairLeavesItsGap(t *testing.T) {
	tables := thread.NewTables()
	printers, err := printer.Load("")
	require.NoError(t, err)
	p, err := printers.Find("filament-0.4")
	require.NoError(t, err)
	for _, name := range []string{"M20x2", "1 5/8-16 UN", "G 3/4", "M12x1.5 LH", "M30x2 2 starts"} {
		th, err := tables.Parse(name)
		require.NoError(t, err)
		for _, gap := range []unit.Length{-0.2, 0, 0.35} {
			ring, plug, err := NewPair(th, gap*unit.Millimetre, p)
			require.NoError(t, err, "%s %v", name, gap)
			assert.InDelta(t, gap.MM(), (ring.Wanted.Pitch - plug.Wanted.Pitch).MM(), 1e-9)
			assert.InDelta(t, gap.MM(), (ring.Wanted.Major - plug.Wanted.Major).MM(), 1e-9)
			layers := p.Makes(th, printer.Outside).Layer.By - p.Makes(th, printer.Inside).Layer.By
			assert.InDelta(t, (gap + p.InsideTakes + p.OutsideAdds + layers).MM(), (ring.Modelled.Pitch - plug.Modelled.Pitch).MM(), 2e-3)
			assert.InDelta(t, (gap + p.InsideTakes + p.OutsideAdds + ring.Rest - plug.Rest).MM(), (ring.Modelled.Major - plug.Modelled.Major).MM(), 2e-3)
			assert.Contains(t, ring.Label, "RING "+th.Designation)
			assert.Contains(t, plug.Label, "PLUG "+th.Designation)
			assert.Greater(t, plug.Length, th.Pitch*3)
		}
	}
	th, err := tables.Parse("1/2-14 NPT")
	require.NoError(t, err)
	_, _, err = NewPair(th, 0, p)
	require.ErrorIs(t, err, ErrTaperPair)
}
