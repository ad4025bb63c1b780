package draw

// This file lets words flow down the columns of upright sheets, onto a new sheet where one is full.

import (
	"strconv"
	"strings"
)

// flow is words on their way: columns of one width, on as many sheets as they need.
type flow struct {
	sheets []*sheet
	// fresh begins a sheet and returns the box that its columns stand in.
	fresh   func() (*sheet, box)
	columns int
	room    box
	column  int
	y       float64
}

// gutterMM is left between columns, headGap over a heading, lineGap between paragraphs.
const (
	gutterMM         = 6.0
	headGap, lineGap = 3.0, 1.2
	rowPitch         = linePitch * textMM
)

// newFlow begins the first sheet.
func newFlow(columns int, fresh func() (*sheet, box)) *flow {
	f := &flow{fresh: fresh, columns: columns}
	f.turn()
	return f
}

// turn goes to a new sheet.
func (f *flow) turn() {
	s, room := f.fresh()
	f.sheets, f.room, f.column, f.y = append(f.sheets, s), room, 0, room.Y0
}

func (f *flow) sheet() *sheet { return f.sheets[len(f.sheets)-1] }

func (f *flow) width() float64 {
	return (f.room.X1 - f.room.X0 - gutterMM*float64(f.columns-1)) / float64(f.columns)
}

func (f *flow) left() float64 { return f.room.X0 + float64(f.column)*(f.width()+gutterMM) }

// need makes room for so much height, in the next column or on the next sheet; gap is left over it, but not at the top of a column.
func (f *flow) need(height, gap float64) {
	if f.y > f.room.Y0 {
		f.y += gap
	}
	if f.y+height <= f.room.Y1+1e-9 || f.y == f.room.Y0 {
		return
	}
	if f.column++; f.column == f.columns {
		f.turn()
		return
	}
	f.y = f.room.Y0
}

// row is a piece of a line in one weight.
type row struct {
	indent float64
	text   string
	bold   bool
}

// paragraph writes lead in bold and then text, with a mark before its first line that all lines stand clear of.
func (f *flow) paragraph(mark, lead, text string) {
	lines := f.broken(mark, lead, text)
	f.need(float64(len(lines))*rowPitch, lineGap)
	f.put(lines)
}

// broken breaks a paragraph into lines.
func (f *flow) broken(mark, lead, text string) [][]row {
	indent := 0.0
	if mark != "" {
		indent = 1.4 * textMM
	}
	width := (f.width() - indent) / textMM
	var lines [][]row
	used := 0.0
	if lead != "" {
		for _, l := range wrapBy(pdfWidth, lead, width, true) {
			lines = append(lines, []row{{indent, l, true}})
		}
		used = pdfWidth(lines[len(lines)-1][0].text, true) + 0.3
	}
	// The first words of the text stand beside the end of the lead, as far as they go.
	if first := strings.SplitN(text, " ", 2)[0]; used > 0 && text != "" && used+pdfWidth(first, false) <= width {
		first = wrapBy(pdfWidth, text, width-used, false)[0]
		last := len(lines) - 1
		lines[last] = append(lines[last], row{indent + used*textMM, first, false})
		text = strings.TrimPrefix(text[len(first):], " ")
	}
	for _, l := range wrapBy(pdfWidth, text, width, false) {
		lines = append(lines, []row{{indent, l, false}})
	}
	if mark != "" && len(lines) > 0 {
		lines[0] = append(lines[0], row{0, mark, false})
	}
	return lines
}

func (f *flow) put(lines [][]row) {
	for _, line := range lines {
		for _, r := range line {
			f.sheet().text(at{f.left() + r.indent, f.y + 0.8*rowPitch}, r.text, style{size: textMM, bold: r.bold, anchor: "start"})
		}
		f.y += rowPitch
	}
}

// passage writes a heading and its lines; the heading stands with its first line.
func (f *flow) passage(p passage) {
	for i, l := range p.Lines {
		mark := "–"
		if p.Numbered {
			mark = strconv.Itoa(i+1) + "."
		}
		lines := f.broken(mark, l.Lead, l.Text)
		high := float64(len(lines)) * rowPitch
		if i > 0 {
			f.need(high, lineGap)
		} else {
			f.need(high+rowPitch+1, headGap)
			f.put([][]row{{{0, p.Head, true}}})
			f.sheet().open("rule", thin, at{f.left(), f.y}, at{f.left() + f.width(), f.y})
			f.y++
		}
		f.put(lines)
	}
}
