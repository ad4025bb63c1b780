package draw

// This file holds the sheet: lines and words in sheet millimetres, kept as boxes and strokes so that they can be kept apart.

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
)

const (
	sheetWidth, sheetHeight = 297.0, 210.0 // A4 lying, ISO 216
	wide, thin              = 0.5, 0.25    // ISO 128-2 line group 0.5
	typefaces               = "Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif"
)

// at is a place on the sheet.
type at struct{ X, Y float64 }

// box is a rectangle on the sheet.
type box struct{ X0, Y0, X1, Y1 float64 }

// label is a piece of text with the box it takes at most.
type label struct {
	text string
	box  box
}

// sheet collects what is drawn. Strokes are all lines that words must not touch.
type sheet struct {
	body    bytes.Buffer
	labels  []label
	strokes [][]at
}

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

// outline draws a closed thick line filled with paper; class names it for whoever reads the file.
func (s *sheet) outline(class string, points []at) {
	fmt.Fprintf(&s.body, "<path class=%q d=%q fill=\"#fff\" stroke=\"#000\" stroke-width=\"%v\" stroke-linejoin=\"round\"/>\n", class, pathData(points, true), wide)
	s.strokes = append(s.strokes, append(points[:len(points):len(points)], points[0]))
}

// open draws an open line of the given width.
func (s *sheet) open(class string, width float64, points ...at) {
	s.dashed(class, width, "", points...)
}

// dashed draws an open line with a dash pattern.
func (s *sheet) dashed(class string, width float64, dashes string, points ...at) {
	if dashes != "" {
		dashes = fmt.Sprintf(" stroke-dasharray=%q", dashes)
	}
	fmt.Fprintf(&s.body, "<path class=%q d=%q fill=\"none\" stroke=\"#000\" stroke-width=\"%v\"%s/>\n", class, pathData(points, false), width, dashes)
	s.strokes = append(s.strokes, points)
}

// many draws separate straight lines as one thin path. They are not kept as strokes: they lie inside an outline.
func (s *sheet) many(class string, width float64, lines [][2]at) {
	if len(lines) == 0 {
		return
	}
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(pathData(l[:], false))
	}
	fmt.Fprintf(&s.body, "<path class=%q d=%q fill=\"none\" stroke=\"#000\" stroke-width=\"%v\"/>\n", class, b.String(), width)
}

// filled draws a black figure, as arrow heads are.
func (s *sheet) filled(points ...at) {
	fmt.Fprintf(&s.body, "<path d=%q fill=\"#000\"/>\n", pathData(points, true))
}

// dot draws a black dot, the end of a leader inside an outline.
func (s *sheet) dot(p at) {
	fmt.Fprintf(&s.body, "<circle cx=%q cy=%q r=\"0.7\"/>\n", num(p.X), num(p.Y))
}

// style is how a piece of text stands.
type style struct {
	size   float64
	bold   bool
	anchor string // "start", "middle" or "end"
	// upright turns the text to read from the right, feet to the right.
	upright bool
}

// plain is ordinary text from its left end.
var plain = style{size: textMM, anchor: "start"}

// boxOf returns the box that text takes with its base line at p.
func boxOf(p at, text string, st style) box {
	w := textWidth(text, st.bold) * st.size
	from := map[string]float64{"start": 0, "middle": -w / 2, "end": -w}[st.anchor]
	up, down := st.size*0.78, st.size*descender
	if st.upright {
		return box{p.X - up, p.Y - from - w, p.X + down, p.Y - from}
	}
	return box{p.X + from, p.Y - up, p.X + from + w, p.Y + down}
}

// text writes a line with its base line at p.
func (s *sheet) text(p at, text string, st style) {
	s.labels = append(s.labels, label{text, boxOf(p, text, st)})
	more := ""
	if st.bold {
		more += ` font-weight="bold"`
	}
	if st.anchor != "start" {
		more += fmt.Sprintf(" text-anchor=%q", st.anchor)
	}
	if st.upright {
		more += fmt.Sprintf(" transform=\"rotate(-90 %s %s)\"", num(p.X), num(p.Y))
	}
	fmt.Fprintf(&s.body, "<text x=%q y=%q font-size=%q%s>%s</text>\n", num(p.X), num(p.Y), num(st.size), more, escaped(text))
}

// escaped makes text safe inside an element. Runes that XML forbids become the replacement mark.
func escaped(text string) string {
	var b strings.Builder
	if err := xml.EscapeText(&b, []byte(text)); err != nil {
		panic(err) // a strings.Builder takes everything
	}
	return b.String()
}

// write puts the part of the sheet inside crop out as one SVG file.
func (s *sheet) write(w io.Writer, crop box, title, description string) error {
	x, y, width, height := num(crop.X0), num(crop.Y0), num(crop.X1-crop.X0), num(crop.Y1-crop.Y0)
	_, err := fmt.Fprintf(w, `<svg xmlns="http://www.w3.org/2000/svg" width="%smm" height="%smm" viewBox="%s %s %s %s" role="img" font-family=%q fill="#000">
<title>%s</title>
<desc>%s</desc>
<rect x="%s" y="%s" width="%s" height="%s" fill="#fff"/>
%s</svg>
`, width, height, x, y, width, height, typefaces, escaped(title), escaped(description), x, y, width, height, s.body.Bytes())
	return err
}
