package draw

// This file draws the page of a ladder: a chart of the chances for each side and printer, and the table behind it.

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"

	"tryring/internal/check"
	"tryring/internal/fit"
)

// LadderData is what the page of a ladder tells. Lengths in mm.
type LadderData struct {
	// Pairs is set where plugs and rings of the thread Inner are tried on each other.
	Pairs              bool
	Name, Inner, Outer string
	// Printer is the profile compensated for, Printers all that are compared.
	Printer  string
	Printers []string
	// Bed is the size of the bed in words.
	Bed    string
	Rungs  []LadderRung
	Plates []LadderPlate
}

// LadderRung is one ring; Inner and Outer have one entry a printer.
type LadderRung struct {
	Name, Label  string
	Inner, Outer []LadderSide
}

// LadderSide is one thread of a rung on one printer.
type LadderSide struct {
	// DesignedMM is the clearance asked for, on the diameter, WallMM the least wall as printed.
	DesignedMM, WallMM float64
	MadeSide
}

// MadeSide is one thread of a rung as one printer would make it, and how it goes with its mate in the middle of the
// mate's limits of size.
type MadeSide struct {
	// PitchClearanceMM is against the mate's basic size, UMM its standard uncertainty, on the diameter.
	PitchClearanceMM float64 `json:"pitch_clearance_mm"`
	UMM              float64 `json:"u_mm"`
	// FlankGapMM is the gap normal to each flank, AxialPlayMM the whole travel along the axis; null on tapers, which
	// close their gaps as they are turned in.
	FlankGapMM  *float64 `json:"flank_gap_mm"`
	AxialPlayMM *float64 `json:"axial_play_mm"`
	// EngagementPercent is the flank engagement as a percentage of full depth.
	EngagementPercent float64     `json:"engagement_percent"`
	Verdict           fit.Verdict `json:"verdict"`
	// Chance is that of snug or goes; Chances are those of all verdicts in the order of fit.Verdicts.
	Chance  float64    `json:"chance"`
	Chances [5]float64 `json:"chances"`
	Why     string     `json:"why"`
	// Lies is how the thread lies in its mate, to be drawn; nil for no drawing.
	Lies *FitData `json:"-"`
}

// LadderPlate is one plate and the rungs on it.
type LadderPlate struct {
	File  string
	Parts []string
}

//go:embed ladder.html
var ladderPage string

var ladderTemplate = pageTemplate("ladder", ladderPage)

// ladderView is what the template shows.
type ladderView struct {
	LadderData
	Caution string
	Groups  []ladderGroup
}

// ladderGroup is one side on one printer.
type ladderGroup struct {
	Title string
	Chart template.HTML
	Rows  [][]string // the cells of each
	Lies  []ladderLie
}

// Ladder writes the page: one file that asks for nothing else.
func Ladder(w io.Writer, d LadderData) error {
	v := ladderView{LadderData: d, Caution: check.Caution}
	for k, name := range d.Printers {
		on := "as printer " + name + " makes it"
		switch {
		case name == "none":
			on = "as modelled, on a printer that nothing is known of"
		case k > 0:
			on = "the same files on printer " + name
		}
		inner := func(r LadderRung) LadderSide { return r.Inner[k] }
		outer := func(r LadderRung) LadderSide { return r.Outer[k] }
		groups := []ladderGroup{
			d.group("Inside, on "+d.Inner+": "+on, fmt.Sprintf("i%d", k), inner),
			d.group("Outside, in "+d.Outer+": "+on, fmt.Sprintf("o%d", k), outer),
		}
		if d.Pairs {
			groups = []ladderGroup{d.group("Plug in ring, "+d.Inner+": "+on, fmt.Sprintf("i%d", k), inner)}
		}
		for i, side := range []func(LadderRung) LadderSide{inner, outer}[:len(groups)] {
			var err error
			if groups[i].Lies, err = d.lies(side); err != nil {
				return err
			}
		}
		v.Groups = append(v.Groups, groups...)
	}
	return ladderTemplate().Execute(w, v)
}

func (d LadderData) group(title, id string, side func(LadderRung) LadderSide) ladderGroup {
	g := ladderGroup{Title: title, Chart: template.HTML(d.chart(title, id, side))} // our own drawing; its words are escaped there
	for _, r := range d.Rungs {
		s := side(r)
		g.Rows = append(g.Rows, []string{
			r.Name, fmt.Sprintf("%.2f", s.DesignedMM), fmt.Sprintf("%.2f ± %.2f", s.PitchClearanceMM, s.UMM), optional(s.FlankGapMM), optional(s.AxialPlayMM),
			fmt.Sprintf("%.0f %%", s.EngagementPercent), fmt.Sprintf("%.2f", s.WallMM), string(s.Verdict), fmt.Sprintf("%.0f %%", 100*s.Chance), s.Why,
		})
	}
	return g
}

func optional(x *float64) string {
	if x == nil {
		return "–"
	}
	return fmt.Sprintf("%.3f", *x)
}

// The chart's measures, in SVG units: one stacked column a rung.
const (
	chartHigh, chartBase = 120.0, 150.0
	chartLeft            = 46.0
	columnMost           = 60.0
	chartMost            = 720.0
	// wordAbove is the least height of a band that its verdict's letter fits into.
	wordAbove = 12.0
)

// bands dress the verdicts: a letter and a fill each, so that no one has to tell colours apart.
var bands = []struct{ letter, fill, ink string }{
	{"N", "#3d3a36", "#ffffff"}, {"B", "#8c8478", "#000000"}, {"S", "#d9b44a", "#000000"}, {"G", "#7fb3d5", "#000000"}, {"L", "#ffffff", "#000000"},
}

// chart draws the chances of each verdict as stacked columns, one a rung, the column's top being 100 %.
func (d LadderData) chart(title, id string, side func(LadderRung) LadderSide) string {
	var b bytes.Buffer
	column := min(columnMost, chartMost/float64(max(1, len(d.Rungs))))
	wide := chartLeft + column*float64(len(d.Rungs)) + 130
	fmt.Fprintf(&b, `<svg viewBox="0 0 %s 190" role="img" aria-labelledby="%s" font-family="%s" font-size="11">`, num(wide), id, typefaces)
	fmt.Fprintf(&b, "\n<title id=%q>%s: chances of the verdicts, by rung</title>\n", id, escaped(title))
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"190\" fill=\"#fff\"/>\n", num(wide))
	for _, percent := range []float64{0, 50, 100} {
		y := chartBase - chartHigh*percent/100
		fmt.Fprintf(&b, "<path d=\"M%s %sH%s\" stroke=\"#888\" stroke-width=\".5\"/><text x=\"%s\" y=\"%s\" text-anchor=\"end\">%s %%</text>\n",
			num(chartLeft-4), num(y), num(chartLeft+column*float64(len(d.Rungs))), num(chartLeft-7), num(y+4), num(percent))
	}
	for i, r := range d.Rungs {
		s := side(r)
		x, y := chartLeft+column*float64(i), chartBase
		for k, chance := range s.Chances {
			h := chartHigh * chance
			if h <= 0 {
				continue
			}
			y -= h
			fmt.Fprintf(&b, "<rect class=\"band\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" fill=%q stroke=\"#222\" stroke-width=\".6\"><title>%s: %s %s %%</title></rect>\n",
				num(x+column*.1), num(y), num(column*.8), num(h), bands[k].fill, escaped(r.Name), fit.Verdicts[k], num(float64(int(1000*chance+.5))/10))
			if h > wordAbove {
				fmt.Fprintf(&b, "<text x=\"%s\" y=\"%s\" text-anchor=\"middle\" fill=%q>%s</text>\n", num(x+column/2), num(y+h/2+4), bands[k].ink, bands[k].letter)
			}
		}
		fmt.Fprintf(&b, "<text x=\"%s\" y=\"%s\" text-anchor=\"middle\" font-size=\"%s\">%s</text>\n", num(x+column/2), num(chartBase+14), num(min(11, column/2.6)), escaped(r.Name))
	}
	fmt.Fprintf(&b, "<text x=\"%s\" y=\"182\">rung: clearance engraved, mm on the diameter</text>\n", num(chartLeft))
	for k, v := range fit.Verdicts {
		y := 40 + 20*float64(len(bands)-1-k)
		x := wide - 118
		fmt.Fprintf(&b, "<rect x=\"%s\" y=\"%s\" width=\"14\" height=\"14\" fill=%q stroke=\"#222\" stroke-width=\".6\"/><text x=\"%s\" y=\"%s\" text-anchor=\"middle\" fill=%q>%s</text><text x=\"%s\" y=\"%s\">%s</text>\n",
			num(x), num(y), bands[k].fill, num(x+7), num(y+11), bands[k].ink, bands[k].letter, num(x+19), num(y+11), v)
	}
	b.WriteString("</svg>\n")
	return b.String()
}
