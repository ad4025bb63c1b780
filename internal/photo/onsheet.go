package photo

// This file measures a part that lies on the sheet with marks for the camera: outside diameter and pitch in mm.

import (
	"math"
	"slices"

	"tryring/internal/pose"
)

// onSheet is a picture with a sheet in it.
type onSheet struct {
	grey *plane
	view *pose.View
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

// printed tells whether a place of a drawn picture, or what would be seen through it on the sheet, is printed on: marks with a margin, words
// and arrows.
func (o onSheet) printed(p Vec, marginMM float64) bool {
	d := p.Plus(-1, o.view.At)
	if d[2] >= -1e-9 {
		return false
	}
	q := o.view.At.Plus(-o.view.At[2]/d[2], d)
	if math.Abs(q[0]) < pose.FreeWideMM && q[1] > pose.FreeFromMM && q[1] < pose.FreeToMM {
		return q[1] < pose.WordsToMM+marginMM || math.Abs(q[0]) > pose.FreeWideMM-12 && math.Abs(q[1]-pose.PlaceMM) < 2+marginMM
	}
	return pose.Printed(q[0], q[1], marginMM)
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
)

// stripes finds the thread by its crests on the face: a patch where brightness changes along one direction far more than across it. It
// returns a guess of the cylinder, how far the thread reaches along its axis from the middle, and false where there is none.
func (o onSheet) stripes() (c cylinder, reach float64, ok bool) {
	middle := Vec{0, pose.PlaceMM, guessMM}
	toEye := o.view.At.Plus(-1, middle).Unit()
	along := Vec{1, 0, 0}
	along = along.Plus(-pose.Dot(along, toEye), toEye).Unit()
	facing := cut{middle: middle, along: along, across: pose.Cross(along, toEye)}
	d := o.draw(facing, o.pixelsPerMM(middle), -facingMM, facingMM, -facingMM, facingMM)
	w, h := d.w/cell, d.h/cell
	type tensor struct{ xx, xy, yy float64 }
	cells := make([]tensor, w*h)
	for j := range h {
		for i := range w {
			if o.printed(d.at3(float64(i*cell+cell/2), float64(j*cell+cell/2)), 2) {
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
	// Where most of the change goes.
	var all tensor
	var strong []float64
	for _, t := range cells {
		strong = append(strong, t.xx)
	}
	slices.Sort(strong)
	floor := math.Max(0.12*strong[len(strong)*98/100], cell*cell*4)
	patch := &part{w: w, h: h, step: cell, mask: make([]bool, w*h)}
	for i, t := range cells {
		patch.mask[i] = t.xx > floor && t.xx > 1.2*t.yy
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
	s0, s1 := spanOf(ss)
	t0, t1 := spanOf(ts)
	rays := [4]Vec{}
	for i, q := range [4][2]float64{{s0, t0}, {s1, t0}, {s0, t1}, {s1, t1}} {
		x, y := f.at(q[0], q[1])
		rays[i] = d.at3(x, y).Plus(-1, o.view.At).Unit()
	}
	half := (t1 - t0) / 2 / d.k
	// The axis, about half the part's height over the sheet.
	on := func(s, t float64) Vec {
		x, y := f.at(s, t)
		ray := d.at3(x, y).Plus(-1, o.view.At)
		return o.view.At.Plus((half-o.view.At[2])/ray[2], ray)
	}
	a, b := on(s0, (t0+t1)/2), on(s1, (t0+t1)/2)
	if q := b.Plus(-1, a); pose.Dot(q, q) < 1 {
		return c, 0, false
	}
	start := cylinder{a.Plus(0.5, b.Plus(-1, a)), b.Plus(-1, a).Unit(), half}
	return start, (s1 - s0) / 2 / d.k, true
}

// spanOf is where all but a fiftieth at each end lie.
func spanOf(v []float64) (low, high float64) {
	slices.Sort(v)
	return v[len(v)/50], v[len(v)-1-len(v)/50]
}

// close fills gaps of one pixel in a mask.
func (p *part) close() {
	p.mask = p.neighbours(func(n int) bool { return n > 0 })
	p.mask = p.neighbours(func(n int) bool { return n == 9 })
}
