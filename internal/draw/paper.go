package draw

// This file holds the sizes of paper.

import (
	"strings"

	"tryring/internal/fault"
)

// Paper is a sheet of paper, upright unless it was laid down; in millimetres.
type Paper struct {
	Name           string
	WideMM, HighMM float64
}

// The papers that printers take.
var (
	A4     = Paper{"a4", 210, 297}         // ISO 216:2007
	Letter = Paper{"letter", 215.9, 279.4} // 8.5 x 11 in: ANSI/ASME Y14.1, size A
)

// PaperNames are the names that PaperNamed takes.
var PaperNames = []string{A4.Name, Letter.Name}

// PaperNamed finds a paper by its name in any case; "" is A4.
func PaperNamed(name string) (Paper, error) {
	switch strings.ToLower(name) {
	case "", A4.Name:
		return A4, nil
	case Letter.Name:
		return Letter, nil
	}
	return Paper{}, fault.At("paper", name, "write a4 or letter")
}

// Lying is the paper on its long side.
func (p Paper) Lying() Paper {
	p.WideMM, p.HighMM = p.HighMM, p.WideMM
	return p
}

// marginSide and marginEnd are what no printer is asked to print on: common practice, no published source.
const marginSide, marginEnd = 10.0, 8.0

// frameOf is the border of a drawing on the paper.
func frameOf(p Paper) box {
	return box{marginSide, marginEnd, p.WideMM - marginSide, p.HighMM - marginEnd}
}
