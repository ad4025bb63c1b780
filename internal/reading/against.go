package reading

// This file says what was read that speaks against the thread that all readings together make the likeliest.

import (
	"fmt"
	"math"

	"tryring/internal/unit"
)

// farOff is how many standard uncertainties a diameter may lie outside the limits of size of the best match, once it is
// further out than looseMM, before it is told: fewer than 1 in 10,000 readings of a true thread do.
const farOff = 4

// against tells what speaks against the best match. Each is weighed already; told, it shows how to be surer.
func (a Answer) against() []Contradiction {
	best := a.Candidates[0]
	if best.Thread == nil {
		return nil
	}
	var out []Contradiction
	set, found := best.slip.set, best.slip.found
	if best.slip.again == "" { // nothing was typed wrong
		set, found = a.Set, a.Found
	} else {
		out = append(out, Contradiction{
			Text:  fmt.Sprintf("the best match, %s, fits only if %s", best.Designation, best.slip.as),
			Again: best.slip.again,
		})
	}
	if e := found.Diameter; e != nil {
		name, texts, c := "bore", set.Bore, best.candidate
		if set.External() {
			name, texts = "outside diameter", set.Outside
		}
		off, side := math.Max(e.Value-c.high, c.low-e.Value), "above"
		if e.Value < c.low {
			side = "below"
		}
		explained := set.Worn && (side == "below") == set.External()
		if !explained && off > looseMM && off > farOff*e.U {
			again := texts[0].Text
			if len(a.Set.Counts) > 0 {
				again += " and the count"
			}
			out = append(out, Contradiction{
				Text:  fmt.Sprintf("the best match is %s, but the %s, %s, is %.3f mm %s %s", best.Designation, name, mmText(e.Value), off, side, c.limitsWords),
				Again: again,
			})
		}
	}
	if read := a.Set.AngleDeg; read > 0 && angleChance(read, *best.Thread) < 0.5 {
		out = append(out, Contradiction{
			Text:  fmt.Sprintf("the best match, %s, has %s degrees between its flanks, and %s were read", best.Designation, unit.Short(math.Round(best.Thread.Form.AngleDeg())), unit.Short(read)),
			Again: "the angle",
		})
	}
	if seen := a.Set.Tapers; seen != nil && taperChance(*seen, *best.Thread) < 0.5 {
		text := fmt.Sprintf("the best match, %s, is a taper, and none was seen", best.Designation)
		if *seen {
			text = fmt.Sprintf("the best match, %s, is straight, and a taper was seen", best.Designation)
		}
		out = append(out, Contradiction{Text: text, Again: "whether it tapers"})
	}
	return out
}
