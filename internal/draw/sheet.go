package draw

// This file holds the drawing model: lines, faces and words in sheet millimetres, as data that svg.go and pdf.go write, and kept
// as boxes and strokes so that they can be kept apart.

import "math"

// at is a place on the sheet.
type at struct{ X, Y float64 }

// box is a rectangle on the sheet.
type box struct{ X0, Y0, X1, Y1 float64 }

// corners are those of the box, in order.
func (b box) corners() []at { return []at{{b.X0, b.Y0}, {b.X1, b.Y0}, {b.X1, b.Y1}, {b.X0, b.Y1}} }

// sheet is what is drawn on one side of a paper: marks in the order in which they cover each other, and words over all.
type sheet struct {
	paper Paper
	// frame is the border, field what stands in it over the title block.
	frame, field box
	marks        []mark
	labels       []label
	// measure is that of the typeface: the widest of those that SVG may get, unless the sheet is for PDF alone.
	measure measure
}

// newSheet is an empty sheet of the paper as it lies.
func newSheet(p Paper) sheet {
	f := frameOf(p)
	return sheet{paper: p, frame: f, field: box{f.X0 + 2.5, f.Y0 + 4, f.X1 - 1.5, f.Y1 - titleHigh - 4}, measure: textWidth}
}

// mark is lines through points, or a circle about a point.
type mark struct {
	// class names the mark for whoever reads the file.
	class string
	line  lineKind // of no width for none
	fill  string   // "" for none
	// runs are lines apart from each other, each through its points; closed ones end where they began.
	runs   [][]at
	closed bool
	// radius makes a circle about the first point.
	radius float64
	// within says that the lines lie inside an outline, so that no word can touch them.
	within bool
}

// label is a piece of text, its base line at a place, with the box it takes at most.
type label struct {
	text string
	at   at
	style
	box box
}

// strokes are the lines of a mark that words must not touch.
func (m mark) strokes() (all [][]at) {
	if m.line.width == 0 || m.within {
		return nil
	}
	for _, run := range m.runs {
		switch {
		case m.radius > 0:
			run = ringOf(run[0], m.radius)
		case m.closed:
			run = append(run[:len(run):len(run)], run[0])
		}
		all = append(all, run)
	}
	return all
}

// strokes are all lines that words must not touch.
func (s *sheet) strokes() (all [][]at) {
	for _, m := range s.marks {
		all = append(all, m.strokes()...)
	}
	return all
}

// content is the box about all that is drawn, a millimetre wider.
func (s *sheet) content() box {
	b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	add := func(o box) {
		b = box{math.Min(b.X0, o.X0-1), math.Min(b.Y0, o.Y0-1), math.Max(b.X1, o.X1+1), math.Max(b.Y1, o.Y1+1)}
	}
	for _, l := range s.labels {
		add(l.box)
	}
	for _, line := range s.strokes() {
		for _, q := range line {
			add(box{q.X, q.Y, q.X, q.Y})
		}
	}
	return b
}

// outline draws a closed thick line filled with paper.
func (s *sheet) outline(class string, points []at) {
	s.marks = append(s.marks, mark{class: class, line: wide, fill: white, runs: [][]at{points}, closed: true})
}

// open draws an open line.
func (s *sheet) open(class string, l lineKind, points ...at) {
	s.marks = append(s.marks, mark{class: class, line: l, runs: [][]at{points}})
}

// many draws separate straight lines as one mark. They lie inside an outline.
func (s *sheet) many(class string, l lineKind, lines [][2]at) {
	if len(lines) == 0 {
		return
	}
	m := mark{class: class, line: l, within: true}
	for _, l := range lines {
		m.runs = append(m.runs, []at{l[0], l[1]})
	}
	s.marks = append(s.marks, m)
}

// area fills a figure without a line about it.
func (s *sheet) area(class, fill string, points ...at) {
	s.marks = append(s.marks, mark{class: class, fill: fill, runs: [][]at{points}, closed: true})
}

// circle draws a circle.
func (s *sheet) circle(class string, l lineKind, fill string, centre at, radius float64) {
	s.marks = append(s.marks, mark{class: class, line: l, fill: fill, runs: [][]at{{centre}}, radius: radius})
}

// dot draws a black dot, the end of a leader inside an outline.
func (s *sheet) dot(p at) { s.circle("dot", lineKind{}, black, p, 0.7) }

// border draws the border of the sheet.
func (s *sheet) border() {
	s.marks = append(s.marks, mark{class: "frame", line: wide, runs: [][]at{s.frame.corners()}, closed: true})
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
func (s *sheet) boxOf(p at, text string, st style) box {
	w := s.measure(text, st.bold) * st.size
	from := map[string]float64{"start": 0, "middle": -w / 2, "end": -w}[st.anchor]
	up, down := st.size*0.78, st.size*descender
	if st.upright {
		return box{p.X - up, p.Y - from - w, p.X + down, p.Y - from}
	}
	return box{p.X + from, p.Y - up, p.X + from + w, p.Y + down}
}

// text writes a line with its base line at p.
func (s *sheet) text(p at, text string, st style) {
	s.labels = append(s.labels, label{text, p, st, s.boxOf(p, text, st)})
}
