package draw

// This file writes the title block: what the part is, how it was planned, the scale, and the caution.

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"

	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/ring"
)

// Rows of the title block, from the foot of the frame, and columns, from its left and its right.
const (
	titleHigh, titleRowUp, cautionUp = 52.0, 43.0, 12.0
	secondColumn, thirdColumn        = 94.0, 85.0
	cellPad                          = 2.0
)

func (s *sheet) titleRow() float64   { return s.frame.Y1 - titleRowUp }
func (s *sheet) cautionTop() float64 { return s.frame.Y1 - cautionUp }

// titleBlock draws the block at the foot of the sheet.
func (s *section) titleBlock() {
	p := s.plan
	name := p.Label
	if name == "" {
		name = p.Designations()
	}
	inside, outside := modified(p.Inner), modified(p.Outer)
	marks := ""
	for _, m := range []struct{ mark, means string }{{" MOD", "sizes as modelled, not the standard's; in no class"}, {" SPECIAL", "of no standard"}} {
		if strings.HasSuffix(inside, m.mark) || strings.HasSuffix(outside, m.mark) {
			marks += m.mark[1:] + ": " + m.means + ". "
		}
	}
	clearance := "clearance on ⌀ inside " + both(p.Inner.Clearance) + ", outside " + both(p.Outer.Clearance)
	if p.Inner.Clearance == p.Outer.Clearance {
		clearance = "clearance on ⌀ " + both(p.Inner.Clearance)
	}
	s.block("Test ring  "+name, "", s.scale, 56, []cell{
		{s.frame.X0, []string{
			"inside: " + inside + standard(p.Inner.Thread.Standard),
			"outside: " + outside + standard(p.Outer.Thread.Standard),
			onPrint(p),
		}},
		{s.frame.X0 + secondColumn, []string{strings.TrimSpace(marks), clearance, p.LayoutWhy, "mm [inch]; only ± are tolerances"}},
		{s.frame.X1 - thirdColumn, []string{printedIn(p.Printer)}},
	})
}

// printedIn is the material, and the printer that the sizes are modelled for.
func printedIn(p printer.Profile) string {
	material := map[string]string{printer.Filament: "any filament", printer.Resin: "any resin"}[p.Process]
	if p.Name == printer.Unnamed().Name {
		return material + ", no printer named"
	}
	return material + ", printer " + p.Name
}

// onPrint tells what a caliper over the crests of the print should read, ± 95 %; nothing of a taper, whose crests differ along it.
func onPrint(p ring.Plan) string {
	in, out := p.Inner, p.Outer
	if in.Thread.Taper > 0 || out.Thread.Taper > 0 {
		return ""
	}
	return fmt.Sprintf("caliper on the print: %.2f ± %.2f outside, %.2f ± %.2f in the bore",
		out.Printed.Major.MM(), 2*out.Made.Plain.U.MM(), in.Printed.Minor.MM(), 2*in.Made.Plain.U.MM())
}

// modified is a thread as it is modelled: MOD marks a standard's thread whose sizes are not the standard's (ASME B1.1-2019, from memory, modified
// threads), SPECIAL one of no standard.
func modified(s ring.Side) string {
	switch name := s.Thread.Designation; {
	case s.Thread.Standard == "":
		return name + " SPECIAL"
	case s.Modelled != s.Nominal:
		return name + " MOD"
	default:
		return name
	}
}

func standard(name string) string {
	if name == "" {
		return ""
	}
	return ", " + name
}

// cell is a column of the title block, from its left edge on.
type cell struct {
	left  float64
	lines []string
}

// block draws a title block with the fields of ISO 7200:2004 (from memory) that a drawing without an owner and a day has: a heading, which is cut
// before its tail when both do not fit, cells, in the last one the number, the scale with a bar, barMM long at most, and the
// projection, and the caution.
func (s *sheet) block(heading, tail string, of scale, barMM float64, cells []cell) {
	s.open("grid", wide, at{s.frame.X0, s.frame.Y1 - titleHigh}, at{s.frame.X1, s.frame.Y1 - titleHigh})
	s.open("grid", thin, at{s.frame.X0, s.titleRow()}, at{s.frame.X1, s.titleRow()})
	s.open("grid", thin, at{s.frame.X0, s.cautionTop()}, at{s.frame.X1, s.cautionTop()})
	for _, c := range cells[1:] {
		s.open("grid", thin, at{c.left, s.titleRow()}, at{c.left, s.cautionTop()})
	}
	const titleSize = 5.0
	heading = wrap(heading, (s.frame.X1-s.frame.X0-2*cellPad)/titleSize-textWidth(tail, true), true)[0]
	s.text(at{s.frame.X0 + cellPad, s.titleRow() - 2.8}, heading+tail, style{size: titleSize, bold: true, anchor: "start"})
	last := len(cells) - 1
	cells[last].lines = append([]string{"No. " + s.contentNumber(), "scale " + of.name}, cells[last].lines...)
	for i, c := range cells {
		right := s.frame.X1
		if i < last {
			right = cells[i+1].left
		}
		s.cell(c.left, right, c.lines)
	}
	s.scaleBar(at{s.frame.X1 - thirdColumn + cellPad + 1, s.cautionTop() - 4}, barMM, of.factor)
	s.projection(at{s.frame.X1 - 11, s.titleRow() + 5.5})
	for i, l := range wrap(check.Caution, (s.frame.X1-s.frame.X0-2*cellPad)/textMM, true) {
		s.text(at{s.frame.X0 + cellPad, s.cautionTop() + 5 + float64(i)*linePitch*textMM}, l, style{size: textMM, bold: true, anchor: "start"})
	}
}

// contentNumber is made of all that is drawn so far: sheets of one number are alike.
func (s *sheet) contentNumber() string {
	h := sha256.New()
	for _, m := range s.marks {
		io.WriteString(h, m.svg())
	}
	for _, l := range s.labels {
		io.WriteString(h, l.svg())
	}
	sum := strings.ToUpper(hex.EncodeToString(h.Sum(nil)[:4]))
	return sum[:4] + "-" + sum[4:]
}

// projection draws the symbol of first angle projection (ISO 5456-2:1996, from memory): a cone from its side, and right of it as seen from its
// small end; p is the middle between both.
func (s *sheet) projection(p at) {
	const small, large, long, apart = 1.5, 3.0, 6.0, 5.0
	x := p.X - apart - long/2
	s.marks = append(s.marks, mark{class: "projection", line: flankLine, closed: true, runs: [][]at{
		{{x, p.Y - small}, {x + long, p.Y - large}, {x + long, p.Y + large}, {x, p.Y + small}},
	}})
	s.circle("projection", flankLine, "", at{p.X + apart, p.Y}, small)
	s.circle("projection", flankLine, "", at{p.X + apart, p.Y}, large)
	s.open("projection", axisLine, at{x - 1.5, p.Y}, at{p.X + apart + large + 1, p.Y})
}

// cell writes lines into a cell of the title block; what does not fit ends in an ellipsis.
func (s *sheet) cell(left, right float64, lines []string) {
	var all []string
	width := (right - left - 2*cellPad) / textMM
	for _, l := range lines {
		all = append(all, wrap(l, width, false)...)
	}
	const most = 6
	if len(all) > most {
		all = all[:most]
		last := all[most-1]
		for textWidth(last+"…", false) > width {
			last = strings.TrimRight(last[:len(last)-1], " ")
		}
		all[most-1] = last + "…"
	}
	for i, l := range all {
		s.text(at{left + cellPad, s.titleRow() + 4.6 + float64(i)*linePitch*textMM}, l, plain)
	}
}
