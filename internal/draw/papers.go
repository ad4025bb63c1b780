package draw

// This file holds the set of sheets that goes with a ring: the drawing, the bench sheet, and the page to lay on the parts.

import (
	"fmt"
	"io"
	"slices"

	"tryring/internal/check"
	"tryring/internal/combs"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// PaperData is what the sheets of a ring tell of.
type PaperData struct {
	// Name is the ring's name; empty for its two designations.
	Name  string
	Plan  ring.Plan
	Paper Paper
	// Lay is what the last sheet shows at 1 : 1, of the part that goes in and of the fitting that stays.
	Goes, Stays combs.Page
}

// Papers writes the set as one PDF, true to size.
func Papers(w io.Writer, d PaperData) error {
	sheets, err := papers(d)
	if err != nil {
		return fmt.Errorf("sheets: %w", err)
	}
	return writePDF(w, "Test ring "+d.title(), sheets...)
}

func (d PaperData) title() string {
	if d.Name == "" {
		return d.Plan.Designations()
	}
	return d.Name
}

func papers(d PaperData) ([]*sheet, error) {
	s, err := newSection(d.Plan, d.Paper)
	if err != nil {
		return nil, err
	}
	sheets := []*sheet{&s.sheet}
	in, out := d.Plan.Inner.Thread, d.Plan.Outer.Thread
	b := newFlow(2, upright(d.Paper, marginEnd+2, "Test ring "+d.title()+": at the bench", in, out))
	if _, err := b.sheet().job(d.Plan, box{b.room.X0, b.room.Y0, b.room.X1, b.room.Y0 + jobHigh}); err != nil {
		return nil, err
	}
	b.room.Y0 += jobHigh + headGap
	b.y = b.room.Y0
	for _, p := range benchPassages(d.Plan) {
		b.passage(p)
	}
	sheets = append(sheets, b.sheets...)
	l := newLaying(upright(d.Paper, quietMM, "Test ring "+d.title()+": to lay on the parts", in, out))
	l.combs("The part that goes in, "+in.Designation+":", d.Goes)
	l.combs("The fitting that stays, "+out.Designation+":", d.Stays)
	l.circles(slices.Concat(d.Goes.Circles, d.Stays.Circles))
	sheets = append(sheets, l.sheets...)
	for i, s := range sheets {
		s.number(i+1, len(sheets))
	}
	return sheets, nil
}

// jobHigh is the height of the picture over the words of the bench sheet.
const jobHigh = 68.0

// LayData is what a page to lay on a part tells of.
type LayData struct {
	Name    string
	Paper   Paper
	Page    combs.Page
	Threads []thread.Thread
}

// LaySheet writes the page to lay on a part, where there are threads to show, and that for the camera as PDF at 1 : 1.
func LaySheet(w io.Writer, d LayData) error { return writePDF(w, d.Name, laySheets(d)...) }

func laySheets(d LayData) (all []*sheet) {
	if len(d.Page.Threads) > 0 {
		l := newLaying(upright(d.Paper, quietMM, "To lay on the part: "+unbrokenList(d.Page.Threads), d.Threads...))
		l.combs("", d.Page)
		l.circles(d.Page.Circles)
		all = l.sheets
	}
	all = append(all, cameraSheet(d.Paper))
	for i, s := range all {
		s.number(i+1, len(all))
	}
	return all
}

// headMM is the size of the heading of an upright sheet.
const headMM = 5.0

// upright makes sheets that stand upright, with a heading, the caution at their foot, and a margin that stays white.
func upright(paper Paper, margin float64, heading string, threads ...thread.Thread) func() (*sheet, box) {
	return func() (*sheet, box) {
		s := newSheet(paper)
		s.measure = pdfWidth
		s.frame = box{margin, margin, paper.WideMM - margin, paper.HighMM - margin}
		width := s.frame.X1 - s.frame.X0
		const tail = 30.0 // for the sheet's number
		top := s.frame.Y0
		for _, l := range wrapBy(pdfWidth, heading, (width-tail)/headMM, true) {
			top += headMM * linePitch
			s.text(at{s.frame.X0, top - 0.3*headMM}, l, style{size: headMM, bold: true, anchor: "start"})
		}
		caution := check.Caution
		if shared := check.Shared(threads...); shared != "" {
			caution += " " + shared
		}
		lines := wrapBy(pdfWidth, caution, width/textMM, true)
		foot := s.frame.Y1 - float64(len(lines))*rowPitch
		s.open("rule", thin, at{s.frame.X0, foot - 0.5}, at{s.frame.X1, foot - 0.5})
		for i, l := range lines {
			s.text(at{s.frame.X0, foot + (float64(i)+0.8)*rowPitch}, l, style{size: textMM, bold: true, anchor: "start"})
		}
		return &s, box{s.frame.X0, top + 1.5, s.frame.X1, foot - 2.5}
	}
}

// number says which sheet it is, at its upper right; on a drawing, in its title block, where it is no part of the drawing's number.
func (s *sheet) number(n, of int) {
	place, st := at{s.frame.X1, s.frame.Y0 + 0.9*headMM}, style{size: textMM, anchor: "end"}
	if s.paper.WideMM > s.paper.HighMM {
		place, st = at{s.frame.X1 - thirdColumn + cellPad + 35, s.titleRow() + 4.6}, plain
	}
	s.text(place, fmt.Sprintf("sheet %d of %d", n, of), st)
}
