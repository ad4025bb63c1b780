package ladder

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

func lengths(from, to, step float64) Ladder {
	return Ladder{From: new(unit.MM(from)), To: new(unit.MM(to)), Step: new(unit.MM(step))}
}

func TestClearances(t *testing.T) {
	tests := []struct {
		name   string
		ladder Ladder
		want   string
		fails  string
	}{
		{"steps", lengths(0.1, 0.4, 0.1), "0.10 0.20 0.30 0.40", ""},
		{"steps of float noise", lengths(0, 0.3, 0.1), "0.00 0.10 0.20 0.30", ""},
		{"one rung", lengths(0.2, 0.2, 0.1), "0.20", ""},
		{"last step passes the end", lengths(0.1, 0.35, 0.1), "0.10 0.20 0.30", ""},
		{"below zero", lengths(-0.1, 0.1, 0.1), "-0.10 0.00 0.10", ""},
		{"named", Ladder{Rungs: []string{"0.05", "0.1/0.2", "-0.1mm"}}, "0.05 0.10/0.20 -0.10", ""},
		{"zero step", lengths(0.1, 0.4, 0), "", `step: "0.000 mm": it must be above 0`},
		{"negative step", lengths(0.1, 0.4, -0.1), "", `step: "-0.100 mm": it must be above 0`},
		{"step not a number", lengths(0.1, 0.4, math.NaN()), "", "it must be above 0"},
		{"step too fine", lengths(0.1, 0.4, 0.005), "", "at least 0.010 mm"},
		{"down", lengths(0.4, 0.1, 0.1), "", `from: "0.400 mm": it is above the end, 0.100 mm`},
		{"too many", lengths(0, 1, 0.01), "", "101 rungs; a ladder has at most 40"},
		{"nothing", Ladder{}, "", "step: missing"},
		{"both ways", Ladder{From: new(unit.MM(1)), Rungs: []string{"0.1"}}, "", "leave from"},
		{"same twice", Ladder{Rungs: []string{"0.1", "0.101"}}, "", "both be engraved 0.10"},
		{"no number", Ladder{Rungs: []string{"wide"}}, "", `"wide"`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.ladder.Clearances()
			if tt.fails != "" {
				require.ErrorContains(t, err, tt.fails)
				return
			}
			require.NoError(t, err)
			var names []string
			for _, r := range got {
				names = append(names, r.String())
				again, err := parseRung(r.String())
				require.NoError(t, err)
				assert.Equal(t, r.String(), again.String(), "a rung's name reads back")
			}
			assert.Equal(t, tt.want, strings.Join(names, " "))
		})
	}
}

// planLadder plans a small ladder with files in a folder of the test's own.
func planLadder(t *testing.T, l Ladder) Planned {
	t.Helper()
	l.Ring.Inner, l.Ring.Outer, l.Ring.Out = "M12x1.5", "M20x2", filepath.Join(t.TempDir(), "out")
	if l.Ring.Name == "" {
		l.Ring.Name = "l"
	}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	return p
}

// The figures as designed and as printed agree with the formulas of the design: c/2 sin(a) and c tan(a), a = 30 degrees.
func TestLadderTable(t *testing.T) {
	l := Ladder{Ring: job.Ring{Printer: "filament-0.4"}, Rungs: []string{"0", "0.2", "0.6"}, Compare: []string{"resin", "none"}}
	got, err := planLadder(t, l).Table()
	require.NoError(t, err)
	require.Equal(t, []string{"filament-0.4", "resin", "none"}, got.Printers)
	list := printers(t)
	compensated, err := list.Find("filament-0.4")
	require.NoError(t, err)
	for _, r := range got.Rungs {
		rung, err := parseRung(r.Rung)
		require.NoError(t, err)
		c := rung.Inner.MM()
		for k, m := range r.Made {
			p, err := list.Find(got.Printers[k])
			require.NoError(t, err)
			layers := feltAt60(compensated) - feltAt60(p)
			inner := c + (compensated.InsideTakes - p.InsideTakes).MM() + layers
			outer := c + (compensated.OutsideAdds - p.OutsideAdds).MM() + layers
			assert.InDelta(t, inner, m.Inner.PitchClearanceMM, 1e-6)
			assert.InDelta(t, outer, m.Outer.PitchClearanceMM, 1e-6)
			assert.InDelta(t, inner/4, *m.Inner.FlankGapMM, 1e-6)
			assert.InDelta(t, outer/math.Sqrt(3), *m.Outer.AxialPlayMM, 1e-6)
			sum := 0.0
			for _, chance := range m.Inner.Chances {
				sum += chance
			}
			assert.InDelta(t, 1, sum, 1e-5)
		}
		assert.Contains(t, r.Label, "GAP "+r.Rung)
	}
	tight, free := got.Rungs[0].Made[0].Inner, got.Rungs[1].Made[0].Inner
	assert.Less(t, tight.Chance, free.Chance, "0.2 mm goes more surely than nothing")
	assert.Greater(t, tight.EngagementPercent, got.Rungs[2].Made[0].Inner.EngagementPercent)
}

// feltAt60 is what layers add to the pitch diameter of a 60 degree thread: their height with round edges, 1.73 times that with square
// ones (2 (s1 + s2) / (tan a1 + tan a2)).
func feltAt60(p printer.Profile) float64 {
	felt := p.LayerShare * p.Layer.MM()
	if p.Process == printer.Resin {
		felt *= math.Sqrt(3)
	}
	return felt
}

func TestLadderStacksAllRungsAlike(t *testing.T) {
	l := lengths(0.1, 0.9, 0.4)
	l.Ring = job.Ring{Inner: "M12x1.5", Outer: "M16x1", Layout: "auto"}
	p, err := l.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	alone := l
	alone.From, alone.To = new(unit.MM(0.1)), new(unit.MM(0.1))
	first, err := alone.Plan(thread.NewTables(), printers(t))
	require.NoError(t, err)
	require.Equal(t, ring.Nested, first.Rungs[0].solids.(ringRung).plan.Layout, "alone, the tightest rung is nested")
	for _, r := range p.Rungs {
		assert.Equal(t, ring.Stacked, r.solids.(ringRung).plan.Layout)
	}
}

func TestMakeLadder(t *testing.T) {
	l := Ladder{Ring: job.Ring{Printer: "filament-0.4", Label: "MINE"}, Rungs: []string{"0.1", "0.2/0.3", "-0.1"}}
	p := planLadder(t, l)
	var steps []int
	got, err := p.Make(t.Context(), in(p), func(done, all int) {
		assert.Equal(t, 4, all)
		steps = append(steps, done)
	})
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3, 4}, steps)
	for _, f := range got.Paths {
		assert.FileExists(t, f)
	}
	assert.Len(t, filesIn(t, p.Asked.Out), len(got.Paths))
	assert.Equal(t, "MINE GAP 0.20/0.30", got.Rungs[1].Label)
	for _, r := range got.Rungs {
		require.Len(t, r.Files, 6)
		for _, f := range r.Files {
			assert.True(t, strings.HasPrefix(filepath.Base(f), r.Name+"."), "%s is no file of rung %s", f, r.Rung)
		}
		// filament-0.4 takes 0.13 mm inside and adds 0.03 mm outside, and its layers 0.17 mm on either side: all make the modelled gap
		// larger.
		assert.InDelta(t, r.Inner.ClearanceMM+0.13+0.17, r.Inner.ModelledClearanceMM, 2e-6)
		assert.InDelta(t, r.Outer.ClearanceMM+0.03+0.17, r.Outer.ModelledClearanceMM, 2e-6)
	}
	packed, err := os.ReadFile(filepath.Join(p.Asked.Out, "l-plate.3mf"))
	require.NoError(t, err)
	objects, meta, err := mesh.Read3MF(bytes.NewReader(packed), int64(len(packed)))
	require.NoError(t, err)
	require.Len(t, objects, 3)
	assert.Equal(t, "l-gap-0.20-0.30", objects[1].Name)
	assert.Equal(t, "l-gap-minus-0.10", objects[2].Name)
	assert.Equal(t, check.Caution, meta.Description)
	text, err := os.ReadFile(filepath.Join(p.Asked.Out, "l.json"))
	require.NoError(t, err)
	var again Result
	require.NoError(t, json.Unmarshal(text, &again))
	assert.JSONEq(t, asJSON(t, got), asJSON(t, again))
	page, err := os.ReadFile(filepath.Join(p.Asked.Out, "l.html"))
	require.NoError(t, err)
	assert.Contains(t, string(page), "<svg")
	for _, r := range got.Rungs {
		assert.Equal(t, 2, strings.Count(string(page), "<summary>Rung "+r.Rung+" in its mate: "), "both threads are drawn in their mates")
	}
	assert.NotContains(t, string(page), "ZgotmplZ", "the template refused what it was given")

	_, err = p.Make(t.Context(), in(p), nil)
	require.ErrorIs(t, err, whole.ErrExists)
	require.NoError(t, os.Remove(filepath.Join(p.Asked.Out, "l-gap-0.10.stl")))
	_, err = p.Make(t.Context(), in(p), nil)
	require.ErrorIs(t, err, whole.ErrExists)
	assert.NoFileExists(t, filepath.Join(p.Asked.Out, "l-gap-0.10.stl"), "nothing is made when one file exists")
	forced, err := p.Make(t.Context(), &whole.Folder{Dir: p.Asked.Out, Force: true}, nil)
	require.NoError(t, err)
	assert.JSONEq(t, asJSON(t, got), asJSON(t, forced))
}

func TestMakeLadderCancelled(t *testing.T) {
	p := planLadder(t, lengths(0.1, 0.4, 0.05))
	ctx, cancel := context.WithCancel(t.Context())
	_, err := p.Make(ctx, in(p), func(done, _ int) {
		if done == 2 {
			cancel()
		}
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.NoDirExists(t, p.Asked.Out, "all files appear, or none")
}

func TestLadderSplitsPlates(t *testing.T) {
	small := Ladder{Ring: job.Ring{Printer: "tiny"}, Rungs: []string{"0.1", "0.2", "0.3"}}
	small.Ring.Inner, small.Ring.Outer, small.Ring.Name, small.Ring.Out = "M12x1.5", "M20x2", "l", filepath.Join(t.TempDir(), "out")
	list := printers(t)
	tiny, err := list.Find("filament-0.4")
	require.NoError(t, err)
	tiny.Name, tiny.BedX, tiny.BedY = "tiny", 70, 70
	p, err := small.Plan(thread.NewTables(), append(list, tiny))
	require.NoError(t, err)
	got, err := p.Make(t.Context(), in(p), nil)
	require.NoError(t, err)
	require.Greater(t, len(got.Plates), 1)
	assert.FileExists(t, filepath.Join(p.Asked.Out, "l-plate-2.3mf"))
	tiny.BedZ = 20
	tiny.Name, small.Ring.Printer, small.Ring.Height = "low", "low", "30mm"
	_, err = small.Plan(thread.NewTables(), append(list, tiny))
	require.ErrorContains(t, err, "30.000 mm tall")
}
