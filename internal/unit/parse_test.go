package unit_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/unit"
)

// tolMM is what float64 may lose on lengths up to ten metres, with room.
const tolMM = 1e-9

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		name, text string
		mm         float64
	}{
		{"bare decimal is mm", "25.4", 25.4},
		{"mm", "25.4mm", 25.4},
		{"comma decimal", "25,4 mm", 25.4},
		{"inch word", "1in", 25.4},
		{"inch mark", `1"`, 25.4},
		{"bare fraction is inches", "3/4", 19.05},
		{"mixed with unit", "1 3/4in", 44.45},
		{"mixed with dash and mark", `1-3/4"`, 44.45},
		{"small", "0.02mm", 0.02},
		{"no digit before the point", ".5in", 12.7},
		{"vulgar fraction", "1¾ in", 44.45},
		{"vulgar fraction alone", "½", 12.7},
		{"vulgar fraction after a dash", "1-½″", 38.1},
		{"typographic marks", "1–3⁄4”", 44.45},
		{"two apostrophes", "2''", 50.8},
		{"fraction of a millimetre", "3/4 mm", 0.75},
		{"improper fraction", "7/4 in", 44.45},
		{"decimal inches", "1.750 inches", 44.45},
		{"upper case", "2 MM", 2},
		{"centimetres", "4.4cm", 44},
		{"thou", "5 thou", 0.127},
		{"micrometres", "20 µm", 0.02},
		{"narrow space", "25,4\u202fmm", 25.4},
		{"exponent", "1e-1", 0.1},
		{"zero", "0", 0},
		{"longest", "10m", 10_000},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := unit.ParseLength(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.mm, got.MM(), tolMM, "ParseLength(%q)", c.text)
		})
	}
}

func TestParseLengthRefuses(t *testing.T) {
	for _, c := range []struct{ name, text, says string }{
		{"empty", "", "empty"},
		{"blank", " \t", "empty"},
		{"word", "wide", "not a length"},
		{"not a number", "NaN", "not a length"},
		{"infinity", "Inf", "not a length"},
		{"overflow", "1e999", "too large"},
		{"huge", "11m", "more than"},
		{"below zero", "-3mm", "below zero"},
		{"unknown unit", "3 furlong", "unknown unit"},
		{"feet", "3'", "unknown unit"},
		{"zero denominator", "1/0", "divides by zero"},
		{"two separators", "1.234,5", "unknown unit"},
		{"fraction not below one", "1 5/4", "below one"},
		{"two lengths", "1in 3mm", "unknown unit"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := unit.ParseLength(c.text)
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

func TestParseSignedReadsErrorsOfEitherSign(t *testing.T) {
	got, err := unit.ParseSigned("-0.12 mm")
	require.NoError(t, err)
	assert.InDelta(t, -0.12, got.MM(), tolMM)
}

func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		name, text  string
		value, half float64
	}{
		{"both in mm", "47.55mm+-0.05", 47.55, 0.05},
		{"plus-minus sign", "47.55 ± 0.05 mm", 47.55, 0.05},
		{"slashed", "47.55 +/- 0.05", 47.55, 0.05},
		{"unit of the value holds for the half width", "1.872in+-0.001", 1.872 * 25.4, 0.0254},
		{"unit behind both", "1.872 ± 0.001 in", 1.872 * 25.4, 0.0254},
		{"mixed units", "1in+-0.1mm", 25.4, 0.1},
		{"fractions are inches", "1 7/8 +- 1/64", 47.625, 25.4 / 64},
		{"no half width", "47,55", 47.55, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			value, half, err := unit.ParseReading(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.value, value.MM(), tolMM, "value of %q", c.text)
			assert.InDelta(t, c.half, half.MM(), tolMM, "half width of %q", c.text)
		})
	}
	for _, text := range []string{"", "±", "47±", "±0.1", "47±0", "47±-0.1", "0", "-3", "47±0.1±0.1"} {
		t.Run("refuses "+text, func(t *testing.T) {
			_, _, err := unit.ParseReading(text)
			assert.Error(t, err)
		})
	}
}

func TestParsePitch(t *testing.T) {
	for _, c := range []struct {
		name, text string
		mm         float64
	}{
		{"threads per inch", "12 tpi", 25.4 / 12},
		{"no space", "12tpi", 25.4 / 12},
		{"half a thread", "11.5TPI", 25.4 / 11.5},
		{"half a thread as a fraction", "11 1/2 tpi", 25.4 / 11.5},
		{"in words", "14 threads per inch", 25.4 / 14},
		{"mm", "2.309mm", 2.309},
		{"bare", "1.5", 1.5},
		{"fraction of an inch", "1/14in", 25.4 / 14},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := unit.ParsePitch(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.mm, got.MM(), tolMM, "ParsePitch(%q)", c.text)
		})
	}
	for _, text := range []string{"", "tpi", "0tpi", "-3 tpi", "201tpi", "3mm tpi", "0", "x"} {
		t.Run("refuses "+text, func(t *testing.T) {
			_, err := unit.ParsePitch(text)
			assert.Error(t, err)
		})
	}
}

func TestParseLengthIn(t *testing.T) {
	for _, c := range []struct {
		text   string
		system unit.Length
	}{{"1.9in", unit.Inch}, {"3/4", unit.Inch}, {"44.4", unit.Millimetre}, {"4cm", unit.Millimetre}, {"3/4 mm", unit.Millimetre}, {"5 thou", unit.Inch}, {"2 millimetres", unit.Millimetre}} {
		t.Run(c.text, func(t *testing.T) {
			_, system, err := unit.ParseLengthIn(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.system.MM(), system.MM(), tolMM)
		})
	}
}

// Files give lengths as numbers of millimetres or as texts with a unit.
func TestUnmarshal(t *testing.T) {
	type file struct {
		Width unit.Length `toml:"width" json:"width"`
	}
	for _, c := range []struct {
		name, value string
		mm          float64
	}{
		{"float", "0.4", 0.4},
		{"whole number", "20", 20},
		{"below zero", "-0.15", -0.15},
		{"text", `"1 3/4in"`, 44.45},
		{"text in mm", `"44,5 mm"`, 44.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			var f file
			require.NoError(t, toml.Unmarshal([]byte("width = "+c.value), &f))
			assert.InDelta(t, c.mm, f.Width.MM(), tolMM, "TOML")
			f = file{}
			require.NoError(t, json.Unmarshal([]byte(`{"width":`+c.value+`}`), &f))
			assert.InDelta(t, c.mm, f.Width.MM(), tolMM, "JSON")
		})
	}
	for _, value := range []string{`"wide"`, `"-"`, "true", "[1]"} {
		t.Run("refuses "+value, func(t *testing.T) {
			var f file
			assert.Error(t, toml.Unmarshal([]byte("width = "+value), &f))
		})
	}
	out, err := json.Marshal(file{Width: 1.5})
	require.NoError(t, err)
	assert.JSONEq(t, `{"width":1.5}`, string(out), "lengths are written as plain millimetres")
}

func TestPrint(t *testing.T) {
	assert.Equal(t, "44.450 mm (1.7500 in)", unit.Inches(1.75).String())
	assert.Equal(t, "0.000 mm (0.0000 in)", unit.MM(-0.000001).String(), "no negative zero")
	assert.Equal(t, "-0.120 mm", unit.MM(-0.12).TextMM())
	for _, c := range []struct {
		inches float64
		text   string
		exact  bool
	}{
		{1.75, "1 3/4 in", true},
		{0.75, "3/4 in", true},
		{2, "2 in", true},
		{0.015625, "1/64 in", true},
		{-0.5, "-1/2 in", true},
		{1.7501, "1 3/4 in", false},
		{0, "0 in", true},
	} {
		text, exact := unit.Inches(c.inches).Fraction()
		assert.Equal(t, c.text, text, "Fraction of %v in", c.inches)
		assert.Equal(t, c.exact, exact, "exactness of %v in", c.inches)
	}
}

// Every 64th prints as a fraction that reads back as the same length.
func TestFractionsReadBack(t *testing.T) {
	for n := range 6 * 64 {
		l := unit.Inches(float64(n) / 64)
		text, exact := l.Fraction()
		require.True(t, exact)
		back, err := unit.ParseLength(text)
		require.NoError(t, err)
		require.InDelta(t, l.MM(), back.MM(), tolMM, text)
	}
}

// A millimetre print reads back within half of its last digit.
func TestPrintedLengthsReadBack(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		samples++
		l := unit.MM(rapid.Float64Range(0, 9999).Draw(t, "mm"))
		back, err := unit.ParseLength(l.TextMM())
		if err != nil || math.Abs(float64(back-l)) > 0.0005+tolMM {
			t.Fatalf("ParseLength(%q) = %v, %v, want %v", l.TextMM(), back, err, l.MM())
		}
		back, err = unit.ParseLength(l.TextInch())
		if err != nil || math.Abs(back.Inches()-l.Inches()) > 0.00005+tolMM {
			t.Fatalf("ParseLength(%q) = %v, %v, want %v in", l.TextInch(), back, err, l.Inches())
		}
	})
	require.Positive(t, samples)
}

func FuzzParseLength(f *testing.F) {
	for _, s := range []string{"25.4", "25,4 mm", `1-3/4"`, "1¾ in", "3/4", "1e999", "-1/0", "½½", "1 2 3", ".e", "NaN", "1e400/1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		l, err := unit.ParseLength(s)
		if err != nil {
			if strings.TrimSpace(err.Error()) == "" {
				t.Fatal("an error says nothing")
			}
			return
		}
		if !(l >= 0 && l <= unit.MaxLength) {
			t.Fatalf("ParseLength(%q) = %v, outside 0 to %v", s, l.MM(), unit.MaxLength.MM())
		}
	})
}

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"47.55mm+-0.05", "1 7/8 ± 1/64", "±", "1±±1", "1+-1e308in"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		value, half, err := unit.ParseReading(s)
		if err == nil && !(value > 0 && value <= unit.MaxLength && half >= 0 && half <= unit.MaxLength) {
			t.Fatalf("ParseReading(%q) = %v, %v", s, value.MM(), half.MM())
		}
	})
}

func FuzzParsePitch(f *testing.F) {
	for _, s := range []string{"12tpi", "11 1/2 tpi", "1/14in", "2.309mm", "tpi", "0.0000001tpi"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		p, err := unit.ParsePitch(s)
		if err == nil && !(p > 0 && !math.IsInf(p.MM(), 0)) {
			t.Fatalf("ParsePitch(%q) = %v", s, p.MM())
		}
	})
}
