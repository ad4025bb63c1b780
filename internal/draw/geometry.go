package draw

// This file hatches outlines.

import (
	"math"
	"slices"
)

// hatchMM is the distance of hatch lines, wider than any gap that could fill with ink.
const hatchMM = 2.0

// The ways in which 45 degree lines rise on the sheet.
const (
	rightward = 1.0
	leftward  = -1.0
)

// hatch returns the 45 degree lines inside a closed outline, hatchMM apart, that rise to one side.
func hatch(outline []at, way float64) [][2]at {
	const step = hatchMM * math.Sqrt2
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range outline {
		low, high = math.Min(low, way*p.X+p.Y), math.Max(high, way*p.X+p.Y)
	}
	var lines [][2]at
	for k := math.Ceil(low / step); k*step <= high; k++ {
		c := k*step + 1e-7 // a tiny offset keeps the line off the corners
		xs := crossings(outline, way, c)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > 0.05 {
				lines = append(lines, [2]at{{way * xs[i], c - xs[i]}, {way * xs[i+1], c - xs[i+1]}})
			}
		}
	}
	return lines
}

// crossings returns, in rising order, way x where the line way x + y = c crosses the outline.
func crossings(outline []at, way, c float64) []float64 {
	var xs []float64
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		dp, dq := way*p.X+p.Y-c, way*q.X+q.Y-c
		if (dp < 0) != (dq < 0) {
			xs = append(xs, way*p.X+(way*q.X-way*p.X)*dp/(dp-dq))
		}
	}
	slices.Sort(xs)
	return xs
}

// ringOf is a circle as a closed line of 48 chords.
func ringOf(centre at, radius float64) (line []at) {
	const chords = 48
	for i := range chords + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / chords)
		line = append(line, at{centre.X + radius*cos, centre.Y + radius*sin})
	}
	return line
}
