package draw

// This file holds the plain words of the report that depend on the ring: what the threads are, how to print and turn it.

import (
	"fmt"
	"math"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// plainWords tells what a thread is without the words of the trade, or with their meaning beside them.
func plainWords(s ring.Side, use string) string {
	t := s.Thread
	words := fmt.Sprintf("%s. Crests %s mm apart (%s to the inch), %s° between the flanks, ", use,
		trimmed(t.Pitch.MM()), unit.Short(math.Round(100*unit.MMPerInch/t.Pitch.MM())/100), t.Form.AngleWords())
	if t.Hand == thread.Left {
		words += "left-hand (goes in counter-clockwise)"
	} else {
		words += "right-hand (goes in clockwise)"
	}
	if t.Starts > 1 {
		words += fmt.Sprintf(", %d starts (as many threads side by side: one turn moves it %s mm)", t.Starts, trimmed(t.Lead().MM()))
	}
	if t.Taper > 0 {
		words += fmt.Sprintf(", tapered 1 in %s (it tightens as it goes in)", trimmed(1/t.Taper))
	}
	if t.Standard != "" {
		return words + ". Standard: " + t.Standard + "."
	}
	return words + ". No standard thread: made to the sizes given."
}

// printerWords tells what printer the sizes are modelled for.
func printerWords(p ring.Plan) string {
	layers := trimmed(p.Printer.Layer.MM())
	if p.Printer.Name == printer.Unnamed().Name {
		return fmt.Sprintf("No printer is named: modelled for the middle of what printers do, in layers of %s mm.", layers)
	}
	return fmt.Sprintf("Printer profile %q, layers of %s mm.", p.Printer.Name, layers)
}

// SlicerHints tells how to slice and print the ring. Figures not of the printer profile are common practice, no published source.
func SlicerHints(p ring.Plan) []string {
	hints := []string{
		check.Stand(p),
		fmt.Sprintf("Layers of %s mm, no others: mates feel %s mm of clearance inside, %s outside.",
			trimmed(p.Printer.Layer.MM()), trimmed(p.Inner.Clearance.MM()), trimmed(p.Outer.Clearance.MM())),
	}
	if p.Printer.Process == printer.Filament {
		nozzle := math.Max(p.Printer.Nozzle.MM(), 0.1)
		depth := math.Max((p.Inner.Modelled.Major-p.Inner.Modelled.Minor).MM(), (p.Outer.Modelled.Major-p.Outer.Modelled.Minor).MM()) / 2
		hints = append(hints, fmt.Sprintf("%d walls of %s mm, so that each ridge is solid.", int(math.Ceil(depth/nozzle))+2, trimmed(nozzle)),
			"The seam in one line, where it is felt and can be cut.")
	}
	return append(hints,
		"No supports in or on a thread: it prints without.",
		"Size 100 %, hole and shrinkage corrections off.",
	)
}

// forward says which way a ring is turned in.
func forward(p ring.Plan) string {
	switch in, out := p.Inner.Thread.Hand, p.Outer.Thread.Hand; {
	case in == thread.Left && out == thread.Left:
		return "counter-clockwise: both threads are left-hand"
	case in == thread.Left:
		return "clockwise outside; counter-clockwise for the left-hand thread inside"
	case out == thread.Left:
		return "clockwise inside; counter-clockwise for the left-hand thread outside"
	}
	return "clockwise"
}
