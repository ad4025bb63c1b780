package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/check"
)

// identified runs `tryring identify --json` and returns what it says.
func identified(t *testing.T, args ...string) identifyInfo {
	t.Helper()
	code, stdout, stderr := tryring(t, append([]string{"identify", "--json"}, args...)...)
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr)
	var got identifyInfo
	require.NoError(t, json.Unmarshal([]byte(stdout), &got))
	return got
}

func TestIdentifyJSON(t *testing.T) {
	got := identified(t, "--outside", "1.875in", "--count", "15", "--over", "1in", "--throat", "1.5in")
	e := got.Estimate
	assert.Equal(t, "external", e.Side)
	assert.InDelta(t, 47.625, *e.MajorMM, 1e-6)
	assert.InDelta(t, 25.4/14, *e.PitchMM, 1e-6)
	assert.InDelta(t, 14, *e.TPI, 1e-4)
	assert.Greater(t, *e.UMajorMM, 0.01)
	assert.Greater(t, *e.UPitchMM, 0.001)
	assert.Nil(t, e.MinorMM)
	assert.Nil(t, e.AngleDeg)

	// A 1 7/8 in thread with 14 crests to the inch is 1 7/8-14: common practice, no published source.
	assert.Equal(t, "1 7/8-14 UNS", got.Candidates[0].Designation)
	assert.NotEmpty(t, got.Candidates[0].Standard)
	assert.NotEmpty(t, got.Candidates[0].Why)
	last := got.Candidates[len(got.Candidates)-1]
	assert.Equal(t, "none of these", last.Designation)
	var sum float64
	for _, c := range got.Candidates {
		sum += c.Weight
	}
	assert.InDelta(t, 1, sum, 1e-12)
	assert.Equal(t, &namesInfo{ByBore: "1 1/2 in", ByOutside: "1 7/8 in"}, got.Names)
	assert.Equal(t, []string{check.Caution}, got.Caution)
	assert.Contains(t, strings.Join(got.Notes, " "), "taken as 14 pitches")
}

func TestIdentifyBore(t *testing.T) {
	got := identified(t, "--bore", "18.8mm", "--count", "8", "--over", "12.7mm", "--angle", "55")
	assert.Equal(t, "internal", got.Estimate.Side)
	assert.InDelta(t, 18.8, *got.Estimate.MinorMM, 1e-6)
	assert.Greater(t, *got.Estimate.MajorMM, 20.5)
	assert.Equal(t, "G 1/2", got.Candidates[0].Designation)
}

func TestIdentifyText(t *testing.T) {
	code, stdout, stderr := tryring(t, "identify", "--outside", "20.9", "--tpi", "14", "--tell-apart", "--printer", "resin", "--parts")
	require.Equal(t, exitDone, code, stderr)
	assert.Empty(t, stderr)
	for _, want := range []string{"20.900 mm (0.8228 in)", "95 %", "G 1/2", "none of these", "█", "Expected gain", "tapers", "Can a printed ring", "resin", "accuracy of the digital caliper", check.Caution} {
		assert.Contains(t, stdout, want)
	}
}

func TestIdentifySaysContradictions(t *testing.T) {
	args := []string{"--outside", "47.55mm", "--outside", "47.6mm", "--outside", "46.2mm", "--tpi", "14"}
	got := identified(t, args...)
	require.Len(t, got.Contradictions, 1)
	assert.Equal(t, "46.2mm", got.Contradictions[0].Again)
	_, stdout, _ := tryring(t, append([]string{"identify"}, args...)...)
	assert.Contains(t, stdout, "Take 46.2mm again")
}

func TestIdentifyFaults(t *testing.T) {
	tests := []struct {
		name string
		args []string
		says []string
	}{
		{"nothing read", nil, []string{"--outside", "--bore"}},
		{"not a length", []string{"--outside", "wide"}, []string{"--outside", `"wide"`}},
		{"both sides", []string{"--outside", "20", "--bore", "18"}, []string{"--outside", "--bore", "external or internal"}},
		{"count without over", []string{"--outside", "20", "--count", "12"}, []string{"--count", "--over"}},
		{"one crest", []string{"--count", "1", "--over", "10"}, []string{"--count", `"1"`, "2 to"}},
		{"angle", []string{"--outside", "20", "--angle", "47.5"}, []string{"--angle", "55 or 60"}},
		{"instrument", []string{"--outside", "20", "--instrument", "eye"}, []string{"--instrument", "caliper, dial, ruler, tape"}},
		{"among", []string{"--outside", "20", "--among", "boats"}, []string{"--among", "drain"}},
		{"counted", []string{"--count", "9", "--over", "10", "--counted", "sheep"}, []string{"sheep", "crests or spaces"}},
		{"printer", []string{"--outside", "20", "--tell-apart", "--printer", "laser"}, []string{"--printer", "laser"}},
		{"wire alone", []string{"--outside", "20", "--wire", "1mm"}, []string{"--over-wires"}},
		{"faults together", []string{"--outside", "x", "--tpi", "y"}, []string{"--outside", "--tpi"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			code, stdout, stderr := tryring(t, append([]string{"identify"}, tt.args...)...)
			assert.Equal(t, exitBadInput, code, stderr)
			assert.Empty(t, stdout)
			for _, want := range tt.says {
				assert.Contains(t, stderr, want)
			}
		})
	}
}

// The same readings give the same bytes.
func TestIdentifyRepeats(t *testing.T) {
	args := []string{"identify", "--json", "--outside", "33.1", "--tpi", "11", "--tell-apart"}
	_, first, _ := tryring(t, args...)
	for range 3 {
		_, again, _ := tryring(t, args...)
		assert.Equal(t, first, again)
	}
}

// Whatever is written behind the flags, the answer is an answer or a fault of the input.
func FuzzIdentify(f *testing.F) {
	f.Add("47.5mm±0.1", "15", "1in", "14", "1.5mm", "60")
	f.Add("1 7/8", "8", "12,7 mm", "11 1/2", "1/14in", "55")
	f.Add("", "", "", "", "", "")
	f.Fuzz(func(t *testing.T, outside, count, over, tpi, pitch, angle string) {
		code, stdout, stderr := tryring(t, "identify", "--json", "--outside="+outside, "--count="+count, "--over="+over, "--tpi="+tpi, "--pitch="+pitch, "--angle="+angle)
		switch {
		case code == exitDone && json.Valid([]byte(stdout)):
		case code == exitBadInput && stdout == "" && json.Valid([]byte(stderr)):
		default:
			t.Errorf("identify of %q %q %q %q %q %q: code %d, stdout %q, stderr %q", outside, count, over, tpi, pitch, angle, code, stdout, stderr)
		}
	})
}
