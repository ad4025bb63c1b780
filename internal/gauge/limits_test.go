package gauge

// This file holds the limits of gauges against the published tables of their standards.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// wantedPitch returns the pitch diameters that the go and the no-go gauge of a thread should have, mm.
func wantedPitch(t *testing.T, asked Gauge) (goes, noGoes ring.Gauge) {
	t.Helper()
	out, err := asked.Resolve(thread.NewTables(), Job{Printer: exact(), Chord: build.DefaultChord})
	require.NoError(t, err)
	require.Len(t, out, 2)
	return out[0].Gauge, out[1].Gauge
}

// The caps of lamps have limits of crest and root (IEC 60061, from memory: E27 26.150 to 26.450 and 23.960 to 24.260 mm), between
// which the flank line lies halfway; where a table has none of the flanks, the person says how far parts may differ.
func TestGaugesWhereFlanksHaveNoLimits(t *testing.T) {
	goes, noGoes := wantedPitch(t, Gauge{Thread: "E27"})
	assert.InDelta(t, (26.450+24.260)/2, goes.Wanted.Pitch.MM(), 1e-9)
	assert.InDelta(t, (26.150+23.960)/2, noGoes.Wanted.Pitch.MM(), 1e-9)
	assert.Contains(t, goes.LimitsSource, "halfway between its limits of crest and root")
	for _, name := range []string{"Rd 40x1/6", "Pg 16", "S 60x9", "44.4mm x 12tpi"} {
		_, err := Gauge{Thread: name}.Resolve(thread.NewTables(), Job{Printer: printer.Unnamed(), Chord: build.DefaultChord})
		require.ErrorIs(t, err, thread.ErrNoLimits, name)
		require.Len(t, fault.Each(err), 1)
		assert.Equal(t, "tolerance", fault.Each(err)[0].Field, name)
		wantedPitch(t, Gauge{Thread: name, Tolerance: new(0.2 * unit.Millimetre)})
	}
}

// The gauges of pipe threads stand at the limits of ISO 228-1:2000 table 1 (mm; figures from memory, basic diameters of 1/16 to 2
// re-read against two public tables): external class A and B below the basic pitch diameter, internal above it.
func TestGaugesOfISO228(t *testing.T) {
	for _, x := range []struct {
		size                                        string
		major, pitch, minor, inside, classA, classB float64
	}{
		{"G 1/16", 7.723, 7.142, 6.561, 0.107, 0.107, 0.214},
		{"G 1/8", 9.728, 9.147, 8.566, 0.107, 0.107, 0.214},
		{"G 1/4", 13.157, 12.301, 11.445, 0.125, 0.125, 0.250},
		{"G 3/8", 16.662, 15.806, 14.950, 0.125, 0.125, 0.250},
		{"G 1/2", 20.955, 19.793, 18.631, 0.142, 0.142, 0.284},
		{"G 5/8", 22.911, 21.749, 20.587, 0.142, 0.142, 0.284},
		{"G 3/4", 26.441, 25.279, 24.117, 0.142, 0.142, 0.284},
		{"G 7/8", 30.201, 29.039, 27.877, 0.142, 0.142, 0.284},
		{"G 1", 33.249, 31.770, 30.291, 0.180, 0.180, 0.360},
		{"G 1 1/8", 37.897, 36.418, 34.939, 0.180, 0.180, 0.360},
		{"G 1 1/4", 41.910, 40.431, 38.952, 0.180, 0.180, 0.360},
		{"G 1 1/2", 47.803, 46.324, 44.845, 0.180, 0.180, 0.360},
		{"G 1 3/4", 53.746, 52.267, 50.788, 0.180, 0.180, 0.360},
		{"G 2", 59.614, 58.135, 56.656, 0.180, 0.180, 0.360},
		{"G 2 1/4", 65.710, 64.231, 62.752, 0.217, 0.217, 0.434},
		{"G 2 1/2", 75.184, 73.705, 72.226, 0.217, 0.217, 0.434},
		{"G 2 3/4", 81.534, 80.055, 78.576, 0.217, 0.217, 0.434},
		{"G 3", 87.884, 86.405, 84.926, 0.217, 0.217, 0.434},
		{"G 3 1/2", 100.330, 98.851, 97.372, 0.217, 0.217, 0.434},
		{"G 4", 113.030, 111.551, 110.072, 0.217, 0.217, 0.434},
	} {
		t.Run(x.size, func(t *testing.T) {
			const rounding = 0.0011 // mm: the standard rounds to 0.001 mm
			for class, tol := range map[string]float64{"A": x.classA, "B": x.classB} {
				goes, noGoes := wantedPitch(t, Gauge{Thread: x.size + " " + class})
				assert.InDelta(t, x.pitch, goes.Wanted.Pitch.MM(), rounding)
				assert.InDelta(t, x.pitch-tol, noGoes.Wanted.Pitch.MM(), rounding, "class %s", class)
				assert.InDelta(t, x.major, goes.Wanted.Major.MM(), rounding)
				assert.InDelta(t, x.minor, goes.Wanted.Minor.MM(), rounding)
			}
			goes, noGoes := wantedPitch(t, Gauge{Thread: x.size, Kind: "plug"})
			assert.InDelta(t, x.pitch, goes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, x.pitch+x.inside, noGoes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, x.major, goes.Wanted.Major.MM(), rounding)
			assert.InDelta(t, x.minor, goes.Wanted.Minor.MM(), rounding)
		})
	}
}

// Those of metric threads stand at basic size, its fundamental deviation g, and the tolerances of grade 6 (ISO 965-1, mm/1000;
// from memory, the coarse series re-read against a public table of ISO 965-2).
func TestGaugesOfISO965(t *testing.T) {
	for _, x := range []struct {
		thread                               string
		d, pitch                             float64
		deviation, external, internal, minor float64
	}{
		{"M10x0.75", 10, 0.75, 22, 100, 132, 190},
		{"M10x1", 10, 1, 26, 112, 150, 236},
		{"M10x1.25", 10, 1.25, 28, 118, 160, 265},
		{"M10x1.5", 10, 1.5, 32, 132, 180, 300},
		{"M20x1", 20, 1, 26, 118, 160, 236},
		{"M20x1.25", 20, 1.25, 28, 132, 180, 265},
		{"M20x1.5", 20, 1.5, 32, 140, 190, 300},
		{"M20x1.75", 20, 1.75, 34, 150, 200, 335},
		{"M20x2", 20, 2, 38, 160, 212, 375},
		{"M20x2.5", 20, 2.5, 42, 170, 224, 450},
		{"M36x1", 36, 1, 26, 125, 170, 236},
		{"M36x1.5", 36, 1.5, 32, 150, 200, 300},
		{"M36x2", 36, 2, 38, 170, 224, 375},
		{"M36x3", 36, 3, 48, 200, 265, 500},
		{"M36x3.5", 36, 3.5, 53, 212, 280, 560},
		{"M36x4", 36, 4, 60, 224, 300, 600},
		{"M36x4.5", 36, 4.5, 63, 236, 315, 670},
		{"M64x1.5", 64, 1.5, 32, 160, 212, 300},
		{"M64x2", 64, 2, 38, 180, 236, 375},
		{"M64x3", 64, 3, 48, 212, 280, 500},
		{"M64x4", 64, 4, 60, 236, 315, 600},
		{"M64x5", 64, 5, 71, 250, 335, 710},
		{"M64x5.5", 64, 5.5, 75, 265, 355, 750},
		{"M64x6", 64, 6, 80, 280, 375, 800},
		{"M120x2", 120, 2, 38, 190, 250, 375},
		{"M120x3", 120, 3, 48, 224, 300, 500},
		{"M120x4", 120, 4, 60, 250, 335, 600},
		{"M120x6", 120, 6, 80, 300, 400, 800},
	} {
		t.Run(x.thread, func(t *testing.T) {
			const rounding = 0.0011 // mm: the standard rounds to 0.001 mm
			basic := x.d - 0.649519*x.pitch
			goes, noGoes := wantedPitch(t, Gauge{Thread: x.thread, Class: "6g"})
			assert.InDelta(t, basic-x.deviation/1000, goes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, basic-(x.deviation+x.external)/1000, noGoes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, x.d-x.deviation/1000, goes.Wanted.Major.MM(), rounding)
			goes, noGoes = wantedPitch(t, Gauge{Thread: x.thread, Class: "6H"})
			assert.InDelta(t, basic, goes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, basic+x.internal/1000, noGoes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, x.d-1.082532*x.pitch, goes.Wanted.Minor.MM(), rounding)
			assert.InDelta(t, x.minor/1000, (*noGoes.Limits.MinorMax - *noGoes.Limits.MinorMin).MM(), rounding)
		})
	}
}

// Those of inch threads stand at the published limits, in inches, to the last digit: ASME B1.1 (public table of limits, classes 2A
// and 2B), ASME B1.20.1 for NPSM (public table), ASME B1.20.7 for the hose thread (from memory).
func TestGaugesOfInchThreads(t *testing.T) {
	for _, x := range []struct {
		thread                                                       string
		pitchMax, pitchMin, insidePitchMin, insidePitchMax, minorMin float64
	}{
		{"15/16-16 UN", 0.8954, 0.8904, 0.8969, 0.9034, 0.870},
		{"15/16-12 UN", 0.8817, 0.8760, 0.8834, 0.8908, 0.847},
		{"15/16-20 UNEF", 0.9036, 0.8991, 0.9050, 0.9109, 0.883},
		{"1/4-20 UNC", 0.2164, 0.2127, 0.2175, 0.2224, 0.196},
		{"1/8-27 NPSM", 0.3725, 0.3689, 0.3736, 0.3783, 0.358},
		{"1/4-18 NPSM", 0.4903, 0.4859, 0.4916, 0.4974, 0.468},
		{"3/8-18 NPSM", 0.6256, 0.6211, 0.6270, 0.6329, 0.603},
		{"1/2-14 NPSM", 0.7769, 0.7718, 0.7784, 0.7851, 0.747},
		{"3/4-14 NPSM", 0.9873, 0.9820, 0.9889, 0.9958, 0.958},
		{"1-11.5 NPSM", 1.2369, 1.2311, 1.2386, 1.2462, 1.201},
		{"1 1/4-11.5 NPSM", 1.5816, 1.5756, 1.5834, 1.5912, 1.546},
		{"1 1/2-11.5 NPSM", 1.8205, 1.8144, 1.8223, 1.8302, 1.785},
		{"2-11.5 NPSM", 2.2944, 2.2882, 2.2963, 2.3044, 2.259},
		{"2 1/2-8 NPSM", 2.7600, 2.7526, 2.7622, 2.7720, 2.708},
		{"3-8 NPSM", 3.3862, 3.3786, 3.3885, 3.3984, 3.334},
		{"3 1/2-8 NPSM", 3.8865, 3.8788, 3.8888, 3.8988, 3.835},
		{"4-8 NPSM", 4.3848, 4.3771, 4.3871, 4.3971, 4.333},
		{"3/4-11.5 NH", 1.0060, 0.9975, 1.0160, 1.0245, 0.9595},
	} {
		t.Run(x.thread, func(t *testing.T) {
			const rounding = 0.00006 * 25.4 // mm: half of the last published digit, 0.0001 in
			goes, noGoes := wantedPitch(t, Gauge{Thread: x.thread, Kind: "ring"})
			assert.InDelta(t, 25.4*x.pitchMax, goes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, 25.4*x.pitchMin, noGoes.Wanted.Pitch.MM(), rounding)
			goes, noGoes = wantedPitch(t, Gauge{Thread: x.thread, Kind: "plug"})
			assert.InDelta(t, 25.4*x.insidePitchMin, goes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, 25.4*x.insidePitchMax, noGoes.Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, 25.4*x.minorMin, goes.Wanted.Minor.MM(), 0.0006*25.4, "published to 0.001 in")
		})
	}
}

// The rings of taper threads have E1 in the gauge plane and steps one turn to either side of L1 (ASME B1.20.1, public table, inches; the
// turn from memory), or the gauge length with its tolerance (ISO 7-1 table 1, mm; from memory).
func TestGaugesOfTapers(t *testing.T) {
	for _, x := range []struct {
		thread                     string
		pitch, place, either, unit float64
	}{
		{"1/8-27 NPT", 0.37360, 0.1615, 1 / 27., 25.4},
		{"1/4-18 NPT", 0.49163, 0.2278, 1 / 18., 25.4},
		{"3/8-18 NPT", 0.62701, 0.240, 1 / 18., 25.4},
		{"1/2-14 NPT", 0.77843, 0.320, 1 / 14., 25.4},
		{"3/4-14 NPT", 0.98887, 0.339, 1 / 14., 25.4},
		{"1-11.5 NPT", 1.23863, 0.400, 1 / 11.5, 25.4},
		{"1 1/4-11.5 NPT", 1.58338, 0.420, 1 / 11.5, 25.4},
		{"1 1/2-11.5 NPT", 1.82234, 0.420, 1 / 11.5, 25.4},
		{"2-11.5 NPT", 2.29627, 0.436, 1 / 11.5, 25.4},
		{"2 1/2-8 NPT", 2.76216, 0.682, 1 / 8., 25.4},
		{"3-8 NPT", 3.38850, 0.766, 1 / 8., 25.4},
		{"4-8 NPT", 4.38712, 0.844, 1 / 8., 25.4},
		{"R 1/16", 7.142, 4.0, 0.9, 1},
		{"R 1/8", 9.147, 4.0, 0.9, 1},
		{"R 1/4", 12.301, 6.0, 1.3, 1},
		{"R 3/8", 15.806, 6.4, 1.3, 1},
		{"R 1/2", 19.793, 8.2, 1.8, 1},
		{"R 3/4", 25.279, 9.5, 1.8, 1},
		{"R 1", 31.770, 10.4, 2.3, 1},
		{"R 1 1/4", 40.431, 12.7, 2.3, 1},
		{"R 1 1/2", 46.324, 12.7, 2.3, 1},
		{"R 2", 58.135, 15.9, 2.3, 1},
		{"R 2 1/2", 73.705, 17.5, 3.5, 1},
		{"R 3", 86.405, 20.6, 3.5, 1},
		{"R 4", 111.551, 25.4, 3.5, 1},
	} {
		t.Run(x.thread, func(t *testing.T) {
			asked, err := Gauge{Thread: x.thread}.Resolve(thread.NewTables(), Job{Printer: exact(), Chord: build.DefaultChord})
			require.NoError(t, err)
			require.Len(t, asked, 1)
			const rounding = 0.0015 // mm: the standards round to 0.00001 in and 0.001 mm
			assert.InDelta(t, x.pitch*x.unit, asked[0].Wanted.Pitch.MM(), rounding)
			assert.InDelta(t, (x.place-x.either)*x.unit, asked[0].StepsMM[0], rounding)
			assert.InDelta(t, (x.place+x.either)*x.unit, asked[0].StepsMM[1], rounding)
		})
	}
}
