package ladder

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/mesh"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

func planPairs(t *testing.T, l Ladder) Planned {
	t.Helper()
	l.Ring.Out = t.TempDir()
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	return p
}

// pairs are those of two gaps.
func pairs() Ladder {
	l := lengths(0.1, 0.4, 0.3)
	l.Pairs, l.Ring.Printer, l.Ring.Name = "M12x1.5", "filament-0.4", "p"
	return l
}

func TestMakePairs(t *testing.T) {
	l := planPairs(t, pairs())
	resin, err := printers(t).Find("resin")
	require.NoError(t, err)
	l.Printers = append(l.Printers, resin)
	var told []int
	r, err := l.Make(t.Context(), in(l), func(done, all int) { told = append(told, done, all) })
	require.NoError(t, err)
	assert.Equal(t, []string{"0.10", "0.40"}, []string{r.Rungs[0].Rung, r.Rungs[1].Rung})
	assert.Len(t, told, 2*(4+len(r.Plates)))
	assert.Contains(t, r.Caution, check.Caution)
	for _, f := range r.Paths {
		assert.FileExists(t, f)
	}
	// Both files of a rung hold its gap between them: on this printer, the compensation of both sides more.
	for _, x := range r.Rungs {
		var pitchD [2]float64
		for k, part := range []string{"-ring.stl", "-plug.stl"} {
			m, err := mesh.Load(t.Context(), filepath.Join(l.Asked.Out, x.Name+part), mesh.Options{})
			require.NoError(t, err)
			found, err := caliper.Measure(m.Mesh, caliper.DefaultOptions())
			require.NoError(t, err)
			at := found.Inner
			if k == 1 {
				at = found.Outer
			}
			require.NotNil(t, at)
			pitchD[k] = at.PitchDMM
		}
		wanted := x.Inner.ModelledClearanceMM + x.Outer.ModelledClearanceMM
		assert.InDelta(t, wanted, pitchD[0]-pitchD[1], 0.01, x.Rung)
		assert.InDelta(t, x.Inner.ClearanceMM+x.Outer.ClearanceMM+0.16+2*0.17, wanted, 0.002, "filament-0.4 takes 0.13 mm, adds 0.03 mm, and 0.17 mm a side by its layers")
		require.Len(t, x.Made, 2)
		assert.InDelta(t, x.Inner.ClearanceMM+x.Outer.ClearanceMM, x.Made[0].Inner.PitchClearanceMM, 0.002)
		assert.Greater(t, x.Made[1].Inner.PitchClearanceMM, x.Made[0].Inner.PitchClearanceMM, "resin takes less")
	}
	parts := 0
	for _, p := range r.Plates {
		parts += len(p.Parts)
	}
	assert.Equal(t, 4, parts)
	back, err := Load(t.Context(), l.Asked.Path(".json"))
	require.NoError(t, err)
	assert.True(t, back.Pairs)

	_, err = l.Make(t.Context(), in(l), nil)
	require.ErrorIs(t, err, whole.ErrExists)
}

func TestPairsRefuse(t *testing.T) {
	for name, c := range map[string]struct {
		change func(l *Ladder)
		says   string
	}{
		"ring's threads too": {func(l *Ladder) { l.Ring.Inner = "M20" }, "leave inner"},
		"no such thread":     {func(l *Ladder) { l.Pairs = "wide" }, "pairs: "},
		"taper":              {func(l *Ladder) { l.Pairs = "1/2-14 NPT" }, "tells little of the printer"},
		"two gaps":           {func(l *Ladder) { l.From, l.To, l.Step, l.Rungs = nil, nil, nil, []string{"0.1/0.2"} }, "a pair has one gap"},
		"no gaps":            {func(l *Ladder) { l.From, l.To, l.Step = nil, nil, nil }, "from: missing"},
		"compared with none": {func(l *Ladder) { l.Compare = []string{"nobody"} }, "compare: "},
		"too small a plug":   {func(l *Ladder) { l.Pairs = "M2x0.4" }, "cannot be printed"},
	} {
		t.Run(name, func(t *testing.T) {
			l := pairs()
			c.change(&l)
			_, err := l.Plan(thread.NewTables(), printers(t))
			require.ErrorContains(t, err, c.says)
		})
	}
}
