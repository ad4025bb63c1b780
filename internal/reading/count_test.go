package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tolMM is what float64 may lose on the lengths here, mm.
const tolMM = 1e-9

func caliper(t testing.TB) Instrument {
	t.Helper()
	i, err := FindInstrument("caliper")
	require.NoError(t, err)
	return i
}

// The fencepost: N crests from the first to the last span N-1 pitches, N spaces span N.
func TestCount(t *testing.T) {
	for _, c := range []struct {
		name, count, over string
		way               Counting
		pitch, other      float64
	}{
		{"crests are the default", "15", "1in", "", 25.4 / 14, 25.4 / 15},
		{"crests", "11", "20mm", Crests, 2, 20.0 / 11},
		{"spaces", "14", "1in", Spaces, 25.4 / 14, 25.4 / 13},
		{"two crests", "2", "1.5mm", Crests, 1.5, 0.75},
		{"half a space", "11.5", "1in", Spaces, 25.4 / 11.5, 25.4 / 10.5},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ParseCount(c.count, c.over, c.way, caliper(t))
			require.NoError(t, err)
			assert.InDelta(t, c.pitch, got.pitch().Value, tolMM)
			assert.InDelta(t, c.other, got.other().pitch().Value, tolMM)
			assert.Contains(t, got.Taken(), pitchWords(c.pitch))
			assert.Contains(t, got.Taken(), pitchWords(c.other))
		})
	}
	for _, c := range []struct{ name, count, over, says string }{
		{"one crest spans nothing", "1", "10", "2 to"},
		{"a third of a crest", "7.3", "10", "whole crests"},
		{"too coarse for any thread", "2", "200", "pitch"},
		{"too fine", "900", "1mm", "pitch"},
		{"no number", "many", "10", "a count is a number"},
		{"no length", "10", "long", "long"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseCount(c.count, c.over, Crests, caliper(t))
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.says)
		})
	}
}

// The uncertainty of a counted pitch is that of the length over the number of pitches (GUM 5.1.2), so a longer
// count is a better one.
func TestCountUncertainty(t *testing.T) {
	c, err := ParseCount("11", "20mm±0.3", Crests, caliper(t))
	require.NoError(t, err)
	assert.InDelta(t, 0.3/math.Sqrt(3)/10, c.pitch().U, tolMM)
	long, err := ParseCount("21", "40mm±0.3", Crests, caliper(t))
	require.NoError(t, err)
	assert.Less(t, long.pitch().U, c.pitch().U)
}

func TestParsePerInch(t *testing.T) {
	for _, c := range []struct {
		text       string
		pitch, uIn float64 // uIn is the standard uncertainty in threads to the inch
	}{
		{"14", 25.4 / 14, 0.5 / math.Sqrt(3)},
		{"11.5", 25.4 / 11.5, 0.25 / math.Sqrt(3)},
		{"11 1/2 tpi", 25.4 / 11.5, 0.25 / math.Sqrt(3)},
		{"14 ± 0.2", 25.4 / 14, 0.2 / math.Sqrt(3)},
		{"14tpi+-0.2", 25.4 / 14, 0.2 / math.Sqrt(3)},
	} {
		t.Run(c.text, func(t *testing.T) {
			p, err := ParsePerInch(c.text)
			require.NoError(t, err)
			assert.InDelta(t, c.pitch, p.Value.Value, tolMM)
			assert.InDelta(t, c.uIn*c.pitch*c.pitch/25.4, p.Value.U, tolMM)
			same, err := ParsePitch(perInchText(c.text))
			require.NoError(t, err)
			assert.InDelta(t, p.Value.U, same.Value.U, tolMM, "--pitch takes threads to the inch too")
		})
	}
	for _, text := range []string{"", "0", "-3", "14±0", "14±20", "many", "1000", "0.5"} {
		_, err := ParsePerInch(text)
		assert.Error(t, err, "ParsePerInch(%q)", text)
	}
}

// perInchText puts the word behind the number that a bare one lacks.
func perInchText(text string) string {
	for i, r := range text {
		if r == '±' {
			return text[:i] + "tpi" + text[i:]
		}
	}
	if perInchIfBare(text) != "" {
		return text + " tpi"
	}
	return text
}

func TestParsePitch(t *testing.T) {
	p, err := ParsePitch("1.81 ± 0.02 mm")
	require.NoError(t, err)
	assert.InDelta(t, 1.81, p.Value.Value, tolMM)
	assert.InDelta(t, 0.02/math.Sqrt(3), p.Value.U, tolMM)
	p, err = ParsePitch("1/14in")
	require.NoError(t, err)
	assert.InDelta(t, 25.4/14, p.Value.Value, tolMM)
	for _, text := range []string{"", "0", "-1mm", "40mm", "0.01mm", "pitch"} {
		_, err := ParsePitch(text)
		assert.Error(t, err, "ParsePitch(%q)", text)
	}
}

func TestLeaf(t *testing.T) {
	l, err := ParseLeaf("14tpi", true)
	require.NoError(t, err)
	own, next := l.chance(25.4/14), l.chance(25.4/13)
	assert.Greater(t, own, 0.95)
	assert.Less(t, next, 0.05)
	l.Matches = false
	assert.InDelta(t, 1-own, l.chance(25.4/14), tolMM)
	_, err = ParseLeaf("wide", true)
	assert.Error(t, err)
}
