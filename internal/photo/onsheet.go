package photo

// This file measures a part that lies on the sheet with marks for the camera: outside diameter and pitch in mm.

import (
	"maps"
	"math"
	"slices"

	"tryring/internal/pose"
)

// onSheet is a picture with a sheet in it.
type onSheet struct {
	grey *plane
	view *pose.View
}

// sheetIn finds the sheet in a picture.
func sheetIn(grey *plane) (o onSheet, ok bool) {
	v := pose.See(pose.Grey{Wide: grey.w, High: grey.h, Pix: grey.pix})
	return onSheet{grey, v}, v != nil
}

// drawn is a flat picture of the part, and where it lies in the sheet's frame, in mm.
type drawn struct {
	*plane
	cut cut
	// k is pixels a mm, s0 and t0 the place of the first pixel.
	k, s0, t0 float64
}

// draw draws the picture as a camera would see it that looks straight at a cut, without distortion: from s0 to s1 along it and from
// t0 to t1 across.
func (o onSheet) draw(c cut, k, s0, s1, t0, t1 float64) drawn {
	d := drawn{newPlane(max(16, int((s1-s0)*k)), max(16, int((t1-t0)*k))), c, k, s0, t0}
	sees := o.view.SeesFlat(d.at3(0, 0), Vec{}.Plus(1/k, c.along), Vec{}.Plus(1/k, c.across))
	for y := range d.h {
		for x := range d.w {
			d.pix[y*d.w+x] = float32(o.grey.at(sees(float64(x), float64(y))))
		}
	}
	return d
}

// at3 is the place in space of a pixel.
func (d drawn) at3(x, y float64) Vec { return d.cut.place(d.s0+x/d.k, d.t0+y/d.k) }

// through is the place of the sheet that would be seen through one in space.
func (o onSheet) through(p Vec) (x, y float64) {
	d := p.Plus(-1, o.view.At)
	q := o.view.At.Plus(-o.view.At[2]/math.Min(d[2], -1e-9), d)
	return q[0], q[1]
}

// pixelsPerMM is how many pixels of the picture a mm has at a place, square to the view.
func (o onSheet) pixelsPerMM(p Vec) float64 {
	d := p.Plus(-1, o.view.At)
	return o.view.Focal / math.Sqrt(pose.Dot(d, d))
}

const (
	// facingMM is the half width of the picture in which the thread is looked for, guessMM how high its axis is taken to lie.
	facingMM, guessMM = 62.0, 15.0
	// cell is the size of the cells, in pixels, in which stripes are looked for.
	cell = 8
	// noisy is how much more than usual brightness changes across stripes, striped how much more than along them.
	noisy, striped = 1.6, 1.35
)

// stripes finds the thread by its crests on the face: a patch where brightness changes along one direction far more than across it. It
// returns a guess of the cylinder, how far the thread reaches along its axis from the middle, and false where there is none.
func (o onSheet) stripes() (c cylinder, reach float64, ok bool) {
	middle := Vec{0, pose.PlaceMM, guessMM}
	toEye := o.view.At.Plus(-1, middle).Unit()
	along := Vec{math.Copysign(1, -toEye[1]), 0, 0} // up is up on the picture
	along = along.Plus(-pose.Dot(along, toEye), toEye).Unit()
	facing := cut{middle: middle, along: along, across: pose.Cross(along, toEye)}
	d := o.draw(facing, o.pixelsPerMM(middle), -facingMM, facingMM, -facingMM, facingMM)
	w, h := d.w/cell, d.h/cell
	type tensor struct{ xx, xy, yy float64 }
	cells := make([]tensor, w*h)
	for j := range h {
		for i := range w {
			x, y := o.through(d.at3(float64(i*cell+cell/2), float64(j*cell+cell/2)))
			words := o.view.At[1] < 0 && y < pose.WordsToMM+2 && y > pose.FreeFromMM && math.Abs(x) < pose.FreeWideMM // in front of the part
			if words || slices.ContainsFunc(o.view.Marks, func(m pose.Match) bool { return math.Hypot(x-m.Mark.X, y-m.Mark.Y) < pose.RadiusMM+2 }) {
				continue
			}
			t := &cells[j*w+i]
			for y := max(2, j*cell); y < min(d.h-2, (j+1)*cell); y++ {
				for x := max(2, i*cell); x < min(d.w-2, (i+1)*cell); x++ {
					gx := float64(d.pix[y*d.w+x+1]-d.pix[y*d.w+x-1]) / 2
					gy := float64(d.pix[(y+1)*d.w+x]-d.pix[(y-1)*d.w+x]) / 2
					t.xx, t.xy, t.yy = t.xx+gx*gx, t.xy+gx*gy, t.yy+gy*gy
				}
			}
		}
	}
	// Each with its neighbours; most cells are paper, which changes by noise alone and in all directions alike.
	patch := &part{w: w, h: h, step: cell, mask: make([]bool, w*h)}
	var all tensor
	var noise []float64
	near := make([]tensor, w*h)
	for i := range near {
		n := &near[i]
		for y := max(0, i/w-1); y <= min(h-1, i/w+1); y++ {
			for x := max(0, i%w-1); x <= min(w-1, i%w+1); x++ {
				t := cells[y*w+x]
				*n = tensor{n.xx + t.xx, n.xy + t.xy, n.yy + t.yy}
			}
		}
		noise = append(noise, n.xx+n.yy)
	}
	floor := noisy * median(noise) / 2
	for i, n := range near {
		patch.mask[i] = n.xx > floor && n.xx > striped*n.yy && cells[i].xx > 0
	}
	patch.close()
	patch.keepLargest()
	if patch.area < 12 {
		return c, 0, false
	}
	for i, in := range patch.mask {
		if in && cells[i].xx > cells[i].yy {
			all = tensor{all.xx + cells[i].xx, all.xy + cells[i].xy, all.yy + cells[i].yy}
		}
	}
	angle := math.Atan2(2*all.xy, all.xx-all.yy) / 2
	f := frame{0, 0, math.Cos(angle), math.Sin(angle)}
	var ss, ts []float64
	for j := range h {
		for i := range w {
			if patch.mask[j*w+i] {
				s, t := f.to((float64(i)+0.5)*cell, (float64(j)+0.5)*cell)
				ss, ts = append(ss, s), append(ts, t)
			}
		}
	}
	s0, s1 := spanOf(ss, ts)
	t0, t1 := spanOf(ts, ss)
	var touches []touch
	for i, q := range [4][2]float64{{s0, t0}, {s1, t0}, {s0, t1}, {s1, t1}} {
		x, y := f.at(q[0], q[1])
		touches = append(touches, touch{o.view.At, d.at3(x, y).Plus(-1, o.view.At).Unit(), i > 1, 1})
	}
	// The axis, about half the part's height over the sheet.
	half := (t1 - t0) / 2 / d.k
	x, y := f.at((s0+s1)/2, (t0+t1)/2)
	ray, level := d.at3(x, y).Plus(-1, o.view.At), facing.along.Plus(math.Tan(angle), facing.across)
	start := cylinder{o.view.At.Plus((half-o.view.At[2])/ray[2], ray), Vec{level[0], level[1], 0}.Unit(), half}
	c, _, ok = lies(touches, nil, start, 0, usualTilt)
	return c, (s1 - s0) / 2 / d.k, ok
}

// spanOf is from where to where places reach, on the median of the rows in which they lie: shadows and other things beside a part hang on
// few of them.
func spanOf(v, row []float64) (low, high float64) {
	ends := [2]map[int]float64{{}, {}}
	for i, x := range v {
		k := int(math.Floor(row[i] / cell))
		if old, known := ends[0][k]; !known || x < old {
			ends[0][k] = x
		}
		if old, known := ends[1][k]; !known || x > old {
			ends[1][k] = x
		}
	}
	return median(slices.Collect(maps.Values(ends[0]))) - cell/2, median(slices.Collect(maps.Values(ends[1]))) + cell/2
}

// close fills gaps of one pixel in a mask.
func (p *part) close() {
	p.mask = p.neighbours(func(n int) bool { return n > 0 })
	p.mask = p.neighbours(func(n int) bool { return n == 9 })
}
