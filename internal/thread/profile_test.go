package thread

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// roundOffMM is what float64 arithmetic on lengths below 1 m may lose.
const roundOffMM = 1e-9

func basic(t testing.TB, f Form, pitch, pitchD, slope float64) Profile {
	t.Helper()
	h := f.DepthPerPitch * pitch
	s := Section{PitchMM: pitch, FlankRad: f.FlankRad, PitchDMM: pitchD, MajorMM: pitchD + h, MinorMM: pitchD - h, Slope: slope}
	if f == Form60 { // the basic profile is not symmetrical: 3/8 H above the pitch line, 1/4 H below (ISO 68-1:1998 figure 1)
		hh := math.Sqrt(3) / 2 * pitch
		s.MajorMM, s.MinorMM = pitchD+2*3.0/8*hh, pitchD-2.0/4*hh
	}
	s.RoundMajor, s.RoundMinor = f.RoundPerPitch > 0, f.RoundPerPitch > 0
	p, err := NewProfile(s)
	require.NoError(t, err)
	return p
}

func TestProfileFlats(t *testing.T) {
	// ISO 68-1:1998 figure 1: crest flat P/8 at the major diameter, root flat P/4 at the minor diameter.
	p := basic(t, Form60, 2, 46.700962, 0)
	ks := p.Knots(0.005)
	require.Len(t, ks, 4)
	assert.InDelta(t, 2.0/4, ks[0].Z-(ks[3].Z-2), roundOffMM, "root flat")
	assert.InDelta(t, 2.0/8, ks[2].Z-ks[1].Z, roundOffMM, "crest flat")
	assert.InDelta(t, 48.0/2, ks[1].R, 1e-6, "major radius of M48x2")
	assert.InDelta(t, 45.834936/2, ks[0].R, 1e-6, "minor radius of M48x2, ISO 724:1993: 45.835")
}

func TestProfileWhitworthArc(t *testing.T) {
	// ISO 228-1:2000 clause 4: r = 0.137329 P.
	p := basic(t, Form55, 2.309, 46.324, 0)
	for _, s := range p.segments {
		if s.radius != 0 {
			assert.InDelta(t, 0.137329*2.309, math.Abs(s.radius), 2e-5)
		}
	}
	// The arcs touch the flanks: no corner between line and arc.
	ridge := p.segments[2]
	slope := (ridge.at(ridge.a.Z+1e-7) - ridge.a.R) / 1e-7
	assert.InDelta(t, 1/math.Tan(Form55.FlankRad), slope, 1e-4)
}

func TestProfileProperties(t *testing.T) {
	samples := 0
	rapid.Check(t, func(rt *rapid.T) {
		samples++
		form := rapid.SampledFrom([]Form{Form60, Form55, FormNPT}).Draw(rt, "form")
		pitch := rapid.Float64Range(0.35, 6).Draw(rt, "pitch")
		slope := rapid.SampledFrom([]float64{0, 1.0 / 32, -1.0 / 32}).Draw(rt, "slope")
		chord := rapid.SampledFrom([]float64{0.05, 0.005, 0.001}).Draw(rt, "chord")
		p := basic(t, form, pitch, 40, slope)

		z := rapid.Float64Range(-3*pitch, 3*pitch).Draw(rt, "z")
		assert.InDelta(rt, p.Rho(z), p.Rho(z+pitch), roundOffMM*100, "periodic")

		ks := p.Knots(chord)
		assert.Less(rt, ks[len(ks)-1].Z-ks[0].Z, pitch, "one period")
		for i := range ks {
			a, b := ks[i], ks[(i+1)%len(ks)]
			if i == len(ks)-1 {
				b.Z += pitch
			}
			require.Greater(rt, b.Z, a.Z, "z rises")
			assert.InDelta(rt, p.Rho(a.Z), a.R, 1e-7, "corners lie on the section")
			for f := 0.1; f < 1; f += 0.1 {
				z := a.Z + f*(b.Z-a.Z)
				chordR := a.R + f*(b.R-a.R)
				// On a 55 degree flank a radial gap is at most 1/sin(27.5) of the gap across the chord.
				assert.LessOrEqual(rt, math.Abs(p.Rho(z)-chordR), chord/math.Sin(form.FlankRad)+roundOffMM, "within the chord")
			}
		}
		// The ridge is half a pitch wide on the pitch cone: both flanks pass through it a quarter pitch from the middle.
		assert.InDelta(rt, 20, p.Rho(pitch/4), roundOffMM)
		assert.InDelta(rt, 20, p.Rho(-pitch/4), roundOffMM)
	})
	require.Positive(t, samples)
}

// Sections of two flank angles: each flank keeps its own, the ridge is half a pitch wide on the pitch line, and the
// flats are those of the standards: 0.26384 P of DIN 513 (3/30) and 0.16316 P of ASME B1.9 (7/45) at the crest (both
// from memory). Turned about, the upper flank is the lower one.
func TestProfileOfTwoAngles(t *testing.T) {
	for _, c := range []struct {
		thread        string
		lower, upper  float64
		crestPerPitch float64
	}{{"S 60x9", 3, 30, 0.26384}, {"2-8 Butt", 7, 45, 0.16316}, {"Tr 40x7", 15, 15, 0.36603}, {"1-5 Acme", 14.5, 14.5, 0.3707}, {"60mm x 6mm 3/30deg", 3, 30, 0.26384}} {
		th, err := Parse(c.thread)
		require.NoError(t, err)
		p, err := NewProfile(th.Section(th.Basic))
		require.NoError(t, err)
		ks := p.Knots(0.005)
		require.Len(t, ks, 4, c.thread)
		pitch := th.Pitch.MM()
		assert.InDelta(t, c.crestPerPitch, (ks[2].Z-ks[1].Z)/pitch, 5e-5, "crest flat of %s", c.thread)
		assert.InDelta(t, math.Tan(c.lower*math.Pi/180), (ks[1].Z-ks[0].Z)/(ks[1].R-ks[0].R), 1e-9, "flank that faces -z")
		assert.InDelta(t, math.Tan(c.upper*math.Pi/180), (ks[3].Z-ks[2].Z)/(ks[2].R-ks[3].R), 1e-9, "flank that faces +z")
		assert.InDelta(t, th.Basic.Pitch.MM()/2, p.Rho(pitch/4), roundOffMM)
		assert.InDelta(t, th.Basic.Pitch.MM()/2, p.Rho(-pitch/4), roundOffMM)
	}
}

// An arc between two flanks of any angles touches both and reaches the diameter.
func TestArcsOfAnyTwoAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lower, upper := rapid.Float64Range(3, 50).Draw(t, "lower"), rapid.Float64Range(3, 50).Draw(t, "upper")
		f, err := shape{FlanksDeg: []float64{lower, upper}, Depth: 0.5 * sharpHeight(lower, upper), Round: true}.form()
		if err != nil {
			t.Fatal(err)
		}
		th := Thread{Form: f, Pitch: 2, Starts: 1, Hand: Right, Basic: basicOf(f, 80, 2)}
		p, err := NewProfile(th.Section(th.Basic))
		if err != nil {
			t.Fatal(err)
		}
		if !p.RoundMajor {
			return // the arcs would overlap
		}
		top, bottom := math.Inf(-1), math.Inf(1)
		for _, k := range p.Knots(0.001) {
			top, bottom = math.Max(top, k.R), math.Min(bottom, k.R)
		}
		if math.Abs(top-40) > 1e-9 || math.Abs(bottom-th.Basic.Minor.MM()/2) > 1e-9 {
			t.Fatalf("flanks %v and %v: arcs reach %v and %v, want 40 and %v", lower, upper, top, bottom, th.Basic.Minor.MM()/2)
		}
		for _, s := range p.segments {
			if s.radius != 0 {
				continue
			}
			if s.b.Z < s.a.Z-1e-8 {
				t.Fatalf("a flank runs backward by %v", s.a.Z-s.b.Z)
			}
			want := 1 / math.Tan(lower*math.Pi/180)
			if s.b.R < s.a.R {
				want = -1 / math.Tan(upper*math.Pi/180)
			}
			if got := (s.b.R - s.a.R) / (s.b.Z - s.a.Z); s.b.Z-s.a.Z > 1e-6 && math.Abs(got-want) > 1e-6*math.Abs(want) {
				t.Fatalf("flank %v, want %v", got, want)
			}
		}
	})
}

func TestProfileRefuses(t *testing.T) {
	good := Section{PitchMM: 2, FlankRad: Form60.FlankRad, MajorMM: 48, PitchDMM: 46.701, MinorMM: 45.835}
	for name, change := range map[string]func(*Section){
		"no pitch":              func(s *Section) { s.PitchMM = 0 },
		"NaN":                   func(s *Section) { s.MajorMM = math.NaN() },
		"diameters in disorder": func(s *Section) { s.MinorMM = 47 },
		"flanks met":            func(s *Section) { s.MajorMM = 60 },
		"undercut":              func(s *Section) { s.FlankRad = 0 },
		"steep taper":           func(s *Section) { s.Slope = 0.5 },
	} {
		t.Run(name, func(t *testing.T) {
			s := good
			change(&s)
			_, err := NewProfile(s)
			assert.Error(t, err)
		})
	}
}

func TestTaperedFlanksKeepTheirAngle(t *testing.T) {
	// ASME B1.20.1-2013 clause 3: the flanks stand 30 degrees to the perpendicular of the axis, not of the cone.
	p := basic(t, FormNPT, 1.814286, 19.772, -1.0/32)
	r := func(z float64) float64 { return p.Rho(z) + p.Slope*z }
	for _, z := range []float64{-p.PitchMM / 4, p.PitchMM / 4} {
		slope := (r(z+1e-6) - r(z-1e-6)) / 2e-6
		assert.InDelta(t, 1/math.Tan(30*math.Pi/180), math.Abs(slope), 1e-6)
	}
	assert.InDelta(t, (19.772+0.8*1.814286)/2, r(0), roundOffMM, "crest in the gauge plane")
}
