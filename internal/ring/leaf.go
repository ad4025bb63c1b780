package ring

// This file decides on the edges of leaves, which are flat pitch gauges: teeth that seat in the grooves of a thread.

import (
	"math"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// LeafEdge is a toothed edge of a leaf. Its teeth have the straight flanks of the grooves of a thread, outside or inside, and end short of
// the grooves' bottoms, so that they bear on flanks alone.
type LeafEdge struct {
	// Pitch is that of the thread, ModelledMM that of the teeth as drawn: the printer's scale is taken off.
	Pitch      unit.Length
	ModelledMM float64
	// NearRad and FarRad are the angles to the perpendicular of the edge of the flanks that face the handle and the tip, radians.
	NearRad, FarRad float64
	// CrestMM and RootMM are how far teeth reach beyond the pitch line and how far the gaps between them lie behind it.
	CrestMM, RootMM float64
	Teeth           int
	// Label is engraved beside the edge, whose place is Place: on the left arm, or the lower one, as Left and Down say.
	Label, Place string
	Left, Down   bool
}

// Truncation of the teeth, in pitches; common practice, no published source.
const (
	// bottomClear is left between teeth and the bottoms of grooves, and between ridges and the gaps of the leaf.
	bottomClear = 0.05
	// mostRide is by how much gaps may be too low for sharp crests, on which the leaf then rides: its flanks stand off by half of that.
	mostRide = 1.0 / 16
	// leastBearing is the least height of flank that teeth bear on.
	leastBearing = 0.12
	// leastGapLines is the width, in lines, below which a slicer closes a gap: 0.1 mm of a line of 0.4 mm (from memory).
	leastGapLines = 0.25
)

// leafMM is about the thickness of a leaf, which is whole layers: stiff in the hand.
const leafMM = 1.6

// leafThickness is that of a leaf on a printer.
func leafThickness(p printer.Profile) float64 {
	return math.Ceil(leafMM/p.Layer.MM()-1e-9) * p.Layer.MM()
}

// NewLeafEdge decides on the teeth for threads that share pitch and flanks. Its faults are laid to the thread, and name the finest pitch
// that the printer's line can cut where this one is finer.
func NewLeafEdge(p printer.Profile, threads ...thread.Thread) (LeafEdge, error) {
	t := threads[0]
	e := LeafEdge{Pitch: t.Pitch, ModelledMM: t.Pitch.MM() / (1 + p.ScalePct/100)}
	// The flank that carries the load faces away from the end that goes in, and so does the tooth that bears on it face the handle there.
	e.NearRad, e.FarRad = t.Form.Flanks()
	pitch, line, slope := t.Pitch.MM(), p.Nozzle.MM(), 2*t.Form.Tan()
	// In pitches: the least that flanks run straight to both sides of the pitch line, how far teeth may go beyond it, and the highest ridge.
	straight, reach, ridge, climb := math.Inf(1), math.Inf(1), 0.0, 0.0
	for _, x := range threads {
		f := x.Form
		ends := f.StraightPerPitch()
		straight = math.Min(straight, ends)
		if f.RoundPerPitch <= 0 { // a flat bottom is not to be touched; where an arc begins, the flank still is
			ends -= bottomClear
		}
		reach = math.Min(reach, ends)
		ridge = math.Max(ridge, math.Max(f.AddendumPerPitch, f.DepthPerPitch-f.AddendumPerPitch))
		// What a groove climbs along the axis across the leaf: lead / (pi d) of its thickness, mm.
		climb = math.Max(climb, x.Lead().MM()/(math.Pi*x.Basic.Pitch.MM())*leafThickness(p))
	}
	if straight+reach < leastBearing {
		return e, fault.At("thread", t.Designation, "its flanks run straight over %.2f mm only, and the teeth of a leaf bear on straight flanks", math.Max(0, 2*straight*pitch))
	}
	// A tooth is P/2 wide on the pitch line and a line at its end; a gap holds a ridge, but for mostRide of it.
	finest := math.Max(2*line, leastGapLines*line/(0.5-slope*(ridge-mostRide)))
	if pitch < finest-1e-9 {
		return e, fault.At("thread", t.Designation, "a pitch of %.3f mm, and lines of %.2f mm cut no leaf of this form finer than %.2f mm; take a printer for finer detail", pitch, line, math.Ceil(100*finest-1e-6)/100)
	}
	e.CrestMM = math.Min(reach*pitch, (pitch/2-line)/slope)
	e.RootMM = math.Min((ridge+bottomClear)*pitch, (pitch/2-leastGapLines*line)/slope)
	// A groove that climbs lifts the leaf out, by its climb over the slope of both flanks.
	if straight*pitch+e.CrestMM-climb/slope < leastBearing*pitch {
		return e, fault.At("thread", t.Designation, "its groove climbs %.2f mm across the %.1f mm of a leaf, which lifts teeth of this pitch off its flanks", climb, leafThickness(p))
	}
	return e, nil
}

// HeightMM is the height of the teeth.
func (e LeafEdge) HeightMM() float64 { return e.CrestMM + e.RootMM }

// SpanMM is the thread that n teeth take.
func (e LeafEdge) SpanMM(n int) float64 { return float64(n) * e.ModelledMM }
