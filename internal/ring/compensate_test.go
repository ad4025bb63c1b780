package ring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// inLayers is a printer of that layer whose layers do all that their shape would, and which errs in nothing else.
func inLayers(layer float64) printer.Profile {
	p := exact()
	p.Layer, p.LayerShare = unit.MM(layer), 1
	return p
}

func TestFlanksMoveWhileTheCrestBearsIt(t *testing.T) {
	for _, tt := range []struct {
		name, thread string
		side         printer.Side
		layer        float64
		// flanks and rest are what is taken off the pitch diameter alone and off all diameters, along how far the flanks move.
		flanks, rest, along float64
	}{
		// At 60 degrees layers of h add h, and flanks that move by 2 h tan(15 deg)/2 each way take that off.
		{"outside", "M48x2", printer.Outside, 0.2, -0.2, 0, 0.2 * math.Tan(math.Pi/6)},
		// The bore's crest is a quarter pitch wide, twice that outside.
		{"inside", "M20x1", printer.Inside, 0.2, 0.2, 0, 0.2 * math.Tan(math.Pi/6)},
		// The crest flat of P/8 = 0.125 mm keeps half: 0.0625 mm along, 0.108 of diameter; 0.092 are left.
		{"narrow crest", "M20x1", printer.Outside, 0.2, -0.0625 * math.Sqrt(3), -(0.2 - 0.0625*math.Sqrt(3)), 0.0625},
		// Two arcs without a flank between them keep their form.
		{"no flank", "E27", printer.Outside, 0.2, 0, math.NaN(), 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			th := parse(t, tt.thread)
			c := compensate(th, tt.side, inLayers(tt.layer), th.Basic)
			assert.InDelta(t, tt.flanks, c.Flanks.MM(), 0.002)
			assert.InDelta(t, tt.along, c.Along.MM(), 0.002)
			if !math.IsNaN(tt.rest) {
				assert.InDelta(t, tt.rest, c.Rest.MM(), 0.002)
			} else {
				assert.InDelta(t, -c.Made.Layer.By.MM(), c.Rest.MM(), 0.002)
			}
		})
	}
}

// Whatever is compensated, a mate feels the wanted pitch diameter; crest and root are those wanted, less the rest.
func TestPrintedIsWhatWasWanted(t *testing.T) {
	names := []string{"M42x1.5", "G 1", "Tr 40x7", "S 60x9", "1/2-14 NPT", "E27", "1 7/8-14 UNS"}
	rapid.Check(t, func(rt *rapid.T) {
		th := parse(rt, rapid.SampledFrom(names).Draw(rt, "thread"))
		side := rapid.SampledFrom([]printer.Side{printer.Inside, printer.Outside}).Draw(rt, "side")
		p := printer.Unnamed()
		p.Layer = unit.MM(rapid.Float64Range(0.05, 0.3).Draw(rt, "layer"))
		p.OutsideAdds, p.InsideTakes = unit.MM(rapid.Float64Range(-0.2, 0.3).Draw(rt, "adds")), unit.MM(rapid.Float64Range(-0.2, 0.3).Draw(rt, "takes"))
		p.ScalePct = rapid.Float64Range(-0.4, 0.4).Draw(rt, "scale")
		wanted := th.Basic.Plus(unit.MM(rapid.Float64Range(-0.4, 0.4).Draw(rt, "clearance")))
		c := compensate(th, side, p, wanted)
		felt := p.Makes(th, side).On(c.Modelled)
		require.InDelta(rt, wanted.Pitch.MM(), felt.Pitch.MM(), 1e-9)
		require.InDelta(rt, wanted.Pitch.MM(), c.Printed.Pitch.MM(), 1e-9)
		crest := func(d thread.Diameters) float64 {
			if side == printer.Inside {
				return d.Minor.MM()
			}
			return d.Major.MM()
		}
		require.InDelta(rt, crest(felt), crest(c.Printed), 1e-9)
		require.InDelta(rt, crest(wanted)+c.Rest.MM(), crest(felt), 1e-9)
		profile, err := thread.NewProfile(th.Section(c.Modelled))
		require.NoError(rt, err)
		require.Equal(rt, th.Form.RoundPerPitch > 0, profile.RoundMajor, "arcs stay arcs")
	})
}

// However coarse the layers, letters leave some of the flange between them.
func TestLettersLeaveTheFlange(t *testing.T) {
	s := DefaultSpec(parse(t, "M20x2.5"), parse(t, "M42x3"))
	for _, layer := range []unit.Length{0.1, 0.3, 1, 1.5} {
		s.Printer.Layer = layer
		p, err := New(s)
		require.NoError(t, err)
		f := p.Shape.Flange
		assert.InDelta(t, min(max(0.6, 3*layer.MM()), 1), f.Top.DepthMM, 1e-9, "%v", layer)
		assert.GreaterOrEqual(t, f.ThicknessMM-f.Top.DepthMM-f.Bed.DepthMM, 1.0)
	}
}

// Layers that leave no thread are refused with those that would do.
func TestLayersTooCoarseForThePitch(t *testing.T) {
	s := DefaultSpec(parse(t, "M6x0.5"), parse(t, "M20"))
	s.Printer.Layer = 0.2
	_, err := New(s)
	require.NoError(t, err)
	s.Printer.Layer = 0.6
	_, err = New(s)
	assert.ErrorContains(t, err, "layers of 0.125 mm or less")
	assert.Equal(t, "layer", fault.Each(err)[0].Field)
}
