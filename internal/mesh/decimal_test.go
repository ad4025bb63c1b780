package mesh

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// asStrconv holds both readers to strconv's answers, for a number that stands alone and for one that is quoted.
func asStrconv(t require.TestingT, text string) {
	number := strings.SplitN(text, `"`, 2)[0]
	float, floatErr := strconv.ParseFloat(number, 32)
	whole, wholeErr := strconv.ParseUint(number, 10, 32)
	for _, text := range []string{text, number + `" y="5"`} {
		gotFloat, size, err := quotedFloat32([]byte(text))
		require.Equal(t, floatErr, err, text)
		require.Equal(t, math.Float32bits(float32(float)), math.Float32bits(gotFloat), text)
		require.Equal(t, len(number), size, text)
		gotWhole, size, err := quotedUint32([]byte(text))
		require.Equal(t, wholeErr, err, text)
		require.Equal(t, uint32(whole), gotWhole, text)
		require.Equal(t, len(number), size, text)
	}
}

func TestNumbersAsStrconv(t *testing.T) {
	for _, text := range []string{
		"0", "-0", "5", "-5.", ".5", "", "-", ".", "-.", "1.2.3", "..1", "1e3", "+1", " 1", "1,5", "nan", "inf", "0x10", "1_0",
		"16777217", "16777216.5", "0.000000000000001", "123456789012345", "1234567890123456", "99999999999999999999",
		`1"2"`, `"`, "999999999", "1000000000", "4294967295", "4294967296", "007", "/", ":",
		// Half way between two float32 numbers, and a digit beside it that float64 cannot hold.
		"1.000000059604645", "1.00000005960464477539", "1.00000017881393432617", "8388608.5", "8388609.5",
	} {
		asStrconv(t, text)
	}
	anyFloat := rapid.OneOf(rapid.Float32(), rapid.Map(rapid.Int32Range(-1<<25, 1<<25), func(n int32) float32 {
		return float32(float64(n) * GridMM)
	}))
	rapid.Check(t, func(t *rapid.T) {
		asStrconv(t, strconv.FormatFloat(float64(anyFloat.Draw(t, "x")), 'f', rapid.IntRange(-1, 9).Draw(t, "places"), 64))
		asStrconv(t, rapid.StringMatching(`-?[0-9]{0,12}\.?[0-9]{0,6}`).Draw(t, "text"))
	})
}

func FuzzNumbers(f *testing.F) {
	for _, text := range []string{"1.5", "-0.000015258789", "1e9", ".", "--1", "12345"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { asStrconv(t, text) })
}
