package draw

// This file writes the title block: what the part is, how it was planned, the scale, and the caution.

import (
	"fmt"
	"strings"

	"tryring/internal/check"
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
	s.block("Test ring  "+name, "", s.scale.factor, 56, []cell{
		{s.frame.X0, []string{
			"inside: " + p.Inner.Thread.Designation + standard(p.Inner.Thread.Standard),
			"outside: " + p.Outer.Thread.Designation + standard(p.Outer.Thread.Standard),
			"sizes as modelled in the file, mm [inch]" + onPrint(p),
		}},
		{s.frame.X0 + secondColumn, []string{
			"clearance on the diameter: inside " + both(p.Inner.Clearance) + ", outside " + both(p.Outer.Clearance),
			"layout: " + p.LayoutWhy,
		}},
		{s.frame.X1 - thirdColumn, []string{
			"printer: " + p.Printer.Name,
			fmt.Sprintf("arcs drawn to %s mm chord", trimmed(profileChordMM)),
			"scale " + s.scale.name,
		}},
	})
}

// onPrint tells what a caliper over the crests of the print should read, ± 95 %; nothing of a taper, whose crests differ along it.
func onPrint(p ring.Plan) string {
	in, out := p.Inner, p.Outer
	if in.Thread.Taper > 0 || out.Thread.Taper > 0 {
		return ""
	}
	return fmt.Sprintf("; the print by caliper: %.2f ± %.2f outside, %.2f ± %.2f in the bore",
		out.Printed.Major.MM(), 2*out.Made.Plain.U.MM(), in.Printed.Minor.MM(), 2*in.Made.Plain.U.MM())
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

// block draws a title block: a heading, which is cut before its tail when both do not fit, cells, a bar of the scale in the
// third column, barMM long at most, and the caution.
func (s *sheet) block(heading, tail string, factor, barMM float64, cells []cell) {
	s.open("grid", wide, at{s.frame.X0, s.frame.Y1 - titleHigh}, at{s.frame.X1, s.frame.Y1 - titleHigh})
	s.open("grid", thin, at{s.frame.X0, s.titleRow()}, at{s.frame.X1, s.titleRow()})
	s.open("grid", thin, at{s.frame.X0, s.cautionTop()}, at{s.frame.X1, s.cautionTop()})
	for _, c := range cells[1:] {
		s.open("grid", thin, at{c.left, s.titleRow()}, at{c.left, s.cautionTop()})
	}
	const titleSize = 5.0
	heading = wrap(heading, (s.frame.X1-s.frame.X0-2*cellPad)/titleSize-textWidth(tail, true), true)[0]
	s.text(at{s.frame.X0 + cellPad, s.titleRow() - 2.8}, heading+tail, style{size: titleSize, bold: true, anchor: "start"})
	for i, c := range cells {
		right := s.frame.X1
		if i+1 < len(cells) {
			right = cells[i+1].left
		}
		s.cell(c.left, right, c.lines)
	}
	s.scaleBar(at{s.frame.X1 - thirdColumn + cellPad + 1, s.cautionTop() - 4}, barMM, factor)
	for i, l := range wrap(check.Caution, (s.frame.X1-s.frame.X0-2*cellPad)/textMM, true) {
		s.text(at{s.frame.X0 + cellPad, s.cautionTop() + 5 + float64(i)*linePitch*textMM}, l, style{size: textMM, bold: true, anchor: "start"})
	}
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
