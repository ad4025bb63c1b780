// Package gauge makes go and no-go gauges: for one thread, or a drawer full of them with plates, trays and an index card.
package gauge

// This file takes what is asked of gauges, by flags or a line of a list, to gauges that are decided on.

import (
	"errors"
	"fmt"
	"strings"

	"tryring/internal/build"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Gauge is a gauge, or a pair of them, as it is asked for. Whatever is empty or nil is left to its default.
type Gauge struct {
	// Thread is the thread that the parts have, as people write it; a free thread may carry its range of sizes,
	// "44.4mm+-0.1 x 12tpi".
	Thread string `toml:"thread"`
	// Kind is "ring" or "plug"; empty for the one that the class asks for, or else a ring.
	Kind string `toml:"kind"`
	// Limit is "go", "no-go" or "both", the default. A taper thread has one gauge, for "both".
	Limit string `toml:"limit"`
	// Class is the tolerance class of the parts; empty for that in the thread's name, or else the usual one.
	Class string `toml:"class"`
	// Tolerance is by how much the parts may differ from the basic size either way, in place of a standard's limits.
	Tolerance *unit.Length `toml:"tolerance"`
}

// Job is how gauges are made.
type Job struct {
	Printer printer.Profile
	// Chord is how far a mesh may lie from the ideal surface.
	Chord unit.Length
	// Foreseen is what was said of the gauges beforehand.
	Foreseen Foresight
}

// Asked is one gauge with everything settled.
type Asked struct {
	// Name is what the files are called, without their endings.
	Name string
	ring.Gauge
	Chord unit.Length
}

// bothLimits asks for the two gauges of a pair.
const bothLimits = "both"

// Resolve looks up the thread and its limits and decides on the gauges. All faults are reported at once, each with what
// was read and what would be right.
func (g Gauge) Resolve(threads *thread.Tables, j Job) ([]Asked, error) {
	text, tolerance, err := g.tolerance()
	if err != nil {
		return nil, err
	}
	if strings.TrimSpace(text) == "" {
		return nil, fault.At("thread", "", `missing; name the thread of the parts, such as "1/4-20 UNC-2A" or "M10"`)
	}
	t, err := threads.Parse(text)
	if err == nil {
		err = t.Makeable()
	}
	if err != nil {
		return nil, fault.In("thread", err)
	}
	kind, err := g.kind(t)
	var limits []ring.GaugeLimit
	switch l := strings.ToLower(g.Limit); l {
	case "", bothLimits:
		limits = []ring.GaugeLimit{ring.Go, ring.NoGo}
		if t.Taper > 0 {
			limits = []ring.GaugeLimit{ring.Steps}
		}
	case string(ring.Go), string(ring.NoGo):
		limits = []ring.GaugeLimit{ring.GaugeLimit(l)}
	default:
		err = errors.Join(err, fault.At("limit", g.Limit, "it must be go, no-go or both"))
	}
	if err != nil {
		return nil, err
	}
	spec := ring.GaugeSpec{Thread: t, Kind: kind, Printer: j.Printer}
	if spec, err = g.limits(spec, tolerance); err != nil {
		return nil, err
	}
	var out []Asked
	for _, l := range limits {
		spec.Limit = l
		made, err := ring.NewGauge(spec)
		if err != nil {
			return nil, fault.In("thread", err)
		}
		out = append(out, Asked{Name: nameOf(made), Gauge: made, Chord: j.Chord})
	}
	return out, nil
}

// tolerance takes the range of sizes off a thread like "44.4mm+-0.1 x 12tpi". Field and text must not both give one.
func (g Gauge) tolerance() (text string, half unit.Length, err error) {
	text = unit.Plain(g.Thread)
	if g.Tolerance != nil {
		if half = *g.Tolerance; !(half >= leastTolerance && half <= mostTolerance) {
			return text, 0, fault.At("tolerance", half.TextMM(), "it lies between %s and %s, either way from the basic size", leastTolerance.TextMM(), mostTolerance.TextMM())
		}
	}
	size, rest, free := strings.Cut(text, " x ")
	if !free || !strings.Contains(size, "±") && !strings.Contains(size, "+-") {
		return text, half, nil
	}
	value, written, err := unit.ParseReading(size)
	if err != nil {
		return text, 0, fault.In("thread", err)
	}
	if g.Tolerance != nil {
		return text, 0, fault.At("tolerance", half.TextMM(), "%q gives a range of sizes, too; give one of them", g.Thread)
	}
	if !(written >= leastTolerance && written <= mostTolerance) {
		return text, 0, fault.At("thread", g.Thread, "sizes within %s of %s; it must be %s to %s", written.TextMM(), value.TextMM(), leastTolerance.TextMM(), mostTolerance.TextMM())
	}
	return unit.Short(value.MM()) + "mm x " + rest, written, nil
}

// The bounds of a tolerance that is given by hand, either way: below, no caliper tells it; above, it is a slip of the unit.
const (
	leastTolerance = 0.005 * unit.Millimetre
	mostTolerance  = 2 * unit.Millimetre
)

// kind returns the kind asked for, or that which the class asks for, or else a ring. A class that was asked for must be
// of that kind's parts; one in the thread's name need not be, since its grade has a mate.
func (g Gauge) kind(t thread.Thread) (ring.GaugeKind, error) {
	class := g.Class
	if class == "" {
		class = t.Class
	}
	byClass := ring.GaugeKind("")
	external, known := t.Side() == "external", t.Side() != ""
	if !known {
		external, known = t.SideOfClass(class)
	}
	if known {
		byClass = ring.PlugGauge
		if external {
			byClass = ring.RingGauge
		}
	}
	switch k := ring.GaugeKind(strings.ToLower(g.Kind)); {
	case k == "" && byClass == "":
		return ring.RingGauge, nil
	case k == "":
		return byClass, nil
	case k != ring.RingGauge && k != ring.PlugGauge:
		return "", fault.At("kind", g.Kind, "it must be ring (for external threads) or plug (for internal ones)")
	case t.Side() != "" && k != byClass:
		return "", fault.At("kind", g.Kind, "%s is an %s thread, which a %s gauge judges", t.Designation, t.Side(), byClass)
	case g.Class != "" && byClass != "" && k != byClass:
		return "", fault.At("class", g.Class, "it is of threads that a %s gauge judges, and a %s gauge was asked for", byClass, k)
	default:
		return k, nil
	}
}

// limits fills in the limits of size of the parts, where they come from, and their class.
func (g Gauge) limits(spec ring.GaugeSpec, tolerance unit.Length) (ring.GaugeSpec, error) {
	t := spec.Thread
	if t.Taper > 0 {
		return g.taperLimits(spec, tolerance)
	}
	if tolerance > 0 {
		if g.Class != "" {
			return spec, fault.At("class", g.Class, "a range of sizes was given, too; give one of them")
		}
		spec.Limits = ring.ReadingLimits(t, tolerance, spec.External())
		spec.Class = "±" + unit.Short(tolerance.MM()) + "mm"
		spec.LimitsSource = fmt.Sprintf("basic size give or take %s on the diameter, as given", tolerance.TextMM())
		return spec, nil
	}
	limits, err := t.Limits(g.Class, spec.External())
	if err != nil && !errors.Is(err, thread.ErrNoLimits) {
		return spec, fault.In(g.classField(), err)
	}
	full, known := limits.Halfway(t.Basic)
	if !known {
		return spec, fault.Fault{Field: "tolerance", Cause: thread.ErrNoLimits, Want: fmt.Sprintf(
			"missing, and no limits of the pitch diameter of %s are known; say how far the diameters of good parts may lie from basic size either way, such as 0.1mm", t.Designation)}
	}
	if spec.Limits, spec.LimitsSource = full, t.Standard; limits.PitchMin == nil {
		spec.LimitsSource += ", the pitch diameter halfway between its limits of crest and root"
	}
	spec.Class = t.UsualClass(g.Class, spec.External())
	return spec, nil
}

// taperLimits fills in where the parts of a taper thread stop, and what that comes to in the gauge plane.
func (g Gauge) taperLimits(spec ring.GaugeSpec, tolerance unit.Length) (ring.GaugeSpec, error) {
	t := spec.Thread
	if tolerance > 0 {
		return spec, fault.At("tolerance", tolerance.TextMM(), "the size of %s is where it stops, and %s says how far from its place; leave the tolerance out", t.Designation, t.Standard)
	}
	l, err := t.TaperLengths()
	if err != nil {
		return spec, fault.In("thread", err)
	}
	if _, err := t.Limits(g.Class, spec.External()); err != nil { // a class, where there is none
		return spec, fault.In(g.classField(), err)
	}
	spec.StandOff = ring.StandOffOf(l, spec.Kind)
	spec.Limits = ring.TaperLimits(t, spec.StandOff)
	spec.LimitsSource = fmt.Sprintf("%s: the gauge plane %.1f mm (%.1f turns) to either side (from memory)",
		t.Standard, spec.StandOff.Tolerance.MM(), float64(spec.StandOff.Tolerance/t.Pitch))
	return spec, nil
}

// classField is the field that a class which a standard does not have comes from.
func (g Gauge) classField() string {
	if g.Class == "" {
		return "thread"
	}
	return "class"
}

// nameOf is what the files of a gauge are called: "go-ring-1-4-20-UNC-2A".
func nameOf(g ring.Gauge) string {
	return whole.FileName(strings.ToLower(string(g.Limit)+" "+string(g.Kind)) + " " + ring.Judged(g.Thread, g.Class))
}

// NewJob checks how gauges are to be made; chord is nil for the default.
func NewJob(p printer.Profile, chord *unit.Length) (Job, error) {
	j := Job{Printer: p, Chord: build.DefaultChord}
	if chord != nil {
		if j.Chord = *chord; !(j.Chord >= build.MinChord && j.Chord <= MaxChord) {
			return j, fault.At("chord", chord.TextMM(), "for a gauge it lies between %s mm and %s", unit.Short(build.MinChord.MM()), MaxChord.TextMM())
		}
	}
	return j, nil
}

// MaxChord keeps a gauge's mesh true to its limits: half the 0.01 mm within which its file must measure.
const MaxChord = 0.005 * unit.Millimetre

// SetName is what the card and the JSON of gauges are called: name, or "gauges-" with what they judge.
func SetName(name string, asked []Asked) (string, error) {
	if name == "" {
		return "gauge-" + string(asked[0].Kind) + "-" + whole.FileName(ring.Judged(asked[0].Thread, asked[0].Class)), nil
	}
	return name, fault.In("name", whole.CheckFileName(name))
}
