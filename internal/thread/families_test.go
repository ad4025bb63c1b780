package thread

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One row at least of each family against figures that no code here computed. Lengths in the family's units; the
// source stands beside each: "table" is a public secondary table of the standard, the others as they say.
func TestFamiliesAgainstPublishedFigures(t *testing.T) {
	for _, c := range []struct {
		thread, standard, source string
		mm                       bool
		angle                    string
		major, pitchDia, minor   float64
	}{
		{"1/2-12 BSW", "BS 84:1956", "table", false, "55", 0.5, 0.4466, 0.3933},
		{"1-8 BSW", "BS 84:1956", "table", false, "55", 1, 0.9200, 0.8399},
		{"1/4-26 BSF", "BS 84:1956", "core to three decimals in a table", false, "55", 0.25, 0.2254, 0.201},
		{"1/2-26 brass", "British brass thread", "table", false, "55", 0.5, 0.4754, 0.4507},
		{"2 BA", "BS 93:1951", "public handbook, BS 93:1951", true, "47.5", 4.70, 4.215, 3.73},
		{"0 BA", "BS 93:1951", "public handbook, BS 93:1951", true, "47.5", 6.00, 5.40, 4.80},
		{"4 BA", "BS 93:1951", "from memory", true, "47.5", 3.60, 3.205, 2.81},
		{"Pg 36", "DIN 40430:1971", "from memory", true, "80", 47, 46.24, 45.48},
		{"7/8-9 BSW", "BS 84:1956", "from memory", false, "55", 0.875, 0.8039, 0.7328},
		{"3/4-12 BSF", "BS 84:1956", "from memory", false, "55", 0.75, 0.6966, 0.6432},
		{"7/8-6 Acme", "ASME B1.5-1997", "from memory", false, "29", 0.875, 0.7917, 0.7083},
		{"Tr 28x5", "ISO 2904:1977", "from memory", true, "30", 28, 25.5, 23},
		{"Pg 9", "DIN 40430:1971", "three tables", true, "80", 15.2, 14.53, 13.86},
		{"Pg 48", "DIN 40430:1971", "three tables", true, "80", 59.3, 58.54, 57.78},
		{"Tr 40x7", "ISO 2904:1977", "table", true, "30", 40, 36.5, 33},
		{"1-5 Acme", "ASME B1.5-1997", "public handbook", false, "29", 1, 0.9, 0.8},
		{"2-4 Stub Acme", "ASME B1.5-1997", "table", false, "29", 2, 1.925, 1.85},
		{"2-8 Butt", "ASME B1.9-1973", "public handbook, form factors", false, "7/45", 2, 1.925, 1.85},
		{"S 60x9", "DIN 513:1985", "from memory", true, "3/30", 60, 53.25, 46.5},
		{"Rd 44x1/6", "DIN 405:1997", "table", true, "30", 44, 41.883, 39.767},
		{"9/16-20 BSC", "BS 811:1950", "core of 0.509 in in a table", true, "60", 14.288, 13.611, 0.509 * 25.4},
		{"36x24tpi Italian", "BS 811:1950", "trade page", true, "55", 36, 35.322, 34.645},
		{"0.8-36 RMS", "camera and microscope threads", "two tables", true, "55", 20.32, 19.868, 19.416},
		{"1-11.5 NPTF", "ASME B1.20.3-1976", "E1 of NPT, table", false, "60", math.NaN(), 1.23863, math.NaN()},
		{"1 1/2-11.5 NPSH", "ASME B1.20.7-1991", "male diameter and E1 in tables", false, "60", 1.8788, 1.8223, math.NaN()},
		{"2 1/2-7.5 NH", "NFPA 1963-1993", "public handbook", false, "60", 3.0686, 2.9820, 2.8954},
		{"28-400", "bottle neck finishes", "two tables", true, "60", 27.38, math.NaN(), 24.99},
		{"PCO 1881", "bottle neck finishes", "three tables", true, "10/20", 27.40, math.NaN(), 24.20},
		{"E27", "IEC 60061-1", "gauges in a table, from memory", true, "", 26.45, math.NaN(), 24.26},
		{"W21.8x1/14 LH", "DIN 477-1:2012", "two tables", true, "55", 21.8, math.NaN(), math.NaN()},
		{".825-14 NGO", "CGA V-1", "trade page", false, "60", 0.825, math.NaN(), math.NaN()},
		{"S60x6", "tank outlet threads", "from memory", true, "", 60, math.NaN(), math.NaN()},
	} {
		t.Run(c.thread, func(t *testing.T) {
			th, err := Parse(c.thread)
			require.NoError(t, err)
			assert.Equal(t, c.thread, th.Designation)
			assert.Equal(t, c.standard, th.Standard)
			if c.angle != "" {
				assert.Equal(t, c.angle, th.Form.AngleWords())
			}
			for _, d := range []struct {
				what string
				want float64
				got  float64
			}{{"major", c.major, th.Basic.Major.MM()}, {"pitch diameter", c.pitchDia, th.Basic.Pitch.MM()}, {"minor", c.minor, th.Basic.Minor.MM()}} {
				if math.IsNaN(d.want) {
					continue
				}
				digit := 0.011 // mm
				if !c.mm {
					d.want, digit = d.want*25.4, 0.0006*25.4
				}
				assert.InDelta(t, d.want, d.got, digit, "%s (%s)", d.what, c.source)
			}
		})
	}
}

// The arcs of lamp threads: the published radius of crest and root of E14 and E27 is 0.822 and 1.025 mm (IEC 60061,
// gauges in a secondary table, from memory); of BSC P/6, of BA 2/11 P, of Pg 0.107 P, of DIN 405 0.238507 P.
func TestPublishedArcs(t *testing.T) {
	for text, radius := range map[string]float64{
		"E14": 0.822, "E27": 1.025, "9/16-20 BSC": 1.27 / 6, "2 BA": 0.1465, "Pg 21": 0.107 * 1.5875, "Rd 44x1/6": 0.238507 * 25.4 / 6,
	} {
		th, err := Parse(text)
		require.NoError(t, err)
		p, err := NewProfile(th.Section(th.Basic))
		require.NoError(t, err)
		for _, s := range p.segments {
			if s.radius > 0 {
				assert.InDelta(t, radius, s.radius, 0.004, text)
			}
		}
	}
}

// BS 84: the tolerance of the medium class, T = 0.002 D^(1/3) + 0.003 D^(1/2) + 0.005 P^(1/2) in inches, on the pitch
// diameter of both sides; the external thread up to 3/4 in lies 0.3 T below the basic size (public secondary table;
// the factor from memory).
func TestWhitworthTolerances(t *testing.T) {
	for _, th := range inTable("BSW").Threads() {
		d, p := th.Basic.Major.Inches(), th.Pitch.Inches()
		tol := 0.002*math.Cbrt(d) + 0.003*math.Sqrt(d) + 0.005*math.Sqrt(p)
		out, err := th.Limits("", true)
		require.NoError(t, err)
		in, err := th.Limits("", false)
		require.NoError(t, err)
		const digits = 0.00011 // in: two roundings to 0.0001
		assert.InDelta(t, tol, (*out.PitchMax - *out.PitchMin).Inches(), digits, th.Designation)
		assert.InDelta(t, tol, (*in.PitchMax - *in.PitchMin).Inches(), digits, th.Designation)
		if d > 0.75 {
			assert.InDelta(t, th.Basic.Pitch.Inches(), out.PitchMax.Inches(), digits, th.Designation)
		} else if d >= 0.25 {
			assert.InDelta(t, 0.3*tol, th.Basic.Pitch.Inches()-out.PitchMax.Inches(), digits, th.Designation)
		}
	}
}

// ISO 2903: T_d2 of 7e is 1.25 and T_D2 of 7H 1.7 times 90 P^0.4 d^0.1, in micrometres with d the geometric mean of
// the range, to the preferred numbers, which lie 6 % apart; the root of the screw ends e + 1.25 T_d2 and twice ac
// lower (from memory).
func TestTrapezoidalTolerances(t *testing.T) {
	ranges := []float64{5.6, 11.2, 22.4, 45, 90, 180}
	walked := 0
	for _, th := range inTable("Tr").Threads() {
		out, err := th.Limits("", true)
		require.NoError(t, err)
		in, err := th.Limits("", false)
		require.NoError(t, err)
		if out.PitchMin == nil {
			continue
		}
		walked++
		d := th.Basic.Major.MM()
		i := 1
		for ranges[i] < d {
			i++
		}
		tol := 90 * math.Pow(th.Pitch.MM(), 0.4) * math.Pow(math.Sqrt(ranges[i-1]*ranges[i]), 0.1) / 1000
		assert.InEpsilon(t, 1.25*tol, (*out.PitchMax - *out.PitchMin).MM(), 0.06, th.Designation)
		assert.InEpsilon(t, 1.7*tol, (*in.PitchMax - *in.PitchMin).MM(), 0.06, th.Designation)
		e := (th.Basic.Pitch - *out.PitchMax).MM()
		assert.InDelta(t, e+1.25*(*out.PitchMax-*out.PitchMin).MM(), (*out.MinorMax - *out.MinorMin).MM(), 0.0021, th.Designation)
	}
	assert.Greater(t, walked, 20)
}

// How common a series is follows its table; a set that it does not name counts no more than an unlisted series.
func TestCommon(t *testing.T) {
	for _, c := range []struct {
		thread, set string
		times       float64
	}{
		{"G 1/2", "any", 4},
		{"G 1/2", "machine", 2},
		{"3/4-11.5 NH", "hose", 20},
		{"3/4-11.5 NH", "drain", 1},
		{"1/2-26 brass", "drain", 0.3},
		{"M16x2", "any", 4},
		{"M16x1.5", "any", 0.5},
		{"M16x2", "machine", 8},
		{"44.4mm x 12tpi", "any", 1},
	} {
		th, err := Parse(c.thread)
		require.NoError(t, err)
		assert.InDelta(t, c.times, th.Common(c.set), 1e-12, "%s among %s", c.thread, c.set)
	}
}

// Every family has a use and says what is done about its danger; those without any ordinary use are named so.
func TestHandlingOfFamilies(t *testing.T) {
	for _, f := range families() {
		h := f.tableHead()
		for i := range h.Series {
			assert.NotEmpty(t, h.Series[i].Use, h.Series[i].Word)
		}
	}
	for _, text := range []string{"W21.8x1/14", "W21.8x1/14 LH", ".825-14 NGO", ".885-14 NGO LH", "POL", "1 5/16-5 Acme", "Tr 21x4", "Rd 40x1/7"} {
		th, err := Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, Only, th.handled().Handle, text)
	}
	for _, text := range []string{"1/2-14 NPT", "G 1/2", "M10x1", "7/16-20 UNF", "R 3/4"} {
		th, err := Parse(text)
		require.NoError(t, err, text)
		assert.Equal(t, Shared, th.handled().Handle, text)
	}
	th, err := Parse("3/4-11.5 NH")
	require.NoError(t, err)
	assert.Equal(t, Plain, th.handled().Handle)
	assert.Greater(t, len(All()), 1000)
	assert.True(t, strings.Contains(UsesOf("G 1/2")[0].What, "shower"), "ordinary uses come first: %s", UsesOf("G 1/2")[0].What)
}
