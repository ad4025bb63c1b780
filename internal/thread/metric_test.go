package thread

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// sameMM is less than the last digit that ISO 965 publishes, mm.
const sameMM = 1e-9

// Tolerances of grade 6 and deviations g by pitch and range of diameters, in micrometres (ISO 965-1 tables 1 to 5).
func TestMetricPublishedTolerances(t *testing.T) {
	for _, c := range []struct{ pitch, over, upto, devG, major, minor, pitchOut, pitchIn float64 }{
		{0.75, 5.6, 11.2, 22, 140, 190, 100, 132},
		{1, 5.6, 11.2, 26, 180, 236, 112, 150},
		{1.25, 5.6, 11.2, 28, 212, 265, 118, 160},
		{1.5, 5.6, 11.2, 32, 236, 300, 132, 180},
		{1, 11.2, 22.4, 26, 180, 236, 118, 160},
		{1.25, 11.2, 22.4, 28, 212, 265, 132, 180},
		{1.5, 11.2, 22.4, 32, 236, 300, 140, 190},
		{1.75, 11.2, 22.4, 34, 265, 335, 150, 200},
		{2, 11.2, 22.4, 38, 280, 375, 160, 212},
		{2.5, 11.2, 22.4, 42, 335, 450, 170, 224},
		{1, 22.4, 45, 26, 180, 236, 125, 170},
		{1.5, 22.4, 45, 32, 236, 300, 150, 200},
		{2, 22.4, 45, 38, 280, 375, 170, 224},
		{3, 22.4, 45, 48, 375, 500, 200, 265},
		{3.5, 22.4, 45, 53, 425, 560, 212, 280},
		{4, 22.4, 45, 60, 475, 600, 224, 300},
		{4.5, 22.4, 45, 63, 500, 670, 236, 315},
		{1.5, 45, 90, 32, 236, 300, 160, 212},
		{2, 45, 90, 38, 280, 375, 180, 236},
		{3, 45, 90, 48, 375, 500, 212, 280},
		{4, 45, 90, 60, 475, 600, 236, 315},
		{5, 45, 90, 71, 530, 710, 250, 335},
		{5.5, 45, 90, 75, 560, 750, 265, 355},
		{6, 45, 90, 80, 600, 800, 280, 375},
		{2, 90, 180, 38, 280, 375, 190, 250},
		{3, 90, 180, 48, 375, 500, 224, 300},
		{4, 90, 180, 60, 475, 600, 250, 335},
		{6, 90, 180, 80, 600, 800, 300, 400},
	} {
		for _, size := range []float64{c.over + 0.1, c.upto} {
			t.Run(fmt.Sprintf("M%vx%v", size, c.pitch), func(t *testing.T) {
				th, err := Parse(fmt.Sprintf("M%vx%v", size, c.pitch))
				require.NoError(t, err)
				out, err := th.Limits("6g", true)
				require.NoError(t, err)
				in, err := th.Limits("6H", false)
				require.NoError(t, err)
				um := func(a, b *unit.Length) float64 { return float64(*a-*b) * 1000 }
				const same = 1e-6 // micrometres: float64 noise
				assert.InDelta(t, c.devG, (size-out.MajorMax.MM())*1000, same, "es g")
				assert.InDelta(t, c.major, um(out.MajorMax, out.MajorMin), same, "T_d")
				assert.InDelta(t, c.minor, um(in.MinorMax, in.MinorMin), same, "T_D1")
				assert.InDelta(t, c.pitchOut, um(out.PitchMax, out.PitchMin), same, "T_d2")
				assert.InDelta(t, c.pitchIn, um(in.PitchMax, in.PitchMin), same, "T_D2")
			})
		}
	}
}

// Limits of size of ISO 965-2 (6g and 6H), from memory.
func TestMetricPublishedLimits(t *testing.T) {
	for _, c := range []struct {
		thread                                 string
		majorMax, majorMin, pitchMax, pitchMin float64
		minorMin, minorMax, tapMin, tapMax     float64
	}{
		{"M3", 2.980, 2.874, 2.655, 2.580, 2.459, 2.599, 2.675, 2.775},
		{"M6", 5.974, 5.794, 5.324, 5.212, 4.917, 5.153, 5.350, 5.500},
		{"M8", 7.972, 7.760, 7.160, 7.042, 6.647, 6.912, 7.188, 7.348},
		{"M10", 9.968, 9.732, 8.994, 8.862, 8.376, 8.676, 9.026, 9.206},
		{"M20", 19.958, 19.623, 18.334, 18.164, 17.294, 17.744, 18.376, 18.600},
	} {
		t.Run(c.thread, func(t *testing.T) {
			th, err := Parse(c.thread)
			require.NoError(t, err)
			out, err := th.Limits("", true)
			require.NoError(t, err)
			in, err := th.Limits("", false)
			require.NoError(t, err)
			for _, q := range []struct {
				name string
				want float64
				got  *unit.Length
			}{
				{"external major max", c.majorMax, out.MajorMax},
				{"external major min", c.majorMin, out.MajorMin},
				{"external pitch max", c.pitchMax, out.PitchMax},
				{"external pitch min", c.pitchMin, out.PitchMin},
				{"internal minor min", c.minorMin, in.MinorMin},
				{"internal minor max", c.minorMax, in.MinorMax},
				{"internal pitch min", c.tapMin, in.PitchMin},
				{"internal pitch max", c.tapMax, in.PitchMax},
			} {
				assert.InDelta(t, q.want, q.got.MM(), sameMM, q.name)
			}
		})
	}
}

// Tolerances of other grades for P = 1.5 over 22.4 up to 45 mm, micrometres (ISO 965-1 tables 2 to 5, from memory).
func TestMetricGrades(t *testing.T) {
	th, err := Parse("M45x1.5")
	require.NoError(t, err)
	for _, c := range []struct {
		class    string
		external bool
		pitchTol float64
	}{
		{"4h", true, 95},
		{"5g6g", true, 118},
		{"7g6g", true, 190},
		{"8g", true, 236},
		{"4H", false, 125},
		{"5H", false, 160},
		{"7H", false, 250},
		{"8H", false, 315},
	} {
		t.Run(c.class, func(t *testing.T) {
			l, err := th.Limits(c.class, c.external)
			require.NoError(t, err)
			assert.InDelta(t, c.pitchTol, float64(*l.PitchMax-*l.PitchMin)*1000, 1e-6)
		})
	}
}

func TestMetricPositions(t *testing.T) {
	th, err := Parse("M45x1.5")
	require.NoError(t, err)
	for _, c := range []struct {
		class    string
		external bool
		devUM    float64 // ISO 965-1 table 1 for P = 1.5, from memory
	}{{"6h", true, 0}, {"6g", true, -32}, {"6f", true, -45}, {"6e", true, -67}, {"6H", false, 0}, {"6G", false, 32}} {
		t.Run(c.class, func(t *testing.T) {
			l, err := th.Limits(c.class, c.external)
			require.NoError(t, err)
			got := l.PitchMin
			if c.external {
				got = l.PitchMax
			}
			assert.InDelta(t, 44.026+c.devUM/1000, got.MM(), sameMM)
		})
	}
	small, err := Parse("M1.6")
	require.NoError(t, err)
	_, err = small.Limits("6e", true)
	assert.ErrorContains(t, err, "no position e", "ISO 965-1 table 1 leaves e open below a pitch of 0.5 mm")
}

func TestMetricRows(t *testing.T) {
	seen := map[string]bool{}
	for _, th := range (Metric{}).Threads() {
		require.False(t, seen[th.Designation], "%s twice", th.Designation)
		seen[th.Designation] = true
		var size, pitch float64
		_, err := fmt.Sscanf(th.Designation, "M%gx%g", &size, &pitch)
		require.NoError(t, err)
		require.InDelta(t, size, th.Basic.Major.MM(), sameMM, th.Designation)
		require.InDelta(t, pitch, th.Pitch.MM(), sameMM, th.Designation)
		require.InDelta(t, size-0.649519*pitch, th.Basic.Pitch.MM(), 1e-5, "ISO 724: D - 0.6495 P, %s", th.Designation)
		require.InDelta(t, size-1.082532*pitch, th.Basic.Minor.MM(), 1e-5, "ISO 724: D - 1.0825 P, %s", th.Designation)
		requireSaneLimits(t, th, []string{"9g8g", "8g", "7g6g", "6g", "5g6g", "4g", "3h4h"}, []string{"8H", "7G", "6H", "5H", "4H"})
	}
	assert.Greater(t, len(seen), 250)
}
