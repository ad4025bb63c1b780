package photo

// This file holds the picture in shades of grey, upright and of a workable size.

import (
	"image"
	"image/color"
	"math"
)

// workSide is the longest side of the working picture in pixels: fine enough for 32 crests to the inch on a part of 90 mm
// that fills the frame (11 pixels a pitch), and small enough to work fast.
const workSide = 2600

// size is that of a picture, in pixels.
type size struct{ w, h int }

func (z size) middle() (x, y float64) { return float64(z.w-1) / 2, float64(z.h-1) / 2 }

func (z size) diagonal() float64 { return math.Hypot(float64(z.w), float64(z.h)) }

// plane is a grey picture; values run from 0 to 255.
type plane struct {
	size
	pix []float32
}

func newPlane(w, h int) *plane { return &plane{size{w, h}, make([]float32, w*h)} }

// at returns the value between pixels (bilinear), and that of the nearest edge outside.
func (p *plane) at(x, y float64) float64 {
	x = math.Min(math.Max(x, 0), float64(p.w-1))
	y = math.Min(math.Max(y, 0), float64(p.h-1))
	i, j := min(int(x), p.w-2), min(int(y), p.h-2)
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	a, b := p.pix[j*p.w+i:], p.pix[(j+1)*p.w+i:]
	top, bottom := a[0]+(a[1]-a[0])*fx, b[0]+(b[1]-b[0])*fx
	return float64(top + (bottom-top)*fy)
}

// inside tells whether a point lies on the picture with a margin.
func (p *plane) inside(x, y, margin float64) bool {
	return x >= margin && y >= margin && x <= float64(p.w-1)-margin && y <= float64(p.h-1)-margin
}

// shrunk averages blocks of k by k pixels; a rest at the right and lower edge is left out.
func (p *plane) shrunk(k int) *plane {
	if k <= 1 {
		return p
	}
	out := newPlane(max(2, p.w/k), max(2, p.h/k))
	for y := range out.h {
		for x := range out.w {
			var sum float32
			for j := y * k; j < (y+1)*k && j < p.h; j++ {
				for i := x * k; i < (x+1)*k && i < p.w; i++ {
					sum += p.pix[j*p.w+i]
				}
			}
			out.pix[y*out.w+x] = sum / float32(k*k)
		}
	}
	return out
}

// work returns the upright grey picture shrunk to at most workSide, and by how much.
func (p *Picture) work() (grey *plane, shrink int) {
	b := p.Image.Bounds()
	shrink = max(1, (max(b.Dx(), b.Dy())+workSide-1)/workSide)
	w, h := b.Dx()/shrink, b.Dy()/shrink
	grey = newPlane(w, h)
	row := make([]uint8, b.Dx())
	sums := make([]uint32, w)
	for y := range h {
		clear(sums)
		for j := range shrink {
			greyRow(p.Image, b.Min.Y+y*shrink+j, row)
			for x := range sums {
				for _, v := range row[x*shrink : (x+1)*shrink] {
					sums[x] += uint32(v)
				}
			}
		}
		out := grey.pix[y*w : (y+1)*w]
		for x, s := range sums {
			out[x] = float32(s) / float32(shrink*shrink)
		}
	}
	return turned(grey, p.turn), shrink
}

// tints returns the upright picture's blue and red difference (ITU-T T.871, as JPEG has them) on planes of half the working size. Both stand
// at 128 where there is no colour.
func (p *Picture) tints(shrink int) (blue, red *plane) {
	b, k := p.Image.Bounds(), 2*shrink
	blue, red = newPlane(max(2, b.Dx()/k), max(2, b.Dy()/k)), newPlane(max(2, b.Dx()/k), max(2, b.Dy()/k))
	own, ok := p.Image.(*image.YCbCr)
	for y := range blue.h {
		for x := range blue.w {
			i, j := b.Min.X+min(x*k+shrink, b.Dx()-1), b.Min.Y+min(y*k+shrink, b.Dy()-1)
			at := y*blue.w + x
			if ok {
				c := own.COffset(i, j)
				blue.pix[at], red.pix[at] = float32(own.Cb[c]), float32(own.Cr[c])
				continue
			}
			r, g, v, _ := p.Image.At(i, j).RGBA()
			_, u, w := color.RGBToYCbCr(uint8(r>>8), uint8(g>>8), uint8(v>>8))
			blue.pix[at], red.pix[at] = float32(u), float32(w)
		}
	}
	return turned(blue, p.turn), turned(red, p.turn)
}

// light is a picture seen through a filter, in which part and ground differ the most.
type light struct {
	*plane
	blue, red  *plane
	y, b, r, c float64
}

// at returns the value between pixels of the working picture.
func (l *light) at(x, y float64) float64 {
	v := l.c + l.y*l.plane.at(x, y)
	if l.b != 0 || l.r != 0 {
		v += l.b*l.blue.at(x/2-0.25, y/2-0.25) + l.r*l.red.at(x/2-0.25, y/2-0.25)
	}
	return v
}

// greyRow writes row y of m in grey, 0 to 255. What is transparent counts as lying on white.
func greyRow(m image.Image, y int, out []uint8) {
	b := m.Bounds()
	switch m := m.(type) {
	case *image.YCbCr:
		copy(out, m.Y[m.YOffset(b.Min.X, y):][:b.Dx()])
	case *image.Gray:
		copy(out, m.Pix[m.PixOffset(b.Min.X, y):][:b.Dx()])
	case *image.RGBA: // an opaque PNG
		for x, i := 0, m.PixOffset(b.Min.X, y); x < len(out); x, i = x+1, i+4 {
			r, g, c, white := uint32(m.Pix[i]), uint32(m.Pix[i+1]), uint32(m.Pix[i+2]), 255-uint32(m.Pix[i+3])
			out[x] = uint8(min(255, (299*r+587*g+114*c)/1000+white))
		}
	case image.RGBA64Image: // all others of the standard library; this way no colour is put on the heap
		for x := range out {
			c := m.RGBA64At(b.Min.X+x, y)
			out[x] = greyOf(uint32(c.R), uint32(c.G), uint32(c.B), uint32(c.A))
		}
	default:
		for x := range out {
			out[x] = greyOf(m.At(b.Min.X+x, y).RGBA())
		}
	}
}

// greyOf weighs the colours as ITU-R BT.601 does, like JPEG's own luma.
func greyOf(r, g, b, a uint32) uint8 {
	white := 0xffff - a
	return uint8((299*(r+white) + 587*(g+white) + 114*(b+white)) / 1000 >> 8)
}

// upright maps pixel (x, y) of the upright picture of size w by h to where it is stored, for an EXIF orientation.
func upright(turn, x, y, w, h int) (i, j int) {
	switch turn {
	case 2:
		return w - 1 - x, y
	case 3:
		return w - 1 - x, h - 1 - y
	case 4:
		return x, h - 1 - y
	case 5:
		return y, x
	case 6: // stored on its left side: turned right for viewing
		return y, w - 1 - x
	case 7:
		return h - 1 - y, w - 1 - x
	case 8:
		return h - 1 - y, x
	}
	return x, y
}

// turned returns p upright.
func turned(p *plane, turn int) *plane {
	if turn <= 1 {
		return p
	}
	w, h := p.w, p.h
	if turn >= 5 {
		w, h = h, w
	}
	out := newPlane(w, h)
	for y := range h {
		for x := range w {
			i, j := upright(turn, x, y, w, h)
			out.pix[y*w+x] = p.pix[j*p.w+i]
		}
	}
	return out
}
