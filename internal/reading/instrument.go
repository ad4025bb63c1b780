package reading

// This file holds the instruments, and what each adds to the uncertainty of a reading (type B, GUM 4.3).

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/unit"
)

// commonPractice is the source of figures that the trade uses and no standard publishes.
const commonPractice = "common practice, no published source"

// Instrument is what a length was read with. All figures but the division are half widths of ranges that surely hold the
// error, in mm.
type Instrument struct {
	// Name is what --instrument takes; Words what a person reads.
	Name, Words string
	// Division is the step of the display or scale.
	Division float64
	// Accuracy is the error of the instrument itself; PerLength grows with the length read.
	Accuracy, PerLength float64
	// Across is the error of handling over a diameter, new at each reading: jaws or scale that miss the widest place.
	Across float64
	// Held is the error over a diameter that all readings of one hand share: how it is tilted, how the flats of inside jaws bear.
	Held float64
	// Along is the error of lining up with two crests along the axis.
	Along float64
	// Steady is set where nobody's hand holds it, so that no hand's slips are in its readings.
	Steady bool
	// Source says where the figures come from.
	Source string
}

// instruments are those that are known, the usual one first.
var instruments = []Instrument{
	{Name: "caliper", Words: "digital caliper", Division: 0.01, Accuracy: 0.03, Across: 0.05, Held: 0.1, Along: 0.2, Source: commonPractice},
	{Name: "dial", Words: "dial caliper", Division: 0.02, Accuracy: 0.04, Across: 0.05, Held: 0.1, Along: 0.2, Source: commonPractice},
	// What inspect keeps of a scan says its own uncertainty, the scale among it; these are of a figure without.
	{Name: "scan", Words: "scan", Division: 0.01, Accuracy: 0.1, PerLength: 0.005, Steady: true, Source: commonPractice},
	// The same of a picture on the sheet.
	{Name: "picture", Words: "picture", Division: 0.01, Accuracy: 0.12, PerLength: 0.005, Steady: true, Source: commonPractice},
	{Name: "ruler", Words: "steel rule", Division: 0.5, Accuracy: 0.1, Across: 0.3, Held: 0.3, Along: 0.5, Source: commonPractice},
	{Name: "tape", Words: "tape measure", Division: 1, Accuracy: 0.3, PerLength: 0.0002, Across: 0.5, Held: 0.4, Along: 0.7, Source: "accuracy 0.3 mm + 0.2 mm a metre is class II of directive 2014/32/EU annex X (from memory), the rest " + commonPractice},
}

// Instruments lists the known instruments, the usual one first.
func Instruments() []Instrument { return append([]Instrument(nil), instruments...) }

// FindInstrument returns the instrument called name; "" gives the digital caliper.
func FindInstrument(name string) (Instrument, error) {
	wanted := strings.ToLower(strings.TrimSpace(name))
	if wanted == "" {
		return instruments[0], nil
	}
	var names []string
	for _, i := range instruments {
		if wanted == i.Name || wanted == i.Words {
			return i, nil
		}
		names = append(names, i.Name)
	}
	return Instrument{}, fmt.Errorf("there is no instrument %q; there are: %s", name, strings.Join(names, ", "))
}

// systematic are the parts that repeating a reading does not average out, of a length written to the given step.
func (i Instrument) systematic(value, step float64, along bool) []Part {
	accuracy := i.Accuracy + i.PerLength*value
	parts := []Part{
		{What: fmt.Sprintf("step of the %s, %s mm", i.Words, unit.Short(i.Division)), Source: "GUM F.2.2.1", U: ResolutionU(i.Division), DOF: math.Inf(1)},
		{What: fmt.Sprintf("accuracy of the %s, ± %s mm", i.Words, unit.Short(accuracy)), Source: i.Source, U: UniformU(accuracy), DOF: math.Inf(1)},
	}
	if step > i.Division {
		parts[0] = Part{What: fmt.Sprintf("step to which it is written, %s mm", unit.Short(math.Round(1000*step)/1000)), Source: "GUM F.2.2.1", U: ResolutionU(step), DOF: math.Inf(1)}
	}
	if !along {
		parts = append(parts, Part{What: fmt.Sprintf("how it is held, ± %s mm", unit.Short(i.Held)), Source: commonPractice, U: UniformU(i.Held), DOF: heldDOF})
	}
	return parts
}

// handling is the part that repeats show as scatter; over a diameter, or along the axis.
func (i Instrument) handling(along bool) Part {
	half, what := i.Across, "handling over the crests"
	if along {
		half, what = i.Along, "lining up with two crests"
	}
	return Part{What: fmt.Sprintf("%s, ± %s mm", what, unit.Short(half)), Source: commonPractice, U: UniformU(half), DOF: handlingDOF}
}

// handlingDOF are the degrees of freedom of what handling is said to make, a figure that is itself right to about a
// quarter: 1/2 (1/4)^-2 (GUM equation (G.3)); heldDOF those of how a tool is held, right to about a third.
const (
	handlingDOF = 8
	heldDOF     = 4.5
)
