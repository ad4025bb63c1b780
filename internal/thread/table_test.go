package thread

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
	"tryring/profiles"
)

const ownHead = `standard = "threads of the boat shop"
units = "mm"
basis = "from memory"
checked = "three old sockets, caliper"
`

const ownTable = ownHead + `rows = [
  { designation = "skin fitting 40", major = 39.8, pitch = 2, angle_deg = 60 },
  { designation = "old galley tap", major = 26.3, tpi = 14, angle_deg = 55, external_pitch_dia_max = 25.2, external_pitch_dia_min = 25.0, internal_minor_min = 24.2 },
]
`

func TestReadOwn(t *testing.T) {
	own, err := ReadOwn("boat.toml", []byte(ownTable))
	require.NoError(t, err)
	require.Len(t, own.Threads(), 2)
	assert.Equal(t, "threads of the boat shop", own.head.name())
	assert.Equal(t, "threads of the boat shop (from memory; three old sockets, caliper)", own.Source(own.Threads()[0]))

	skin := byName(t, own, " Skin  fitting 40")
	assert.Equal(t, "skin fitting 40", skin.Designation)
	assert.True(t, skin.Own())
	assert.Equal(t, 1, skin.Starts)
	// ISO 68-1: d2 = d - 0.649519 P, d1 = d - 1.082532 P.
	assert.InDelta(t, 39.8-0.649519*2, skin.Basic.Pitch.MM(), 1e-5)
	assert.InDelta(t, 39.8-1.082532*2, skin.Basic.Minor.MM(), 1e-5)

	tap := byName(t, own, "old galley tap")
	assert.InDelta(t, 25.4/14, tap.Pitch.MM(), 1e-9)
	// ISO 228-1 clause 4: d2 = d - 0.640327 P.
	assert.InDelta(t, 26.3-0.640327*25.4/14, tap.Basic.Pitch.MM(), 1e-9)
	l, err := own.Limits(tap, "", true)
	require.NoError(t, err)
	sameDigits(t, "25.2", l.PitchMax, 1, "pitch max")
	sameDigits(t, "25.0", l.PitchMin, 1, "pitch min")
	assert.Nil(t, l.MajorMax)
	l, err = own.Limits(tap, "", false)
	require.NoError(t, err)
	sameDigits(t, "24.2", l.MinorMin, 1, "minor min")
	_, err = own.Limits(tap, "2A", true)
	assert.ErrorContains(t, err, `"2A"`)
	_, ok, err := own.Find(Name{Text: "M20", Series: "M"})
	assert.False(t, ok)
	assert.NoError(t, err)
	_, ok, err = own.Find(Name{Text: "own 40", Series: "own", Size: "40"})
	assert.False(t, ok, "rows without a series go by their names alone")
	assert.NoError(t, err)
}

// byName returns the thread that goes by that name in the tables with own before all others.
func byName(t *testing.T, own *Listed, name string) Thread {
	t.Helper()
	th, err := NewTables(own).Parse(name)
	require.NoError(t, err)
	return th
}

func TestReadOwnInInches(t *testing.T) {
	text := strings.Replace(ownHead, `"mm"`, `"in"`, 1) + `angle_deg = 55
rows = [ { designation = "a", major = 1.5, pitch = 0.1, pitch_dia = 1.43, minor = 1.36, starts = 2 } ]`
	own, err := ReadOwn("inch.toml", []byte(text))
	require.NoError(t, err)
	th := own.Threads()[0]
	assert.Equal(t, Form55, th.Form)
	assert.InDelta(t, 2.54, th.Pitch.MM(), 1e-9)
	assert.InDelta(t, 5.08, th.Lead().MM(), 1e-9)
	assert.InDelta(t, 1.43, th.Basic.Pitch.Inches(), 1e-9)
	assert.InDelta(t, 1.36, th.Basic.Minor.Inches(), 1e-9)
}

func TestReadOwnRefuses(t *testing.T) {
	row := func(r string) string { return ownHead + "rows = [\n{ " + r + " },\n]" }
	for _, c := range []struct {
		name, text string
		says       []string
	}{
		{"empty", "", []string{"standard is missing", "checked is missing", "units", "basis", "no rows"}},
		{"no TOML", "rows = [", []string{"x.toml:1"}},
		{"unknown key in the head", ownHead + "colour = 3\nrows = []", []string{"x.toml:5", "colour: there is no such key"}},
		{"unknown key in a row", row(`designation = "a", major = 10, pitch = 1, width = 2`), []string{"x.toml:6", "width"}},
		{"wrong type", row(`designation = "a", major = "ten", pitch = 1`), []string{"x.toml:6"}},
		{"units", strings.Replace(ownTable, `"mm"`, `"cm"`, 1), []string{`units = "cm"`, `"mm" or "in"`}},
		{"basis", strings.Replace(ownTable, `"from memory"`, `"guess"`, 1), []string{`basis = "guess"`, "published"}},
		{"angle of the head", strings.Replace(ownTable, "rows", "angle_deg = 147\nrows", 1), []string{"flanks of 73.5 degrees", "4 to 120"}},
		{"taper of a series", strings.Replace(ownTable, "rows", "series = [ { word = \"X\", taper = -1 } ]\nrows", 1), []string{"taper = -1"}},
		{"row without name in a table with series", ownHead + "series = [ { word = \"X\", name = \"X {size}\" } ]\nrows = [ { major = 10, pitch = 1 } ]", []string{"has no name"}},
		{"no name", row(`major = 10, pitch = 1`), []string{`row 1 ""`, "no name"}},
		{"twice", ownHead + `rows = [ { designation = "a b", major = 10, pitch = 1 }, { designation = "A  b", major = 12, pitch = 1 } ]`, []string{`row 2 "A  b"`, "twice"}},
		{"no pitch", row(`designation = "a", major = 10`), []string{`row 1 "a"`, "pitch or tpi"}},
		{"pitch and count", row(`designation = "a", major = 10, pitch = 1, tpi = 25.4`), []string{"pitch or tpi"}},
		{"pitch too fine", row(`designation = "a", major = 10, pitch = 0.01`), []string{"0.010 mm", "0.1 to 25.4 mm"}},
		{"pitch below zero", row(`designation = "a", major = 10, pitch = -1`), []string{"-1.000 mm"}},
		{"no number as pitch", row(`designation = "a", major = 10, pitch = nan`), []string{"0.1 to 25.4 mm"}},
		{"count of zero", row(`designation = "a", major = 10, tpi = 0`), []string{"0.1 to 25.4 mm"}},
		{"pitch too coarse for the diameter", row(`designation = "a", major = 10, pitch = 10`), []string{"must fall in this order"}},
		{"no diameter", row(`designation = "a", pitch = 1`), []string{"give major or pitch_dia"}},
		{"no number as diameter", row(`designation = "a", major = nan, pitch = 1`), []string{"major = NaN mm"}},
		{"endless diameter", row(`designation = "a", major = inf, pitch = 1`), []string{"major = +Inf mm", "at most 1000 mm"}},
		{"pitch diameter outside", row(`designation = "a", major = 10, pitch = 1, pitch_dia = 11`), []string{"must fall in this order"}},
		{"minor above pitch diameter", row(`designation = "a", major = 10, pitch = 1, pitch_dia = 9, minor = 9.5`), []string{"must fall in this order"}},
		{"angle", row(`designation = "a", major = 10, pitch = 1, angle_deg = 2`), []string{"flanks of 1 degrees", "4 to 120"}},
		{"starts", row(`designation = "a", major = 10, pitch = 1, starts = 7`), []string{"starts = 7", "1 to 6"}},
		{"starts below zero", row(`designation = "a", major = 10, pitch = 1, starts = -1`), []string{"starts = -1"}},
		{"limits crossed outside", row(`designation = "a", major = 10, pitch = 1, external_pitch_dia_max = 9.1, external_pitch_dia_min = 9.2`), []string{"external_pitch_dia_min = 9.2 must be below external_pitch_dia_max = 9.1"}},
		{"limits crossed inside", row(`designation = "a", major = 10, pitch = 1, internal_pitch_dia_min = 9, internal_minor_max = 9.2`), []string{"internal_minor_max = 9.2 must be below internal_pitch_dia_min = 9"}},
		{"limit below zero", row(`designation = "a", major = 10, pitch = 1, internal_minor_min = -2`), []string{"internal_minor_min = -2 mm"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadOwn("x.toml", []byte(c.text))
			require.ErrorIs(t, err, ErrTable)
			for _, s := range append(c.says, "x.toml") {
				assert.ErrorContains(t, err, s)
			}
		})
	}
}

func TestReadFolder(t *testing.T) {
	other := strings.NewReplacer("boat shop", "mill", "skin fitting 40", "wheel nut", "old galley tap", "gate").Replace(ownTable)
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }

	all, err := ReadFolder(fstest.MapFS{"b.toml": file(ownTable), "a.toml": file(other), "notes.txt": file("not a table")})
	require.NoError(t, err)
	require.Len(t, all, 2)
	assert.Equal(t, "threads of the mill", all[0].head.name())
	assert.Equal(t, "threads of the boat shop", all[1].head.name())

	all, err = ReadFolder(fstest.MapFS{})
	require.NoError(t, err)
	assert.Empty(t, all)

	_, err = ReadFolder(fstest.MapFS{"a.toml": file(ownTable), "b.toml": file(ownTable)})
	require.ErrorIs(t, err, ErrTable)
	assert.ErrorContains(t, err, `b.toml: standard "threads of the boat shop" is that of a.toml`)
	assert.ErrorContains(t, err, `b.toml: "old galley tap" stands in a.toml already`)

	_, err = ReadFolder(fstest.MapFS{"a.toml": file("a = 1"), "b.toml": file("b = 2")})
	assert.ErrorContains(t, err, "a.toml:1")
	assert.ErrorContains(t, err, "b.toml:1", "faults of all files are told at once")

	_, err = ReadFolder(fstest.MapFS{"a.toml/x": file("")})
	assert.Error(t, err, "a folder named like a table")
}

// The faults that only the tables of the standards can have.
func TestReadStandardTablesRefuses(t *testing.T) {
	for _, c := range []struct{ name, file, from, to, says string }{
		{"G pitch diameter", "listed/iso228.toml", "pitch_dia = 46.324", "pitch_dia = 48.324", `major 47.803, pitch 48.324 and minor 44.845 mm must fall in this order`},
		{"G limit sign", "listed/iso228.toml", "external_pitch_dia_min = 6.928", "external_pitch_dia_min = -6.928", `classes.B: external_pitch_dia_min = -6.928 mm, must be above 0`},
		{"G size twice", "listed/iso228.toml", `size = "1/8"`, `size = "1/16"`, `row 2 "1/16-28": stands here twice`},
		{"G count", "listed/iso228.toml", "tpi = 19", "tpi = 0", "0.1 to 25.4 mm"},
		{"R gauge length", "listed/iso7.toml", "gauge_length = 8.2", "gauge_length = 18.2", "gauge_length = 18.2 must be below useful = 13.2"},
		{"NPT L1", "listed/b1-20-1-npt.toml", "gauge_length = 0.32", "gauge_length = 3.20", "gauge_length = 3.2 must be below useful = 0.5337"},
		{"NPT basis", "listed/b1-20-1-npt.toml", `2611, basis = "from memory"`, `2611, basis = "guess"`, `basis = "guess"`},
		{"NPSM crossed", "listed/b1-20-1-npsm.toml", "external_pitch_dia_min = 1.8144", "external_pitch_dia_min = 1.9144", "external_pitch_dia_min = 1.9144 must be below external_pitch_dia_max = 1.8205"},
		{"NPSM without allowance", "listed/b1-20-1-npsm.toml", "internal_pitch_dia_min = 1.8223", "internal_pitch_dia_min = 1.8203", "external_pitch_dia_max = 1.8205 must not pass internal_pitch_dia_min = 1.8203"},
		{"NH crossed", "listed/b1-20-7.toml", "internal_minor_min = 0.9595", "internal_minor_min = 0.9995", "internal_minor_min = 0.9995 must be below internal_minor_max = 0.9765"},
		{"side", "listed/iso7.toml", `side = "external"`, `side = "outside"`, `series "R": side = "outside"`},
		{"handling", "listed/iso7.toml", `handle = "shared"`, `handle = "careful"`, `handle = "careful"`},
		{"handling without reason", "listed/iso7.toml", `why = "gas fittings, gas cylinders and welding have the same thread"`, `why = " "`, "needs why"},
		{"how common", "listed/iso7.toml", `common = { any = 2`, `common = { any = -2`, `common.any = -2`},
		{"form deeper than its triangle", "listed/b1-20-1-npt.toml", "depth = 0.8", "depth = 0.9", "must lie inside the sharp triangle"},
		{"no series", "listed/b1-20-7.toml", `size = "3/4",`, `size = "3/4", series = "NX",`, `series = "NX"`},
		{"use without thread", "uses/drain.toml", `thread = "G 2"`, `thread = " "`, "thread is missing"},
		{"use without words", "uses/drain.toml", `what = "tap shank and shower hose nut"`, `what = ""`, "what is missing"},
		{"throat", "uses/drain.toml", "throat = 1.125", "throat = -1.125", "throat = -1.125 in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := profiles.Threads.ReadFile("threads/" + c.file)
			require.NoError(t, err)
			read := asTable[row]
			if strings.HasPrefix(c.file, "uses/") {
				read = asTable[useRow]
			}
			require.NoError(t, read(c.file, data), "as it comes")
			bad := strings.Replace(string(data), c.from, c.to, 1)
			require.NotEqual(t, string(data), bad, "nothing was broken")
			err = read(c.file, []byte(bad))
			require.ErrorIs(t, err, ErrTable)
			assert.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, c.file)
		})
	}
}

// The tables that come with the program are checked here and not at each start.
func TestEmbeddedTables(t *testing.T) {
	read := map[string]func(file string, data []byte) error{
		"listed/*.toml":          asTable[row],
		"uses/*.toml":            asTable[useRow],
		"unified.toml":           asTable[unifiedRow],
		"metric.toml":            asTable[metricRow],
		"metric-tolerances.toml": asTable[toleranceRow],
		"asked.toml":             asTable[askedRow],
	}
	checked := 0
	for pattern, read := range read {
		files, err := fs.Glob(profiles.Threads, "threads/"+pattern)
		require.NoError(t, err)
		for _, file := range files {
			data, err := profiles.Threads.ReadFile(file)
			require.NoError(t, err)
			require.NoError(t, read(file, data))
			checked++
		}
	}
	all := 0
	require.NoError(t, fs.WalkDir(profiles.Threads, "threads", func(_ string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			all++
		}
		return err
	}))
	require.Equal(t, all, checked)
}

func asTable[R tableRow](file string, data []byte) error {
	_, err := readTable[R](file, data)
	return err
}

// Whatever a table says, it is refused, or its threads are sound and found again by their names.
func FuzzReadOwn(f *testing.F) {
	f.Add([]byte(ownTable))
	f.Add([]byte(ownHead + `rows = [ { designation = "a", major = 1e3, tpi = 1, starts = 6 } ]`))
	f.Add([]byte("rows = [[]]"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 1<<14 { // the TOML reader takes time with the square of the number of unknown tables
			t.Skip()
		}
		own, err := ReadOwn("x.toml", data)
		if err != nil {
			require.ErrorIs(t, err, ErrTable)
			require.ErrorContains(t, err, "x.toml")
			return
		}
		require.NotEmpty(t, own.Threads())
		require.GreaterOrEqual(t, len(own.Threads()), 1)
		for _, th := range own.Threads() {
			require.True(t, th.Basic.Major > th.Basic.Pitch && th.Basic.Pitch > th.Basic.Minor && th.Basic.Minor > 0, "%+v", th)
			require.True(t, th.Pitch >= minPitchMM-1e-9 && th.Pitch <= maxPitchMM+1e-9, "%+v", th)
			for _, external := range []bool{true, false} {
				l, err := own.Limits(th, "", external)
				require.NoError(t, err)
				for _, x := range []*unit.Length{l.MajorMax, l.MajorMin, l.PitchMax, l.PitchMin, l.MinorMax, l.MinorMin} {
					require.True(t, x == nil || (*x > 0 && *x <= maxDiameterMM), "%+v", l)
				}
			}
		}
	})
}

func BenchmarkReadTable(b *testing.B) {
	data, err := profiles.Threads.ReadFile("threads/listed/iso228.toml")
	require.NoError(b, err)
	for b.Loop() {
		if _, err := readTable[row]("iso228.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}
