package draw

// This file holds the words that go to the bench with a ring, for paper and page alike.

import (
	"fmt"

	"tryring/internal/ring"
	"tryring/internal/unit"
)

// passage is a heading with lines under it.
type passage struct {
	Head string
	// Numbered lines are steps.
	Numbered bool
	Lines    []saying
}

// saying is a line, which may begin in bold.
type saying struct{ Lead, Text string }

// benchPassages are all that somebody at the bench needs: what goes where, how to print and to try, what outcomes mean.
func benchPassages(p ring.Plan) []passage {
	printing := passage{Head: "Print it"}
	for _, hint := range SlicerHints(p) {
		printing.Lines = append(printing.Lines, saying{Text: hint})
	}
	runs := "Runs all the way by hand, with a little play:"
	if p.Inner.Thread.Taper > 0 || p.Outer.Thread.Taper > 0 {
		runs = "Runs by hand; a taper thread grows tight after a few turns, as it should:"
	}
	return []passage{
		{Head: "What goes where", Lines: []saying{
			{"Inside the ring, " + p.Inner.Thread.Designation + ":", plainWords(p.Inner, "the part that stands out screws into it")},
			{"Outside the ring, " + p.Outer.Thread.Designation + ":", plainWords(p.Outer, "it screws into the part that has the hole")},
		}},
		printing,
		{Head: "Over its crests your caliper should read", Lines: []saying{
			caliperOn("Outside:", p.Outer, p.Outer.Printed.Major),
			caliperOn("In the bore:", p.Inner, p.Inner.Printed.Minor),
			{"", "Read twice, a quarter turn apart, off the seam and the first layers. Beyond this (95 %) the print is off, not the thread: tell “tryring trial”, and print again."},
		}},
		{Head: "Try it", Numbered: true, Lines: []saying{
			{"", "Let the ring cool. Brush strings and dust out of both threads, and clean the part."},
			{"", "Set it on straight. With no more than a finger's weight turn it backward until you feel it drop: the two threads now start together."},
			{"", "Then turn it forward (" + forward(p) + ") by hand, counting turns. Never force it with a tool."},
			{"", "Try the other thread the same way, and write down what you felt."},
		}},
		{Head: "What you feel, and what to do next", Lines: []saying{
			{runs, "the thread is most likely the one named. Look for an adapter with these two threads, and check the real part against it before you install anything."},
			{"Starts, then binds within a few turns:", "another pitch or angle, or too little clearance. Print it with more clearance: if it binds at the same turn, the thread is another one, so measure the pitch over more crests."},
			{"Does not start:", "trim the spread first layer and try again. If it still sits on top, the diameter is another or the clearance too small: measure the diameter again, or print a ladder of clearances."},
			{"Slips, rocks, or pulls off without turning:", "the diameter is another, or the clearance too large. Measure again, or print with less clearance."},
			{"One runs and the other does not:", "keep what ran, and look again only at the other. Enter what fitted with “tryring trial”: the next ring then allows for your printer."},
		}},
	}
}

// OnCaliper is what a caliper should read over crests of the print, ± 95 %, in mm and in inches.
func OnCaliper(s ring.Side, crest unit.Length) (mm, inch string) {
	u := 2 * s.Made.Plain.U
	return fmt.Sprintf("%.2f ± %.2f mm", crest.MM(), u.MM()), fmt.Sprintf("(%.3f ± %.3f in)", crest.Inches(), u.Inches())
}

// caliperOn tells what a caliper should read over crests of the print, ± 95 %: what was modelled and what the printer does to plain
// size; in the gauge plane of a taper thread, whose crests differ along it.
func caliperOn(lead string, s ring.Side, crest unit.Length) saying {
	mm, text := OnCaliper(s, crest)
	lead += " " + mm
	if s.Thread.Taper > 0 {
		where := "at"
		if s.RefMM > 0.05 {
			where = fmt.Sprintf("%.1f mm above", s.RefMM)
		}
		text += fmt.Sprintf(" %s the lower end as drawn: 1 mm along this taper is %s mm of diameter.", where, unit.Short(s.Thread.Taper))
	}
	return saying{lead, text}
}
