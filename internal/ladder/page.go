package ladder

// This file writes the page of a ladder: for each side and printer a chart of the chances, the table behind it, and how each
// rung lies in its mate.

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

//go:embed ladder.html
var pageText string

var pageTemplate = draw.Page("ladder", pageText)

// page is what the template shows.
type page struct {
	Result
	// Bed is the size of the bed in words.
	Caution, Bed string
	Groups       []group
}

// group is one side on one printer.
type group struct {
	Title string
	Chart template.HTML
	Rows  [][]string // the cells of each
	Lies  []lie
}

// lie is the drawing of one rung in its mate; that of the rung which is likeliest to go is open.
type lie struct {
	Words   string
	Picture template.HTML
	Open    bool
}

// write writes the page, for the bed of p: one file that asks for nothing else.
func (r Result) write(w io.Writer, p printer.Profile) error {
	v := page{Result: r, Caution: check.Caution, Bed: fmt.Sprintf("%s x %s mm", unit.Short(p.BedX.MM()), unit.Short(p.BedY.MM()))}
	sides := []string{"Inside, on " + r.Inner, "Outside, in " + r.Outer}
	if r.Pairs {
		sides = []string{"Plug in ring, " + r.Inner}
	}
	for k, name := range r.Printers {
		on := "as printer " + name + " makes it"
		switch {
		case name == printer.Unnamed().Name:
			on = "as the middle of what printers do makes it"
		case k > 0:
			on = "the same files on printer " + name
		}
		for i, side := range sides {
			g := group{Title: side + ": " + on}
			if err := g.fill(r, k, i > 0, fmt.Sprintf("%c%d", "io"[i], k)); err != nil {
				return err
			}
			v.Groups = append(v.Groups, g)
		}
	}
	return pageTemplate().Execute(w, v)
}

// fill tells one side of every rung as printer k makes it; id is that of the chart.
func (g *group) fill(r Result, k int, outer bool, id string) error {
	var chances []draw.VerdictChances
	best, chance := -1, -1.0
	for _, rung := range r.Rungs {
		designed, made := rung.Inner.ClearanceMM, rung.Made[k].Inner
		if outer {
			designed, made = rung.Outer.ClearanceMM, rung.Made[k].Outer
		}
		if r.Pairs { // both halves of the gap
			designed = unit.Round(rung.Inner.ClearanceMM + rung.Outer.ClearanceMM)
		}
		chances = append(chances, draw.VerdictChances{Rung: rung.Rung, Chances: made.Chances})
		percent := fmt.Sprintf("%.0f %%", 100*made.Chance)
		g.Rows = append(g.Rows, []string{
			rung.Rung, fmt.Sprintf("%.2f", designed), fmt.Sprintf("%.2f ± %.2f", made.PitchClearanceMM, 2*made.UMM), optional(made.FlankGapMM), optional(made.AxialPlayMM),
			fmt.Sprintf("%.0f %%", made.EngagementPercent), fmt.Sprintf("%.2f", rung.Made[k].WallMM), string(made.Verdict), percent, made.Why,
		})
		if made.Lies == nil {
			continue
		}
		var picture bytes.Buffer
		if err := draw.FitView(&picture, *made.Lies); err != nil {
			return fmt.Errorf("rung %s: %w", rung.Rung, err)
		}
		if made.Chance > chance {
			best, chance = len(g.Lies), made.Chance
		}
		words := fmt.Sprintf("Rung %s in its mate: %s, %s", rung.Rung, made.Verdict, percent)
		g.Lies = append(g.Lies, lie{Words: words, Picture: template.HTML(picture.String())}) // our own drawing; its words are escaped there
	}
	if best >= 0 {
		g.Lies[best].Open = true
	}
	g.Chart = draw.Chances(g.Title, id, chances)
	return nil
}

func optional(x *float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf("%.3f", *x)
}
