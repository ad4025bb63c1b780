package toolpath

// This file finds the wall of a thread among the loops, and lays the ideal mate over its beads.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// ErrNoThread says that no wall has the size and depth of the thread that was asked for.
var ErrNoThread = errors.New("no such thread in it")

const (
	// sizeShare and sizeMM are how far a crest may lie from where the thread has it, on the radius: a part scaled by 3 %, and
	// its clearance and compensation (common practice, no published source).
	sizeShare, sizeMM = 0.03, 0.3
	// depthShare is the least part of its depth that a thread shows in a layer.
	depthShare = 0.5
	// evenMM is how far the crests of one thread may lie apart, on the radius; what strays more is a chamfer or a cone.
	evenMM = 0.25
	// fewestLayers show a thread.
	fewestLayers = 3
)

// Wanted is a thread that a ring should have.
type Wanted struct {
	thread.Thread
	External bool
	// Modelled are the diameters of the ring as drawn, for Compare.
	Modelled thread.Diameters
	// HeightMM is that of the whole part, by which a taper's gauge plane stands; 0 takes that of the print.
	HeightMM float64
}

// toward is +1 where the mate lies outside of the wall, else -1.
func (t Wanted) toward() float64 {
	if t.External {
		return 1
	}
	return -1
}

// Wall is what a mate of the thread's basic size would feel of it.
type Wall struct {
	// Felt are the diameters of the tightest ideal mate; on a taper thread those in its gauge plane.
	Felt thread.Diameters `json:"felt"`
	// OutlineMajor and OutlineMinor are those of the outlines through the middles of the layers, to some hundredths.
	OutlineMajor unit.Length `json:"outline_major_mm"`
	OutlineMinor unit.Length `json:"outline_minor_mm"`
	// Clearance is by how much a mate of basic size could be tighter, all its diameters alike; below zero they overlap.
	Clearance unit.Length `json:"clearance_mm"`
	// BindingLayer is the layer, from 1, that the mate meets first, and BindingMM its top.
	BindingLayer int     `json:"binding_layer"`
	BindingMM    float64 `json:"binding_z_mm"`
	// MiddleMM is the height of the middle of the layers in which the thread was found.
	MiddleMM float64 `json:"middle_z_mm"`
	// Pitch is that of the loops as they wind up, Hand the sense.
	Pitch unit.Length `json:"pitch_mm"`
	Hand  thread.Hand `json:"-"`
	// Down says that the thread stands with its upper end down; only tapers and unlike flanks tell.
	Down bool `json:"upside_down"`
	// SeamDeg is where most loops begin, counter-clockwise from x, and SeamSpreadDeg how far from there they begin.
	SeamDeg       float64 `json:"seam_deg"`
	SeamSpreadDeg float64 `json:"seam_spread_deg"`
	// OtherMM is the length of lines that stand in the thread's space and are not its wall.
	OtherMM float64 `json:"other_lines_mm"`
	of      Wanted
	layer   unit.Length
}

// wall is a thread's loops, one a layer.
type wall struct {
	Wanted
	*Print
	// toward is +1 where the mate lies outside of the wall, else -1; the taper's slope and plane.
	toward, slope, plane, height float64
	// x and y are where its axis stands.
	x, y  float64
	loops map[int]loop
}

// Thread lays the ideal mate of t over the beads. Errors: ErrNoThread.
func (p *Print) Thread(t Wanted) (Wall, error) {
	w := wall{Wanted: t, Print: p, toward: t.toward(), slope: -t.Taper / 2, x: p.x, y: p.y, loops: map[int]loop{}}
	if w.height = t.HeightMM; w.height <= 0 {
		w.height = p.HeightMM
	}
	if t.External { // the small end of an outer thread is the top, the face of an inner one the bottom
		w.plane = w.height - t.GaugeLength.MM()
	}
	if w.find(); len(w.loops) < fewestLayers {
		return Wall{}, fmt.Errorf("%w: no wall has the size and depth of %s", ErrNoThread, t.Designation)
	}
	out, err := w.gauge()
	if err != nil {
		return Wall{}, err
	}
	if lower, upper := t.Form.Flanks(); t.Taper > 0 || math.Abs(upper-lower) > 1e-9 {
		w.turn()
		other, err := w.gauge()
		if err != nil {
			return Wall{}, err
		}
		if other.Clearance > out.Clearance {
			other.Down = true
			out = other
		}
	}
	return out, nil
}

// turn looks at the thread from the other end.
func (w *wall) turn() {
	w.slope, w.plane = -w.slope, w.height-w.plane
	w.Form.UpperRad, w.Form.FlankRad = w.Form.Flanks()
}

// edge is the radius toward the mate that a loop's beads reach at their crests, and at their roots.
func (w *wall) edge(o loop, l layer) (crest, root float64) {
	half := w.width(o, l) / 2
	cone := w.slope * (l.z - l.height/2 - w.plane)
	crest, root = o.most+half-cone, o.least+half-cone
	if w.toward < 0 {
		crest, root = -(o.least - half - cone), -(o.most - half - cone)
	}
	return crest, root
}

// find takes in each layer the loop nearest to the mate that has the thread's size and depth.
func (w *wall) find() {
	crest := w.Basic.Minor.MM() / 2
	if w.External {
		crest = w.Basic.Major.MM() / 2
	}
	depth := (w.Basic.Major - w.Basic.Minor).MM() / 2
	edges := map[int]float64{}
	var all []float64
	for k, l := range w.layers {
		at := math.Inf(-1)
		for _, o := range l.loops {
			e, root := w.edge(o, l)
			if math.Abs(w.toward*e-crest) > sizeShare*crest+sizeMM || e-root < depthShare*depth || e < at {
				continue
			}
			at, edges[k], w.loops[k] = e, e, o
		}
		if e, found := edges[k]; found {
			all = append(all, e)
		}
	}
	usual := 0.0
	if len(all) > 0 {
		usual = median(all)
	}
	for k, e := range edges {
		if math.Abs(e-usual) > evenMM {
			delete(w.loops, k)
		}
	}
}
