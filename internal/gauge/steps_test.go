package gauge

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// largest is the major diameter above which a gauge would be larger than what can be made.
const largest = 200 * unit.Millimetre

// Every taper thread of the tables, up to the largest that can be made, has its gauge on each side that it may have, and the file measures within 0.01 mm of the
// basic size in the gauge plane (prove refuses it otherwise).
func TestEveryTaperThreadHasItsGauge(t *testing.T) {
	skipInBrief(t)
	tables := thread.NewTables()
	made := 0
	for _, th := range tables.All() {
		if th.Taper <= 0 || th.Basic.Major > largest {
			continue
		}
		for _, kind := range []ring.GaugeKind{ring.RingGauge, ring.PlugGauge} {
			if !th.ComesAs(kind == ring.RingGauge) {
				continue
			}
			t.Run(string(kind)+" "+th.Designation, func(t *testing.T) {
				asked, err := Gauge{Thread: th.Designation, Kind: string(kind)}.Resolve(tables, Job{Printer: exact(), Chord: build.DefaultChord})
				require.NoError(t, err)
				require.Len(t, asked, 1, "one gauge with both limits")
				a := asked[0]
				got, err := Make(t.Context(), new(whole.Memory), "g", asked, Job{Printer: exact(), Chord: build.DefaultChord})
				require.NoError(t, err)
				made++
				found := got.Gauges[0].Measured
				require.NotNil(t, found)
				assert.InDelta(t, th.Basic.Pitch.MM(), found.PitchDMM, 0.01, "in the gauge plane")
				assert.InDelta(t, a.Wanted.Major.MM(), found.MajorMM, 0.01)
				assert.InDelta(t, a.Wanted.Minor.MM(), found.MinorMM, 0.01)
				assert.InDelta(t, 1.0/16, found.Taper, 0.001)
				assert.False(t, found.WidensUp)
			})
		}
	}
	assert.Greater(t, made, 30)
}

// A drawer takes gauges of taper threads like all others: files, plates, a well in the tray, the card; a second run makes nothing.
func TestDrawerOfTapers(t *testing.T) {
	d := drawerOf(t, "thread,kind\n1/2-14 NPT,ring\n1/2-14 NPT,plug\nRc 1/4,\nR 1/4,\nM10,\n", "")
	r, err := d.Make(t.Context())
	require.NoError(t, err)
	require.Len(t, r.Gauges, 6, "one for each side of a taper, two for the straight one")
	var names []string
	for _, g := range r.Gauges {
		names = append(names, g.Name)
		if taper := g.StandOff != nil; taper {
			assert.Positive(t, g.StandOff.ToleranceTurns)
			assert.InDelta(t, 16*g.Decision.UMM, g.StandOff.UMM, 1e-4, "1 in 16")
			assert.InDelta(t, 0.22, g.Decision.UMM, 0.03, "on the diameter, by a printer that nobody named")
		}
		assert.Equal(t, strings.HasPrefix(g.Name, "step-"), g.StandOff != nil, g.Name)
	}
	assert.ElementsMatch(t, []string{"step-ring-1-2-14-NPT", "step-plug-1-2-14-NPT", "step-plug-Rc-1-4", "step-ring-R-1-4", "go-ring-M10x1.5-6g", "no-go-ring-M10x1.5-6g"}, names)
	files := allBytes(t, d.out)
	for _, name := range names {
		assert.Contains(t, files, filepath.ToSlash(filepath.Join("gauges", name+".stl")))
	}
	again, err := d.Make(t.Context())
	require.NoError(t, err)
	assert.Zero(t, again.New)
}
