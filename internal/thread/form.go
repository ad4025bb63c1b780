package thread

// This file holds the forms of threads: straight flanks at any two angles, with crests and roots that are flats or arcs.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/unit"
)

// Form is the shape of a thread in its axial section. Heights are on the radius, as multiples of the pitch. The pitch
// line is where ridge and groove are equally wide (ASME B1.7).
type Form struct {
	// FlankRad is the angle between the perpendicular to the axis and the flank of an external ridge that faces -z,
	// radians; UpperRad that of the flank that faces +z, 0 where both are alike. Of unequal flanks the one that
	// carries the load faces -z.
	FlankRad, UpperRad float64
	// RoundPerPitch is the radius of crest and root arcs; 0 means flat crests and roots.
	RoundPerPitch float64
	// DepthPerPitch is the height from minor to major, AddendumPerPitch that from the pitch line to the major diameter.
	DepthPerPitch, AddendumPerPitch float64
	// OpenRootPerPitch is how far a die or tap cuts a root that the standard leaves open beyond the pitch line; 0
	// where that is the basic form.
	OpenRootPerPitch float64
}

// sharp60 is H, the height of the sharp 60 degree triangle (ASME B1.1, ISO 68-1).
const sharp60 = 0.866025403784439

// The forms that free threads and most tables have.
var (
	// Form60 is the basic profile of ISO 68-1:1998 figure 1 and ASME B1.1: 5/8 H high, 3/8 H of it outside the pitch line.
	Form60 = Form{FlankRad: 30 * degree, DepthPerPitch: 5.0 / 8 * sharp60, AddendumPerPitch: 3.0 / 8 * sharp60}
	// Form55 is the Whitworth form of ISO 228-1 clause 4: H = 0.960491 P, h = 0.640327 P, r = 0.137329 P.
	Form55 = Form{FlankRad: 27.5 * degree, RoundPerPitch: 0.137329, DepthPerPitch: 0.640327, AddendumPerPitch: 0.640327 / 2}
	// FormNPT is the taper pipe form of ASME B1.20.1: 60 degree, height 0.8 P, flat crests and roots.
	FormNPT = Form{FlankRad: 30 * degree, DepthPerPitch: 0.8, AddendumPerPitch: 0.4}
)

const degree = math.Pi / 180

// Flanks returns the angles of both flanks to the perpendicular of the axis, radians: that which faces -z, then +z.
func (f Form) Flanks() (lower, upper float64) {
	if f.UpperRad > 0 {
		return f.FlankRad, f.UpperRad
	}
	return f.FlankRad, f.FlankRad
}

// Facing returns the angles of the faces of a part that look down (-z) and up, radians: those of its ridge outside; inside the material
// lies beyond the flanks, so that they look the other way.
func (f Form) Facing(external bool) (down, up float64) {
	lower, upper := f.Flanks()
	if !external {
		return upper, lower
	}
	return lower, upper
}

// SharpPerPitch is H, the height of the sharp triangle between the flanks (ISO 68-1: 0.866 P at 60 degrees).
func (f Form) SharpPerPitch() float64 { return 1 / (2 * f.Tan()) }

// Tan is the mean of the flanks' tangents: a clearance c on the pitch diameter leaves c Tan of axial play in all.
func (f Form) Tan() float64 {
	lower, upper := f.Flanks()
	return (math.Tan(lower) + math.Tan(upper)) / 2
}

// StraightPerPitch is how far on both sides of the pitch line the flanks run straight at least, in pitches.
func (f Form) StraightPerPitch() float64 {
	lower, upper := f.Flanks()
	return math.Min(f.AddendumPerPitch, f.DepthPerPitch-f.AddendumPerPitch) - f.RoundPerPitch*(1-math.Sin(math.Min(lower, upper)))
}

// Symmetric says whether both flanks have one angle.
func (f Form) Symmetric() bool {
	return f.UpperRad <= 0 || math.Abs(f.UpperRad-f.FlankRad) < angleTolDeg*degree
}

// AngleDeg returns the thread angle (between the flanks) in degrees.
func (f Form) AngleDeg() float64 {
	lower, upper := f.Flanks()
	return (lower + upper) / degree
}

// AngleWords writes the flanks as people do: "60" for one thread angle, "3/30" for unequal flanks, the load flank first.
func (f Form) AngleWords() string {
	if f.Symmetric() {
		return unit.Short(rounded(f.AngleDeg()))
	}
	return unit.Short(rounded(f.FlankRad/degree)) + "/" + unit.Short(rounded(f.UpperRad/degree))
}

// Section returns the axial section of t with the given diameters, narrowing upward where t is tapered.
func (t Thread) Section(d Diameters) Section {
	round := t.Form.RoundPerPitch > 0
	return Section{
		PitchMM: t.Pitch.MM(), FlankRad: t.Form.FlankRad, UpperRad: t.Form.UpperRad,
		MajorMM: d.Major.MM(), PitchDMM: d.Pitch.MM(), MinorMM: d.Minor.MM(),
		Slope: -t.Taper / 2, RoundMajor: round, RoundMinor: round,
	}
}

// basicOf returns the basic diameters of form on a major diameter.
func basicOf(form Form, major, pitch unit.Length) Diameters {
	return Diameters{
		Major: major,
		Pitch: major - 2*unit.Length(form.AddendumPerPitch)*pitch,
		Minor: major - 2*unit.Length(form.DepthPerPitch)*pitch,
	}
}

// shape is a form as a table says it. All left out but the angle is the basic profile for that angle (see formOf).
type shape struct {
	// AngleDeg is the thread angle of equal flanks, FlanksDeg the angles of two flanks, load flank first; degrees.
	AngleDeg  float64   `toml:"angle_deg"`
	FlanksDeg []float64 `toml:"flanks_deg"`
	// Depth, Addendum and OpenRoot are those of Form; the pitch line halves the depth where no addendum is given.
	Depth    float64 `toml:"depth"`
	Addendum float64 `toml:"addendum"`
	OpenRoot float64 `toml:"open_root"`
	// Round is set where crest and root are arcs that touch both flanks.
	Round bool `toml:"round"`
}

// given says whether anything of a form is said.
func (s shape) given() bool { return s.AngleDeg != 0 || len(s.FlanksDeg) > 0 || s.Depth != 0 }

// The bounds of a flank's angle: below, the radius is hardly single-valued; above, the thread is hardly one.
const (
	leastFlankDeg, mostFlankDeg = 2, 60
	// mostOfSharp is how much of the sharp triangle a form may fill.
	mostOfSharp = 0.9999
)

// form returns the form that s says; errors name the key.
func (s shape) form() (Form, error) {
	lower, upper := s.AngleDeg/2, s.AngleDeg/2
	switch {
	case len(s.FlanksDeg) == 2 && s.AngleDeg == 0:
		lower, upper = s.FlanksDeg[0], s.FlanksDeg[1]
	case len(s.FlanksDeg) != 0:
		return Form{}, errors.New("flanks_deg must be two angles, and angle_deg left out")
	}
	for _, a := range []float64{lower, upper} {
		if !(a >= leastFlankDeg && a <= mostFlankDeg) {
			return Form{}, fmt.Errorf("flanks of %v degrees; angle_deg must be %d to %d, or each of flanks_deg half of that", a, 2*leastFlankDeg, 2*mostFlankDeg)
		}
	}
	f := formOf(lower, upper)
	if s.Depth != 0 {
		f.DepthPerPitch, f.AddendumPerPitch, f.RoundPerPitch = s.Depth, s.Depth/2, 0
	}
	if s.Addendum != 0 {
		f.AddendumPerPitch = s.Addendum
	}
	f.OpenRootPerPitch = s.OpenRoot
	sharp := sharpHeight(lower, upper)
	half := sharp / 2 * mostOfSharp
	if !(f.AddendumPerPitch > 0 && f.AddendumPerPitch < half && f.DepthPerPitch > f.AddendumPerPitch && f.DepthPerPitch-f.AddendumPerPitch < half &&
		s.OpenRoot >= 0 && s.OpenRoot < half) {
		return Form{}, fmt.Errorf("depth = %v, addendum = %v: both sides of the pitch line must lie inside the sharp triangle, %.4g pitches high",
			f.DepthPerPitch, f.AddendumPerPitch, sharp)
	}
	if s.Round && f.RoundPerPitch <= 0 {
		f.RoundPerPitch = arcPerPitch(sharp/2-f.AddendumPerPitch, lower*degree, upper*degree)
	}
	return f, nil
}

// sharpHeight is H, the height of the sharp triangle between flanks of the given degrees, in pitches.
func sharpHeight(lower, upper float64) float64 {
	return 1 / (math.Tan(lower*degree) + math.Tan(upper*degree))
}

// arcPerPitch is the radius of the arc that touches both flanks and ends short of their sharp corner.
func arcPerPitch(short, lower, upper float64) float64 {
	return short / (math.Cos((upper-lower)/2)/math.Sin((lower+upper)/2) - 1)
}

// sawCrest is the flat across crest and root of a saw thread, in pitches (DIN 513, from memory: 0.26384 P).
const sawCrest = 0.26384

// formOf returns the basic form for two flanks of the given degrees: the Whitworth form for 55 degrees between them,
// for any other angle crests cut flat at H/8 and roots at H/4 as on ISO 68-1, and for unequal flanks the flats of DIN
// 513.
func formOf(lower, upper float64) Form {
	sharp := sharpHeight(lower, upper)
	f := Form{FlankRad: lower * degree, DepthPerPitch: 5.0 / 8 * sharp, AddendumPerPitch: 3.0 / 8 * sharp}
	switch {
	case math.Abs(lower-upper) >= angleTolDeg:
		f.UpperRad = upper * degree
		f.AddendumPerPitch = (0.5 - sawCrest) * sharp
		f.DepthPerPitch = 2 * f.AddendumPerPitch
	case math.Abs(lower-27.5) < angleTolDeg:
		return Form55
	case math.Abs(lower-30) < angleTolDeg:
		return Form60
	}
	return f
}

// trapezoidDeg is the angle between flanks below which threads are trapezoidal (29 and 30 degrees), half a pitch deep.
const trapezoidDeg = 35

// FormOfAngle returns the form that most threads with that angle between their flanks have; 60 degrees where none is
// known (0).
func FormOfAngle(deg float64) Form {
	if deg <= 0 {
		return Form60
	}
	f := formOf(deg/2, deg/2)
	if deg < trapezoidDeg {
		f.DepthPerPitch, f.AddendumPerPitch = 0.5, 0.25
	}
	return f
}

// angleTolDeg is how far two thread angles may differ and be the same: rounding alone.
const angleTolDeg = 1e-6
