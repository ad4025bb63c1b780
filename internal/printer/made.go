package printer

// This file says what a printer makes of a thread: every room asks it here, so that one thing has one figure.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Shift is by how much a diameter comes out larger than modelled (below 0: smaller), with its standard uncertainty.
type Shift struct {
	By unit.Length `json:"by_mm"`
	U  unit.Length `json:"u_mm"`
}

// String prints s as a table does, mm, with the half width of its 95 % interval: "0.17 ± 0.08".
func (s Shift) String() string { return fmt.Sprintf("%.2f ± %.2f", s.By.MM(), 2*s.U.MM()) }

// Made is what a mate feels of a printed thread, each diameter against the modelled one.
type Made struct {
	Major, Pitch, Minor Shift
	// Plain is the part of all three that is plain size and scale, Layer that of the pitch diameter which is the layers'.
	Plain, Layer Shift
}

// On returns what modelled diameters come out as.
func (m Made) On(d thread.Diameters) thread.Diameters {
	return thread.Diameters{Major: d.Major + m.Major.By, Pitch: d.Pitch + m.Pitch.By, Minor: d.Minor + m.Minor.By}
}

// Makes says what p makes of t on a side: plain size and scale at the thread's diameter, and the share that p has of what its layers
// do (Layers). The scale is taken at the basic pitch diameter.
func (p Profile) Makes(t thread.Thread, s Side) Made {
	layers := p.Layers(t, s)
	per := (t.Basic.Pitch - p.TriedAt).MM() / 100 // mm by percent of scale
	of := func(plain, layer float64) Shift {
		slope := [4]float64{plain, 0, layer, plain * per}
		if s == Inside {
			slope = [4]float64{0, -plain, -layer, plain * per}
		}
		by := 0.0
		for i, x := range []float64{p.OutsideAdds.MM(), p.InsideTakes.MM(), p.LayerShare, p.ScalePct} {
			by += slope[i] * x
		}
		return Shift{unit.MM(by), p.doubtAlong(slope)}
	}
	return Made{
		Major: of(1, layers.Major.MM()), Pitch: of(1, layers.Pitch.MM()), Minor: of(1, layers.Minor.MM()),
		Plain: of(1, 0), Layer: of(0, layers.Pitch.MM()),
	}
}

// doubtAlong is the standard uncertainty of the sum of outside size, inside size, layer share and scale, each times its slope (JCGM
// 100:2008, 5.2.2, equation (13)).
func (p Profile) doubtAlong(slope [4]float64) unit.Length {
	variance := 0.0
	for i, u := range []float64{p.OutsideU.MM(), p.InsideU.MM(), p.LayerShareU, p.ScaleUPct} {
		if p.Tied == nil {
			variance += slope[i] * slope[i] * u * u
			continue
		}
		for k, c := range p.Tied[i] {
			variance += slope[i] * slope[k] * c
		}
	}
	return unit.MM(math.Sqrt(math.Max(0, variance)))
}
