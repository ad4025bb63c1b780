package draw

// This file draws the chances of the rungs of a ladder.

import (
	"bytes"
	"fmt"
	"html/template"

	"tryring/internal/fit"
)

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

// VerdictChances are the chances of one rung's verdicts, in the order of fit.Verdicts.
type VerdictChances struct {
	Rung    string
	Chances [5]float64
}

// Chances draws the chances of each verdict as stacked columns, one a rung, the column's top being 100 %: a picture to
// stand in a page, where no other has the same id.
func Chances(title, id string, rungs []VerdictChances) template.HTML {
	var b bytes.Buffer
	column := min(columnMost, chartMost/float64(max(1, len(rungs))))
	wide := chartLeft + column*float64(len(rungs)) + 130
	fmt.Fprintf(&b, `<svg viewBox="0 0 %s 190" role="img" aria-labelledby="%s" font-family="%s" font-size="11">`, num(wide), id, typefaces)
	fmt.Fprintf(&b, "\n<title id=%q>%s: chances of the verdicts, by rung</title>\n", id, escaped(title))
	fmt.Fprintf(&b, "<rect width=\"%s\" height=\"190\" fill=\"#fff\"/>\n", num(wide))
	for _, percent := range []float64{0, 50, 100} {
		y := chartBase - chartHigh*percent/100
		fmt.Fprintf(&b, "<path d=\"M%s %sH%s\" stroke=\"#888\" stroke-width=\".5\"/><text x=\"%s\" y=\"%s\" text-anchor=\"end\">%s %%</text>\n",
			num(chartLeft-4), num(y), num(chartLeft+column*float64(len(rungs))), num(chartLeft-7), num(y+4), num(percent))
	}
	for i, r := range rungs {
		x, y := chartLeft+column*float64(i), chartBase
		for k, chance := range r.Chances {
			h := chartHigh * chance
			if h <= 0 {
				continue
			}
			y -= h
			fmt.Fprintf(&b, "<rect class=\"band\" x=\"%s\" y=\"%s\" width=\"%s\" height=\"%s\" fill=%q stroke=\"#222\" stroke-width=\".6\"><title>%s: %s %s %%</title></rect>\n",
				num(x+column*.1), num(y), num(column*.8), num(h), bands[k].fill, escaped(r.Rung), fit.Verdicts[k], num(float64(int(1000*chance+.5))/10))
			if h > wordAbove {
				fmt.Fprintf(&b, "<text x=\"%s\" y=\"%s\" text-anchor=\"middle\" fill=%q>%s</text>\n", num(x+column/2), num(y+h/2+4), bands[k].ink, bands[k].letter)
			}
		}
		fmt.Fprintf(&b, "<text x=\"%s\" y=\"%s\" text-anchor=\"middle\" font-size=\"%s\">%s</text>\n", num(x+column/2), num(chartBase+14), num(min(11, column/2.6)), escaped(r.Rung))
	}
	fmt.Fprintf(&b, "<text x=\"%s\" y=\"182\">rung: clearance engraved, mm on the diameter</text>\n", num(chartLeft))
	for k, v := range fit.Verdicts {
		y := 40 + 20*float64(len(bands)-1-k)
		x := wide - 118
		fmt.Fprintf(&b, "<rect x=\"%s\" y=\"%s\" width=\"14\" height=\"14\" fill=%q stroke=\"#222\" stroke-width=\".6\"/><text x=\"%s\" y=\"%s\" text-anchor=\"middle\" fill=%q>%s</text><text x=\"%s\" y=\"%s\">%s</text>\n",
			num(x), num(y), bands[k].fill, num(x+7), num(y+11), bands[k].ink, bands[k].letter, num(x+19), num(y+11), v)
	}
	b.WriteString("</svg>\n")
	return template.HTML(b.String()) // our own drawing; its words are escaped
}
