package reading

// This file holds the two names that the trade has for one part: by its bore and by its outside.

import (
	"fmt"
	"math"

	"tryring/internal/unit"
)

// Names are what shops call a part, by the throat one looks through and by the outside of its thread. Common practice, no
// published source.
type Names struct {
	ByBore, ByOutside string
	// Text tells both.
	Text string
}

// Trade sizes by the bore come in eighths of an inch, by the outside in sixteenths; in metric countries in whole mm.
const (
	boreSteps    = 8
	outsideSteps = 16
)

// Names returns the two names of the part, nil unless both the outside and the throat were read. They are in mm when the
// leading thread is metric, else in inches.
func (a Answer) Names() *Names {
	f := a.Found
	if f.Throat == nil || f.Major == nil {
		return nil
	}
	metric := a.Candidates[0].Thread != nil && a.Candidates[0].Thread.Series == "M"
	n := Names{ByBore: tradeInch(f.Throat.Value, boreSteps), ByOutside: tradeInch(f.Major.Value, outsideSteps)}
	if metric {
		n = Names{ByBore: fmt.Sprintf("%.0f mm", f.Throat.Value), ByOutside: fmt.Sprintf("%.0f mm", f.Major.Value)}
	}
	n.Text = fmt.Sprintf("shops may call it %s, by the bore (the throat reads %s), or %s, by the outside (%s); ask which is meant",
		n.ByBore, mmText(f.Throat.Value), n.ByOutside, mmText(f.Major.Value))
	return &n
}

// tradeInch is the nearest trade size, in so many parts of an inch.
func tradeInch(mm, steps float64) string {
	text, _ := unit.Inches(math.Round(mm/unit.MMPerInch*steps) / steps).Fraction()
	return text
}
