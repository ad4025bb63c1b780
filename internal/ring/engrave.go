package ring

// This file sizes the flange around its engraving.

import (
	"fmt"
	"math"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// Engraved stands on every ring with a flange.
const Engraved = "TEST FIT ONLY"

const (
	// capMM is the height of the engraved capitals: legible at arm's length.
	capMM = 3.0
	// strokeLines is how many nozzle widths an engraved stroke spans at least.
	strokeLines = 1.4
	// pocketLayers and pocketMM are the least depth of the engraving.
	pocketLayers, pocketMM = 3, 0.6
	// deepestMM is the most of it: coarse layers must not cut through the flange.
	deepestMM = flangeMM - 1
	// marginMM is left between the letters and the thread, and between the letters and the rim.
	marginMM = 0.8
	// descent is the depth of letters below the base line, and gapEm the blank between two texts, in em.
	descent, gapEm = 0.22, 1.2
	// rowEm is the distance of two lines of text, in em.
	rowEm = 1.05
)

// addFlange sizes the flange so that the label and the caution fit around the outer wall: side by side in one row, or in
// two rows where that keeps the flange smaller.
func (b *builder) addFlange(label string) error {
	p := b.plan
	if p.Grip == NoGrip {
		return nil
	}
	if label == "" {
		label = p.defaultLabel()
	}
	em := math.Max(capMM/capPerEm, strokeLines*p.Printer.Nozzle.MM()/strokePerEm)
	words, err := letters(label, em)
	if err != nil {
		return fault.In("label", fmt.Errorf("%q: %w", label, err))
	}
	caution, err := letters(Engraved, em)
	if err != nil {
		return err
	}
	wall := math.Max(b.outer.MajorRadius(b.floor), 0)
	if b.outer.Lo != nil {
		wall = math.Max(wall, b.outer.Lo.At(b.floor))
	}
	first := wall + marginMM + descent*em
	gap := gapEm * em
	oneRow := math.Max(first, (width(words)+width(caution)+2*gap)/(2*math.Pi))
	lower := math.Max(first, (width(caution)+gap)/(2*math.Pi))
	upper := math.Max(lower+rowEm*em, (width(words)+gap)/(2*math.Pi))
	var glyphs []Glyph
	last := oneRow
	if oneRow <= upper {
		glyphs = append(around(words, oneRow, math.Pi/2), around(caution, oneRow, -math.Pi/2)...)
	} else {
		last = upper
		glyphs = append(around(words, upper, math.Pi/2), around(caution, lower, math.Pi/2)...)
	}
	// Letters cut into a thick ring may come nearer to the bore than the outer thread does.
	p.Wall = min(p.Wall, unit.MM(b.across(innermost(glyphs)-b.inner.MajorRadius(0))))
	clear := last + capPerEm*em + marginMM
	p.Label, p.Stroke = label, unit.MM(strokePerEm*em)
	p.Shape.Flange = &Flange{
		ThicknessMM: flangeMM, PocketMM: pocketDepth(p.Printer),
		Outline: outlineOf(p.Grip, clear), Glyphs: glyphs,
	}
	return nil
}

// pocketDepth is that of the engraving on a printer.
func pocketDepth(p printer.Profile) float64 {
	return min(max(pocketMM, pocketLayers*p.Layer.MM()), deepestMM)
}

// innermost is the least distance of any letter's corner from the axis.
func innermost(glyphs []Glyph) float64 {
	least := math.Inf(1)
	for _, g := range glyphs {
		for _, c := range g {
			for _, p := range c {
				least = math.Min(least, math.Hypot(p.X, p.Y))
			}
		}
	}
	return least
}

// defaultLabel names both threads and the clearance.
func (p Plan) defaultLabel() string {
	gap := fmt.Sprintf("%.2f", p.Inner.Clearance.MM())
	if outer := fmt.Sprintf("%.2f", p.Outer.Clearance.MM()); outer != gap {
		gap += "/" + outer
	}
	return p.Designations() + " GAP " + gap
}
