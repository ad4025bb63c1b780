package draw

// This file writes the card of a drawer of gauges: what each is, its limits, and how it is read, to be printed and laid into
// the drawer.

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// CardData is what a card tells of.
type CardData struct {
	Title   string
	Printer printer.Profile
	// Gauges are told in their order; those that judge the same parts stand together.
	Gauges []ring.Gauge
	// Places says where each gauge lies in its tray; nil for no tray.
	Places []string
}

//go:embed card.html
var cardPage string

var cardTemplate = Page("card", cardPage)

type cardView struct {
	Title, Count, Caution, Shared, Printer, Entry, TooBig, TooSmall string
	// Coarse says that the printer cannot resolve the tolerance of some thread.
	Coarse bool
	// Left and Many say that there is a left-hand thread, and one of several starts.
	Left, Many bool
	// Paired says that there are go and no-go gauges, StepRing and StepPlug that there are such gauges of taper threads.
	Paired, StepRing, StepPlug bool
	Pairs                      []pairView
}

// pairView is the gauges that judge the same parts.
type pairView struct {
	Judged, Source, Warn, Decides string
	Limits                        []cellView
	Bar                           template.HTML
	Gauges                        []gaugeView
}

// Rows is how many rows of the table the pair takes.
func (p pairView) Rows() int { return len(p.Gauges) + 1 }

type gaugeView struct {
	Name, Use, Place string
	Cells            []cellView
}

// Card writes the card: one HTML file that asks for nothing else, with rows that stay whole when it is printed.
func Card(w io.Writer, d CardData) error {
	v := cardView{
		Title: d.Title, Count: unit.Counted(len(d.Gauges), "gauge"), Caution: check.Caution, Printer: cardPrinter(d.Printer),
	}
	var kinds, entries []string
	rows := map[string]int{}
	var threads []thread.Thread
	for i, g := range d.Gauges {
		threads = append(threads, g.Thread)
		key := string(g.Kind) + " " + ring.Judged(g.Thread, g.Class)
		at, known := rows[key]
		if !known {
			at = len(v.Pairs)
			rows[key] = at
			v.Pairs = append(v.Pairs, viewPair(g))
		}
		p := &v.Pairs[at]
		row := viewGauge(g)
		if d.Places != nil {
			row.Place = d.Places[i]
		}
		p.Gauges = append(p.Gauges, row)
		v.Coarse = v.Coarse || p.Warn != ""
		v.Left, v.Many = v.Left || g.Thread.Hand == thread.Left, v.Many || g.Thread.Starts > 1
		if g.Limit == ring.Steps {
			v.StepRing, v.StepPlug = v.StepRing || g.Kind == ring.RingGauge, v.StepPlug || g.Kind == ring.PlugGauge
			continue
		}
		v.Paired = true
		kinds = addWord(kinds, string(g.Kind))
		if g.Limit == ring.NoGo {
			entries = addWord(entries, fmt.Sprintf("%d turns (%s)", g.Entry.Turns, g.Entry.Source))
		}
	}
	if len(entries) == 0 {
		entries = []string{"the turns its standard allows"}
	}
	v.Shared, v.Entry = check.Shared(threads...), strings.Join(entries, " or ")
	words := map[string][2]string{"ring": {"large", "small"}, "plug": {"small", "large"}}
	if len(kinds) == 1 {
		v.TooBig, v.TooSmall = words[kinds[0]][0], words[kinds[0]][1]
	} else {
		v.TooBig, v.TooSmall = "large for a ring gauge or too small for a plug gauge", "small for a ring gauge or too large for a plug gauge"
	}
	return cardTemplate().Execute(w, v)
}

// addWord appends a word that is not there yet.
func addWord(words []string, word string) []string {
	if slices.Contains(words, word) {
		return words
	}
	return append(words, word)
}

// cardPrinter says whose errors were taken off.
func cardPrinter(p printer.Profile) string {
	if p.Name == printer.Unnamed().Name {
		return fmt.Sprintf("No printer was named: modelled for the middle of what printers do (%s), with which each gauge is uncertain as it says.", printer.CommonPractice)
	}
	return fmt.Sprintf("Modelled for the printer %s in layers of %s: it adds %s to outside and takes %s from inside diameters (± %s and %s, 95 %%), and what its layers do to flanks beside that.",
		p.Name, p.Layer.TextMM(), p.OutsideAdds.TextMM(), p.InsideTakes.TextMM(), (2 * p.OutsideU).TextMM(), (2 * p.InsideU).TextMM())
}

func viewPair(g ring.Gauge) pairView {
	l, d := g.Limits, g.Decision()
	v := pairView{
		Judged: ring.Judged(g.Thread, g.Class), Source: g.LimitsSource, Decides: decides(d), Bar: template.HTML(decisionBar(d)),
		Limits: []cellView{limitCell(l.MajorMin, l.MajorMax), limitCell(l.PitchMin, l.PitchMax), limitCell(l.MinorMin, l.MinorMax)},
	}
	if !d.Resolves && d.Taper > 0 {
		half, _ := d.StandOff(d.Tolerance() / 2)
		u, turns := d.StandOff(d.U)
		v.Warn = fmt.Sprintf("Cannot resolve steps %.1f mm from their middle: uncertain by %.1f mm, %.1f turns.", half.MM(), u.MM(), turns)
	} else if !d.Resolves {
		v.Warn = fmt.Sprintf("Cannot resolve the tolerance of %s: uncertain by %s.", d.Tolerance().TextMM(), d.U.TextMM())
	}
	return v
}

// decides says the bands in few words.
func decides(d ring.Decision) string {
	if d.Taper > 0 {
		far, turns := d.StandOff(d.Tolerance()/2 + d.U)
		near, few := d.StandOff(d.Tolerance()/2 - d.U)
		out := fmt.Sprintf("surely out more than %.1f mm (%.1f turns) from the middle between the steps", far.MM(), turns)
		if !d.Resolves {
			return "Nothing is surely in; " + out + "."
		}
		return fmt.Sprintf("Surely in within %.1f mm (%.1f turns), %s.", near.MM(), few, out)
	}
	out := fmt.Sprintf("surely out below %s or above %s", d.OutBelow, d.OutAbove)
	if !d.Resolves {
		return "Nothing is surely in; " + out + "."
	}
	return fmt.Sprintf("Surely in from %s to %s; %s.", d.InFrom, d.InTo, out)
}

// limitCell prints limits, of which the standard may leave one open, or both.
func limitCell(lo, hi *unit.Length) cellView {
	one := func(words string, l unit.Length) cellView {
		c := length(l)
		return cellView{MM: words + " " + c.MM, Inch: "(" + c.Inch + ")"}
	}
	switch {
	case lo == nil && hi == nil:
		return cellView{MM: "open"}
	case lo == nil:
		return one("at most", *hi)
	case hi == nil:
		return one("at least", *lo)
	}
	least, most := length(*lo), length(*hi)
	return cellView{MM: least.MM + " – " + most.MM, Inch: "(" + least.Inch + " – " + most.Inch + ")"}
}

func viewGauge(g ring.Gauge) gaugeView {
	v := gaugeView{Name: strings.ToUpper(string(g.Limit)) + " " + string(g.Kind), Use: fmt.Sprintf("whole %.0f mm", g.Length.MM())}
	switch g.Limit {
	case ring.NoGo:
		v.Use = fmt.Sprintf("at most %d turns", g.Entry.Turns)
	case ring.Steps:
		v.Name = "STEP " + string(g.Kind)
		v.Use = fmt.Sprintf("stops between the steps, %.1f mm apart", (g.StepsMM[1] - g.StepsMM[0]))
	}
	for _, x := range []unit.Length{g.Wanted.Major, g.Wanted.Pitch, g.Wanted.Minor} {
		c := length(x)
		v.Cells = append(v.Cells, cellView{MM: c.MM, Inch: "(" + c.Inch + ")"})
	}
	return v
}

// The bar of a decision, in its own millimetres.
const (
	barWide, barHigh = 46.0, 7.0
	barMargin        = 0.25 // of the span shown, past the surely-out limits on each side
)

// decisionBar draws what the pair decides along the part's pitch diameter.
func decisionBar(d ring.Decision) string {
	span := (d.OutAbove - d.OutBelow).MM()
	from := d.OutBelow.MM() - barMargin*span
	x := func(l unit.Length) float64 { return (l.MM() - from) / (span * (1 + 2*barMargin)) * barWide }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" role="img" aria-label="%s">`, num(barWide), num(barHigh), template.HTMLEscapeString(d.Words()))
	block := func(fill string, a, z float64) {
		fmt.Fprintf(&b, `<rect x="%s" y="1.5" width="%s" height="3" fill="%s" stroke="#000" stroke-width=".2"/>`, num(a), num(max(z-a, 0)), fill)
	}
	hatched := func(a, z float64) {
		block("#fff", a, z)
		for s := a; s < z; s += 0.9 { // strokes that lean, each cut at the block's right edge
			end := min(s+1.5, z)
			fmt.Fprintf(&b, `<path d="M%s 4.5L%s %s" stroke="#000" stroke-width=".2"/>`, num(s), num(end), num(4.5-(end-s)*2))
		}
	}
	block("#000", 0, x(d.OutBelow))
	if d.Resolves {
		hatched(x(d.OutBelow), x(d.InFrom))
		block("#fff", x(d.InFrom), x(d.InTo))
		hatched(x(d.InTo), x(d.OutAbove))
	} else {
		hatched(x(d.OutBelow), x(d.OutAbove))
	}
	block("#000", x(d.OutAbove), barWide)
	for _, l := range []unit.Length{d.PitchMin, d.PitchMax} {
		fmt.Fprintf(&b, `<path d="M%s .3V5.7" stroke="#000" stroke-width=".5"/>`, num(x(l)))
	}
	b.WriteString(`</svg>`)
	return b.String()
}
