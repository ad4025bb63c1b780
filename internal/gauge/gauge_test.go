package gauge

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

func gaugeJob(t *testing.T, name string) Job {
	t.Helper()
	p, err := printers(t).Find(name)
	require.NoError(t, err)
	j, err := NewJob(p, nil)
	require.NoError(t, err)
	return j
}

// Each gauge measures, on its own file, as the published limits ask for: within 0.01 mm.
func TestGaugesMeasureAsPublished(t *testing.T) {
	skipInBrief(t)
	const in = 25.4
	tests := []struct {
		asked  Gauge
		goes   float64 // pitch diameter of the go gauge, mm
		noGoes float64
		source string
	}{
		{Gauge{Thread: "1/4-20 UNC-2A"}, 0.2164 * in, 0.2127 * in, "ASME B1.1, public table of limits"},
		{Gauge{Thread: "1/4-20 UNC", Kind: "plug"}, 0.2175 * in, 0.2224 * in, "ASME B1.1, public table of limits"},
		{Gauge{Thread: "15/16-16 UN", Class: "2A"}, 0.8954 * in, 0.8904 * in, "ASME B1.1, public table of limits"},
		{Gauge{Thread: "15/16-12 UN-2B"}, 0.8834 * in, 0.8908 * in, "ASME B1.1, public table of limits"},
		{Gauge{Thread: "15/16-20 UNEF", Kind: "ring"}, 0.9036 * in, 0.8991 * in, "ASME B1.1, public table of limits"},
		{Gauge{Thread: "M10-6g"}, 8.994, 8.862, "ISO 965-2"},
		{Gauge{Thread: "M10-6H"}, 9.026, 9.206, "ISO 965-2"},
		{Gauge{Thread: "G 1/2 A"}, 19.793, 19.651, "ISO 228-1 table 1"},
		{Gauge{Thread: "G 1/2", Kind: "plug"}, 19.793, 19.935, "ISO 228-1 table 1"},
		{Gauge{Thread: "44.4mm+-0.1 x 12tpi"}, 44.5 - 0.649519*in/12, 44.3 - 0.649519*in/12, "basic form of ISO 68-1 on the given range"},
	}
	for _, tt := range tests {
		t.Run(tt.asked.Thread+" "+tt.asked.Kind, func(t *testing.T) {
			j, out := gaugeJob(t, "filament-0.25"), t.TempDir()
			asked, err := tt.asked.Resolve(thread.NewTables(), j)
			require.NoError(t, err)
			require.Len(t, asked, 2)
			r, err := Make(t.Context(), &whole.Folder{Dir: out}, "pair", asked, j)
			require.NoError(t, err)
			for i, want := range []float64{tt.goes, tt.noGoes} {
				g := r.Gauges[i]
				const rounding = 0.0006 // mm: basic sizes that the standard rounds to its last digit
				assert.InDelta(t, want, g.Wanted.Pitch.MM(), rounding, "%s", tt.source)
				// The file is measured afresh, and the printer's own error put back.
				m, err := mesh.Load(t.Context(), filepath.Join(out, g.Name+".stl"), mesh.Options{})
				require.NoError(t, err)
				found, err := caliper.Measure(m.Mesh, caliper.DefaultOptions())
				require.NoError(t, err)
				measured, none := found.Inner, found.Outer
				if g.Kind == ring.PlugGauge {
					measured, none = found.Outer, found.Inner
				}
				require.NotNil(t, measured)
				assert.Nil(t, none, "the other wall is plain")
				made := j.Printer.Makes(asked[i].Thread, map[ring.GaugeKind]printer.Side{ring.RingGauge: printer.Inside, ring.PlugGauge: printer.Outside}[g.Kind])
				assert.InDelta(t, want, measured.PitchDMM+made.Pitch.By.MM(), 0.01)
				assert.InDelta(t, g.Printed.Major.MM(), measured.MajorMM+made.Plain.By.MM(), 0.01)
				assert.InDelta(t, g.Printed.Minor.MM(), measured.MinorMM+made.Plain.By.MM(), 0.01)
				assert.InDelta(t, g.Wanted.Major.MM(), g.Printed.Major.MM(), 0.05, "what the crest does not bear is small at 0.1 mm layers")
				turns := (measured.ZMM[1] - measured.ZMM[0]) / g.PitchMM
				if g.Limit == ring.NoGo {
					assert.InDelta(t, float64(g.MayEnterTurns+1), turns, 1, "few turns")
				} else {
					assert.Greater(t, turns, 4.5)
				}
			}
		})
	}
}

func TestMakeGaugesFiles(t *testing.T) {
	j, out := gaugeJob(t, "resin"), t.TempDir()
	asked, err := Gauge{Thread: "M20"}.Resolve(thread.NewTables(), j)
	require.NoError(t, err)
	r, err := Make(t.Context(), &whole.Folder{Dir: out}, "m20", asked, j)
	require.NoError(t, err)
	for _, f := range r.Paths {
		assert.FileExists(t, f)
	}
	assert.Len(t, filesIn(t, out), len(r.Paths))
	text, err := os.ReadFile(filepath.Join(out, "m20.json"))
	require.NoError(t, err)
	var told SetResult
	require.NoError(t, json.Unmarshal(text, &told))
	assert.JSONEq(t, asJSON(t, r), asJSON(t, told))
	card, err := os.ReadFile(filepath.Join(out, "m20.html"))
	require.NoError(t, err)
	for _, want := range []string{"M20x2.5-6g", "18.334", "0.7218", check.Caution, "ISO 14253-1", "2 turns (ISO 1502 (from memory))", "<svg"} {
		assert.Contains(t, string(card), want)
	}
	_, err = Make(t.Context(), &whole.Folder{Dir: out}, "m20", asked, j)
	require.ErrorIs(t, err, whole.ErrExists)
	_, err = Make(t.Context(), &whole.Folder{Dir: out, Force: true}, "m20", asked, j)
	require.NoError(t, err)
}

// A gauge whose file does not measure as modelled is refused, and leaves nothing.
func TestMakeGaugesProves(t *testing.T) {
	for _, spoil := range []struct {
		name string
		do   func(*Asked)
		says string
	}{
		{"pitch diameter", func(a *Asked) { a.Modelled.Pitch += 0.03 }, "pitch diameter"},
		{"crest", func(a *Asked) { a.Modelled.Major -= 0.03 }, "major diameter"},
		{"lead", func(a *Asked) { a.Thread.Pitch += 0.02 }, "lead"},
	} {
		t.Run(spoil.name, func(t *testing.T) {
			j, out := gaugeJob(t, ""), t.TempDir()
			asked, err := Gauge{Thread: "M20"}.Resolve(thread.NewTables(), j)
			require.NoError(t, err)
			spoil.do(&asked[1])
			_, err = Make(t.Context(), &whole.Folder{Dir: out}, "m20", asked, j)
			require.ErrorIs(t, err, build.ErrNotProved)
			assert.ErrorContains(t, err, spoil.says)
			assert.Empty(t, filesIn(t, out))
		})
	}
}

func TestGaugeResolve(t *testing.T) {
	tests := []struct {
		name  string
		asked Gauge
		kind  ring.GaugeKind
		class string
		files []string
	}{
		{"nothing said", Gauge{Thread: "M20"}, ring.RingGauge, "6g", []string{"go-ring-M20x2.5-6g", "no-go-ring-M20x2.5-6g"}},
		{"class inside", Gauge{Thread: "M20", Class: "6H"}, ring.PlugGauge, "6H", []string{"go-plug-M20x2.5-6H", "no-go-plug-M20x2.5-6H"}},
		{"class in the name", Gauge{Thread: "1/4-20 UNC-3B", Limit: "GO"}, ring.PlugGauge, "3B", []string{"go-plug-1-4-20-UNC-3B"}},
		{"mate of the class in the name", Gauge{Thread: "1/4-20 UNC-3A", Kind: "plug", Limit: "no-go"}, ring.PlugGauge, "3B", []string{"no-go-plug-1-4-20-UNC-3B"}},
		{"mate of a metric class", Gauge{Thread: "M20-4h", Kind: "plug", Limit: "go"}, ring.PlugGauge, "6H", []string{"go-plug-M20x2.5-6H"}},
		{"pipe", Gauge{Thread: "G 1/2 B", Limit: "go"}, ring.RingGauge, "B", []string{"go-ring-G-1-2-B"}},
		{"pipe inside", Gauge{Thread: "G 1/2", Kind: "plug", Limit: "go"}, ring.PlugGauge, "", []string{"go-plug-G-1-2"}},
		{"free, by flag", Gauge{Thread: "44.4mm x 12tpi", Tolerance: new(unit.MM(0.1)), Limit: "go"}, ring.RingGauge, "±0.1mm", []string{"go-ring-44.4mm-x-12tpi-0.1mm"}},
		{"free, in inches", Gauge{Thread: "1.75in±0.004 x 12tpi 55deg", Limit: "go"}, ring.RingGauge, "±0.1016mm", []string{"go-ring-44.45mm-x-12tpi-55deg-0.1016mm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			asked, err := tt.asked.Resolve(thread.NewTables(), gaugeJob(t, ""))
			require.NoError(t, err)
			var names []string
			for _, a := range asked {
				names = append(names, a.Name)
				assert.Equal(t, tt.kind, a.Kind)
				assert.Equal(t, tt.class, a.Class)
			}
			assert.Equal(t, tt.files, names)
		})
	}
}

func TestGaugeFaults(t *testing.T) {
	tests := []struct {
		name  string
		asked Gauge
		says  string
	}{
		{"no thread", Gauge{}, "missing"},
		{"thread that is none", Gauge{Thread: "quarter"}, "quarter"},
		{"go of a taper", Gauge{Thread: "1/2-14 NPT", Limit: "go"}, "one gauge with two steps"},
		{"range of a taper", Gauge{Thread: "1/2-14 NPT", Tolerance: new(unit.MM(0.1))}, "leave the tolerance out"},
		{"class of a taper", Gauge{Thread: "1/2-14 NPT", Class: "2A"}, "no tolerance classes"},
		{"plug for an external taper", Gauge{Thread: "R 1/2", Kind: "plug"}, "external thread, which a ring gauge judges"},
		{"ring for an internal taper", Gauge{Thread: "Rc 1/2", Kind: "ring"}, "internal thread, which a plug gauge judges"},
		{"no limits", Gauge{Thread: "44.4mm x 12tpi"}, "tolerance: missing"},
		{"class that is none", Gauge{Thread: "M20", Class: "2A"}, "ISO 965-1"},
		{"class of the other side", Gauge{Thread: "M20", Class: "6H", Kind: "ring"}, "plug gauge judges"},
		{"class and range", Gauge{Thread: "M20", Class: "6H", Tolerance: new(unit.MM(0.1))}, "one of them"},
		{"range twice", Gauge{Thread: "44mm+-0.1 x 12tpi", Tolerance: new(unit.MM(0.1))}, "one of them"},
		{"range of nothing", Gauge{Thread: "M20", Tolerance: new(unit.MM(0.0))}, "lies between"},
		{"range of metres", Gauge{Thread: "44mm+-3 x 12tpi"}, "must be"},
		{"kind", Gauge{Thread: "M20", Kind: "cup"}, "ring"},
		{"limit", Gauge{Thread: "M20", Limit: "no go"}, "both"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.asked.Resolve(thread.NewTables(), gaugeJob(t, ""))
			require.ErrorContains(t, err, tt.says)
			assert.NotEmpty(t, fault.Each(err)[0].Field, "the field is named: %v", err)
		})
	}
	_, err := NewJob(exact(), new(unit.MM(0.05)))
	assert.ErrorContains(t, err, "chord: ")
}
