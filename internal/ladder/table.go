package ladder

// This file works out the table that compares the rungs of a ladder, and holds what is told of it.

import (
	"math"

	"tryring/internal/build"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/fit"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Result is a ladder as it is told to scripts, written to NAME.json, and read back by a trial. Lengths in mm.
type Result struct {
	Name    string   `json:"name"`
	Caution []string `json:"caution"`
	// Pairs is set for plugs and rings of one thread: Inner is then the ring's thread, Outer the plug's.
	Pairs bool `json:"pairs"`
	// Inner and Outer are the designations of the ring's two threads.
	Inner string `json:"inner"`
	Outer string `json:"outer"`
	// Printer is the profile that was compensated for, "none" for none; Printers are all that are compared.
	Printer string `json:"printer"`
	// LayerMM is the layer height, InnerLayersMM and OuterLayersMM how much tighter such layers make either pitch line by their shape.
	LayerMM       float64  `json:"layer_mm"`
	InnerLayersMM float64  `json:"inner_layers_mm"`
	OuterLayersMM float64  `json:"outer_layers_mm"`
	Printers      []string `json:"printers"`
	// ShortMM is the height of rings of which little more than shortTurns turns are left, for a ladder that prints in minutes.
	ShortMM float64             `json:"short_mm"`
	Rungs   []RungResult        `json:"rungs"`
	Plates  []build.PlateResult `json:"plates"`
	build.Files
}

// RungResult is one ring of a ladder.
type RungResult struct {
	Rung   string   `json:"rung"`
	Name   string   `json:"name"`
	Label  string   `json:"label"`
	Layout string   `json:"layout"`
	WallMM float64  `json:"wall_mm"`
	Inner  RungSide `json:"inner"`
	Outer  RungSide `json:"outer"`
	// PlugCrestsMM is the modelled diameter over the crests of a pair's plug, where a caliper reads it; 0 for rings.
	PlugCrestsMM float64 `json:"plug_crests_mm,omitempty"`
	printer.Cost
	// Made is the ring as each printer would make it, in the order of Printers.
	Made  []MadeRung `json:"made"`
	Files []string   `json:"files"`
}

// RungSide is one thread of a rung as designed and as modelled. Clearances are against the basic size, on the diameter.
type RungSide struct {
	ClearanceMM    float64 `json:"clearance_mm"`
	CompensationMM float64 `json:"compensation_mm"`
	// ModelledClearanceMM is the clearance that the file itself has, before the printer adds and takes.
	ModelledClearanceMM float64 `json:"modelled_clearance_mm"`
}

// MadeRung is a rung as one printer would make it.
type MadeRung struct {
	Printer string   `json:"printer"`
	WallMM  float64  `json:"wall_mm"`
	Inner   MadeSide `json:"inner"`
	Outer   MadeSide `json:"outer"`
}

// MadeSide is one thread of a rung as one printer would make it, and how it goes with its mate in the middle of the
// mate's limits of size.
type MadeSide struct {
	// PitchClearanceMM is against the mate's basic size, UMM its standard uncertainty, on the diameter.
	PitchClearanceMM float64 `json:"pitch_clearance_mm"`
	UMM              float64 `json:"u_mm"`
	// FlankGapMM is the gap normal to each flank, AxialPlayMM the whole travel along the axis; null on tapers, which
	// close their gaps as they are turned in.
	FlankGapMM  *float64 `json:"flank_gap_mm"`
	AxialPlayMM *float64 `json:"axial_play_mm"`
	// EngagementPercent is the flank engagement as a percentage of full depth.
	EngagementPercent float64     `json:"engagement_percent"`
	Verdict           fit.Verdict `json:"verdict"`
	// Chance is that of snug or goes; Chances are those of all verdicts in the order of fit.Verdicts.
	Chance  float64    `json:"chance"`
	Chances [5]float64 `json:"chances"`
	Why     string     `json:"why"`
	// Lies is how the thread lies in its mate, to be drawn; nil for no drawing.
	Lies *draw.FitData `json:"-"`
}

// shortTurns are enough to feel whether a thread starts and runs; bodyMM is about what flange and lead-ins take of a ring's height.
const shortTurns, bodyMM = 3.0, 4.0

// Table compares the rungs without making anything.
func (l Planned) Table() (Result, error) {
	spec := l.Asked.Spec
	out := Result{
		Name: l.Asked.Name, Caution: check.Cautions(spec.Inner, spec.Outer), Pairs: l.pairs,
		Inner: spec.Inner.Designation, Outer: spec.Outer.Designation, Printer: spec.Printer.Name,
		Plates: []build.PlateResult{}, Files: build.Files{Paths: []string{}, Digests: map[string]string{}},
	}
	out.LayerMM = unit.RoundMM(spec.Printer.Layer)
	out.InnerLayersMM = unit.RoundMM(spec.Printer.Layers(spec.Inner, printer.Inside).Pitch)
	out.OuterLayersMM = unit.RoundMM(spec.Printer.Layers(spec.Outer, printer.Outside).Pitch)
	out.ShortMM = math.Ceil(shortTurns*max(spec.Inner.Pitch, spec.Outer.Pitch).MM() + bodyMM)
	for _, p := range l.Printers {
		out.Printers = append(out.Printers, p.Name)
	}
	for _, r := range l.Rungs {
		row := r.row()
		row.Rung, row.Name, row.Files = r.Rung.String(), r.Name, []string{}
		for k, p := range l.Printers {
			made, err := r.madeBy(p)
			if err != nil {
				return Result{}, inRung(r.Rung, err)
			}
			if k > 0 { // only what is compensated for is drawn
				made.Inner.Lies, made.Outer.Lies = nil, nil
			}
			row.Made = append(row.Made, made)
		}
		out.Rungs = append(out.Rungs, row)
	}
	return out, nil
}

// madeSide judges the two threads, and puts clearance and verdict together. A pitch-diameter clearance c between equal forms of flank angles a and b
// leaves c/2 sin(a) and c/2 sin(b) normal to them, the lesser of which is told, and c (tan(a) + tan(b))/2 of axial play.
func madeSide(external, internal thread.Thread, clearance, u unit.Length, o fit.Options) (MadeSide, error) {
	r, err := fit.Judge(external, internal, o)
	if err != nil {
		return MadeSide{}, err
	}
	out := MadeSide{
		Lies:             &draw.FitData{External: external, Internal: internal, Options: o, Result: r},
		PitchClearanceMM: unit.RoundMM(clearance), UMM: unit.RoundMM(u), EngagementPercent: unit.Round(r.EngagementPercent),
		Verdict: r.Verdict, Chance: unit.Round(r.Chance), Why: r.Why,
	}
	for k, c := range r.Chances {
		out.Chances[k] = unit.Round(c)
	}
	if a, b := internal.Form.Flanks(); internal.Taper <= 0 {
		out.FlankGapMM = new(unit.Round(clearance.MM() / 2 * math.Sin(min(a, b))))
		out.AxialPlayMM = new(unit.Round(clearance.MM() * internal.Form.Tan()))
	}
	return out, nil
}
