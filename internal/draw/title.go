package draw

// This file writes the title block: what the part is, how it was planned, the scale, and the caution.

import (
	"fmt"
	"strings"

	"tryring/internal/check"
)

// Rows and columns of the title block.
const (
	cautionTop               = 190.0
	titleRow                 = 159.0
	secondColumn, thirdColum = 104.0, 202.0
	cellPad                  = 2.0
)

// titleBlock draws the block at the foot of the sheet.
func (s *section) titleBlock() {
	p := s.plan
	s.open("grid", wide, at{frameLeft, titleTop}, at{frameRight, titleTop})
	s.open("grid", thin, at{frameLeft, titleRow}, at{frameRight, titleRow})
	s.open("grid", thin, at{frameLeft, cautionTop}, at{frameRight, cautionTop})
	s.open("grid", thin, at{secondColumn, titleRow}, at{secondColumn, cautionTop})
	s.open("grid", thin, at{thirdColum, titleRow}, at{thirdColum, cautionTop})

	name := p.Label
	if name == "" {
		name = p.Designations()
	}
	const titleSize = 5.0
	title := wrap("Test ring  "+name, (frameRight-frameLeft-2*cellPad)/titleSize, true)
	s.text(at{frameLeft + cellPad, titleRow - 2.8}, title[0], style{size: titleSize, bold: true, anchor: "start"})

	s.cell(frameLeft, secondColumn, []string{
		"inside: " + p.Inner.Thread.Designation + standard(p.Inner.Thread.Standard),
		"outside: " + p.Outer.Thread.Designation + standard(p.Outer.Thread.Standard),
		"modelled sizes, mm [inch]",
	})
	s.cell(secondColumn, thirdColum, []string{
		"clearance on the diameter: inside " + both(p.Inner.Clearance) + ", outside " + both(p.Outer.Clearance),
		"layout: " + p.LayoutWhy,
	})
	s.cell(thirdColum, frameRight, []string{
		"printer: " + p.Printer.Name,
		fmt.Sprintf("arcs drawn to %s mm chord", trimmed(profileChordMM)),
		"scale " + s.scale.name,
	})
	s.scaleBar(at{thirdColum + cellPad + 1, cautionTop - 4}, 56, s.scale.factor)

	for i, l := range wrap(check.Caution, (frameRight-frameLeft-2*cellPad)/textMM, true) {
		s.text(at{frameLeft + cellPad, cautionTop + 5 + float64(i)*linePitch*textMM}, l, style{size: textMM, bold: true, anchor: "start"})
	}
}

func standard(name string) string {
	if name == "" {
		return ""
	}
	return ", " + name
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
		s.text(at{left + cellPad, titleRow + 4.6 + float64(i)*linePitch*textMM}, l, plain)
	}
}
