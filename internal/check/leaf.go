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

// MeasureEdge measures an edge of a leaf where a plane cuts the mesh above the sole: every flank's angle, and where it crosses the middle
// of the teeth; the pitch is the slope of the straight line through those places.
func MeasureEdge(m *mesh.Mesh, l ring.Leaf, edge int) EdgeFound {
	e := l.Edges[edge]
	lines := cutAt(m, l.SoleMM+(l.ThicknessMM-l.SoleMM)*cutShare, e)
	tip, crest := math.Inf(-1), math.Inf(-1)
	for _, line := range lines {
		tip = math.Max(tip, line[0][0])
	}
	from := tip - l.ArmMM + besideMM // what is nearer to the handle is that, and no tooth
	lines = slices.DeleteFunc(lines, func(line [2][2]float64) bool {
		return min(line[0][0], line[1][0]) < from || max(line[0][0], line[1][0]) > tip-besideMM
	})
	for _, line := range lines {
		crest = math.Max(crest, line[0][1])
	}
	middle := crest - e.HeightMM()/2
	var at, angles [2][]float64
	for _, line := range lines {
		a, b := line[0], line[1]
		if (a[1] < middle) == (b[1] < middle) {
			continue
		}
		side := 0 // the edge is walked from the tip, the inside on the left: the flank that rises faces the tip
		if b[1] > a[1] {
			side = 1
		}
		at[side] = append(at[side], a[0]+(middle-a[1])/(b[1]-a[1])*(b[0]-a[0]))
		angles[side] = append(angles[side], math.Atan2(math.Abs(b[0]-a[0]), math.Abs(b[1]-a[1]))*180/math.Pi)
	}
	return foundIn(at, angles)
}

const (
	// cutShare is the height of the cut, as a share of the leaf above its sole: not half of it, where flanks are divided into triangles.
	cutShare = 0.25
	// besideMM is how near to handle and tip no flank lies.
	besideMM = 0.3
)

// foundIn puts the flanks of both sides together, those that face the handle first.
func foundIn(at, angles [2][]float64) EdgeFound {
	f := EdgeFound{Teeth: len(at[0])}
	if len(at[1]) != f.Teeth || f.Teeth < 2 {
		return f
	}
	for side, places := range at {
		slices.Sort(places)
		n := make([]float64, f.Teeth)
		for i := range n {
			n[i] = float64(i)
		}
		start, pitch := stat.LinearRegression(n, places, nil, false)
		f.PitchMM += pitch / 2
		for i, x := range places {
			f.StrayMM = math.Max(f.StrayMM, math.Abs(x-start-pitch*n[i]))
		}
		f.FlanksDeg[side] = stat.Mean(angles[side], nil)
	}
	return f
}

// cutAt are the lines in which the upright faces of m cut the plane at height z, in the frame of an edge: x from the handle to the tip, y
// outward, the inside on their left.
func cutAt(m *mesh.Mesh, z float64, e ring.LeafEdge) (lines [][2][2]float64) {
	sx, sy := 1.0, 1.0
	if e.Left {
		sx = -1
	}
	if e.Down {
		sy = -1
	}
	for _, face := range m.Faces {
		var line [2][2]float64
		ends := 0
		for k := range face {
			a, b := m.Vertices[face[k]], m.Vertices[face[(k+1)%3]]
			za, zb := float64(a[2])-z, float64(b[2])-z
			if (za < 0) == (zb < 0) {
				continue
			}
			t, end := za/(za-zb), 0
			if (za < 0) == (sx == sy) { // seen from outside the side of a face that rises is the right one; once mirrored, the left one
				end = 1
			}
			line[end] = [2]float64{sx * (float64(a[0]) + t*(float64(b[0])-float64(a[0]))), sy * (float64(a[1]) + t*(float64(b[1])-float64(a[1])))}
			ends++
		}
		if ends == 2 {
			lines = append(lines, line)
		}
	}
	return lines
}
