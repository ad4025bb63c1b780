package photo

// This file holds what is known beside a picture.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

// Options are what is known beside the picture.
type Options struct {
	// Outside is the diameter over the crests in mm, on a taper the largest; nil when it is not known.
	Outside *reading.Estimate
	// Marks are two points a known length apart; nil when there are none.
	Marks *Marks
	// Distance is that from the camera to the part's axis; 0 when it is not known.
	Distance unit.Length
	// Cast is set for what was pressed into a thread in a hole; nil for the thread itself.
	Cast *Cast
	// Line is what the long line on the sheet with marks reads, in mm, where the part lies on one; nil when nobody measured it.
	Line *reading.Estimate
	// Other is a second picture of a part on the sheet, which was not moved, from the other side; nil where there is none.
	Other *Picture
}

// Cast is putty or glue that was pressed into a thread in a hole and taken out: a piece of an external thread of the same hand, whose outside
// was the hole's largest diameter. Without a diameter one edge of it is enough.
type Cast struct {
	// Shrunk is by what share the hole is larger than the cast, UShrunk its standard uncertainty.
	Shrunk, UShrunk float64
}

// oneEdge tells that one edge is all that is looked for.
func (o Options) oneEdge() bool { return o.Cast != nil && o.Outside == nil }

// Marks are two points on the upright picture, in its pixels, that lie Apart from each other along the part, Behind its axis as seen from
// the camera: 0 beside the axis, above it for a ruler on the table on which the part lies.
type Marks struct {
	A, B          [2]float64
	Apart, Behind unit.Length
}

// check tells what is wrong with the options.
func (o Options) check() error {
	var faults []error
	if o.Outside != nil && (o.Outside.Value <= 0 || o.Outside.U < 0 || o.Outside.U > o.Outside.Value/3) {
		faults = append(faults, fmt.Errorf("the outside diameter is %.3f mm give or take %.3f; it must be above 0 and known better", o.Outside.Value, o.Outside.U))
	}
	if o.Distance < 0 || o.Distance > 0 && o.Outside != nil && o.Distance.MM() < o.Outside.Value {
		faults = append(faults, fmt.Errorf("the distance from camera to part is %s; it must be more than the part's diameter", o.Distance))
	}
	if c := o.Cast; c != nil && !(c.Shrunk > -0.1 && c.Shrunk < 0.1 && c.UShrunk >= 0 && c.UShrunk < 0.1) {
		faults = append(faults, fmt.Errorf("the cast shrank by %.3g give or take %.3g of its size; at most 0.1 is taken", c.Shrunk, c.UShrunk))
	}
	if o.oneEdge() && o.Marks == nil {
		faults = append(faults, errors.New("one edge of a cast is all that is looked for, so its scale is needed: two marks a known length apart, or the cast's outside diameter"))
	}
	if m := o.Marks; m != nil {
		if math.Hypot(m.A[0]-m.B[0], m.A[1]-m.B[1]) < minMarks || m.Apart <= 0 {
			faults = append(faults, fmt.Errorf("the two marks must be %d pixels or more, and more than 0 mm, apart", minMarks))
		}
	}
	return errors.Join(append(faults, checkLine(o.Line))...)
}

const (
	// minMarks is the least distance of two marks in pixels.
	minMarks = 50
	// uMark is how well a person puts a mark, in pixels of the original picture.
	uMark = 2.0
)
