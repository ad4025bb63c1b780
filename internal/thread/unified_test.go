package thread

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// sameInch is less than the last digit that ASME B1.1 publishes, in inches.
const sameInch = 1e-9

func inchesOf(l *unit.Length) float64 {
	if l == nil {
		return math.NaN()
	}
	return l.Inches()
}

func TestUnifiedPublishedLimits(t *testing.T) {
	for _, c := range []struct {
		thread, source, external, internal     string
		majorMax, majorMin, pitchMax, pitchMin float64
		minorMin, minorMax, tapMin, tapMax     float64 // internal: minor diameter, pitch diameter
	}{
		{"15/16-16 UN", "ASME B1.1, table of limits (public copy)", "2A", "2B", 0.9360, 0.9266, 0.8954, 0.8904, 0.870, 0.884, 0.8969, 0.9034},
		{"15/16-12 UN", "ASME B1.1, table of limits (public copy)", "2A", "2B", 0.9358, 0.9244, 0.8817, 0.8760, 0.847, 0.865, 0.8834, 0.8908},
		{"15/16-20 UNEF", "ASME B1.1, table of limits (public copy)", "2A", "2B", 0.9361, 0.9280, 0.9036, 0.8991, 0.883, 0.895, 0.9050, 0.9109},
		{"1/4-20 UNC", "ASME B1.1, table of limits (public copy)", "2A", "2B", 0.2489, 0.2408, 0.2164, 0.2127, 0.196, 0.207, 0.2175, 0.2224},
		{"1 3/4-12 UN", "ASME B1.1, from memory", "2A", "2B", 1.7482, 1.7368, 1.6941, 1.6881, 1.660, 1.678, 1.6959, 1.7037},
		{"1/4-20 UNC", "ASME B1.1, from memory", "3A", "3B", 0.2500, 0.2419, 0.2175, 0.2147, 0.196, 0.2067, 0.2175, 0.2211},
		{"1/4-20 UNC", "ASME B1.1, from memory", "1A", "1B", 0.2489, 0.2367, 0.2164, 0.2108, 0.196, 0.207, 0.2175, 0.2248},
		{"1/2-13 UNC", "ASME B1.1, from memory", "2A", "2B", 0.4985, 0.4876, 0.4485, 0.4435, 0.417, 0.434, 0.4500, 0.4565},
		{"5/8-11 UNC", "ASME B1.1, from memory", "2A", "2B", 0.6234, 0.6113, 0.5644, 0.5589, 0.527, 0.546, 0.5660, 0.5732},
		{"1 1/8-7 UNC", "ASME B1.1, from memory", "2A", "2B", 1.1228, 1.1064, 1.0300, 1.0228, 0.970, 0.998, 1.0322, 1.0416},
		{"1-8 UNC", "ASME B1.1, from memory", "2A", "2B", 0.9980, 0.9830, 0.9168, 0.9100, 0.865, 0.890, 0.9188, 0.9276},
		{"#10-24 UNC", "ASME B1.1, from memory", "2A", "2B", 0.1890, 0.1818, 0.1619, 0.1586, 0.145, 0.156, 0.1629, 0.1672},
		{"#6-32 UNC", "ASME B1.1, from memory", "2A", "2B", 0.1372, 0.1312, 0.1169, 0.1141, 0.104, 0.114, 0.1177, 0.1214},
		{"#6-32 UNC", "ASME B1.1, from memory", "3A", "3B", 0.1380, 0.1320, 0.1177, 0.1156, 0.1040, 0.1140, 0.1177, 0.1204},
		{"#5-40 UNC", "ASME B1.1, from memory", "2A", "2B", 0.1242, 0.1191, 0.1080, 0.1054, 0.0979, 0.1062, 0.1088, 0.1121},
		{"#4-40 UNC", "ASME B1.1, from memory", "2A", "2B", 0.1112, 0.1061, 0.0950, 0.0925, 0.0849, 0.0939, 0.0958, 0.0991},
		{"#2-56 UNC", "ASME B1.1, from memory", "2A", "2B", 0.0854, 0.0813, 0.0738, 0.0717, 0.0667, 0.0737, 0.0744, 0.0772},
		{"#0-80 UNF", "ASME B1.1, from memory", "2A", "2B", 0.0595, 0.0563, 0.0514, 0.0496, 0.0465, 0.0514, 0.0519, 0.0542},
		{"7/8-14 UNF", "ASME B1.1, from memory", "2A", "2B", 0.8734, 0.8631, 0.8270, 0.8216, 0.798, 0.814, 0.8286, 0.8356},
		{"1-14 UNS", "ASME B1.1, from memory", "2A", "2B", 0.9983, 0.9880, 0.9519, 0.9463, 0.923, 0.938, 0.9536, 0.9609},
	} {
		t.Run(c.thread+" "+c.external+" "+c.internal, func(t *testing.T) {
			th, err := Parse(c.thread)
			require.NoError(t, err)
			out, err := th.Limits(c.external, true)
			require.NoError(t, err)
			in, err := th.Limits(c.internal, false)
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
				assert.InDelta(t, q.want, inchesOf(q.got), sameInch, "%s (%s)", q.name, c.source)
			}
			assert.Nil(t, out.MinorMin, "open in the standard")
			assert.Nil(t, in.MajorMax, "open in the standard")
		})
	}
}

// Allowances of classes 1A and 2A in ten-thousandths of an inch (ASME B1.1 table of limits, from memory).
func TestUnifiedAllowances(t *testing.T) {
	for _, c := range []struct {
		threads    string
		allowances []int
	}{
		{
			"1/4-20 5/16-18 3/8-16 7/16-14 1/2-13 9/16-12 5/8-11 3/4-10 7/8-9 1-8 1_1/8-7 1_1/4-7 1_3/8-6 1_1/2-6 1_3/4-5 2-4.5 2_1/4-4.5 2_1/2-4 2_3/4-4 3-4 3_1/4-4 3_1/2-4 3_3/4-4 4-4",
			[]int{11, 12, 13, 14, 15, 16, 16, 18, 19, 20, 22, 22, 24, 24, 27, 29, 29, 31, 32, 32, 33, 33, 34, 34},
		},
		{
			"1/4-28 5/16-24 3/8-24 7/16-20 1/2-20 9/16-18 5/8-18 3/4-16 7/8-14 1-12 1_1/8-12 1_1/4-12 1_3/8-12 1_1/2-12",
			[]int{10, 11, 11, 13, 13, 14, 14, 15, 16, 18, 18, 18, 19, 19},
		},
		{
			"#0-80 #1-72 #2-64 #3-56 #4-48 #5-44 #6-40 #8-36 #10-32 #12-28 #1-64 #2-56 #3-48 #4-40 #5-40 #6-32 #8-32 #10-24 #12-24",
			[]int{5, 6, 6, 7, 7, 7, 8, 8, 9, 10, 6, 6, 7, 8, 8, 8, 9, 10, 10},
		},
	} {
		names := strings.Fields(c.threads)
		require.Len(t, names, len(c.allowances))
		for i, name := range names {
			th, err := Parse(strings.ReplaceAll(name, "_", " "))
			require.NoError(t, err)
			assert.Equal(t, tenThou(c.allowances[i]), Unified{}.allowance(th), th.Designation)
		}
	}
}

// The grade of a class goes to the side that is asked for; the class of the thread is used when none is asked for.
func TestUnifiedClassFollowsTheSide(t *testing.T) {
	th, err := Parse("1 3/4-12 UN-3A")
	require.NoError(t, err)
	mate, err := th.Limits("", false)
	require.NoError(t, err)
	third, err := th.Limits("3B", false)
	require.NoError(t, err)
	usual, err := th.Limits("2B", false)
	require.NoError(t, err)
	assert.Equal(t, third, mate)
	assert.NotEqual(t, usual, mate)
	_, err = th.Limits("6g", true)
	assert.ErrorContains(t, err, "1A, 2A, 3A")
}

func TestUnifiedOutsideTheTables(t *testing.T) {
	th, err := Parse("8-16 UN")
	require.NoError(t, err)
	assert.Equal(t, "8-16 UNS", th.Designation)
	assert.Equal(t, "ASME B1.1-2019, by formula", th.Standard)
	out, err := th.Limits("2A", true)
	require.NoError(t, err)
	// ASME B1.1 formulas worked by hand for D = 8, P = 1/16, LE = 9 P: 0.0015 x 2 + 0.0015 x 0.75 + 0.015 x 0.157490
	// = 0.006487; allowance 0.0019; basic pitch diameter 7.9594.
	assert.InDelta(t, 7.9575, inchesOf(out.PitchMax), sameInch)
	assert.InDelta(t, 7.9510, inchesOf(out.PitchMin), sameInch)
}

// Every row: the name agrees with diameter and pitch, the diameters fall, the tolerances have the right sign.
func TestUnifiedRows(t *testing.T) {
	seen := map[string]bool{}
	for _, th := range (Unified{}).Threads() {
		require.False(t, seen[th.Designation], "%s twice", th.Designation)
		seen[th.Designation] = true
		size, rest, found := strings.Cut(th.Designation, "-")
		require.True(t, found)
		var perInch, number float64
		_, err := fmt.Sscanf(rest, "%g", &perInch)
		require.NoError(t, err)
		inches := 0.0
		if n, _ := fmt.Sscanf(size, "#%g", &number); n == 1 {
			inches = 0.060 + 0.013*number // ASME B1.1, numbered sizes
		} else {
			l, err := unit.ParseLength(size + " in")
			require.NoError(t, err)
			inches = l.Inches()
		}
		require.InDelta(t, inches, th.Basic.Major.Inches(), sameInch, th.Designation)
		require.InDelta(t, 1/perInch, th.Pitch.Inches(), sameInch, th.Designation)
		require.InDelta(t, inches-0.649519/perInch, th.Basic.Pitch.Inches(), 1e-6, "ASME B1.1: D - 0.649519 P, %s", th.Designation)
		require.InDelta(t, inches-1.082532/perInch, th.Basic.Minor.Inches(), 1e-6, "ASME B1.1: D - 1.082532 P, %s", th.Designation)
		requireSaneLimits(t, th, []string{"1A", "2A", "3A"}, []string{"1B", "2B", "3B"})
	}
	assert.Greater(t, len(seen), 300)
}

// requireSaneLimits proves that at every class greatest lies above least, the two sides never overlap on the flanks, and
// that each class in the list is tighter than the one before.
func requireSaneLimits(t *testing.T, th Thread, external, internal []string) {
	t.Helper()
	b := th.Basic
	const halfDigit = 0.0013 // mm: sizes are published to 0.0001 in or 0.001 mm, so rounding moves them by half of that
	last := math.Inf(1)
	for _, class := range external {
		l, err := th.Limits(class, true)
		require.NoError(t, err, "%s %s", th.Designation, class)
		require.Greater(t, *l.MajorMax, *l.MajorMin, "%s %s", th.Designation, class)
		require.Greater(t, *l.PitchMax, *l.PitchMin, "%s %s", th.Designation, class)
		require.LessOrEqual(t, l.MajorMax.MM(), b.Major.MM()+halfDigit, "%s %s", th.Designation, class)
		require.LessOrEqual(t, l.PitchMax.MM(), b.Pitch.MM()+halfDigit, "%s %s", th.Designation, class)
		require.LessOrEqual(t, l.MinorMax.MM(), b.Minor.MM()+halfDigit, "%s %s", th.Designation, class)
		require.Less(t, float64(*l.PitchMax-*l.PitchMin), last, "%s %s", th.Designation, class)
		last = float64(*l.PitchMax - *l.PitchMin)
	}
	last = math.Inf(1)
	for _, class := range internal {
		l, err := th.Limits(class, false)
		require.NoError(t, err, "%s %s", th.Designation, class)
		require.Greater(t, *l.PitchMax, *l.PitchMin, "%s %s", th.Designation, class)
		require.Greater(t, *l.MinorMax, *l.MinorMin, "%s %s", th.Designation, class)
		require.GreaterOrEqual(t, l.MajorMin.MM(), b.Major.MM()-halfDigit, "%s %s", th.Designation, class)
		require.GreaterOrEqual(t, l.PitchMin.MM(), b.Pitch.MM()-halfDigit, "%s %s", th.Designation, class)
		require.Less(t, float64(*l.PitchMax-*l.PitchMin), last, "%s %s", th.Designation, class)
		last = float64(*l.PitchMax - *l.PitchMin)
	}
}
