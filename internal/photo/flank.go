package photo

// This file reads the angle between the flanks where the picture is sharp enough.

import "math"

const (
	// anglePeriod is the least period in pixels, and angleBlur the largest blur as a share of it, for an angle to be read.
	anglePeriod = 24.0
	angleBlur   = 0.06
	// uAngleDeg is the angle's standard uncertainty: tilt and perspective fill the roots unevenly.
	uAngleDeg = 4.0
)

// flankAngle returns the angle between the flanks in degrees, from the middle of both flanks of all crests; 0 when the
// picture does not show it.
func flankAngle(o outline, t train) float64 {
	if t.period < anglePeriod || o.spread > angleBlur*t.period {
		return 0
	}
	slope := func(direction float64) float64 {
		var x, y []float64
		for _, c := range t.crests {
			for i := range o.out {
				off := direction * (float64(i) - c.row)
				height := o.out[i] - t.lineAt(float64(i))
				if off > 0 && off < t.period/2 && height < -0.3*t.depth && height > -0.65*t.depth {
					x, y = append(x, off), append(y, height)
				}
			}
		}
		// The flank's foot along the axis over its height: less sensitive to where the part of it begins.
		_, b, _, ok := robustLine(y, x)
		if !ok {
			return math.NaN()
		}
		return -b
	}
	angle := math.Atan(slope(1)) + math.Atan(slope(-1))
	if math.IsNaN(angle) || angle <= 0 {
		return 0
	}
	return angle * 180 / math.Pi
}
