package thread

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// published splits figures written as lines of commas under a line of keys, keeping every digit as text.
func published(t *testing.T, text string) []map[string]string {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(text), "\n")
	keys := strings.Split(lines[0], ",")
	var out []map[string]string
	for _, line := range lines[1:] {
		values := strings.Split(line, ",")
		require.Len(t, values, len(keys), line)
		row := map[string]string{}
		for i, k := range keys {
			row[k] = values[i]
		}
		out = append(out, row)
	}
	return out
}

// asFloat reads a published figure.
func asFloat(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

// like prints x in the units that are one mm long each, with as many decimals as the published figure has.
func like(x unit.Length, units unit.Length, figure string) string {
	_, decimals, _ := strings.Cut(figure, ".")
	return strconv.FormatFloat(float64(x/units), 'f', len(decimals), 64)
}

// sameDigits compares a limit with a published figure to the last digit, and with nothing beyond it.
func sameDigits(t *testing.T, figure string, got *unit.Length, units unit.Length, what string) {
	t.Helper()
	require.NotNil(t, got, what)
	assert.Equal(t, figure, like(*got, units, figure), what)
	assert.InDelta(t, asFloat(t, figure), float64(*got/units), 1e-9, "%s has digits beyond the published ones", what)
}

func find(t *testing.T, f Family, n Name) Thread {
	t.Helper()
	th, ok, err := f.Find(n)
	require.NoError(t, err)
	require.True(t, ok)
	return th
}

// ISO 228-1:2000 table 1, mm; recalled from memory, basic diameters of 1/16 to 2 re-read against two public secondary tables.
const iso228Published = `
size,tpi,pitch,major,pitch_dia,minor,T_D2,T_d2_A,T_d2_B,T_D1,T_d
1/16,28,0.907,7.723,7.142,6.561,0.107,0.107,0.214,0.282,0.214
1/8,28,0.907,9.728,9.147,8.566,0.107,0.107,0.214,0.282,0.214
1/4,19,1.337,13.157,12.301,11.445,0.125,0.125,0.250,0.445,0.250
3/8,19,1.337,16.662,15.806,14.950,0.125,0.125,0.250,0.445,0.250
1/2,14,1.814,20.955,19.793,18.631,0.142,0.142,0.284,0.541,0.284
5/8,14,1.814,22.911,21.749,20.587,0.142,0.142,0.284,0.541,0.284
3/4,14,1.814,26.441,25.279,24.117,0.142,0.142,0.284,0.541,0.284
7/8,14,1.814,30.201,29.039,27.877,0.142,0.142,0.284,0.541,0.284
1,11,2.309,33.249,31.770,30.291,0.180,0.180,0.360,0.640,0.360
1 1/8,11,2.309,37.897,36.418,34.939,0.180,0.180,0.360,0.640,0.360
1 1/4,11,2.309,41.910,40.431,38.952,0.180,0.180,0.360,0.640,0.360
1 1/2,11,2.309,47.803,46.324,44.845,0.180,0.180,0.360,0.640,0.360
1 3/4,11,2.309,53.746,52.267,50.788,0.180,0.180,0.360,0.640,0.360
2,11,2.309,59.614,58.135,56.656,0.180,0.180,0.360,0.640,0.360
2 1/4,11,2.309,65.710,64.231,62.752,0.217,0.217,0.434,0.640,0.434
2 1/2,11,2.309,75.184,73.705,72.226,0.217,0.217,0.434,0.640,0.434
2 3/4,11,2.309,81.534,80.055,78.576,0.217,0.217,0.434,0.640,0.434
3,11,2.309,87.884,86.405,84.926,0.217,0.217,0.434,0.640,0.434
3 1/2,11,2.309,100.330,98.851,97.372,0.217,0.217,0.434,0.640,0.434
4,11,2.309,113.030,111.551,110.072,0.217,0.217,0.434,0.640,0.434
`

func TestISO228Rows(t *testing.T) {
	rows := published(t, iso228Published)
	require.Len(t, ISO228{}.Threads(), len(rows))
	mm := func(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }
	for i, r := range rows {
		t.Run("G "+r["size"], func(t *testing.T) {
			th := find(t, ISO228{}, Name{Series: "G", Size: r["size"]})
			assert.Equal(t, ISO228{}.Threads()[i], th)
			assert.Equal(t, "G "+r["size"], th.Designation)
			assert.Equal(t, "ISO 228-1:2000", th.Standard)
			assert.Equal(t, r["pitch"], like(th.Pitch, 1, r["pitch"]))
			sameDigits(t, r["major"], &th.Basic.Major, 1, "d")
			sameDigits(t, r["pitch_dia"], &th.Basic.Pitch, 1, "d2")
			sameDigits(t, r["minor"], &th.Basic.Minor, 1, "d1")
			assert.InDelta(t, 55, th.Form.AngleDeg(), 1e-9)
			for _, class := range []string{"A", "B"} {
				ext, err := ISO228{}.Limits(th, class, true)
				require.NoError(t, err)
				sameDigits(t, r["major"], ext.MajorMax, 1, "d max")
				sameDigits(t, mm(asFloat(t, r["major"])-asFloat(t, r["T_d"])), ext.MajorMin, 1, "d min")
				sameDigits(t, r["pitch_dia"], ext.PitchMax, 1, "d2 max")
				sameDigits(t, mm(asFloat(t, r["pitch_dia"])-asFloat(t, r["T_d2_"+class])), ext.PitchMin, 1, "d2 min "+class)
				sameDigits(t, r["minor"], ext.MinorMax, 1, "d1 max")
				assert.Nil(t, ext.MinorMin)
			}
			in, err := ISO228{}.Limits(th, "", false)
			require.NoError(t, err)
			sameDigits(t, r["major"], in.MajorMin, 1, "D min")
			assert.Nil(t, in.MajorMax)
			sameDigits(t, r["pitch_dia"], in.PitchMin, 1, "D2 min")
			sameDigits(t, mm(asFloat(t, r["pitch_dia"])+asFloat(t, r["T_D2"])), in.PitchMax, 1, "D2 max")
			sameDigits(t, r["minor"], in.MinorMin, 1, "D1 min")
			sameDigits(t, mm(asFloat(t, r["minor"])+asFloat(t, r["T_D1"])), in.MinorMax, 1, "D1 max")
		})
	}
}

// ISO 228-1 clause 4: H = 0.960491 P, h = 0.640327 P; d2 = d - h, d1 = d - 2 h. The table rounds to 0.001 mm.
func TestISO228RowsFollowTheForm(t *testing.T) {
	const rounding = 0.001
	assert.InDelta(t, 0.640327, Form55.DepthPerPitch, 1e-9)
	assert.InDelta(t, 0.640327, 0.960491*2/3, 1e-6, "h is two thirds of H")
	for _, th := range (ISO228{}).Threads() {
		h := 0.640327 * th.Pitch.MM()
		assert.InDelta(t, th.Basic.Major.MM()-h, th.Basic.Pitch.MM(), rounding, th.Designation)
		assert.InDelta(t, th.Basic.Major.MM()-2*h, th.Basic.Minor.MM(), rounding, th.Designation)
	}
	// Class B has twice the tolerance of class A (ISO 228-1 table 1; from memory).
	for _, r := range iso228().Rows {
		assert.InDelta(t, 2*r.TPitchA, r.TPitchB, 1e-9, r.Size)
		assert.InDelta(t, math.Round(25.4/r.TPI*1000)/1000, r.Pitch, 1e-9, r.Size)
	}
}

// ISO 7-1, mm; recalled from memory, gauge lengths of 1/16 to 3/8 re-read against a public secondary table.
const iso7Published = `
size,tpi,gauge_length,gauge_tol,useful
1/16,28,4.0,0.9,6.5
1/8,28,4.0,0.9,6.5
1/4,19,6.0,1.3,9.7
3/8,19,6.4,1.3,10.1
1/2,14,8.2,1.8,13.2
3/4,14,9.5,1.8,14.5
1,11,10.4,2.3,16.8
1 1/4,11,12.7,2.3,19.1
1 1/2,11,12.7,2.3,19.1
2,11,15.9,2.3,23.4
2 1/2,11,17.5,3.5,26.7
3,11,20.6,3.5,29.8
4,11,25.4,3.5,35.8
`

func TestISO7Rows(t *testing.T) {
	rows := published(t, iso7Published)
	require.Len(t, ISO7{}.Threads(), 3*len(rows))
	for _, r := range rows {
		for _, series := range []string{"R", "Rc", "Rp"} {
			t.Run(series+" "+r["size"], func(t *testing.T) {
				th := find(t, ISO7{}, Name{Series: series, Size: r["size"]})
				assert.Equal(t, series+" "+r["size"], th.Designation)
				assert.Equal(t, series, th.Series)
				g := find(t, ISO228{}, Name{Series: "G", Size: r["size"]})
				assert.Equal(t, g.Basic, th.Basic)
				assert.InDelta(t, asFloat(t, r["tpi"]), 25.4/th.Pitch.MM(), 1e-9)
				if series == "Rp" {
					assert.Zero(t, th.Taper)
					assert.Zero(t, th.GaugeLength)
					_, err := ISO7{}.Taper(th)
					assert.ErrorContains(t, err, "not a taper thread")
					return
				}
				assert.InDelta(t, 1.0/16, th.Taper, 1e-12)
				sameDigits(t, r["gauge_length"], &th.GaugeLength, 1, "gauge length")
				l, err := ISO7{}.Taper(th)
				require.NoError(t, err)
				sameDigits(t, r["gauge_length"], &l.Gauge, 1, "gauge length")
				sameDigits(t, r["gauge_tol"], &l.ExternalTol, 1, "gauge length tolerance")
				sameDigits(t, r["useful"], &l.Useful, 1, "useful thread")
				limits, err := ISO7{}.Limits(th, "", series == "R")
				require.NoError(t, err)
				assert.Equal(t, Limits{}, limits, "the standard leaves the diameters of taper threads open")
			})
		}
	}
}

// The tolerances of ISO 7-1 are turns of the thread along the axis (1 outside, 1 1/4 inside, 1 1/2 both from size
// 2 1/2), and on a parallel internal thread the taper over as many turns on the diameter. Rule from memory.
func TestISO7TolerancesFollowTheTurns(t *testing.T) {
	for _, r := range iso7().Rows {
		p := 25.4 / r.TPI
		outside, inside := 1.0, 1.25
		if size, _ := sixtyFourths(r.Size); size >= 160 {
			outside, inside = 1.5, 1.5
		}
		assert.InDelta(t, outside*p, r.GaugeTol, 0.0501, "gauge tolerance of %s", r.Size)
		assert.InDelta(t, inside*p, r.InternalTol, 0.0501, "internal tolerance of %s", r.Size)
		assert.InDelta(t, inside*p/16, r.RpTol, 0.00051, "Rp tolerance of %s", r.Size)
	}
}

// Rp 1/2: 18.631 and 19.793 mm give or take 0.142 mm (ISO 7-1 table 1; from memory).
func TestISO7LimitsOfRp(t *testing.T) {
	th := find(t, ISO7{}, Name{Series: "Rp", Size: "1/2"})
	l, err := ISO7{}.Limits(th, "", false)
	require.NoError(t, err)
	sameDigits(t, "20.813", l.MajorMin, 1, "D min")
	sameDigits(t, "19.935", l.PitchMax, 1, "D2 max")
	sameDigits(t, "19.651", l.PitchMin, 1, "D2 min")
	sameDigits(t, "18.773", l.MinorMax, 1, "D1 max")
	sameDigits(t, "18.489", l.MinorMin, 1, "D1 min")
	assert.Nil(t, l.MajorMax)
}

func TestFindBySize(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Family
		n    Name
		want string
	}{
		{"G", ISO228{}, Name{Series: "G", Size: "1 1/2"}, "G 1 1/2"},
		{"decimal size", ISO228{}, Name{Series: "G", Size: "1.5"}, "G 1 1/2"},
		{"class", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "A"}, "G 1 1/2 A"},
		{"small class", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "b"}, "G 1 1/2 B"},
		{"left hand", ISO228{}, Name{Series: "G", Size: "1 1/2", Class: "A", Hand: Left}, "G 1 1/2 A LH"},
		{"with inch unit", ISO228{}, Name{Series: "G", Size: "1/2", SizeUnit: unit.Inch}, "G 1/2"},
		{"with count", ISO228{}, Name{Series: "G", Size: "1 1/2", PerInch: 11}, "G 1 1/2"},
		{"with pitch", ISO228{}, Name{Series: "G", Size: "1 1/2", Pitch: 2.31}, "G 1 1/2"},
		{"with angle", ISO228{}, Name{Series: "G", Size: "1 1/2", AngleDeg: 55}, "G 1 1/2"},
		{"R", ISO7{}, Name{Series: "R", Size: "1/2"}, "R 1/2"},
		{"Rc", ISO7{}, Name{Series: "Rc", Size: "1/2"}, "Rc 1/2"},
		{"Rp", ISO7{}, Name{Series: "Rp", Size: "1/2"}, "Rp 1/2"},
		{"NPT", NPT{}, Name{Series: "NPT", Size: "1/2", PerInch: 14}, "1/2-14 NPT"},
		{"NPT without count", NPT{}, Name{Series: "NPT", Size: "1/2"}, "1/2-14 NPT"},
		{"NPT left hand", NPT{}, Name{Series: "NPT", Size: "1/2", Hand: Left}, "1/2-14 NPT LH"},
		{"NPSM", NPSM{}, Name{Series: "NPSM", Size: "1 1/2", PerInch: 11.5}, "1 1/2-11.5 NPSM"},
		{"NPSM without count", NPSM{}, Name{Series: "NPSM", Size: "1 1/2"}, "1 1/2-11.5 NPSM"},
		{"NH", NH{}, Name{Series: "NH", Size: "3/4", PerInch: 11.5}, "3/4-11.5 NH"},
		{"NH without count", NH{}, Name{Series: "NH", Size: "3/4"}, "3/4-11.5 NH"},
		{"NH hose size with the same thread", NH{}, Name{Series: "NH", Size: "5/8"}, "3/4-11.5 NH"},
	} {
		t.Run(c.name, func(t *testing.T) {
			th := find(t, c.f, c.n)
			assert.Equal(t, c.want, th.Designation)
			assert.Equal(t, c.n.Hand == Left, th.Hand == Left)
			assert.Equal(t, 1, th.Starts)
			assert.Equal(t, strings.ToUpper(c.n.Class), th.Class)
		})
	}
}

func TestFindRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Family
		n    Name
		says []string
	}{
		{"unknown size", ISO228{}, Name{Series: "G", Size: "1 5/16"}, []string{`no size "1 5/16"`, "1 1/4, 1 1/2"}},
		{"size that is none", ISO228{}, Name{Series: "G", Size: "wide"}, []string{`no size "wide"`}},
		{"no size", ISO7{}, Name{Series: "R"}, []string{`no size ""`}},
		{"millimetres", ISO228{}, Name{Series: "G", Size: "40", SizeUnit: unit.Millimetre}, []string{"trade sizes in inches", "40 mm"}},
		{"class", ISO228{}, Name{Series: "G", Size: "1", Class: "2A"}, []string{`"2A"`, "A or B"}},
		{"class where there is none", ISO7{}, Name{Series: "Rc", Size: "1", Class: "A"}, []string{"Rc 1", "no tolerance classes"}},
		{"class on NPT", NPT{}, Name{Series: "NPT", Size: "1", Class: "2A"}, []string{"1-11.5 NPT", "no tolerance classes"}},
		{"class on NPSM", NPSM{}, Name{Series: "NPSM", Size: "1", Class: "2A"}, []string{"1-11.5 NPSM", "no tolerance classes"}},
		{"class on NH", NH{}, Name{Series: "NH", Size: "3/4", Class: "2A"}, []string{"3/4-11.5 NH", "no tolerance classes"}},
		{"count", NPT{}, Name{Text: "1/2-11.5 NPT", Series: "NPT", Size: "1/2", PerInch: 11.5}, []string{"1/2-11.5 NPT", "has 14 threads per inch, not 11.5"}},
		{"near count", NPSM{}, Name{Series: "NPSM", Size: "1 1/2", PerInch: 11}, []string{"has 11.5 threads per inch, not 11"}},
		{"count on NH", NH{}, Name{Series: "NH", Size: "3/4", PerInch: 14}, []string{"has 11.5 threads per inch, not 14"}},
		{"pitch", ISO228{}, Name{Series: "G", Size: "1", Pitch: 2}, []string{"11 threads per inch", "2.309 mm", "2.000 mm"}},
		{"angle", ISO228{}, Name{Series: "G", Size: "1", AngleDeg: 60}, []string{"55 degrees, not 60"}},
		{"starts", ISO228{}, Name{Series: "G", Size: "1", Starts: 2}, []string{"one start, not 2"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, ok, err := c.f.Find(c.n)
			assert.True(t, ok)
			for _, s := range c.says {
				assert.ErrorContains(t, err, s)
			}
		})
	}
}

func TestFamiliesLeaveOthersAlone(t *testing.T) {
	for _, f := range []Family{ISO228{}, ISO7{}, NPT{}, NPSM{}, NH{}} {
		for _, series := range []string{"", "UN", "M", "UNC"} {
			_, ok, err := f.Find(Name{Series: series, Size: "1/2", PerInch: 14})
			assert.False(t, ok, "%T %q", f, series)
			assert.NoError(t, err)
		}
		_, err := f.Limits(Thread{Designation: "M20", Series: "M"}, "", true)
		assert.ErrorContains(t, err, "M20")
		_, err = f.Limits(f.Threads()[0], "4h", true)
		assert.ErrorContains(t, err, `"4h"`)
	}
}

// Every thread of every table: its name finds it again, is the only one of that name, agrees with its diameter and
// pitch, its diameters fall in order, and its limits do not cross.
func TestTablesWalk(t *testing.T) {
	seen := map[string]bool{}
	walked := 0
	for _, f := range []interface {
		Sourced
		Series() []string
	}{ISO228{}, ISO7{}, NPT{}, NPSM{}, NH{}} {
		last := map[string]unit.Length{}
		for _, th := range f.Threads() {
			walked++
			name := th.Designation
			assert.False(t, seen[plainText(name)], "%s stands twice", name)
			seen[plainText(name)] = true
			assert.Contains(t, f.Series(), th.Series)
			assert.Equal(t, f.Standard(), th.Standard)
			assert.Contains(t, f.Source(th), f.Standard(), name)

			size := strings.TrimPrefix(strings.TrimSuffix(name, " "+th.Series), th.Series+" ")
			n := Name{Series: th.Series, Size: size}
			if at := strings.LastIndex(size, "-"); at >= 0 {
				n.Size, n.PerInch = size[:at], asFloat(t, size[at+1:])
				assert.InDelta(t, n.PerInch, 25.4/th.Pitch.MM(), 1e-9, "%s: pitch against its name", name)
			}
			assert.Equal(t, th, find(t, f, n))
			// A trade size is near the bore, so the outside is larger, by less than 0.7 in.
			sixty, ok := sixtyFourths(n.Size)
			require.True(t, ok, name)
			over := th.Basic.Major.Inches() - float64(sixty)/64
			assert.True(t, over > -0.001 && over < 0.7, "%s: major diameter %.4f in against its name", name, th.Basic.Major.Inches())

			b := th.Basic
			assert.Greater(t, b.Major, b.Pitch, name)
			assert.Greater(t, b.Pitch, b.Minor, name)
			assert.Greater(t, b.Major, last[th.Series], "%s: sizes rise", name)
			last[th.Series] = b.Major
			depth := (b.Major - b.Minor).MM() / 2
			assert.InDelta(t, th.Form.DepthPerPitch*th.Pitch.MM(), depth, 0.002, "%s: depth against its form", name)

			for _, external := range []bool{true, false} {
				l, err := f.Limits(th, "", external)
				require.NoError(t, err, name)
				for _, pair := range [][2]*unit.Length{{l.MajorMax, l.MajorMin}, {l.PitchMax, l.PitchMin}, {l.MinorMax, l.MinorMin}} {
					if pair[0] != nil && pair[1] != nil {
						assert.Greater(t, *pair[0], *pair[1], name)
					}
				}
			}
			ext, _ := f.Limits(th, "", true)
			in, _ := f.Limits(th, "", false)
			// The largest screw goes into the smallest nut. Rp is left out: its tolerance lies to both sides of the basic size.
			if ext.PitchMax != nil && in.PitchMin != nil && th.Series != "Rp" {
				assert.LessOrEqual(t, *ext.PitchMax, *in.PitchMin, name)
			}
		}
	}
	assert.Equal(t, 20+3*13+16+13+4, walked)
}

func TestSixtyFourths(t *testing.T) {
	for text, want := range map[string]int{"1/16": 4, "1/2": 32, "1 1/2": 96, "1-1/2": 96, "1.5": 96, "2": 128, "0.1563": 10} {
		got, ok := sixtyFourths(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "0", "-1", "1/0", "x", "1 1/2 mm", "0.51", "1e9"} {
		_, ok := sixtyFourths(text)
		assert.False(t, ok, text)
	}
}

func ExampleISO228_Limits() {
	th, _, _ := ISO228{}.Find(Name{Series: "G", Size: "1 1/2", Class: "A"})
	l, _ := ISO228{}.Limits(th, th.Class, true)
	fmt.Printf("%s: pitch diameter %.3f to %.3f mm\n", th.Designation, l.PitchMin.MM(), l.PitchMax.MM())
	// Output: G 1 1/2 A: pitch diameter 46.144 to 46.324 mm
}
