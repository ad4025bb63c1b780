package ring

// This file says what a thread gauge is: which part it judges, at which limit, and the diameters that follow.

import (
	"errors"
	"fmt"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// GaugeKind is the body of a gauge.
type GaugeKind string

// A ring gauge has an internal thread and judges external ones; a plug gauge the other way round.
const (
	RingGauge GaugeKind = "ring"
	PlugGauge GaugeKind = "plug"
)

// side is the side of a print that the gauge's thread is on.
func (k GaugeKind) side() printer.Side {
	if k == RingGauge {
		return printer.Inside
	}
	return printer.Outside
}

// GaugeLimit is the end of the tolerance that a gauge stands at.
type GaugeLimit string

// A go gauge must go onto a good part over its whole length, a no-go gauge must not go past its turns. A taper thread has one
// gauge with both limits on it, as steps that the part must stop between.
const (
	Go    GaugeLimit = "go"
	NoGo  GaugeLimit = "no-go"
	Steps GaugeLimit = "step"
)

// ErrTaperGauge is returned for a go or a no-go gauge of a taper thread.
var ErrTaperGauge = errors.New("a taper thread has no go and no-go pair, but one gauge with two steps")

// GaugeSpec is what is asked of a gauge.
type GaugeSpec struct {
	Thread thread.Thread
	Kind   GaugeKind
	Limit  GaugeLimit
	// Class names the tolerance class that Limits are of, "" for none.
	Class string
	// Limits are the limits of size of the parts to be judged: of the external thread for a ring gauge, of the internal
	// one for a plug gauge. LimitsSource says where they come from.
	Limits       thread.Limits
	LimitsSource string
	// StandOff says where the part of a taper thread stops; zero for a straight one.
	StandOff StandOff
	Printer  printer.Profile
}

// Gauge is a gauge decided on, ready to be built.
type Gauge struct {
	GaugeSpec
	// Wanted are the diameters that the printed gauge should have as a part feels them.
	Wanted thread.Diameters
	Compensated
	// Gap is the clearance of a ladder's pair, on the diameter; nil for a gauge.
	Gap   *unit.Length
	Entry Entry
	// Length is the full thread of the gauge, Height the whole height, LengthWhy says how the length came about.
	Length, Height unit.Length
	LengthWhy      string
	// FullMM is the range of z with the full thread.
	FullMM [2]float64
	// StepsMM are the z of the low and the high step of a taper thread's gauge: on a ring of the part's small end, on a plug of
	// the part's face.
	StepsMM [2]float64
	// Wall is the least thickness of material as designed.
	Wall unit.Length
	// Label is the engraved text beside TEST FIT ONLY.
	Label string
	Shape Shape
}

// Entry is how far a no-go gauge may enter a good part.
type Entry struct {
	Turns  int
	Source string
}

// entryOf returns the turns that a no-go gauge may enter, by the table of the thread.
func entryOf(t thread.Thread) Entry {
	turns, source := t.NoGo()
	return Entry{turns, source}
}

// External says whether the parts that the gauge judges have an external thread.
func (s GaugeSpec) External() bool { return s.Kind == RingGauge }

// Validate returns all that is wrong with a spec at once.
func (s GaugeSpec) Validate() error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if s.Kind != RingGauge && s.Kind != PlugGauge {
		fault("kind %q: it must be %s or %s", s.Kind, RingGauge, PlugGauge)
	}
	switch taper := s.Thread.Taper > 0; {
	case s.Limit != Go && s.Limit != NoGo && s.Limit != Steps:
		fault("limit %q: it must be %s or %s, or %s for a taper thread", s.Limit, Go, NoGo, Steps)
	case taper && s.Limit != Steps:
		fault("%s, limit %s: %w: its size is where it stops, read at a gauge's face (ASME B1.20.1, ISO 7-2); leave the limit out",
			s.Thread.Designation, s.Limit, ErrTaperGauge)
	case !taper && s.Limit == Steps:
		fault("%s, limit %s: only a taper thread has a gauge with steps; ask for %s or %s", s.Thread.Designation, s.Limit, Go, NoGo)
	case taper:
		if err := s.StandOff.validate(); err != nil {
			fault("%s: %w", s.Thread.Designation, err)
		}
	}
	switch lo, hi := s.Limits.PitchMin, s.Limits.PitchMax; {
	case s.Thread.Taper > 0: // held by its stand-off
	case lo == nil || hi == nil:
		fault("%s: no limits of the pitch diameter are known; give the range of sizes a part may have, such as 44.4mm+-0.1 x 12tpi, or a tolerance", s.Thread.Designation)
	case !(*lo < *hi):
		fault("%s: the pitch diameter is limited to %s and %s; the least must be below the most", s.Thread.Designation, lo.TextMM(), hi.TextMM())
	}
	return errors.Join(faults...)
}

// ReadingLimits returns limits of size around the basic size of t, for a thread that no standard limits: every diameter
// may lie within half of it, either way. External threads get the limits that a ring gauge needs, internal ones those of a plug.
func ReadingLimits(t thread.Thread, half unit.Length, external bool) thread.Limits {
	b := t.Basic
	l := thread.Limits{PitchMax: new(b.Pitch + half), PitchMin: new(b.Pitch - half)}
	if external {
		l.MajorMax, l.MajorMin, l.MinorMax = new(b.Major+half), new(b.Major-half), new(b.Minor+half)
	} else {
		l.MajorMin, l.MinorMin, l.MinorMax = new(b.Major-half), new(b.Minor-half), new(b.Minor+half)
	}
	return l
}

// triangle is H, the height of the sharp triangle of the form.
func triangle(t thread.Thread) unit.Length { return unit.Length(t.Form.SharpPerPitch()) * t.Pitch }

// wantedDiameters are those of the gauge.
//
// The go gauge has the full form at the maximum-material limit (Taylor's principle, as ASME B1.2 and ISO 1502 apply it):
// a part that it goes onto lies inside that limit with form, pitch and straightness all at once.
//
// The no-go gauge judges the minimum-material pitch diameter alone. Its crest ends H/8 (on the radius) short of the part's
// basic root, and its root lies past the part's crest. For the 60 degree form the crest is then at the pitch diameter + H/2
// on a plug and - H/4 on a ring, as ASME B1.2 has it (from memory).
func (s GaugeSpec) wantedDiameters() thread.Diameters {
	if s.Limit == Steps {
		return s.stepDiameters()
	}
	l, b, h := s.Limits, s.Thread.Basic, triangle(s.Thread)
	// part is a limit of the part, or where the standard leaves it open, the basic form on the limit of the pitch diameter.
	part := func(limit *unit.Length, pitch, basic unit.Length) unit.Length {
		if limit == nil {
			return pitch + basic - b.Pitch
		}
		return *limit
	}
	if s.External() {
		crest, root := part(l.MajorMax, *l.PitchMax, b.Major), part(l.MinorMax, *l.PitchMax, b.Minor)
		if s.Limit == Go {
			return thread.Diameters{Major: crest, Pitch: *l.PitchMax, Minor: root}
		}
		pitch := *l.PitchMin
		tip := max(pitch+b.Minor-b.Pitch+h/4, root+h/leastClear)
		return thread.Diameters{
			Major: min((crest+pitch+h)/2, pitch+h-h/leastClear), Pitch: pitch, Minor: min(tip, pitch-h/leastFlank),
		}
	}
	crest, root := part(l.MinorMin, *l.PitchMin, b.Minor), part(l.MajorMin, *l.PitchMin, b.Major)
	if s.Limit == Go {
		return thread.Diameters{Major: root, Pitch: *l.PitchMin, Minor: crest}
	}
	pitch := *l.PitchMax
	tip := min(pitch+b.Major-b.Pitch-h/4, root-h/leastClear)
	return thread.Diameters{
		Major: max(tip, pitch+h/leastFlank), Pitch: pitch, Minor: max((crest+pitch-h)/2, pitch-h+h/leastClear),
	}
}

// Parts of the sharp triangle's height H, on the diameter, that a no-go gauge keeps whatever the tolerance: H/16 between
// its crest and the part's root and below its own sharp corner, and H/8 of flank on the crest's side of the pitch diameter.
const (
	leastClear = 16
	leastFlank = 8
)
