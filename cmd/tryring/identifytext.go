package main

// This file tells people what `tryring identify` found.

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"tryring/internal/check"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

const (
	// shownWeight is the least weight of a thread that is listed to people; scripts get all.
	shownWeight = 0.005
	// shownMost is how many are listed.
	shownMost = 8
	// leastRest is the least weight of all others together that is told: it shows as 0.1 %.
	leastRest = 0.0005
	// barCells is the length of the bar that stands for a weight of 1.
	barCells = 20
)

// notes are what is to be said about how the readings were taken.
func (r identifyReport) notes() []string {
	notes := append([]string{}, r.Found.Notes...)
	if c := r.Otherwise; c != nil {
		notes = append(notes, fmt.Sprintf("counted the other way the best would be %s (%s)", c.Designation, strings.TrimSpace(share(c.Weight))))
	}
	switch {
	case r.Tries == 1:
		notes = append(notes, "1 try of a ring, kept in the job, is weighed in")
	case r.Tries > 1:
		notes = append(notes, fmt.Sprintf("%d tries of rings, kept in the job, are weighed in", r.Tries))
	}
	return notes
}

func (r identifyReport) print(w io.Writer) error {
	var b strings.Builder
	r.printRead(&b)
	r.printCandidates(&b)
	r.printNext(&b)
	if r.asked.tellApart {
		r.printApart(&b)
	}
	if _, err := io.WriteString(w, b.String()); err != nil {
		return err
	}
	return printCaution(w)
}

// printRead tells what was read: value, standard uncertainty and interval in both systems.
func (r identifyReport) printRead(b *strings.Builder) {
	a := r.Answer
	side := "an external thread"
	if !a.Set.External() {
		side = "an internal thread"
	}
	if a.Set.Worn {
		side += ", worn"
	}
	fmt.Fprintf(b, "Read on %s\n", side)
	tab := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "  \tvalue\tstandard uncertainty\t95 % interval")
	row := func(name string, e *reading.Estimate) {
		if e == nil {
			return
		}
		low, high := e.Interval()
		fmt.Fprintf(tab, "  %s\t%s\t%s\t%.3f to %.3f mm (%.4f to %.4f in)\n", name, unit.MM(e.Value), unit.MM(e.U), low, high, low/unit.MMPerInch, high/unit.MMPerInch)
		if r.asked.showsParts {
			for _, p := range e.Parts {
				fmt.Fprintf(tab, "    %s\t\t%s\t%s\n", p.What, unit.MM(p.U), p.Source)
			}
		}
	}
	f := a.Found
	if a.Set.External() {
		row("outside diameter", f.Diameter)
	} else {
		row("bore, crest to crest", f.Diameter)
		row("major diameter from it", f.Major)
	}
	row("pitch", f.Pitch)
	if f.Pitch != nil {
		n, u := unit.MMPerInch/f.Pitch.Value, unit.MMPerInch/f.Pitch.Value*f.Pitch.U/f.Pitch.Value
		fmt.Fprintf(tab, "  threads to the inch\t%.2f\t%.2f\t\n", n, u)
	}
	row("pitch diameter over wires", f.PitchDiameter)
	row("throat", f.Throat)
	row("threaded length", f.Length)
	_ = tab.Flush() // into a strings.Builder, which cannot fail
	for _, note := range r.notes() {
		fmt.Fprintf(b, "  %s.\n", note)
	}
	for _, c := range f.Contradictions {
		fmt.Fprintf(b, "  Contradiction: %s. Take %s again.\n", c.Text, c.Again)
	}
	if r.Names != nil {
		fmt.Fprintf(b, "  Two names: %s (common practice).\n", r.Names.Text)
	}
}

func (r identifyReport) printCandidates(b *strings.Builder) {
	all := r.Candidates
	fmt.Fprintf(b, "\nIt could be, among %s:\n", r.Among.Words())
	shown, rest := 0, 0.0
	for i, c := range all {
		last := i == len(all)-1
		if !last && (shown >= shownMost || c.Weight < shownWeight) {
			rest += c.Weight
			continue
		}
		if last && rest >= leastRest {
			fmt.Fprintf(b, "  %s %s  the other %d together\n", bar(rest), share(rest), len(all)-1-shown)
		}
		fmt.Fprintf(b, "  %s %s  %s", bar(c.Weight), share(c.Weight), c.Designation)
		if c.Standard != "" {
			fmt.Fprintf(b, ", %s", c.Standard)
		}
		fmt.Fprintf(b, "\n      %s.\n", c.Why)
		shown++
	}
	fmt.Fprintf(b, "  Believed beforehand: %s.\n", r.Among.Prior())
}

func (r identifyReport) printNext(b *strings.Builder) {
	n := r.Next
	if n == nil {
		return
	}
	fmt.Fprintf(b, "\nTo tell %s from %s:\n", n.Between[0], n.Between[1])
	switch {
	case n.Best != nil:
		fmt.Fprintf(b, "  %s (then %s). Expected gain %.2f bit of the %.2f bit that are open.\n", n.Best.What, thenGive(*n.Best), n.Best.GainBits, n.OpenBits)
	case n.OpenBits < settledBits:
		fmt.Fprintf(b, "  nothing more needs to be read; only %.2f bit are open.\n", n.OpenBits)
	default:
		fmt.Fprintf(b, "  no further reading of these is expected to tell (%.2f bit are open); compare how they fit, or print a ring (--tell-apart).\n", n.OpenBits)
	}
}

// thenGive names the flags that take what a further reading shows.
func thenGive(f reading.Further) string {
	var flags []string
	for _, field := range f.Fields {
		flags = append(flags, flagName(field.Key))
	}
	if f.Otherwise != "" {
		return strings.Join(append(flags, flagName(f.Otherwise)), " or ")
	}
	return strings.Join(flags, " and ")
}

// settledBits is what may be open between two threads that count as told apart: a chance of 1 in 200 (0.05 bit).
const settledBits = 0.05

func (r identifyReport) printApart(b *strings.Builder) {
	fmt.Fprintf(b, "\nCan a printed ring tell them apart?\n")
	if len(r.apart) == 0 {
		b.WriteString("  There is only one thread to speak of.\n")
	}
	for _, a := range r.apart {
		word := "no "
		if a.Can {
			word = "yes"
		}
		fmt.Fprintf(b, "  %s  %s or %s: %s.\n", word, a.Between[0], a.Between[1], a.Why)
	}
	fmt.Fprintf(b, "\n%s\n", check.Caution)
}

// share prints a chance, as wide as "100.0 %".
func share(p float64) string { return fmt.Sprintf("%5.1f %%", 100*p) }

// bar is a bar of barCells cells for a weight of 1.
func bar(p float64) string {
	full := int(math.Round(p * barCells))
	return strings.Repeat("█", full) + strings.Repeat("·", barCells-full)
}
