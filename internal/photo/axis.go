package photo

// This file says along which lines the part's axis could run.

import (
	"cmp"
	"math"
	"slices"
)

// point is a place on the working picture.
type point struct{ x, y float64 }

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

const (
	// sameAxis is the angle within which two directions count as one: tracing mends that much.
	sameAxis = 3 * math.Pi / 180
	// maxAxes bounds the directions that are tried.
	maxAxes = 6
)

// axes returns frames along which the axis could run. The two crest lines are long straight sides of the part's convex
// hull, and what is square to it (end faces, collars) lies across them; the part's own long and broad direction come after.
func (p *part) axes() []frame {
	border := p.border()
	hull := convexHull(border)
	var cx, cy float64
	for _, q := range border {
		cx += q.x / float64(len(border))
		cy += q.y / float64(len(border))
	}
	// Sides of the hull vote for their direction, taken modulo a right angle.
	const bins = 90
	var votes [bins]float64
	for i, q := range hull {
		r := hull[(i+1)%len(hull)]
		angle := math.Mod(math.Atan2(r.y-q.y, r.x-q.x)+2*math.Pi, math.Pi/2)
		at := int(angle / (math.Pi / 2) * bins)
		length := math.Hypot(r.x-q.x, r.y-q.y)
		for k, share := range []float64{0.5, 1, 0.5} {
			votes[(at+k-1+bins)%bins] += share * length
		}
	}
	var angles []float64
	add := func(a float64) {
		for _, b := range angles {
			if d := math.Mod(a-b+10*math.Pi, math.Pi); math.Min(d, math.Pi-d) < sameAxis {
				return
			}
		}
		angles = append(angles, a)
	}
	order := make([]int, bins)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(votes[b], votes[a]) })
	long := p.longDirection(cx, cy)
	for _, i := range order[:2] {
		a := (float64(i) + 0.5) / bins * math.Pi / 2
		add(a)
		add(a + math.Pi/2)
	}
	add(long)
	add(long + math.Pi/2)
	var out []frame
	for _, a := range angles[:min(len(angles), maxAxes)] {
		out = append(out, newFrame(cx, cy, a))
	}
	return out
}

// border returns the part's outermost pixels of every row and column, on the working picture.
func (p *part) border() []point {
	var out []point
	place := func(x, y int) point {
		half := float64(p.step-1) / 2
		return point{float64(x*p.step) + half, float64(y*p.step) + half}
	}
	for y := range p.h {
		row := p.mask[y*p.w : (y+1)*p.w]
		if first := slices.Index(row, true); first >= 0 {
			last := p.w - 1
			for !row[last] {
				last--
			}
			out = append(out, place(first, y), place(last, y))
		}
	}
	return out
}

// longDirection is the direction in which the part's mask is longest (the main axis of its second moments).
func (p *part) longDirection(cx, cy float64) float64 {
	var xx, xy, yy float64
	for y := range p.h {
		for x := range p.w {
			if p.mask[y*p.w+x] {
				dx, dy := float64(x*p.step)-cx, float64(y*p.step)-cy
				xx, xy, yy = xx+dx*dx, xy+dx*dy, yy+dy*dy
			}
		}
	}
	return math.Atan2(2*xy, xx-yy) / 2
}

// convexHull returns the corners of the hull in order (Andrew's monotone chain).
func convexHull(points []point) []point {
	p := slices.Clone(points)
	slices.SortFunc(p, func(a, b point) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y)) })
	half := func() []point {
		var h []point
		for _, q := range p {
			for len(h) > 1 && cross(h[len(h)-2], h[len(h)-1], q) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, q)
		}
		return h[:len(h)-1]
	}
	lower := half()
	slices.Reverse(p)
	return append(lower, half()...)
}

func cross(o, a, b point) float64 { return (a.x-o.x)*(b.y-o.y) - (a.y-o.y)*(b.x-o.x) }
