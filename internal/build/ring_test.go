package build

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/datafile"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
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
`

func printers(t testing.TB) printer.Profiles {
	t.Helper()
	list, err := printer.Load("")
	require.NoError(t, err)
	return list
}

func length(mm float64) *unit.Length {
	l := unit.MM(mm)
	return &l
}

func parse(t testing.TB, text string) Ring {
	t.Helper()
	r, err := ParseRing("job.toml", []byte(text))
	require.NoError(t, err)
	return r
}

func TestResolveWholeJob(t *testing.T) {
	a, err := parse(t, everyKey).Resolve(thread.NewTables(), printers(t))
	require.NoError(t, err)
	assert.Equal(t, "bench-1", a.Name)
	assert.Equal(t, "1 5/8-16 UN", a.Spec.Inner.Designation)
	assert.Equal(t, "1 7/8-14 UNS", a.Spec.Outer.Designation)
	assert.InDelta(t, 25.4, a.Spec.Height.MM(), toleranceMM)
	assert.InDelta(t, 0.3, a.Spec.InnerClearance.MM(), toleranceMM)
	assert.InDelta(t, 0.2, a.Spec.OuterClearance.MM(), toleranceMM)
	assert.Equal(t, "resin", a.Spec.Printer.Name)
	assert.Equal(t, ring.Flats, a.Spec.Grip)
	assert.Equal(t, ring.Stacked, a.Spec.Layout)
	assert.Equal(t, "CABIN 2", a.Spec.Label)
	assert.InDelta(t, 0.002, a.Chord.MM(), toleranceMM)
	assert.Equal(t, Octree, a.Mesher)
	assert.Equal(t, "rings", a.Out)
}

func TestResolveDefaults(t *testing.T) {
	a, err := parse(t, "inner = 'M42x1.5'\nouter = 'M48x2'\n").Resolve(thread.NewTables(), printers(t))
	require.NoError(t, err)
	assert.Equal(t, ring.DefaultSpec(a.Spec.Inner, a.Spec.Outer), a.Spec)
	assert.Equal(t, Asked{Name: "in-M42x1.5-out-M48x2", Spec: a.Spec, Chord: DefaultChord, Mesher: Helix, Out: DefaultOut}, a)
	assert.True(t, whole.GoodFileName(a.Name), a.Name)
}

// A job said in flags resolves to what the same job in a file does.
func TestFlagsAndFileAreTheSame(t *testing.T) {
	flags := Ring{
		Name: "bench-1", Inner: "1 5/8-16 UN", Outer: "1 7/8-14 UNS", Height: length(25.4), Clearance: length(0.25),
		InnerClearance: length(0.3), OuterClearance: length(0.2), Printer: "resin", Grip: "flats", Layout: "stacked",
		Label: "CABIN 2", Chord: length(0.002), Mesher: "octree", Out: "rings",
	}
	fromFile, err := parse(t, everyKey).Resolve(thread.NewTables(), printers(t))
	require.NoError(t, err)
	fromFlags, err := Ring{}.Override(flags).Resolve(thread.NewTables(), printers(t))
	require.NoError(t, err)
	assert.Equal(t, fromFile, fromFlags)
}

func TestOverride(t *testing.T) {
	file := parse(t, everyKey)
	got := file.Override(Ring{Outer: "M50x2", Clearance: length(0.1), Grip: "hook"})
	assert.Equal(t, "M50x2", got.Outer)
	assert.Equal(t, "1 5/8-16 UN", got.Inner, "what the flags leave out stays")
	assert.Nil(t, got.InnerClearance, "a clearance for both replaces the file's for one")
	assert.Nil(t, got.OuterClearance)
	assert.Equal(t, "1 7/8-14 UNS", file.Outer, "the file's own job stays as it was")

	_, err := got.Resolve(thread.NewTables(), printers(t))
	assert.ErrorContains(t, err, "--grip: ")
	_, err = file.Override(Ring{InnerClearance: length(9)}).Resolve(thread.NewTables(), printers(t))
	assert.ErrorContains(t, err, "--inner-clearance: ")
}

func TestResolveFaults(t *testing.T) {
	const threads = "inner='M42x1.5'\nouter='M48x2'\n"
	tests := []struct {
		name, text string
		says       []string
	}{
		{"no threads", "", []string{"inner: missing", "outer: missing", "--outer"}},
		{"thread that is none", "inner='M42x1.5'\nouter='quarter inch'\n", []string{"job.toml:2: outer: ", "quarter inch"}},
		{"printer mistyped", threads + "printer='rezin'\n", []string{"job.toml:3: printer: ", "did you mean resin?"}},
		{"height", threads + "height='300mm'\n", []string{"job.toml:3: height: ", "300"}},
		{"height not a number", threads + "height=nan\n", []string{"job.toml:3: "}},
		{"clearance", threads + "clearance='1in'\n", []string{"job.toml:3: clearance: ", "25.4"}},
		{"grip", threads + "grip='hook'\n", []string{"job.toml:3: grip: ", `"hook"`, "none, scallop or flats"}},
		{"layout", threads + "layout='side by side'\n", []string{"job.toml:3: layout: ", "auto, nested or stacked"}},
		{"label of two lines", threads + "label='a\tb'\n", []string{"job.toml:3: label: "}},
		{"chord", threads + "chord=1\n", []string{"job.toml:3: chord: ", "0.100 mm"}},
		{"chord of nothing", threads + "chord=0\n", []string{"job.toml:3: chord: "}},
		{"mesher", threads + "mesher='hammer'\n", []string{"job.toml:3: mesher: ", "helix or octree"}},
		{"name with a path", threads + "name='../x'\n", []string{"job.toml:3: name: "}},
		{"all at once", "inner='x'\nprinter='y'\ngrip='z'\n", []string{"job.toml:1: inner: ", "outer: missing", "job.toml:2: printer: ", "job.toml:3: grip: "}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := parse(t, tt.text).Resolve(thread.NewTables(), printers(t))
			require.Error(t, err)
			for _, want := range tt.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		name, text string
		says       []string
	}{
		{"unknown keys", "inner='M42x1.5'\niner='M1'\n\nsize=3\n", []string{`job.toml:2: there is no key "iner"`, `job.toml:4: there is no key "size"`}},
		{"length that is none", "height='tall'\n", []string{"job.toml:1: ", `"tall"`}},
		{"number for a thread", "inner=42\n", []string{"job.toml:1: "}},
		{"not TOML", "inner M42\n", []string{"job.toml:1: "}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := ParseRing("job.toml", []byte(tt.text))
			require.Error(t, err)
			for _, want := range tt.says {
				assert.Contains(t, err.Error(), want)
			}
		})
	}
}

func TestLoadRing(t *testing.T) {
	dir := t.TempDir()
	_, err := LoadRing(filepath.Join(dir, "nowhere.toml"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = LoadRing(dir)
	require.Error(t, err)

	path := filepath.Join(dir, "a.toml")
	require.NoError(t, os.WriteFile(path, []byte(everyKey), 0o600))
	r, err := LoadRing(path)
	require.NoError(t, err)
	assert.Equal(t, "1 5/8-16 UN", r.Inner)

	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("#", datafile.MaxBytes+1)), 0o600))
	_, err = LoadRing(path)
	assert.ErrorContains(t, err, "bytes")
}

// The scenario that the README builds is a job that can be built.
func TestScenario(t *testing.T) {
	r, err := LoadRing("../../testdata/bath-drain.toml")
	require.NoError(t, err)
	a, err := r.Resolve(thread.NewTables(), printers(t))
	require.NoError(t, err)
	p, err := ring.New(a.Spec)
	require.NoError(t, err)
	assert.Equal(t, ring.Nested, p.Layout)
	assert.GreaterOrEqual(t, p.Wall, a.Spec.Printer.MinWall)
}

// Whatever is accepted can be named and is in range; whatever is refused is told with the file's name.
func FuzzParseRing(f *testing.F) {
	f.Add([]byte(everyKey))
	f.Add([]byte("inner='M42x1.5'\nouter='M48x2'\nheight=nan\n"))
	tables, profiles := thread.NewTables(), printers(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := ParseRing("job.toml", text)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "job.toml:") {
				t.Errorf("ParseRing(%q) = %q, want the file's name first", text, err)
			}
			return
		}
		a, err := r.Resolve(tables, profiles)
		if err != nil {
			return
		}
		if err := a.Spec.Validate(); err != nil {
			t.Errorf("Resolve(%q) accepted %v", text, err)
		}
		if !whole.GoodFileName(a.Name) || !(a.Chord >= MinChord && a.Chord <= maxChord) {
			t.Errorf("Resolve(%q) = name %q, chord %v", text, a.Name, a.Chord)
		}
	})
}
