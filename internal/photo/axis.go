package photo

// This file says along which lines the part's axis could run.

import (
	"math"
)

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

// turned has its s along what runs by a slope aside.
func (f frame) turned(slope float64) frame {
	length := math.Hypot(1, slope)
	return frame{f.cx, f.cy, (f.ux - slope*f.uy) / length, (f.uy + slope*f.ux) / length}
}

const (
	// sameAxis is the angle within which two directions count as one: tracing mends that much.
	sameAxis = 3 * math.Pi / 180
	// maxAxes bounds the directions that are tried.
	maxAxes = 6
)

// axes returns frames along which the axis could run: those of what repeats on the picture, and the part's own long and broad direction.
func (p *part) axes(repeats []repeat) (out []frame) {
	var n, cx, cy float64
	for i, in := range p.mask {
		if in {
			n, cx, cy = n+1, cx+float64(i%p.w*p.step), cy+float64(i/p.w*p.step)
		}
	}
	cx, cy = cx/n, cy/n
	add := func(angle float64) {
		for _, f := range out {
			if math.Abs(math.Remainder(angle-math.Atan2(f.uy, f.ux), math.Pi)) < sameAxis {
				return
			}
		}
		out = append(out, newFrame(cx, cy, angle))
	}
	for _, r := range repeats[:min(len(repeats), maxAxes-2)] {
		add(math.Atan2(r.frame.uy, r.frame.ux))
	}
	// The direction in which the mask is longest is the main axis of its second moments.
	var xx, xy, yy float64
	for i, in := range p.mask {
		if in {
			dx, dy := float64(i%p.w*p.step)-cx, float64(i/p.w*p.step)-cy
			xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
		}
	}
	long := math.Atan2(2*xy, xx-yy) / 2
	add(long)
	add(long + math.Pi/2)
	return out
}
