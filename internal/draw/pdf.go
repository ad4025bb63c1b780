package draw

// This file writes sheets as PDF, true to size.

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// epoch is the date in every file: the same sheets give the same bytes.
var epoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// writePDF puts whole sheets out as one PDF, a page each, of the size of their paper, and asks viewers to print it at that size.
// Coordinates are rounded to a hundredth of a point, 0.0035 mm. Typefaces are Go Regular and Go Bold (BSD licence), cut to the letters
// in use.
func writePDF(w io.Writer, title string, sheets ...*sheet) error {
	f := withFaces()
	f.SetCatalogSort(true)
	f.SetCreationDate(epoch)
	f.SetModificationDate(epoch)
	f.SetProducer("tryring", true)
	f.SetTitle(title, true)
	f.SetLang("en")
	f.SetDrawColor(0, 0, 0)
	f.SetLineJoinStyle("round")
	f.SetAutoPageBreak(false, 0)
	for _, s := range sheets {
		f.AddPageFormat("P", fpdf.SizeType{Wd: s.paper.WideMM, Ht: s.paper.HighMM})
		for _, m := range s.marks {
			m.pdf(f)
		}
		for _, l := range s.labels {
			l.pdf(f)
		}
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	return printUnscaled(w, b.Bytes())
}

// printUnscaled writes a file with the wish to be printed at its size in its catalog (ISO 32000-1:2008, 12.2), which the library has
// no words for. The catalog is the last object, so that only the cross-reference table moves, whose place stands at the end.
func printUnscaled(w io.Writer, file []byte) error {
	const catalog, wish, start = "/Type /Catalog\n", "/ViewerPreferences << /PrintScaling /None >>\n", "startxref\n"
	at, end := bytes.LastIndex(file, []byte(catalog)), bytes.LastIndex(file, []byte(start))
	if at < 0 || end < at {
		return fmt.Errorf("PDF: the library's file has no catalog at its end")
	}
	at, end = at+len(catalog), end+len(start)
	number, tail, _ := bytes.Cut(file[end:], []byte("\n"))
	table, err := strconv.Atoi(string(number))
	if err != nil || table < at {
		return fmt.Errorf("PDF: the library's table of objects is not where it was: %q", number)
	}
	_, err = fmt.Fprintf(w, "%s%s%s%d\n%s", file[:at], wish, file[at:end], table+len(wish), tail)
	return err
}

// withFaces is an empty file that knows the typefaces.
func withFaces() *fpdf.Fpdf {
	f := fpdf.New("P", "mm", "A4", "")
	f.AddUTF8FontFromBytes("go", "", goregular.TTF)
	f.AddUTF8FontFromBytes("go", "B", gobold.TTF)
	return f
}

// measuring is a file that words are measured in, one after the other.
var (
	measuring   = sync.OnceValue(withFaces)
	measureLock sync.Mutex
)

// pdfWidth is the measure of the typefaces of PDF.
func pdfWidth(text string, bold bool) float64 {
	measureLock.Lock()
	defer measureLock.Unlock()
	f := measuring()
	setFace(f, bold, 1)
	return f.GetStringWidth(inFace(text))
}

func setFace(f *fpdf.Fpdf, bold bool, sizeMM float64) {
	f.SetFont("go", map[bool]string{true: "B"}[bold], 0)
	f.SetFontUnitSize(sizeMM)
}

// inFace is text with the signs that the typefaces lack told by others; on those beyond 16 bits the library would fail.
func inFace(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '⌀':
			return 'Ø'
		case r == '\u00a0':
			return ' '
		case r > 0xffff:
			return '?'
		}
		return r
	}, text)
}

func (m mark) pdf(f *fpdf.Fpdf) {
	how := ""
	if m.fill != "" {
		grey, err := strconv.ParseUint(m.fill[1:3], 16, 8)
		if err != nil {
			f.SetErrorf("%q is no fill: %w", m.fill, err)
			return
		}
		f.SetFillColor(int(grey), int(grey), int(grey))
		how = "F"
	}
	if m.line.width > 0 {
		f.SetLineWidth(m.line.width)
		f.SetDashPattern(m.line.dashes, 0)
		how += "D"
	}
	for _, run := range m.runs {
		if m.radius > 0 {
			run = ringOf(run[0], m.radius) // the library's arcs are flat by a thousandth of their radius
		}
		for i, p := range run {
			if i == 0 {
				f.MoveTo(p.X, p.Y)
			} else {
				f.LineTo(p.X, p.Y)
			}
		}
		if m.closed || m.radius > 0 {
			f.ClosePath()
		}
	}
	f.DrawPath(how)
}

func (l label) pdf(f *fpdf.Fpdf) {
	text := inFace(l.text)
	setFace(f, l.bold, l.size)
	x := l.at.X - map[string]float64{"start": 0, "middle": 0.5, "end": 1}[l.anchor]*f.GetStringWidth(text)
	if l.upright {
		f.TransformBegin()
		f.TransformRotate(90, l.at.X, l.at.Y)
		defer f.TransformEnd()
	}
	f.Text(x, l.at.Y, text)
}
