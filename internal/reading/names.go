package reading

// This file holds the two names that the trade has for one part: by its bore and by its outside.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Names are what shops call a part, by the throat one looks through and by the outside of its thread. Common practice, no
// published source.
type Names struct {
	ByBore    string `json:"by_bore"`
	ByOutside string `json:"by_outside"`
	// Text tells both.
	Text string `json:"-"`
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
	metric := a.Candidates[0].Thread != nil && a.Candidates[0].Thread.Metric()
	n := Names{ByBore: tradeSize(f.Throat.Value, boreSteps, metric), ByOutside: tradeSize(f.Major.Value, outsideSteps, metric)}
	n.Text = fmt.Sprintf("shops may call it %s, by the bore (the throat reads %s), or %s, by the outside (%s); ask which is meant",
		n.ByBore, mmText(f.Throat.Value), n.ByOutside, mmText(f.Major.Value))
	return &n
}

// NamesOf returns what shops call a part with thread t: ByBore is the size that a pipe thread goes by, or the throat that is
// usual with it, and "" where the trade has neither.
func NamesOf(t thread.Thread) Names {
	metric := t.Metric()
	n := Names{ByOutside: tradeSize(t.Basic.Major.MM(), outsideSteps, metric)}
	if pipe, ok := t.TradeSize(); ok {
		n.ByBore, _ = pipe.Fraction()
	} else {
		for _, use := range thread.UsesOf(t.Designation) {
			if use.Throat > 0 {
				n.ByBore = tradeSize(use.Throat.MM(), boreSteps, metric)
				break
			}
		}
	}
	n.Text = n.ByOutside + " by the outside"
	if n.ByBore != "" {
		n.Text = n.ByBore + " by the bore, " + n.Text
	}
	if metric {
		n.Text += fmt.Sprintf(" (%.2f in)", t.Basic.Major.Inches())
	} else {
		n.Text += fmt.Sprintf(" (%.1f mm)", t.Basic.Major.MM())
	}
	return n
}

// tradeSize is the nearest trade size, in so many parts of an inch, or in whole mm.
func tradeSize(mm, steps float64, metric bool) string {
	if metric {
		return fmt.Sprintf("%.0f mm", mm)
	}
	text, _ := unit.Inches(math.Round(mm/unit.MMPerInch*steps) / steps).Fraction()
	return text
}
