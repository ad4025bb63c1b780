package ladder

// This file tells a ladder to a person: one table for each side and printer, and the rung to try first.

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"tryring/internal/unit"
)

// WriteText tells r to a person.
func (r Result) WriteText(w io.Writer) error {
	var b strings.Builder
	if r.Pairs {
		fmt.Fprintf(&b, "Ladder %s, %s of plug and ring: %s.\n", r.Name, unit.Counted(len(r.Rungs), "pair"), r.Inner)
	} else {
		fmt.Fprintf(&b, "Ladder %s, %s: %s inside, %s outside.\n", r.Name, unit.Counted(len(r.Rungs), "rung"), r.Inner, r.Outer)
	}
	for k, name := range r.Printers {
		switch {
		case k == 0 && name == "none":
			b.WriteString("\nNo printer named: the models have the wanted sizes, nothing is compensated.\n")
		case k == 0:
			fmt.Fprintf(&b, "\nAs the printer %s makes it, which the models are compensated for:\n", name)
		default:
			fmt.Fprintf(&b, "\nThe same files on the printer %s:\n", name)
		}
		if r.Pairs {
			r.writeSide(&b, k, "plug in ring, "+r.Inner, func(x RungResult) (RungSide, MadeSide) {
				x.Inner.ClearanceMM += x.Outer.ClearanceMM // both halves of the gap
				return x.Inner, x.Made[k].Inner
			})
			continue
		}
		r.writeSide(&b, k, "inside, on "+r.Inner, func(x RungResult) (RungSide, MadeSide) { return x.Inner, x.Made[k].Inner })
		r.writeSide(&b, k, "outside, in "+r.Outer, func(x RungResult) (RungSide, MadeSide) { return x.Outer, x.Made[k].Outer })
	}
	if r.Pairs {
		b.WriteString("\nGaps between plug and ring, on the diameter; ± one standard deviation. The chance is that the plug can be turned in by hand\nand holds.\n")
	} else {
		b.WriteString("\nClearances on the diameter against the basic size; ± one standard deviation. Verdict and engagement are those with a\npart in the middle of its limits; the chance is that it can be turned on by hand and holds.\n")
	}
	if len(r.Paths) > 0 {
		b.WriteString("\nPlates\n")
		for _, p := range r.Plates {
			names := make([]string, len(p.Parts))
			for i, part := range p.Parts {
				names[i] = part.Rung
				if r.Pairs {
					names[i] = strings.TrimPrefix(part.Name, r.Name+"-gap-")
				}
			}
			fmt.Fprintf(&b, "  %s: %s\n", p.File, strings.Join(names, ", "))
		}
		fmt.Fprintf(&b, "\n%d files, the table among them as %s and %s\n", len(r.Paths), r.Paths[len(r.Paths)-2], r.Paths[len(r.Paths)-1])
	}
	b.WriteString("\n")
	for _, c := range r.Caution {
		fmt.Fprintf(&b, "%s\n", c)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// writeSide tells one side of all rungs on printer k.
func (r Result) writeSide(b *strings.Builder, k int, where string, side func(RungResult) (RungSide, MadeSide)) {
	fmt.Fprintf(b, "\n%s\n", where)
	tab := tabwriter.NewWriter(b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "  rung\tdesigned\tas printed\tflank gap\taxial play\tengaged\twall\tverdict\tchance")
	for _, x := range r.Rungs {
		designed, made := side(x)
		fmt.Fprintf(tab, "  %s\t%.2f\t%.2f ± %.2f\t%s\t%s\t%.0f %%\t%.2f\t%s\t%.0f %%\n", x.Rung, designed.ClearanceMM, made.PitchClearanceMM, made.UMM,
			decimals(made.FlankGapMM), decimals(made.AxialPlayMM), made.EngagementPercent, x.Made[k].WallMM, made.Verdict, 100*made.Chance)
	}
	_ = tab.Flush() // into a strings.Builder, which cannot fail
}

// decimals prints a length with three decimals, a hyphen where there is none.
func decimals(x *float64) string {
	if x == nil {
		return "-"
	}
	return fmt.Sprintf("%.3f", *x)
}
