package ring

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Every thread of the tables is refused with a reason, or gets teeth that are a line wide at their ends, bear on its flanks, and leave its
// grooves' bottoms and all but a sixteenth of a pitch of its crests alone, outside and inside.
func TestLeafEdgeOfEveryThread(t *testing.T) {
	made := 0
	for _, nozzle := range []unit.Length{0.4, 0.25} {
		p := printer.Unnamed()
		p.Nozzle = nozzle
		for _, th := range thread.BuiltIn().All() {
			e, err := NewLeafEdge(p, th)
			if err != nil {
				assert.Regexp(t, "cut no leaf of this form finer than|run straight over|groove climbs", err.Error())
				continue
			}
			made++
			f, pitch := th.Form, th.Pitch.MM()
			both := math.Tan(e.NearRad) + math.Tan(e.FarRad)
			low, high := math.Min(f.AddendumPerPitch, f.DepthPerPitch-f.AddendumPerPitch), math.Max(f.AddendumPerPitch, f.DepthPerPitch-f.AddendumPerPitch)
			assert.GreaterOrEqual(t, pitch/2-e.CrestMM*both, p.Nozzle.MM()-1e-9, "%s: the end of a tooth", th.Designation)
			assert.Greater(t, pitch/2-e.RootMM*both, 0.05, "%s: a gap", th.Designation)
			assert.LessOrEqual(t, e.CrestMM, low*pitch, "%s: the bottom of a groove", th.Designation)
			assert.GreaterOrEqual(t, e.RootMM, (high-mostRide)*pitch-1e-9, "%s: the crest of a ridge", th.Designation)
		}
	}
	assert.Greater(t, made, 2000)
}

// Two lines are the finest pitch: a tooth is half of it wide on the pitch line.
func TestFinestLeaf(t *testing.T) {
	for _, c := range []struct {
		name, says string
		nozzle     unit.Length
	}{
		{"20mm x 0.8mm", "", 0.4},
		{"20mm x 0.79mm", "finer than 0.80 mm", 0.4},
		{"20mm x 0.5mm", "", 0.25},
		{"20mm x 0.49mm", "finer than 0.50 mm", 0.25},
		{"8mm x 1.5mm 6start", "groove climbs 0.6", 0.4}, // 9 mm / (pi 7.0 mm) of 1.6 mm
		{"Rd 40x1/6", "", 0.4},
		{"E27", "run straight", 0.4},
	} {
		p := printer.Unnamed()
		p.Nozzle = c.nozzle
		th, err := thread.BuiltIn().Parse(c.name)
		require.NoError(t, err)
		if _, err = NewLeafEdge(p, th); c.says == "" {
			assert.NoError(t, err, c.name)
		} else {
			assert.ErrorContains(t, err, c.says, c.name)
		}
	}
}

// A saw thread's steep flank carries the load and faces away from the end that goes in: the tooth on it faces the handle.
func TestLeafOfUnlikeFlanks(t *testing.T) {
	th, err := thread.BuiltIn().Parse("60mm x 9mm 3/30deg")
	require.NoError(t, err)
	p := printer.Unnamed()
	p.ScalePct = 0.5
	e, err := NewLeafEdge(p, th)
	require.NoError(t, err)
	assert.InDelta(t, 3, e.NearRad*180/math.Pi, 1e-9)
	assert.InDelta(t, 30, e.FarRad*180/math.Pi, 1e-9)
	assert.InDelta(t, 9/1.005, e.ModelledMM, 1e-9, "what the printer makes half a percent larger is drawn smaller")
}

func TestLeafInABore(t *testing.T) {
	th, err := thread.BuiltIn().Parse("M48x2")
	require.NoError(t, err)
	p := printer.Unnamed()
	e, err := NewLeafEdge(p, th)
	require.NoError(t, err)
	e.Teeth, e.Label = 8, "2 MM 60"
	for _, bore := range []unit.Length{0, 45.8, 9, 5} {
		l, err := PlanLeaf([]LeafEdge{e, e, e}, bore, p)
		if bore == 5 {
			assert.ErrorContains(t, err, "too narrow")
			continue
		}
		require.NoError(t, err)
		if bore > 0 {
			assert.LessOrEqual(t, math.Hypot(l.AcrossMM, l.ThicknessMM), bore.MM()-borePlayMM+1e-9)
		}
		assert.Greater(t, l.Outline.Area(), l.Sole.Area())
		tip, beyond := 0.0, 0
		for _, v := range l.Outline {
			tip = math.Max(tip, v.X)
		}
		for _, v := range l.Outline {
			if v.X > tip-tipLandMM+1e-9 {
				beyond++
			}
		}
		assert.Equal(t, 2, beyond, "the corners of the tip, and no tooth")
		assert.Equal(t, []bool{false, false, true}, []bool{l.Edges[0].Left, l.Edges[1].Left, l.Edges[2].Left})
	}
	e.Teeth = 80
	_, err = PlanLeaf([]LeafEdge{e, e, e}, 0, p)
	assert.ErrorContains(t, err, "its bed holds")
}
