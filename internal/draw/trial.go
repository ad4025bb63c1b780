package draw

// This file draws what trials taught of a printer: the belief in each offset before and after.

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// TrialData is what the page of a trial tells.
type TrialData struct {
	Printer string
	Trials  int
	Sides   []TrialSide
	// Command makes the rungs proposed next, "" for none.
	Command string
}

// TrialSide is one offset of the printer.
type TrialSide struct {
	Title         string
	Before, After printer.Belief
	// Words tell the figures, a sentence each.
	Words []string
}

//go:embed trial.html
var trialPage string

var trialTemplate = Page("trial", trialPage)

type trialView struct {
	TrialData
	Caution string
}

// Trial writes the page: one file that asks for nothing else.
func Trial(w io.Writer, d TrialData) error {
	return trialTemplate().Execute(w, trialView{d, check.Caution})
}

// The measures of the curves, in SVG units.
const (
	beliefLeft, beliefWide = 30.0, 640.0
	beliefBase, beliefHigh = 170.0, 145.0
	// beliefShare is the share of the chances left out on either side of the picture.
	beliefShare = 0.002
	// beliefSteps is how many steps a curve is drawn in.
	beliefSteps = 400
)

// Chart draws both beliefs over the offset: before dashed, after full and shaded between the bounds of its 95 % interval.
func (s TrialSide) Chart(number int) template.HTML {
	id := fmt.Sprintf("belief%d", number)
	low := math.Floor(10*min(s.Before.Quantile(5*beliefShare).MM(), s.After.Quantile(beliefShare).MM(), 0)) / 10
	high := math.Ceil(10*max(s.Before.Quantile(1-5*beliefShare).MM(), s.After.Quantile(1-beliefShare).MM(), 0)) / 10
	most := 0.0
	var values []unit.Length
	for k := range beliefSteps + 1 {
		v := unit.MM(low + (high-low)*float64(k)/beliefSteps)
		values, most = append(values, v), max(most, s.Before.Density(v), s.After.Density(v))
	}
	x := func(mm float64) float64 { return beliefLeft + (mm-low)/(high-low)*beliefWide }
	curve := func(b printer.Belief, from, to unit.Length) []at {
		var points []at
		for _, v := range values {
			if v >= from && v <= to {
				points = append(points, at{x(v.MM()), beliefBase - beliefHigh*b.Density(v)/most})
			}
		}
		return points
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg viewBox="0 0 700 215" role="img" aria-labelledby="%s" font-family="%s" font-size="12">`, id, typefaces)
	fmt.Fprintf(&b, "\n<title id=%q>%s: belief before and after the trials</title>\n<rect width=\"700\" height=\"215\" fill=\"#fff\"/>\n", id, escaped(s.Title))
	from, to := s.After.Interval()
	if shade := curve(s.After, from, to); len(shade) > 0 {
		closed := append([]at{{shade[0].X, beliefBase}}, shade...)
		closed = append(closed, at{shade[len(shade)-1].X, beliefBase})
		fmt.Fprintf(&b, "<path class=\"interval\" d=%q fill=\"#cfe0ec\"/>\n", pathData(closed, true))
	}
	fmt.Fprintf(&b, "<path class=\"before\" d=%q fill=\"none\" stroke=\"#555\" stroke-width=\"1.5\" stroke-dasharray=\"6 4\"/>\n", pathData(curve(s.Before, values[0], values[beliefSteps]), false))
	fmt.Fprintf(&b, "<path class=\"after\" d=%q fill=\"none\" stroke=\"#000\" stroke-width=\"2\"/>\n", pathData(curve(s.After, values[0], values[beliefSteps]), false))
	fmt.Fprintf(&b, "<path d=\"M%s %sH%s\" stroke=\"#000\"/>\n", num(beliefLeft), num(beliefBase), num(beliefLeft+beliefWide))
	every := 1 + int((high-low)*10)/12
	for k, n := 0, int(math.Round((high-low)*10)); k <= n; k += every {
		mm := low + float64(k)/10
		fmt.Fprintf(&b, "<path d=\"M%s %sv5\" stroke=\"#000\"/><text x=\"%s\" y=\"%s\" text-anchor=\"middle\">%s</text>\n", num(x(mm)), num(beliefBase), num(x(mm)), num(beliefBase+19), num(math.Round(mm*10)/10))
	}
	fmt.Fprintf(&b, "<text x=\"%s\" y=\"210\">mm on the diameter. Dashed: before. Full: now, its 95 %% interval shaded.</text>\n</svg>\n", num(beliefLeft))
	return template.HTML(b.String()) // our own drawing; its words are escaped
}
