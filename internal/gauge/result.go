package gauge

// This file holds what is told of finished gauges, to scripts and to people.

import (
	"fmt"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// SetResult is what `gauge` made, as scripts read it. Lengths are in mm.
type SetResult struct {
	Caution []string `json:"caution"`
	Printer string   `json:"printer"`
	Gauges  []Result `json:"gauges"`
	// Foreseen is what was said of the gauges before they were made.
	Foreseen Foresight `json:"foreseen"`
	build.Files
}

// Result is one gauge.
type Result struct {
	Name string `json:"name"`
	// Designation names the parts that are judged, with their class.
	Designation  string          `json:"designation"`
	Kind         ring.GaugeKind  `json:"kind"`
	Limit        ring.GaugeLimit `json:"limit"`
	Class        string          `json:"class"`
	Limits       thread.Limits   `json:"limits"`
	LimitsSource string          `json:"limits_source"`
	build.Figures
	// Wanted is what the printed gauge should have, Measured is what the file holds.
	Wanted thread.Diameters `json:"wanted"`
	ring.Compensated
	Measured  *caliper.Thread `json:"measured"`
	ZMM       [2]float64      `json:"z_mm"`
	HeightMM  float64         `json:"height_mm"`
	LengthMM  float64         `json:"length_mm"`
	LengthWhy string          `json:"length_why"`
	// MayEnterTurns is how many turns the no-go gauge may go onto a good part; 0 for a go gauge, which must go all the way.
	MayEnterTurns  int    `json:"may_enter_turns"`
	MayEnterSource string `json:"may_enter_source"`
	// StandOff is where the parts of a taper thread stop; null for a straight one.
	StandOff *StandOffResult  `json:"stand_off"`
	Decision DecisionResult   `json:"decision"`
	Label    string           `json:"label"`
	Mesh     build.MeshResult `json:"mesh"`
	printer.Cost
	Checks []check.Finding `json:"checks"`
}

// StandOffResult is where the parts of a taper thread stop on its gauge when hand tight.
type StandOffResult struct {
	// GaugeMM runs from the gauge plane to the small end of an external part, ToleranceMM is how far a part may stop to either
	// side of its place, and ToleranceTurns is that in turns.
	GaugeMM        float64 `json:"gauge_mm"`
	ToleranceMM    float64 `json:"tolerance_mm"`
	ToleranceTurns float64 `json:"tolerance_turns"`
	// StepsMM are the z of the low and the high step in the file.
	StepsMM [2]float64 `json:"steps_z_mm"`
	// UMM and UTurns are what the printed gauge's uncertainty (95 %) comes to along the axis.
	UMM    float64 `json:"u_mm"`
	UTurns float64 `json:"u_turns"`
}

func standOffResult(a Asked) *StandOffResult {
	if a.Thread.Taper <= 0 {
		return nil
	}
	d := a.Decision()
	along, turns := d.StandOff(d.U)
	return &StandOffResult{
		GaugeMM: unit.RoundMM(a.StandOff.Gauge), ToleranceMM: unit.RoundMM(a.StandOff.Tolerance), ToleranceTurns: unit.Round(float64(a.StandOff.Tolerance / a.Thread.Pitch)),
		StepsMM: [2]float64{unit.Round(a.StepsMM[0]), unit.Round(a.StepsMM[1])}, UMM: unit.RoundMM(along), UTurns: unit.Round(turns),
	}
}

// DecisionResult is what the pair decides of a part's pitch diameter once printed. SurelyInMM is nil when nothing is surely in.
type DecisionResult struct {
	Rule string `json:"rule"`
	// UMM is the expanded uncertainty (95 %) of the printed gauge, ToleranceMM that of the thread's pitch diameter.
	UMM             float64     `json:"u_mm"`
	ToleranceMM     float64     `json:"tolerance_mm"`
	Resolves        bool        `json:"resolves"`
	SurelyInMM      *[2]float64 `json:"surely_in_mm"`
	SurelyOutBelow  float64     `json:"surely_out_below_mm"`
	SurelyOutAbove  float64     `json:"surely_out_above_mm"`
	UndecidedMM     [2]float64  `json:"undecided_low_mm"`
	UndecidedHighMM [2]float64  `json:"undecided_high_mm"`
	Text            string      `json:"text"`
}

func newResult(a Asked) Result {
	r := Result{
		Name: a.Name, Designation: ring.Judged(a.Thread, a.Class), Kind: a.Kind, Limit: a.Limit, Class: a.Class,
		Limits: a.Limits, LimitsSource: a.LimitsSource, Figures: build.FiguresOf(a.Thread),
		Wanted: a.Wanted, Compensated: a.Compensated,
		ZMM: [2]float64{unit.Round(a.FullMM[0]), unit.Round(a.FullMM[1])}, HeightMM: unit.RoundMM(a.Height), LengthMM: unit.RoundMM(a.Length), LengthWhy: a.LengthWhy,
		Label: a.Label, Checks: []check.Finding{},
	}
	if a.Gap == nil {
		r.Decision, r.StandOff = decisionResult(a.Decision()), standOffResult(a)
	}
	if a.Limit == ring.NoGo {
		r.MayEnterTurns, r.MayEnterSource = a.Entry.Turns, a.Entry.Source
	}
	return r
}

func decisionResult(d ring.Decision) DecisionResult {
	r := DecisionResult{
		Rule: "ISO 14253-1", UMM: unit.RoundMM(d.U), ToleranceMM: unit.RoundMM(d.Tolerance()), Resolves: d.Resolves,
		SurelyOutBelow: unit.RoundMM(d.OutBelow), SurelyOutAbove: unit.RoundMM(d.OutAbove), Text: d.Words(),
	}
	if d.Resolves {
		r.SurelyInMM = &[2]float64{unit.RoundMM(d.InFrom), unit.RoundMM(d.InTo)}
		r.UndecidedMM, r.UndecidedHighMM = [2]float64{unit.RoundMM(d.OutBelow), unit.RoundMM(d.InFrom)}, [2]float64{unit.RoundMM(d.InTo), unit.RoundMM(d.OutAbove)}
	} else { // the two bands have grown together
		r.UndecidedMM = [2]float64{unit.RoundMM(d.OutBelow), unit.RoundMM(d.OutAbove)}
		r.UndecidedHighMM = r.UndecidedMM
	}
	return r
}

// Use says how the gauge is read.
func (g Result) Use() string {
	switch {
	case g.Limit == ring.Go:
		return "Must go all the way with a good part, turned by fingers."
	case g.Limit == ring.Steps:
		return ring.StepsUse(g.Kind)
	}
	return fmt.Sprintf("May enter a good part, but must not go on past %d turns (%s).", g.MayEnterTurns, g.MayEnterSource)
}
