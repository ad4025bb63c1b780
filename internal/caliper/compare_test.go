package caliper_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
)

func TestCompare(t *testing.T) {
	got := caliper.Thread{
		MajorMM: 48, PitchDMM: 46.701, MinorMM: 45.835, LeadMM: 4, PitchMM: 2, Starts: 2, Hand: "right",
		Taper: 0.0001, AngleDeg: 60.01, FlankDeg: [2]float64{30, 30.01},
	}
	same := caliper.Wanted{
		MajorMM: 48.005, PitchDMM: 46.701, MinorMM: 45.83, LeadMM: 4, PitchMM: 2, Starts: 2, Hand: "right", AngleDeg: 60,
	}
	tol := caliper.Tolerance{DiameterMM: 0.01, LeadMM: 0.01, AngleDeg: 0.1, Taper: 0.001}
	cases := []struct {
		name  string
		want  func(w *caliper.Wanted)
		what  string
		prose string
	}{
		{"the same", func(*caliper.Wanted) {}, "", ""},
		{"nothing wanted", func(w *caliper.Wanted) { *w = caliper.Wanted{Taper: math.NaN()} }, "", ""},
		{"major", func(w *caliper.Wanted) { w.MajorMM = 48.02 }, "major diameter", "major diameter: measured 48.0000 mm, wanted 48.0200 mm +- 0.0100"},
		{"pitch diameter", func(w *caliper.Wanted) { w.PitchDMM = 46.5 }, "pitch diameter", ""},
		{"minor", func(w *caliper.Wanted) { w.MinorMM = 45 }, "minor diameter", ""},
		{"pitch", func(w *caliper.Wanted) { w.PitchMM = 1.5 }, "pitch", ""},
		{"lead", func(w *caliper.Wanted) { w.LeadMM = 2 }, "lead", ""},
		{"starts", func(w *caliper.Wanted) { w.Starts = 1 }, "starts", "starts: measured 2, wanted 1"},
		{"hand", func(w *caliper.Wanted) { w.Hand = "left" }, "hand", "hand: measured right, wanted left"},
		{"angle", func(w *caliper.Wanted) { w.AngleDeg = 55 }, "angle", "angle: measured 60.01 deg, wanted 55.00 deg +- 0.10"},
		{"lower flank", func(w *caliper.Wanted) { w.FlankDeg[0] = 3 }, "lower flank", "lower flank: measured 30.00 deg, wanted 3.00 deg +- 0.10"},
		{"upper flank", func(w *caliper.Wanted) { w.FlankDeg[1] = 45 }, "upper flank", ""},
		{"taper", func(w *caliper.Wanted) { w.Taper = 1.0 / 16 }, "taper", "taper: measured 0.00010, wanted 0.06250 +- 0.00100"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			want := same
			c.want(&want)
			diffs := caliper.Compare(got, want, tol)
			if c.what == "" {
				assert.Empty(t, diffs)
				return
			}
			require.Len(t, diffs, 1)
			assert.Equal(t, c.what, diffs[0].What)
			if c.prose != "" {
				assert.Equal(t, c.prose, diffs[0].String())
			}
		})
	}
	got.PitchDMM = math.NaN()
	assert.Len(t, caliper.Compare(got, same, tol), 1, "a figure that is not a number never agrees")
}
