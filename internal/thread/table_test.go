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
	assert.Equal(t, "threads of the boat shop", own.Standard())
	assert.Equal(t, "threads of the boat shop (from memory; three old sockets, caliper)", own.Source(own.Threads()[0]))

	skin := find(t, own, Name{Text: " Skin  fitting 40"})
	assert.Equal(t, "skin fitting 40", skin.Designation)
	assert.Equal(t, []string{skin.Series}, own.Series())
	assert.Equal(t, 1, skin.Starts)
	// ISO 68-1: d2 = d - 0.649519 P, d1 = d - 1.082532 P.
	assert.InDelta(t, 39.8-0.649519*2, skin.Basic.Pitch.MM(), 1e-5)
	assert.InDelta(t, 39.8-1.082532*2, skin.Basic.Minor.MM(), 1e-5)

	tap := find(t, own, Name{Text: "old galley tap"})
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
	_, err = own.Limits(Thread{Designation: "M20"}, "", true)
	assert.ErrorContains(t, err, "M20")
	_, ok, err := own.Find(Name{Text: "M20"})
	assert.False(t, ok)
	assert.NoError(t, err)
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
		{"unknown key in the head", ownHead + "colour = 3\nrows = []", []string{"x.toml:5", `"colour"`}},
		{"unknown key in a row", row(`designation = "a", major = 10, pitch = 1, size = 2`), []string{"x.toml:6", "size"}},
		{"wrong type", row(`designation = "a", major = "ten", pitch = 1`), []string{"x.toml:6"}},
		{"units", strings.Replace(ownTable, `"mm"`, `"cm"`, 1), []string{`units = "cm"`, `"mm" or "in"`}},
		{"basis", strings.Replace(ownTable, `"from memory"`, `"guess"`, 1), []string{`basis = "guess"`, "published"}},
		{"angle of the head", strings.Replace(ownTable, "rows", "angle_deg = 47\nrows", 1), []string{"angle_deg = 47", "55 or 60"}},
		{"taper of the head", strings.Replace(ownTable, "rows", "taper = -1\nrows", 1), []string{"taper = -1"}},
		{"no name", row(`major = 10, pitch = 1`), []string{`row 1 ""`, "no name"}},
		{"twice", ownHead + `rows = [ { designation = "a b", major = 10, pitch = 1 }, { designation = "A  b", major = 12, pitch = 1 } ]`, []string{`row 2 "A  b"`, "twice"}},
		{"no pitch", row(`designation = "a", major = 10`), []string{`row 1 "a"`, "pitch or tpi"}},
		{"pitch and count", row(`designation = "a", major = 10, pitch = 1, tpi = 25.4`), []string{"pitch or tpi"}},
		{"pitch too fine", row(`designation = "a", major = 10, pitch = 0.01`), []string{"0.010 mm", "0.1 to 25.4 mm"}},
		{"pitch below zero", row(`designation = "a", major = 10, pitch = -1`), []string{"-1.000 mm"}},
		{"no number as pitch", row(`designation = "a", major = 10, pitch = nan`), []string{"0.1 to 25.4 mm"}},
		{"count of zero", row(`designation = "a", major = 10, tpi = 0`), []string{"0.1 to 25.4 mm"}},
		{"pitch too coarse for the diameter", row(`designation = "a", major = 10, pitch = 10`), []string{"must fall in this order"}},
		{"no diameter", row(`designation = "a", pitch = 1`), []string{"major = 0 mm", "above 0"}},
		{"no number as diameter", row(`designation = "a", major = nan, pitch = 1`), []string{"major = NaN mm"}},
		{"endless diameter", row(`designation = "a", major = inf, pitch = 1`), []string{"major = +Inf mm", "at most 1000 mm"}},
		{"pitch diameter outside", row(`designation = "a", major = 10, pitch = 1, pitch_dia = 11`), []string{"must fall in this order"}},
		{"minor above pitch diameter", row(`designation = "a", major = 10, pitch = 1, pitch_dia = 9, minor = 9.5`), []string{"must fall in this order"}},
		{"angle", row(`designation = "a", major = 10, pitch = 1, angle_deg = 29`), []string{"angle_deg = 29", "55 or 60"}},
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
	assert.Equal(t, "threads of the mill", all[0].Standard())
	assert.Equal(t, "threads of the boat shop", all[1].Standard())

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
	read := map[string]func(file string, data []byte) error{
		"iso228.toml":       func(f string, d []byte) error { _, err := readTable[iso228Row](f, d); return err },
		"iso7.toml":         func(f string, d []byte) error { _, err := readTable[iso7Row](f, d); return err },
		"b1-20-1-npt.toml":  func(f string, d []byte) error { _, err := readTable[nptRow](f, d); return err },
		"b1-20-1-npsm.toml": func(f string, d []byte) error { _, err := readTable[npsmRow](f, d); return err },
		"b1-20-7.toml":      func(f string, d []byte) error { _, err := readTable[nhRow](f, d); return err },
		"drain.toml":        func(f string, d []byte) error { _, err := readTable[useRow](f, d); return err },
	}
	for _, c := range []struct{ name, file, from, to, says string }{
		{"G pitch diameter", "iso228.toml", "pitch_dia = 46.324", "pitch_dia = 48.324", `row 12 "1 1/2": pitch_dia = 48.324 must be below major = 47.803`},
		{"G tolerance sign", "iso228.toml", "t_pitch_b = 0.214", "t_pitch_b = -0.214", `t_pitch_b = -0.214 mm, must be above 0`},
		{"G size", "iso228.toml", `size = "1/8"`, `size = "an eighth"`, `size = "an eighth"`},
		{"G size twice", "iso228.toml", `size = "1/8"`, `size = "1/16"`, `row 2 "1/16": stands here twice`},
		{"G count", "iso228.toml", "tpi = 19", "tpi = 0", "tpi = 0"},
		{"R gauge length", "iso7.toml", "gauge_length = 8.2", "gauge_length = 18.2", "gauge_length = 18.2 must be below useful = 13.2"},
		{"R tolerance missing", "iso7.toml", ", rp_tol = 0.142", "", `row 5 "1/2": rp_tol = 0 mm`},
		{"NPT E1", "b1-20-1-npt.toml", "e1 = 0.77843", "e1 = 7.7843", "e1 = 7.7843 must be below outside_dia = 0.84"},
		{"NPT L1", "b1-20-1-npt.toml", "l1 = 0.320", "l1 = 3.20", "l1 = 3.2 must be below l2 = 0.5337"},
		{"NPT basis", "b1-20-1-npt.toml", `2611, basis = "from memory"`, `2611, basis = "guess"`, `basis = "guess"`},
		{"NPSM crossed", "b1-20-1-npsm.toml", "ext_pitch_dia_min = 1.8144", "ext_pitch_dia_min = 1.9144", "ext_pitch_dia_min = 1.9144 must be below ext_pitch_dia_max = 1.8205"},
		{"NPSM without allowance", "b1-20-1-npsm.toml", "int_pitch_dia_min = 1.8223", "int_pitch_dia_min = 1.8203", "ext_pitch_dia_max = 1.8205 must be below int_pitch_dia_min = 1.8203"},
		{"NH crossed", "b1-20-7.toml", "coupling_minor_min = 0.9595", "coupling_minor_min = 0.9995", "coupling_minor_min = 0.9995 must be below coupling_minor_max = 0.9765"},
		{"NH other size", "b1-20-7.toml", `"5/8"]`, `"wide"]`, `size = "wide"`},
		{"use without thread", "drain.toml", `thread = "G 2"`, `thread = " "`, "thread is missing"},
		{"use without words", "drain.toml", `what = "tap shank and shower hose nut"`, `what = ""`, "what is missing"},
		{"throat", "drain.toml", "throat = 1.125", "throat = -1.125", "throat = -1.125 in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			data, err := profiles.Threads.ReadFile("threads/" + c.file)
			require.NoError(t, err)
			require.NoError(t, read[c.file](c.file, data), "as it comes")
			bad := strings.Replace(string(data), c.from, c.to, 1)
			require.NotEqual(t, string(data), bad, "nothing was broken")
			err = read[c.file](c.file, []byte(bad))
			require.ErrorIs(t, err, ErrTable)
			assert.ErrorContains(t, err, c.says)
			assert.ErrorContains(t, err, c.file)
		})
	}
}

// Every table that comes with the program is read by some family, and names its source in full.
func TestEmbeddedTablesNameTheirSource(t *testing.T) {
	heads := map[string]TableHead{
		"iso228.toml": iso228().TableHead, "iso7.toml": iso7().TableHead, "b1-20-1-npt.toml": npt().TableHead,
		"b1-20-1-npsm.toml": npsm().TableHead, "b1-20-7.toml": nh().TableHead, "drain.toml": drain().TableHead,
	}
	for file, h := range heads {
		_, err := fs.Stat(profiles.Threads, "threads/"+file)
		assert.NoError(t, err)
		assert.NotEmpty(t, h.Checked, file)
		if h.Basis == CommonPractice {
			continue
		}
		assert.NotEmpty(t, h.Edition, file)
		assert.NotEmpty(t, h.Table, file)
		assert.NotEmpty(t, h.Series, file)
		assert.NotZero(t, h.AngleDeg, file)
	}
}

// The families say their series without reading their table; the table says the same.
func TestSeriesAgreeWithTheTables(t *testing.T) {
	assert.Equal(t, iso228().TableHead.Series, ISO228{}.Series())
	assert.Equal(t, iso7().TableHead.Series, ISO7{}.Series())
	assert.Equal(t, npt().TableHead.Series, NPT{}.Series())
	assert.Equal(t, npsm().TableHead.Series, NPSM{}.Series())
	assert.Equal(t, nh().TableHead.Series, NH{}.Series())
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
		require.Len(t, own.Threads(), len(own.table.Rows))
		for _, th := range own.Threads() {
			require.True(t, th.Basic.Major > th.Basic.Pitch && th.Basic.Pitch > th.Basic.Minor && th.Basic.Minor > 0, "%+v", th)
			require.True(t, th.Pitch >= minPitchMM-1e-9 && th.Pitch <= maxPitchMM+1e-9, "%+v", th)
			got, ok, err := own.Find(Name{Text: th.Designation})
			require.NoError(t, err)
			require.True(t, ok)
			require.Equal(t, th, got)
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
	data, err := profiles.Threads.ReadFile("threads/iso228.toml")
	require.NoError(b, err)
	for b.Loop() {
		if _, err := readTable[iso228Row]("iso228.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}
