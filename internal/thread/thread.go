package thread

import "tryring/internal/unit"

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

// Diameters are the three diameters of a thread; on a taper thread, those in its gauge plane.
type Diameters struct {
	Major unit.Length `json:"major_mm"`
	Pitch unit.Length `json:"pitch_diameter_mm"`
	Minor unit.Length `json:"minor_mm"`
}

// Plus returns all three diameters increased by d (an equal gap on crest, flank line and root).
func (d Diameters) Plus(by unit.Length) Diameters {
	return Diameters{d.Major + by, d.Pitch + by, d.Minor + by}
}

// Thread is one thread, wanted or found: what a designation stands for. Two threads that Parse returns are the same thread
// when they are equal.
type Thread struct {
	// Designation is the normal form of the name, e.g. "1 3/4-12 UN-2A LH" or "M45x1.5-6g".
	Designation string
	// Standard names standard and edition, e.g. "ASME B1.1-2019"; empty for a free thread.
	Standard string
	// Series is the word of the series ("UN", "M", "G", "Rc", "NPT", …), for people to read; empty for a free thread. What a
	// series does or allows is asked of the thread's methods, never of this word.
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
	// GaugeLength is the distance from the small end of an external taper thread to its gauge plane (L1 of ASME
	// B1.20.1, gauge length of ISO 7-1); 0 for straight threads. The gauge plane of an internal taper thread is its
	// face.
	GaugeLength unit.Length

	// series says what its table says of all its threads; nil for a free thread.
	series *Series
	// name is the designation without class, starts and hand; row is the thread's place in its table.
	name string
	row  int
	// coarse is set for the coarse thread of a metric diameter.
	coarse bool
}

// Lead returns the axial advance per turn, always positive.
func (t Thread) Lead() unit.Length { return t.Pitch * unit.Length(t.Starts) }

// Limits are limits of size; a nil field is one the standard leaves open.
type Limits struct {
	MajorMax *unit.Length `json:"major_max_mm"`
	MajorMin *unit.Length `json:"major_min_mm"`
	PitchMax *unit.Length `json:"pitch_diameter_max_mm"`
	PitchMin *unit.Length `json:"pitch_diameter_min_mm"`
	MinorMax *unit.Length `json:"minor_max_mm"`
	MinorMin *unit.Length `json:"minor_min_mm"`
}

// halfwayTol is how far the flank line of a basic form may lie from halfway and count as there: what tables round depths to.
const halfwayTol = 0.01 * unit.Millimetre

// Halfway returns l with limits of the pitch diameter also where a standard gives them for crest and root alone, as of lamp threads:
// halfway between those, where the basic form has its flank line. ok is false where they stay open.
func (l Limits) Halfway(basic Diameters) (full Limits, ok bool) {
	if l.PitchMin != nil && l.PitchMax != nil {
		return l, true
	}
	mean := func(a, b unit.Length) unit.Length { return (a + b) / 2 }
	off := basic.Pitch - mean(basic.Major, basic.Minor)
	if max(off, -off) > halfwayTol || l.MajorMin == nil || l.MajorMax == nil || l.MinorMin == nil || l.MinorMax == nil {
		return l, false
	}
	l.PitchMin, l.PitchMax = new(mean(*l.MajorMin, *l.MinorMin)), new(mean(*l.MajorMax, *l.MinorMax))
	return l, true
}
