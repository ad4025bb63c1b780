package check

// This file measures the edges of a leaf on its mesh, and compares them with what was planned.

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tryring/internal/mesh"
	"tryring/internal/ring"
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
		text := fmt.Sprintf("%s: %d teeth, pitch %.4f mm as modelled, each flank within %.4f mm, flanks of %.2f and %.2f degrees.", e, f.Teeth, f.PitchMM, f.StrayMM, f.FlanksDeg[0], f.FlanksDeg[1])
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

// MeasureEdge measures an edge of a leaf where a plane halfway between its sole and its engraving cuts the mesh: every flank's angle, and
// where it crosses the middle of the teeth; the pitch is the slope of the straight line through those places.
func MeasureEdge(m *mesh.Mesh, l ring.Leaf, edge int) EdgeFound {
	e := l.Edges[edge]
	floor := l.ThicknessMM
	for _, p := range l.Pockets {
		floor = math.Min(floor, l.ThicknessMM-p.DepthMM)
	}
	lines := cutAt(m, (l.SoleMM+floor)/2)
	// In the edge's own frame x runs from the handle to the tip and y outward; what is left of the handle or on the other edge is not looked at.
	tip, crest := 0.0, 0.0
	for i, line := range lines {
		for k := range line {
			if e.Left {
				line[k][0] = -line[k][0]
			}
			if e.Down {
				line[k][1] = -line[k][1]
			}
			tip = math.Max(tip, line[k][0])
		}
		if e.Left != e.Down { // mirrored once, the inside lies on the other hand
			line[0], line[1] = line[1], line[0]
		}
		lines[i] = line
	}
	from := tip - l.ArmMM + handleClearMM
	for _, line := range lines {
		if min(line[0][0], line[1][0]) > from {
			crest = math.Max(crest, math.Max(line[0][1], line[1][1]))
		}
	}
	middle := crest - e.HeightMM()/2
	var at, angles [2][]float64
	for _, line := range lines {
		a, b := line[0], line[1]
		if min(a[0], b[0]) < from || (a[1] < middle) == (b[1] < middle) {
			continue
		}
		side := 0 // the inside is on the left, so that the edge is walked from the tip: going down it leaves a tooth towards the handle
		if b[1] > a[1] {
			side = 1
		}
		if a[0] >= tip-flatMM && b[0] >= tip-flatMM { // the end of the arm
			continue
		}
		at[side] = append(at[side], a[0]+(middle-a[1])/(b[1]-a[1])*(b[0]-a[0]))
		lean := math.Atan2(math.Abs(b[0]-a[0]), math.Abs(b[1]-a[1])) * 180 / math.Pi
		angles[side] = append(angles[side], lean)
	}
	return foundIn(at, angles)
}

// handleClearMM is how far from the handle flanks are looked for, flatMM how near to the tip the end of an arm is.
const handleClearMM, flatMM = 0.5, 0.01

// foundIn puts flanks of both sides together.
func foundIn(at, angles [2][]float64) EdgeFound {
	f := EdgeFound{Teeth: len(at[0])}
	if len(at[1]) != f.Teeth || f.Teeth < 2 {
		return f
	}
	n := make([]float64, f.Teeth)
	for i := range n {
		n[i] = float64(i)
	}
	for side := range at {
		slices.Sort(at[side])
		start, pitch := stat.LinearRegression(n, at[side], nil, false)
		f.PitchMM += pitch / 2
		for i, x := range at[side] {
			f.StrayMM = math.Max(f.StrayMM, math.Abs(x-start-pitch*n[i]))
		}
		f.FlanksDeg[side] = stat.Mean(angles[side], nil)
	}
	return f
}

// cutAt are the lines in which the upright faces of m cut the plane at height z, with the inside on their left.
func cutAt(m *mesh.Mesh, z float64) (lines [][2][2]float64) {
	for _, face := range m.Faces {
		var cross [][2]float64
		rising := 0
		for k := range face {
			a, b := m.Vertices[face[k]], m.Vertices[face[(k+1)%3]]
			za, zb := float64(a[2])-z, float64(b[2])-z
			if (za < 0) == (zb < 0) {
				continue
			}
			t := za / (za - zb)
			cross = append(cross, [2]float64{float64(a[0]) + t*float64(b[0]-a[0]), float64(a[1]) + t*float64(b[1]-a[1])})
			if za < 0 {
				rising = len(cross) - 1
			}
		}
		if len(cross) == 2 { // seen from outside, counter-clockwise, the edge that rises is the right one: its point is the end
			lines = append(lines, [2][2]float64{cross[1-rising], cross[rising]})
		}
	}
	return lines
}
