package check

// This file measures the edges of a leaf on its mesh, and compares them with what was planned.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"

	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// EdgeFound is what an edge of a leaf measures.
type EdgeFound struct {
	Teeth   int     `json:"teeth"`
	PitchMM float64 `json:"pitch_mm"`
	// StrayMM is the most that a flank stands off its place in a row of that pitch, along the edge.
	StrayMM float64 `json:"stray_mm"`
	// FlanksDeg are the angles to the perpendicular of the edge of the flanks that face the handle and the tip.
	FlanksDeg [2]float64 `json:"flanks_deg"`
}

// How far an edge may be off: its pitch, each flank along the edge, and the flanks' angles. The vertex grid rounds by 8e-6 mm.
const (
	edgePitchTolMM, edgeStrayTolMM = 0.0005, 0.002
	edgeAngleTolDeg                = 0.05
)

// leafEdges measures each edge of a leaf.
func leafEdges(s Subject) []Finding {
	if s.Leaf == nil || s.Body == nil {
		return nil
	}
	var out []Finding
	for i, e := range s.Leaf.Edges {
		f := MeasureEdge(s.Body, *s.Leaf, i)
		id := fmt.Sprintf("edge-%d", i+1)
		text := fmt.Sprintf("%s, %s: %d teeth, pitch %.4f mm as modelled, each flank within %.4f mm, flanks of %.2f and %.2f degrees.", e.Label, e.Place, f.Teeth, f.PitchMM, f.StrayMM, f.FlanksDeg[0], f.FlanksDeg[1])
		near, far := e.NearRad*180/math.Pi, e.FarRad*180/math.Pi
		if f.Teeth != e.Teeth || !(math.Abs(f.PitchMM-e.ModelledMM) <= edgePitchTolMM && f.StrayMM <= edgeStrayTolMM &&
			math.Abs(f.FlanksDeg[0]-near) <= edgeAngleTolDeg && math.Abs(f.FlanksDeg[1]-far) <= edgeAngleTolDeg) {
			out = append(out, Finding{id, Stop, text + fmt.Sprintf(" Planned were %d teeth of %.4f mm, and flanks of %.2f and %.2f degrees.", e.Teeth, e.ModelledMM, near, far)})
			continue
		}
		out = append(out, Finding{id, OK, text})
	}
	return out
}

// MeasureEdge measures an edge of a leaf by the upright faces of the mesh that stand on its sole: where each flank crosses the middle of the
// teeth, and its angle; the pitch is the slope of the straight line through those places.
func MeasureEdge(m *mesh.Mesh, l ring.Leaf, edge int) EdgeFound {
	e := l.Edges[edge]
	sx, sy := 1.0, 1.0 // into the edge's own frame: x from the handle to the tip, y outward
	if e.Left {
		sx = -1
	}
	if e.Down {
		sy = -1
	}
	tip, crest := 0.0, 0.0
	for _, v := range m.Vertices {
		tip = math.Max(tip, sx*float64(v[0]))
	}
	arm := func(v mesh.Vec) bool { return sx*float64(v[0]) > tip-l.ArmMM+besideMM }
	for _, v := range m.Vertices {
		if arm(v) {
			crest = math.Max(crest, sy*float64(v[1]))
		}
	}
	middle := crest - e.HeightMM()/2
	var at, angles [2][]float64 // of flanks that face the handle, and the tip
	for _, f := range m.Faces {
		a, b, c := m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
		upright := r3.Cross(r3.Sub(place(b), place(a)), r3.Sub(place(c), place(a)))
		nx, ny, least := sx*upright.X, sy*upright.Y, flatShare*r3.Norm(upright)
		if !arm(a) || float64(max(a[2], b[2], c[2])) < l.SoleMM+besideMM || math.Abs(upright.Z) > least || ny < least || math.Abs(nx) < least {
			continue
		}
		side := 0
		if nx > 0 {
			side = 1
		}
		at[side] = append(at[side], sx*float64(a[0])-ny/nx*(middle-sy*float64(a[1])))
		angles[side] = append(angles[side], math.Atan2(ny, math.Abs(nx))*180/math.Pi)
	}
	return foundIn(at, angles)
}

const (
	// besideMM is how near to the handle, and to the sole, no flank lies.
	besideMM = 0.3
	// flatShare is the share of a normal below which a face does not look that way: flanks of 2 degrees have 0.03.
	flatShare = 0.01
	// oneFlankMM is within what two triangles are of one flank.
	oneFlankMM = 0.1
)

func place(v mesh.Vec) r3.Vec { return r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])} }

// foundIn puts the flanks of both sides together.
func foundIn(at, angles [2][]float64) (f EdgeFound) {
	for side, places := range at {
		slices.Sort(places)
		at[side] = slices.CompactFunc(places, func(a, b float64) bool { return math.Abs(b-a) < oneFlankMM })
	}
	if f.Teeth = len(at[0]); len(at[1]) != f.Teeth || f.Teeth < 2 {
		return f
	}
	for side, places := range at {
		n := make([]float64, f.Teeth)
		for i := range n {
			n[i] = float64(i)
		}
		start, pitch := stat.LinearRegression(n, places, nil, false)
		f.PitchMM += pitch / 2
		for i, x := range places {
			f.StrayMM = math.Max(f.StrayMM, math.Abs(x-start-pitch*n[i]))
		}
		f.FlanksDeg[side] = unit.Round(stat.Mean(angles[side], nil))
	}
	f.PitchMM, f.StrayMM = unit.Round(f.PitchMM), unit.Round(f.StrayMM)
	return f
}
