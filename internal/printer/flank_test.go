package printer

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// layered is a printer of one process and layer.
func layered(process string, layer float64) Profile {
	p := Unnamed()
	p.Process, p.Layer = process, unit.MM(layer)
	return p
}

func threadOf(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := thread.NewTables().Parse(text)
	require.NoError(t, err)
	return th
}

// byHand is what layers add to a pitch diameter between straight flanks of those angles, degrees, worked out apart from the code:
// 2 (s1 + s2) / (tan a1 + tan a2).
func byHand(layer, a1, a2 float64, square bool) float64 {
	reach, tans := 0.0, 0.0
	for _, a := range []float64{a1 * math.Pi / 180, a2 * math.Pi / 180} {
		s := layer / 2
		if !square {
			s *= (1 - math.Sin(a)) / math.Cos(a)
		}
		reach, tans = reach+s, tans+math.Tan(a)
	}
	return 2 * reach / tans
}

func TestStraightFlanksByTheFormula(t *testing.T) {
	for _, tt := range []struct {
		thread string
		a1, a2 float64
		// layers is the growth in layer heights with round edges: 1, 1.17 and 2.9 are the rules that the derivation gives.
		layers, within float64
	}{
		{"M42x1.5", 30, 30, 1, 1e-6},
		{"1 5/8-16 UN", 30, 30, 1, 1e-6},
		{"1/2-14 NPT", 30, 30, 1, 1e-6},
		{"G 1 1/2", 27.5, 27.5, 1.17, 0.005},
		{"Tr 40x7", 15, 15, 2.9, 0.1},
		{"60mm x 6mm 3/30deg", 3, 30, 2.43, 0.01},
		{"20mm x 2mm 47.5deg", 23.75, 23.75, 1.48, 0.01},
	} {
		for _, layer := range []float64{0.05, 0.12, 0.2} {
			for _, side := range []Side{Inside, Outside} {
				t.Run(fmt.Sprintf("%s %v %v", tt.thread, layer, side), func(t *testing.T) {
					th := threadOf(t, tt.thread)
					round := layered(Filament, layer).Layers(th, side)
					assert.InDelta(t, byHand(layer, tt.a1, tt.a2, false), round.Pitch.MM(), 1e-4)
					assert.InDelta(t, tt.layers*layer, round.Pitch.MM(), tt.within*layer+1e-6)
					square := layered(Resin, layer).Layers(th, side)
					assert.InDelta(t, byHand(layer, tt.a1, tt.a2, true), square.Pitch.MM(), 1e-4)
					assert.Zero(t, min(round.Major, round.Minor, square.Major, square.Minor).MM(), "the crest stays")
				})
			}
		}
	}
}

// A measured bead is that of a process where the process's own figures are measured, reaches no less between the angles that were measured,
// and has a share of its own.
func TestMeasuredBead(t *testing.T) {
	loupe := layered(Filament, 0.2)
	require.NoError(t, loupe.Bead.UnmarshalText([]byte("30=0.288675, 15=0.383663")))
	text, err := loupe.Bead.MarshalText()
	require.NoError(t, err)
	assert.Equal(t, "15=0.383663, 30=0.288675", string(text))
	for name, within := range map[string]float64{"M42x1.5": 1e-5, "Tr 40x7": 1e-5, "G 1 1/2": 0.01, "60mm x 6mm 3/30deg": 0.02} {
		th := threadOf(t, name)
		for _, side := range []Side{Inside, Outside} {
			round, measured := layered(Filament, 0.2).Layers(th, side).Pitch.MM(), loupe.Layers(th, side).Pitch.MM()
			assert.Greater(t, measured, round-1e-5, name)
			assert.InDelta(t, round, measured, within, name)
		}
	}
	assert.InDelta(t, 0.2, loupe.usualLayers(Inside), 1e-5)
	assert.InDelta(t, 0.2*math.Sqrt(3), layered(Resin, 0.2).usualLayers(Inside), 1e-9)
	require.NoError(t, loupe.Bead.UnmarshalText([]byte("10=0.5, 60=0.5")))
	assert.InDelta(t, layered(Resin, 0.2).Layers(threadOf(t, "M42x1.5"), Outside).Pitch.MM(), loupe.Layers(threadOf(t, "M42x1.5"), Outside).Pitch.MM(), 1e-6, "square ends")
	for _, wrong := range []string{"", "30=0.29", "30=0.29, 15", "15=0.2, 30=0.3", "15=0.45, 30=0.2", "0=0.5, 30=0.29", "15=0.6, 30=0.29", "15=NaN, 30=0.29", "15=0.38, 15=0.38"} {
		var b Bead
		require.Error(t, b.UnmarshalText([]byte(wrong)), wrong)
	}
}

// beads lays the beads of a thread by themselves: points all around the ends of layers whose middles stand at many places of one
// pitch, as the helix brings them past the mate. Heights count from the axis outside, and toward it inside.
type beads struct {
	profile thread.Profile
	points  []thread.Knot
	turned  float64
}

func layBeads(t testing.TB, th thread.Thread, s Side, layer float64, square bool) beads {
	t.Helper()
	section := th.Section(th.Basic)
	section.Slope = 0
	profile, err := thread.NewProfile(section)
	require.NoError(t, err)
	out := beads{profile: profile, turned: 1}
	if s == Inside {
		out.turned = -1
	}
	const places, around = 800, 80
	for k := range places {
		z := section.PitchMM * float64(k) / places
		tip := out.turned * profile.Rho(z)
		if square {
			out.points = append(out.points, thread.Knot{Z: z - layer/2, R: tip}, thread.Knot{Z: z + layer/2, R: tip})
			continue
		}
		for i := range around + 1 {
			sin, cos := math.Sincos(math.Pi * (float64(i)/around - 0.5))
			out.points = append(out.points, thread.Knot{Z: z + layer/2*sin, R: tip - layer/2 + layer/2*cos})
		}
	}
	return out
}

// mate is how much larger (smaller inside) on the diameter a mate must be that is drawn as the thread itself, so that it touches no
// bead: it may slide along the axis to where it needs least.
func (b beads) mate() float64 {
	needs := func(slid float64) float64 {
		most := math.Inf(-1)
		for _, p := range b.points {
			most = math.Max(most, p.R-b.turned*b.profile.Rho(p.Z-slid))
		}
		return 2 * most
	}
	low, high := -b.profile.PitchMM/8, b.profile.PitchMM/8
	for range 40 {
		third := (high - low) / 3
		if needs(low+third) < needs(high-third) {
			high -= third
		} else {
			low += third
		}
	}
	return needs((low + high) / 2)
}

func TestMateOverBeadsNeedsWhatIsComputed(t *testing.T) {
	for _, name := range []string{"M20x2.5", "G 1", "Tr 40x7", "S 60x9", "3 BA", "20mm x 2mm 47.5deg", "Rd 40x1/6", "E27"} {
		for _, layer := range []float64{0.1, 0.28} {
			for _, process := range []string{Filament, Resin} {
				side := map[bool]Side{true: Inside, false: Outside}[layer > 0.2]
				t.Run(fmt.Sprintf("%s %v %s", name, layer, process), func(t *testing.T) {
					th := threadOf(t, name)
					got := layered(process, layer).Layers(th, side)
					laid := layBeads(t, th, side, layer, process == Resin)
					// The mate may meet the root where that is lost; it needs as much room as the diameter that grew most.
					want := math.Max(got.Pitch.MM(), math.Max(got.Minor.MM(), got.Major.MM()))
					assert.InDelta(t, want, laid.mate(), 0.006)
				})
			}
		}
	}
}

func TestRootThatIsLost(t *testing.T) {
	for _, tt := range []struct {
		thread string
		side   Side
		// flat is that of the root, in pitches.
		flat float64
	}{{"M3", Outside, 1.0 / 4}, {"M42x1.5", Inside, 1.0 / 8}} {
		th := threadOf(t, tt.thread)
		for _, layer := range []float64{0.05, 0.15, 0.2, 0.3} {
			got := layered(Resin, layer).Layers(th, tt.side)
			// The feet of both ridges grow by half a layer each; what is left of the flat closes at 60 degrees.
			want := math.Max(0, (layer-tt.flat*th.Pitch.MM())*math.Sqrt(3))
			assert.InDelta(t, want, math.Max(got.Minor.MM(), got.Major.MM()), 1e-6, "%s %v", tt.thread, layer)
			assert.Zero(t, min(got.Minor, got.Major).MM(), "the crest stays")
		}
	}
}

func TestLayersOfAnyThread(t *testing.T) {
	tables := thread.NewTables()
	rapid.Check(t, func(t *rapid.T) {
		lower, upper := rapid.Float64Range(3, 40).Draw(t, "lower"), rapid.Float64Range(3, 40).Draw(t, "upper")
		pitch := rapid.Float64Range(0.8, 8).Draw(t, "pitch")
		th, err := tables.Parse(fmt.Sprintf("80mm x %.3fmm %.2f/%.2fdeg", pitch, lower, upper))
		if err != nil {
			t.Skip()
		}
		layer := rapid.Float64Range(0.02, 0.1).Draw(t, "layer") * pitch
		side := rapid.SampledFrom([]Side{Inside, Outside}).Draw(t, "side")
		process := rapid.SampledFrom([]string{Filament, Resin}).Draw(t, "process")
		got := layered(process, layer).Layers(th, side)
		twice := layered(process, 2*layer).Layers(th, side)
		assert.Positive(t, got.Pitch.MM())
		assert.Greater(t, twice.Pitch, got.Pitch, "taller layers grow more")
		assert.GreaterOrEqual(t, layered(Resin, layer).Layers(th, side).Pitch.MM(), got.Pitch.MM()-1e-6, "square ends grow most")
		assert.GreaterOrEqual(t, got.Minor.MM()+got.Major.MM(), -1e-6)
		other := layered(process, layer).Layers(th, map[Side]Side{Inside: Outside, Outside: Inside}[side])
		if lower == upper {
			assert.InDelta(t, got.Pitch.MM(), other.Pitch.MM(), 1e-3)
		}
	})
}

func TestMakesIsPlainSizeScaleAndLayers(t *testing.T) {
	p := layered(Filament, 0.2)
	p.OutsideAdds, p.OutsideU, p.InsideTakes, p.InsideU = 0.03, 0.08, 0.13, 0.07
	p.LayerShare, p.LayerShareU, p.ScalePct, p.ScaleUPct = 0.8, 0.2, -0.3, 0.2
	th := threadOf(t, "M42x1.5")
	d := th.Basic.Pitch.MM()
	out := p.Makes(th, Outside)
	assert.InDelta(t, 0.03-0.003*d, out.Major.By.MM(), 1e-9, "a caliper over crests does not feel layers")
	assert.InDelta(t, 0.03-0.003*d+0.8*0.2, out.Pitch.By.MM(), 1e-6)
	assert.InDelta(t, math.Sqrt(0.08*0.08+math.Pow(0.2*0.2, 2)+math.Pow(0.002*d, 2)), out.Pitch.U.MM(), 1e-6)
	in := p.Makes(th, Inside)
	assert.InDelta(t, -0.13-0.003*d-0.8*0.2, in.Pitch.By.MM(), 1e-6)
	assert.InDelta(t, math.Hypot(0.07, 0.002*d), in.Minor.U.MM(), 1e-6)
	assert.InDelta(t, -0.13-0.003*d, in.Minor.By.MM(), 1e-9)

	// Where a rung has told the sum of size and layers, and neither by itself, the sum is certain.
	p.Tied = &[4][4]float64{0: {0: 0.01, 2: -0.05}, 2: {0: -0.05, 2: 0.25}}
	assert.InDelta(t, 0, p.Makes(th, Outside).Pitch.U.MM(), 1e-3)
	assert.InDelta(t, 0.1, p.Makes(th, Outside).Major.U.MM(), 1e-9)
}
