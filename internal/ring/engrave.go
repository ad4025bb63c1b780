package ring

// This file sizes the flange around its engravings.

import (
	"fmt"
	"math"
	"slices"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/unit"
)

// Engraved stands on every ring with a flange, on both faces.
const Engraved = "TEST FIT ONLY"

const (
	// pocketLayers and pocketMM are the least depth of an engraving.
	pocketLayers, pocketMM = 3, 0.6
	// deepestMM is the most of it: coarse layers must not cut through the flange, which is engraved from both sides.
	deepestMM = (flangeMM - 1) / 2
	// marginMM is left between the letters and the thread, and between the letters and the rim, and no less than the pen's gap.
	marginMM = 0.8
	// apart is the blank between two texts of a row, in strokes and gaps.
	apart = 3.0
	// bedWiderMM is by how much the words on the bed may widen the flange; those that want more are left out.
	bedWiderMM = 5.0
)

// Engraving is a set of words sunk into one face.
type Engraving struct {
	Pen
	DepthMM float64
	Glyphs  []Glyph
	// Missing are the words that found no room.
	Missing []string
}

// IsletMM is the least width of an islet in the letters, infinite where there is none.
func (e Engraving) IsletMM() float64 {
	least := math.Inf(1)
	for _, g := range e.Glyphs {
		for _, c := range g {
			if c.Area() < 0 {
				least = math.Min(least, c.width())
			}
		}
	}
	return least
}

// addFlange sizes the flange so that the label and the caution fit around the outer wall, and as many of the words as there is
// room for around the bore on the bed, where they are seen when the part is home: mirrored, so that they read from below.
func (b *builder) addFlange(label string, words ...string) error {
	p := b.plan
	if p.Grip == NoGrip {
		return nil
	}
	if label == "" {
		label = p.defaultLabel()
	}
	p.Label = label
	wall := math.Max(b.outer.MajorRadius(b.floor), 0)
	if b.outer.Lo != nil {
		wall = math.Max(wall, b.outer.Lo.At(b.floor))
	}
	top, rim, err := engrave(TopPen(p.Printer), wall, label, Engraved)
	if err != nil {
		return fault.In("label", fmt.Errorf("%q: %w", label, err))
	}
	// What is left to the bore is no less than the wall between the threads, or twice what the printer needs.
	hole, _ := b.inner.Ends(0)
	from := hole - marginMM + math.Max(marginMM, min(p.Wall, 2*p.Printer.MinWall).MM()/b.across(1))
	bed, reach, err := engrave(BedPen(p.Printer), from, append([]string{Engraved}, words...)...)
	if err == nil && reach > rim+bedWiderMM {
		bed, reach, err = engrave(bed.Pen, from, Engraved)
		bed.Missing = words
	}
	if err != nil {
		return err
	}
	for _, g := range bed.Glyphs {
		for _, c := range g {
			for i := range c {
				c[i].X = -c[i].X
			}
			slices.Reverse(c)
		}
	}
	top.DepthMM, bed.DepthMM = pocketDepth(p.Printer), pocketDepth(p.Printer)
	// Letters cut into a thick ring may come nearer to the bore than the outer thread does.
	for _, c := range slices.Concat(slices.Concat(top.Glyphs, bed.Glyphs)...) {
		for _, q := range c {
			p.Wall = min(p.Wall, unit.MM(b.across(q.Length()-hole)))
		}
	}
	p.Shape.Flange = &Flange{ThicknessMM: flangeMM, Outline: outlineOf(p.Grip, math.Max(rim, reach)), Top: top, Bed: bed}
	return nil
}

// engrave sets texts around the axis, a margin outside of the radius from, and tells how far they reach with another margin.
func engrave(pen Pen, from float64, texts ...string) (e Engraving, reach float64, err error) {
	e.Pen = pen
	set := make([][]letter, len(texts))
	low := 0.0
	for i, text := range texts {
		if set[i], err = letters(text, pen); err != nil {
			return e, 0, err
		}
		for _, l := range set[i] {
			for _, p := range slices.Concat(l.glyph...) {
				low = math.Min(low, p.Y)
			}
		}
	}
	margin := math.Max(marginMM, pen.GapMM)
	rows, last := pen.rows(set, from+margin-low, pen.CapMM()+pen.GapMM-low)
	for _, r := range rows {
		free := (2*math.Pi*r.radius - widths(r.texts)) / float64(len(r.texts))
		at := math.Pi/2 + width(r.texts[0])/2/r.radius
		for _, ls := range r.texts {
			e.Glyphs = append(e.Glyphs, around(ls, r.radius, at-width(ls)/2/r.radius)...)
			at -= (width(ls) + free) / r.radius
		}
	}
	return e, last + pen.CapMM() + margin, nil
}

// textRow is a circle of texts.
type textRow struct {
	radius float64
	texts  [][]letter
}

// rows sets texts on circles of at least the radius from, apart by the height of a row, so that the last is the least. Every way
// of dealing them out is tried: there are few.
func (p Pen) rows(texts [][]letter, from, high float64) (best []textRow, last float64) {
	last = math.Inf(1)
	for chosen := 1; chosen < 1<<len(texts); chosen++ {
		var row, rest [][]letter
		for i, ls := range texts {
			if chosen>>i&1 == 1 {
				row = append(row, ls)
			} else {
				rest = append(rest, ls)
			}
		}
		blank := float64(len(row)) * apart * p.step()
		first := textRow{math.Max(from, (widths(row)+blank)/(2*math.Pi)), row}
		after, reach := []textRow(nil), first.radius
		if len(rest) > 0 {
			after, reach = p.rows(rest, first.radius+high, high)
		}
		if reach < last {
			best, last = append([]textRow{first}, after...), reach
		}
	}
	return best, last
}

func widths(texts [][]letter) float64 {
	sum := 0.0
	for _, ls := range texts {
		sum += width(ls)
	}
	return sum
}

// pocketDepth is that of the engraving on a printer.
func pocketDepth(p printer.Profile) float64 {
	return min(max(pocketMM, pocketLayers*p.Layer.MM()), deepestMM)
}

// defaultLabel names both threads and the clearance.
func (p Plan) defaultLabel() string {
	gap := fmt.Sprintf("%.2f", p.Inner.Clearance.MM())
	if outer := fmt.Sprintf("%.2f", p.Outer.Clearance.MM()); outer != gap {
		gap += "/" + outer
	}
	return p.Designations() + " GAP " + gap
}
