package draw

// This file holds the plane geometry of the sheet: what crosses what.

import "slices"

// crossings returns where the line x + y = c crosses the outlines, in rising x.
func crossings(outlines [][]at, c float64) []float64 {
	var xs []float64
	for _, o := range outlines {
		for i, p := range o {
			q := o[(i+1)%len(o)]
			dp, dq := p.X+p.Y-c, q.X+q.Y-c
			if (dp < 0) != (dq < 0) {
				xs = append(xs, p.X+(q.X-p.X)*dp/(dp-dq))
			}
		}
	}
	slices.Sort(xs)
	return xs
}
