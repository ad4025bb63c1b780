package draw

// This file writes sheets as SVG.

import (
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// typefaces are what SVG asks for, the first that is there.
const typefaces = "Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif"

// num prints a coordinate to a thousandth of a millimetre.
func num(x float64) string {
	s := strconv.FormatFloat(x, 'f', 3, 64)
	s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// pathData writes lines through points as an SVG path.
func pathData(points []at, closed bool) string {
	var b strings.Builder
	for i, p := range points {
		if i == 0 {
			b.WriteByte('M')
		} else {
			b.WriteByte('L')
		}
		b.WriteString(num(p.X) + " " + num(p.Y))
	}
	if closed {
		b.WriteByte('Z')
	}
	return b.String()
}

// escaped makes text safe inside an element. Runes that XML forbids become the replacement mark.
func escaped(text string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		panic(err) // a strings.Builder takes everything
	}
	return b.String()
}

// svg is the mark as an element.
func (m mark) svg() string {
	name, data := "path", ""
	for _, run := range m.runs {
		data += pathData(run, m.closed)
	}
	data = fmt.Sprintf("d=%q", data)
	if m.radius > 0 {
		name, data = "circle", fmt.Sprintf("cx=%q cy=%q r=%q", num(m.runs[0][0].X), num(m.runs[0][0].Y), num(m.radius))
	}
	if m.class != "" {
		name += fmt.Sprintf(" class=%q", m.class)
	}
	data += fmt.Sprintf(" fill=%q", cmp.Or(m.fill, "none"))
	if m.line.width > 0 {
		data += fmt.Sprintf(" stroke=%q stroke-width=%q", black, num(m.line.width))
	}
	if m.line.dashes != nil {
		data += fmt.Sprintf(" stroke-dasharray=%q", strings.Trim(fmt.Sprint(m.line.dashes), "[]"))
	}
	return "<" + name + " " + data + "/>\n"
}

// svg is the text as an element.
func (l label) svg() string {
	more := ""
	if l.bold {
		more += ` font-weight="bold"`
	}
	if l.anchor != "start" {
		more += fmt.Sprintf(" text-anchor=%q", l.anchor)
	}
	if l.upright {
		more += fmt.Sprintf(" transform=\"rotate(-90 %s %s)\"", num(l.at.X), num(l.at.Y))
	}
	return fmt.Sprintf("<text x=%q y=%q font-size=%q%s>%s</text>\n", num(l.at.X), num(l.at.Y), num(l.size), more, escaped(l.text))
}

// whole is the whole paper, for write.
func (s *sheet) whole() box { return box{0, 0, s.paper.WideMM, s.paper.HighMM} }

// write puts the part of the sheet inside crop out as one SVG file. A whole sheet asks browsers to print it on its paper, at its size.
func (s *sheet) write(w io.Writer, crop box, title, description string) error {
	x, y, width, height := num(crop.X0), num(crop.Y0), num(crop.X1-crop.X0), num(crop.Y1-crop.Y0)
	var body strings.Builder
	for _, m := range s.marks {
		body.WriteString(m.svg())
	}
	for _, l := range s.labels {
		body.WriteString(l.svg())
	}
	page := ""
	if crop == s.whole() {
		page = fmt.Sprintf("\n<style>@page { size: %smm %smm; margin: 0 }</style>", width, height)
	}
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s %s %s %s" role="img" font-family=%q fill="#000" stroke-linejoin="round">
<title>%s</title>
<desc>%s</desc>%s
<rect x="%s" y="%s" width="%s" height="%s" fill="#fff"/>
%s</svg>
`, width, height, x, y, width, height, typefaces, escaped(title), escaped(description), page, x, y, width, height, body.String())
	return err
}
