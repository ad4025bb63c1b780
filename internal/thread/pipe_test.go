package thread

import (
	"fmt"
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

// asSize reads a trade size.
func asSize(t *testing.T, text string) float64 {
	t.Helper()
	x, err := unit.ParseNumber(text)
	require.NoError(t, err)
	return x
}

// inTable returns the listed family with that series word.
func inTable(word string) *Listed {
	for _, f := range families() {
		if l, ok := f.(*Listed); ok && l.head.series(word) != nil {
			return l
		}
	}
	panic("no table has the series " + word)
}

func find(t *testing.T, f family, n Name) Thread {
	t.Helper()
	th, ok, err := f.Find(n)
	require.NoError(t, err)
	require.True(t, ok)
	return th
}

// ISO 228-1:2000 table 1, mm; recalled from memory, basic diameters of 1/16 to 2 re-read against two public secondary
// tables.
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
5,11,2.309,138.430,136.951,135.472,0.217,0.217,0.434,0.640,0.434
6,11,2.309,163.830,162.351,160.872,0.217,0.217,0.434,0.640,0.434
`

func TestISO228Rows(t *testing.T) {
	rows := published(t, iso228Published)
	require.Len(t, inTable("G").Threads(), len(rows))
	mm := func(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }
	for i, r := range rows {
		t.Run("G "+r["size"], func(t *testing.T) {
			th := find(t, inTable("G"), Name{Series: "G", Size: r["size"]})
			assert.Equal(t, inTable("G").Threads()[i], th)
			assert.Equal(t, "G "+r["size"], th.Designation)
			assert.Equal(t, "ISO 228-1:2000", th.Standard)
			assert.Equal(t, r["pitch"], like(th.Pitch, 1, r["pitch"]))
			sameDigits(t, r["major"], &th.Basic.Major, 1, "d")
			sameDigits(t, r["pitch_dia"], &th.Basic.Pitch, 1, "d2")
			sameDigits(t, r["minor"], &th.Basic.Minor, 1, "d1")
			assert.InDelta(t, 55, th.Form.AngleDeg(), 1e-9)
			for _, class := range []string{"A", "B"} {
				ext, err := inTable("G").Limits(th, class, true)
				require.NoError(t, err)
				sameDigits(t, r["major"], ext.MajorMax, 1, "d max")
				sameDigits(t, mm(asFloat(t, r["major"])-asFloat(t, r["T_d"])), ext.MajorMin, 1, "d min")
				sameDigits(t, r["pitch_dia"], ext.PitchMax, 1, "d2 max")
				sameDigits(t, mm(asFloat(t, r["pitch_dia"])-asFloat(t, r["T_d2_"+class])), ext.PitchMin, 1, "d2 min "+class)
				sameDigits(t, r["minor"], ext.MinorMax, 1, "d1 max")
				assert.Nil(t, ext.MinorMin)
			}
			in, err := inTable("G").Limits(th, "", false)
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
	for _, th := range inTable("G").Threads() {
		h := 0.640327 * th.Pitch.MM()
		assert.InDelta(t, th.Basic.Major.MM()-h, th.Basic.Pitch.MM(), rounding, th.Designation)
		assert.InDelta(t, th.Basic.Major.MM()-2*h, th.Basic.Minor.MM(), rounding, th.Designation)
	}
	// Class B has twice the tolerance of class A (ISO 228-1 table 1; from memory).
	for _, r := range inTable("G").rows {
		assert.InDelta(t, 2*(*r.PitchDia-*r.ExternalPitchDiaMin), *r.PitchDia-*r.Classes["B"].ExternalPitchDiaMin, 1e-9, r.Size)
	}
}

func ExampleListed_Limits() {
	th, _, _ := inTable("G").Find(Name{Series: "G", Size: "1 1/2", Class: "A"})
	l, _ := inTable("G").Limits(th, th.Class, true)
	fmt.Printf("%s: pitch diameter %.3f to %.3f mm\n", th.Designation, l.PitchMin.MM(), l.PitchMax.MM())
	// Output: G 1 1/2 A: pitch diameter 46.144 to 46.324 mm
}
