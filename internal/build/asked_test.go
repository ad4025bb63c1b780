package build

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// toleranceMM is what a length may be off after a conversion from inches, in mm.
const toleranceMM = 1e-9

// everyKey is a job file that uses every key.
const everyKey = `# every key
name = "bench-1"
inner = "1 5/8-16 UN"
outer = '1 7/8-14 UNS'
height = "1 in"
clearance = 0.25
inner_clearance = "0,3 mm"
outer_clearance = "0.2mm"
printer = "resin"
grip = "flats"
layout = "stacked"
label = "CABIN 2"
chord = 0.002
mesher = "octree"
out = "rings"
paper = "letter"
layer = "0.1mm"
`

func printers(t testing.TB) printer.Profiles {
	t.Helper()
	list, err := printer.Load("")
	require.NoError(t, err)
	return list
}

func parse(t testing.TB, text string) job.Ring {
	t.Helper()
	d, err := job.Parse("job.toml", []byte(text))
	require.NoError(t, err)
	return d.Ring
}

func TestResolveWholeJob(t *testing.T) {
	a, err := Resolve(parse(t, everyKey), thread.NewTables(), printers(t))
	require.NoError(t, err)
	assert.Equal(t, "bench-1", a.Name)
	assert.Equal(t, "1 5/8-16 UN", a.Spec.Inner.Designation)
	assert.Equal(t, "1 7/8-14 UNS", a.Spec.Outer.Designation)
	assert.InDelta(t, 25.4, a.Spec.Height.MM(), toleranceMM)
	assert.InDelta(t, 0.3, a.Spec.InnerClearance.MM(), toleranceMM)
	assert.InDelta(t, 0.2, a.Spec.OuterClearance.MM(), toleranceMM)
	assert.Equal(t, "resin", a.Spec.Printer.Name)
	assert.InDelta(t, 0.1, a.Spec.Printer.Layer.MM(), toleranceMM)
	assert.Equal(t, ring.Flats, a.Spec.Grip)
	assert.Equal(t, ring.Stacked, a.Spec.Layout)
	assert.Equal(t, "CABIN 2", a.Spec.Label)
	assert.InDelta(t, 0.002, a.Chord.MM(), toleranceMM)
	assert.Equal(t, Octree, a.Mesher)
	assert.Equal(t, "rings", a.Out)
	assert.Equal(t, draw.Letter, a.Paper)
}

func TestResolveDefaults(t *testing.T) {
	a, err := Resolve(parse(t, "inner = 'M42x1.5'\nouter = 'M48x2'\n"), thread.NewTables(), printers(t))
	require.NoError(t, err)
	assert.Equal(t, ring.DefaultSpec(a.Spec.Inner, a.Spec.Outer), a.Spec)
	assert.Equal(t, Asked{Name: "in-M42x1.5-out-M48x2", Spec: a.Spec, Chord: DefaultChord, Mesher: Helix, Out: DefaultOut, Paper: draw.A4, Goes: a.Goes, Stays: a.Stays}, a)
	assert.Equal(t, "M42x1.5", a.Goes.Threads[0])
	assert.Equal(t, "M48x2", a.Stays.Threads[0])
	require.NoError(t, whole.CheckFileName(a.Name))
}

func TestResolveFaults(t *testing.T) {
	const threads = "inner='M42x1.5'\nouter='M48x2'\n"
	tests := []struct {
		name, text string
		says       []string
	}{
		{"no threads", "", []string{"inner: missing", "outer: missing"}},
		{"thread that is none", "inner='M42x1.5'\nouter='quarter inch'\n", []string{"outer: ", "quarter inch"}},
		{"printer mistyped", threads + "printer='rezin'\n", []string{"printer: ", "did you mean resin?"}},
		{"no height", threads + "height='0mm'\n", []string{"height: ", "higher than 0"}},
		{"height that is no length", threads + "height='tall'\n", []string{"height: ", `"tall"`}},
		{"layer", threads + "layer='2mm'\n", []string{"layer: ", "1.500 mm"}},
		{"height", threads + "height='300mm'\n", []string{"height: ", "300"}},
		{"height not a number", threads + "height=nan\n", []string{"height: "}},
		{"clearance", threads + "clearance='1in'\n", []string{"clearance: ", "25.4"}},
		{"grip", threads + "grip='hook'\n", []string{"grip: ", `"hook"`, "none, scallop or flats"}},
		{"layout", threads + "layout='side by side'\n", []string{"layout: ", "auto, nested or stacked"}},
		{"label of two lines", threads + "label='a\tb'\n", []string{"label: "}},
		{"chord", threads + "chord=1\n", []string{"chord: ", "0.100 mm"}},
		{"chord of nothing", threads + "chord=0\n", []string{"chord: ", "0.0005 mm"}},
		{"mesher", threads + "mesher='hammer'\n", []string{"mesher: ", "helix or octree"}},
		{"name with a path", threads + "name='../x'\n", []string{"name: "}},
		{"all at once", "inner='x'\nprinter='y'\ngrip='z'\n", []string{"inner: ", "outer: missing", "printer: ", "grip: "}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Resolve(parse(t, tt.text), thread.NewTables(), printers(t))
			require.Error(t, err)
			for _, want := range tt.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
}

// The scenario that the README builds is a job that can be built.
func TestScenario(t *testing.T) {
	d, err := job.Load(t.Context(), "../../testdata/bath-drain.toml")
	require.NoError(t, err)
	a, err := Resolve(d.Ring, thread.NewTables(), printers(t))
	require.NoError(t, err)
	p, err := ring.New(a.Spec)
	require.NoError(t, err)
	assert.Equal(t, ring.Nested, p.Layout)
	assert.GreaterOrEqual(t, p.Wall, a.Spec.Printer.MinWall)
}

// Whatever is accepted can be named and is in range; whatever is refused is laid to a field.
func FuzzResolve(f *testing.F) {
	f.Add("1 5/8-16 UN", "1 7/8-14 UNS", "7/8 in", "0,3 mm", "bench", "0.002", "CABIN 2")
	f.Add("M42x1.5", "M48x2", "nan", "-0.1", "../x", "0", "a\tb")
	tables, profiles := thread.NewTables(), printers(f)
	f.Fuzz(func(t *testing.T, inner, outer, height, clearance, name, chord, label string) {
		r := job.Ring{Inner: inner, Outer: outer, Height: height, Clearance: clearance, Name: name, Chord: chord, Label: label}
		a, err := Resolve(r, tables, profiles)
		if err != nil {
			for _, one := range fault.Each(err) {
				if one.Field == "" {
					t.Errorf("Resolve(%+v) = %q, which names no field", r, one)
				}
			}
			return
		}
		if err := a.Spec.Validate(); err != nil {
			t.Errorf("Resolve(%+v) accepted %v", r, err)
		}
		if whole.CheckFileName(a.Name) != nil || !(a.Chord >= MinChord && a.Chord <= maxChord) {
			t.Errorf("Resolve(%+v) = name %q, chord %v", r, a.Name, a.Chord)
		}
	})
}
