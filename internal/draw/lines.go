package draw

// This file is the table of lines.

// lineKind is a kind of line: its width and its dashes and gaps, in millimetres.
type lineKind struct {
	width  float64
	dashes []float64
}

// The lines of ISO 128-2:2020, line group 0.5; the numbers are its types.
var (
	wide        = lineKind{0.5, nil}                              // 01.2: visible edges, frame
	thin        = lineKind{0.25, nil}                             // 01.1: dimensions, leaders, hatching, threads behind the cut
	axisLine    = lineKind{0.25, []float64{8, 1.2, 1, 1.2}}       // 04.1: axes and centre lines
	nominalLine = lineKind{0.25, []float64{1.6, 1}}               // 02.1 shortened: the nominal thread beside the modelled one
	flankLine   = lineKind{0.35, nil}                             // 01.2 of group 0.35, so that fine gaps between profiles stay open
	lightLine   = lineKind{0.18, nil}                             // 01.1 of group 0.35: hatching beside such profiles
	pitchOuter  = lineKind{0.25, []float64{5, 1, 0.8, 1}}         // 04.1: the pitch line of an external thread
	pitchInner  = lineKind{0.25, []float64{5, 1, 0.8, 1, 0.8, 1}} // 05.1: that of an internal thread
)

// What faces are filled with, as #rrggbb; "" for nothing.
const (
	white = "#ffffff"
	black = "#000000"
	// overlapGrey shades overlaps, under their hatching.
	overlapGrey = "#d2d2d2"
)
