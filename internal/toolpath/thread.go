package toolpath

// This file finds the wall of a thread among the loops, and lays the ideal mate over its beads.

import (
	"errors"
	"fmt"
	"math"
	"slices"

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
	// BindsAll says that most layers of the thread come as near to the mate, so that it meets all of them.
	BindsAll bool `json:"binds_all_layers"`
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

// course is the part of a wall that lies in one layer.
type course struct {
	layer
	loop
	// number is that of the layer, from 0.
	number int
	// mid is the height of its middle, half the half of its beads' width.
	mid, half float64
}

// wall is a thread's loops, one a layer, from the bed up.
type wall struct {
	Wanted
	*Print
	// toward is +1 where the mate lies outside of the wall, else -1; the taper's slope and plane.
	toward, slope, plane, height float64
	// x and y are where its axis stands.
	x, y    float64
	courses []course
}

// Thread lays the ideal mate of t over the beads. Errors: ErrNoThread.
func (p *Print) Thread(t Wanted) (Wall, error) {
	w := wall{Wanted: t, Print: p, toward: t.toward(), slope: -t.Taper / 2, x: p.x, y: p.y}
	if w.height = t.HeightMM; w.height <= 0 {
		w.height = p.HeightMM
	}
	if t.External { // the small end of an outer thread is the top, the face of an inner one the bottom
		w.plane = w.height - t.GaugeLength.MM()
	}
	if w.find(); len(w.courses) < fewestLayers {
		return Wall{}, fmt.Errorf("%w: no wall has the size and depth of %s", ErrNoThread, t.Designation)
	}
	out, err := w.gauge()
	if lower, upper := t.Form.Flanks(); err == nil && (t.Taper > 0 || math.Abs(upper-lower) > 1e-9) {
		var over Wall
		w.turn()
		if over, err = w.gauge(); over.Clearance > out.Clearance {
			out, out.Down = over, true
		}
	}
	return out, err
}

// turn looks at the thread from the other end.
func (w *wall) turn() {
	w.slope, w.plane = -w.slope, w.height-w.plane
	w.Form.UpperRad, w.Form.FlankRad = w.Form.Flanks()
}

// reach is the radius toward the mate that beads reach at their crests, and at their roots.
func (w *wall) reach(c course) (crest, root float64) {
	most, least := w.toward*(c.most-w.cone(c)), w.toward*(c.least-w.cone(c))
	return max(most, least) + c.half, min(most, least) + c.half
}

// cone is the taper's share of the radius.
func (w *wall) cone(c course) float64 { return w.slope * (c.mid - w.plane) }

// find takes in each layer the loop nearest to the mate that has the thread's size and depth.
func (w *wall) find() {
	size := w.Basic.Minor.MM() / 2
	if w.External {
		size = w.Basic.Major.MM() / 2
	}
	depth := (w.Basic.Major - w.Basic.Minor).MM() / 2
	var crests []float64
	for k, l := range w.layers {
		nearest := math.Inf(-1)
		var found course
		for _, o := range l.loops {
			c := course{layer: l, loop: o, number: k, mid: l.z - l.height/2, half: w.width(o, l) / 2}
			crest, root := w.reach(c)
			if math.Abs(w.toward*crest-size) <= sizeShare*size+sizeMM && crest-root >= depthShare*depth && crest >= nearest {
				nearest, found = crest, c
			}
		}
		if found.pts != nil {
			crests, w.courses = append(crests, nearest), append(w.courses, found)
		}
	}
	if len(crests) == 0 {
		return
	}
	usual := median(crests)
	w.courses = slices.DeleteFunc(w.courses, func(c course) bool {
		crest, _ := w.reach(c)
		return math.Abs(crest-usual) > evenMM
	})
}
