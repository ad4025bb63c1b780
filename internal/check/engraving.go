package check

// This file holds the rules on the words that are engraved into a flange.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/printer"
	"tryring/internal/ring"
)

// What a printer needs of an engraving; common practice, no published source, and what slicers lay.
const (
	// leastStrokeLines is the least width of a stroke, which the lines beside it bulge into, in lines; leastGapLines that of what stands
	// between strokes: a slicer that lays all lines alike leaves out what two do not fit into, with their overlap. An islet may be
	// narrower by its corners.
	leastStrokeLines, leastGapLines, leastIsletLines = 1.2, 1.75, 1.5
	// leastBedLines is what must be left of a stroke on the bed when the first layer has spread.
	leastBedLines = 1.8
	// leastPocketLayers is the least depth of a pocket: a single layer is smeared over, or spread shut on the bed.
	leastPocketLayers = 2.0
)

// engraved says where nothing is engraved, and judges what is.
func engraved(s Subject) []Finding {
	switch {
	case s.Plan == nil:
		return nil
	case s.Plan.Shape.Flange == nil:
		return []Finding{{"label", Warn, "Without a flange the part carries no words: mark it " + ring.Engraved + " by hand before it leaves the bench."}}
	}
	return Engraving(s.Plan.Shape.Flange, s.Printer)
}

// Engraving applies the rules on words to a flange that p is to print.
func Engraving(f *ring.Flange, p printer.Profile) []Finding {
	out := []Finding{words(f)}
	for _, rule := range []struct {
		id    string
		judge func(f *ring.Flange, p printer.Profile) (ok bool, text, fault string)
	}{{"stroke", stroke}, {"gap", gap}, {"islet", islet}, {"pocket", pocket}} {
		ok, text, fault := rule.judge(f, p)
		if !ok {
			out = append(out, Finding{rule.id, Warn, text + " " + fault})
		} else {
			out = append(out, Finding{rule.id, OK, text})
		}
	}
	return out
}

// words says which words found no room.
func words(f *ring.Flange) Finding {
	text := "Both faces of the flange say " + ring.Engraved
	if len(f.Bed.Missing) > 0 {
		return Finding{"label", Note, text + ". That on the bed, which is seen when the part is home, has no room for " + strings.Join(f.Bed.Missing, " and ") + ": write it there by hand."}
	}
	return Finding{"label", OK, text + " and what the part is."}
}

// stroke compares the strokes with the printer's line.
func stroke(f *ring.Flange, p printer.Profile) (ok bool, text, fault string) {
	line := p.Nozzle.MM()
	top, bed := f.Top.StrokeMM, f.Bed.StrokeMM-2*p.FirstLayerSpread.MM()
	return top >= leastStrokeLines*line && bed >= leastBedLines*line,
		fmt.Sprintf("Engraved strokes are %.2f mm wide on the upper face, %.1f lines, and %.2f mm on the bed, of which the first layer leaves %.2f mm, %.1f lines.",
			top, top/line, f.Bed.StrokeMM, bed, bed/line), "They will close up."
}

// gap compares what stands between strokes with the printer's line.
func gap(f *ring.Flange, p printer.Profile) (ok bool, text, fault string) {
	line := p.Nozzle.MM()
	return math.Min(f.Top.GapMM, f.Bed.GapMM) >= leastGapLines*line,
		fmt.Sprintf("Between them stand %.2f mm on the upper face, %.1f lines, and %.2f mm on the bed, %.1f lines.",
			f.Top.GapMM, f.Top.GapMM/line, f.Bed.GapMM, f.Bed.GapMM/line), "That will be left out, and letters run together."
}

// islet compares what stands in letters with the printer's line.
func islet(f *ring.Flange, p printer.Profile) (ok bool, text, fault string) {
	line, least := p.Nozzle.MM(), math.Min(f.Top.IsletMM(), f.Bed.IsletMM())
	return least >= leastIsletLines*line, fmt.Sprintf("The smallest islet in a letter is %.2f mm across, %.1f lines.", least, least/line),
		"It will be left out, and one letter read for another."
}

// pocket compares the depth of the engraving with the printer's layers.
func pocket(f *ring.Flange, p printer.Profile) (ok bool, text, fault string) {
	layer, least := p.Layer.MM(), math.Min(f.Top.DepthMM, f.Bed.DepthMM)
	return least >= leastPocketLayers*layer, fmt.Sprintf("The words are cut %.2f mm deep, %.1f layers, into either face of %.1f mm.", least, least/layer, f.ThicknessMM),
		fmt.Sprintf("Use layers of %.2f mm or less.", least/leastPocketLayers)
}
