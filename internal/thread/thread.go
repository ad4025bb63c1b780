package thread

import (
	"math"

	"tryring/internal/unit"
)

// Hand is the sense in which a thread climbs.
type Hand int

// A right-hand thread goes in when turned clockwise.
const (
	Right Hand = 1
	Left  Hand = -1
)

// String returns "right" or "left".
func (h Hand) String() string {
	if h == Left {
		return "left"
	}
	return "right"
}

// Form is the shape of a thread in its axial section.
type Form struct {
	// FlankRad is the angle between a flank and the perpendicular to the axis (half the thread angle), radians.
	FlankRad float64
	// RoundMM is the radius of crest and root arcs as a multiple of the pitch; 0 means flat crests and roots.
	RoundPerPitch float64
	// DepthPerPitch is the height from minor to major, on the radius, as a multiple of the pitch.
	DepthPerPitch float64
	// OpenRootPerPitch is how far a die or tap cuts a root that the standard leaves open beyond the pitch line, on the radius, as
	// a multiple of the pitch; 0 where that is the basic form.
	OpenRootPerPitch float64
}

// The forms of the tables. Depths are on the radius, as multiples of the pitch.
var (
	// Form60 is the basic profile of ISO 68-1:1998 figure 1 and ASME B1.1 (5/8 H = 0.541266 P).
	Form60 = Form{FlankRad: 30 * math.Pi / 180, DepthPerPitch: 5.0 / 8 * 0.866025403784439}
	// Form55 is the Whitworth form of ISO 228-1 clause 4: H = 0.960491 P, h = 0.640327 P, r = 0.137329 P.
	Form55 = Form{FlankRad: 27.5 * math.Pi / 180, RoundPerPitch: 0.137329, DepthPerPitch: 0.640327}
	// FormNPT is the taper pipe form of ASME B1.20.1: 60 degree, height 0.8 P, flat crests and roots.
	FormNPT = Form{FlankRad: 30 * math.Pi / 180, DepthPerPitch: 0.8}
)

// AngleDeg returns the thread angle (between the flanks) in degrees.
func (f Form) AngleDeg() float64 { return 2 * f.FlankRad * 180 / math.Pi }

// Diameters are the three diameters of a thread; on a taper thread, those in its gauge plane.
type Diameters struct {
	Major, Pitch, Minor unit.Length
}

// Plus returns all three diameters increased by d (an equal gap on crest, flank line and root).
func (d Diameters) Plus(by unit.Length) Diameters {
	return Diameters{d.Major + by, d.Pitch + by, d.Minor + by}
}

// Thread is one thread, wanted or found: what a designation stands for.
type Thread struct {
	// Designation is the normal form of the name, e.g. "1 3/4-12 UN-2A LH" or "M45x1.5-6g".
	Designation string
	// Standard names standard and edition, e.g. "ASME B1.1-2019"; empty for a free thread.
	Standard string
	// Series is the short name of the series: "UN", "UNC", "M", "G", "R", "Rc", "Rp", "NPT", "NPSM", "NH", "drain"…; empty for a free thread.
	Series string
	// Class is the tolerance class as written, e.g. "2A", "6g", "A"; empty if none was.
	Class string
	Form  Form
	// Pitch is the axial distance between neighbouring crests; Lead is Pitch times Starts.
	Pitch  unit.Length
	Starts int
	Hand   Hand
	// Taper is the change of diameter per length along the axis (1/16 for NPT and R), 0 for straight threads.
	Taper float64
	// Basic are the basic diameters, those of a taper thread in the gauge plane.
	Basic Diameters
	// GaugeLength is the distance from the small end of an external taper thread to its gauge plane
	// (L1 of ASME B1.20.1, gauge length of ISO 7-1); 0 for straight threads. The gauge plane of an internal taper thread is its face.
	GaugeLength unit.Length
}

// Lead returns the axial advance per turn, always positive.
func (t Thread) Lead() unit.Length { return t.Pitch * unit.Length(t.Starts) }

// Limits are limits of size; a nil field is one the standard leaves open.
type Limits struct {
	MajorMax, MajorMin *unit.Length
	PitchMax, PitchMin *unit.Length
	MinorMax, MinorMin *unit.Length
}
