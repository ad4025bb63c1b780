package photo

// This file holds the frame along a part's axis.

import "math"

// frame is the part's own frame on the working picture: s runs along (ux, uy), t along (-uy, ux).
type frame struct{ cx, cy, ux, uy float64 }

// at returns the place of (s, t) on the working picture.
func (f frame) at(s, t float64) (x, y float64) { return f.cx + s*f.ux - t*f.uy, f.cy + s*f.uy + t*f.ux }

// to returns (s, t) of a place on the working picture.
func (f frame) to(x, y float64) (s, t float64) {
	dx, dy := x-f.cx, y-f.cy
	return dx*f.ux + dy*f.uy, -dx*f.uy + dy*f.ux
}

// newFrame has its s along the angle (radians, against the picture's x, y down), upward, or to the right for a part that lies.
func newFrame(cx, cy, angle float64) frame {
	ux, uy := math.Cos(angle), math.Sin(angle)
	if up := math.Abs(uy) >= math.Sqrt2/2; up && uy > 0 || !up && ux < 0 {
		ux, uy = -ux, -uy
	}
	return frame{cx, cy, ux, uy}
}
