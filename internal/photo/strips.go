package photo

// This file draws both edges enlarged, with every crest's number, under the picture on which they were counted.

import (
	"fmt"
	"image"
	"math"

	"golang.org/x/image/draw"
	"golang.org/x/image/font/basicfont"
)

const (
	// stripPeriod is the least distance of crests on a strip in pixels, stripHigh its height, stripLow how far under its upper side crests stand.
	stripPeriod, stripHigh, stripLow = 34.0, 110, 50
	// large is by how much numbers on strips are enlarged.
	large = 2
)

// withStrips returns the picture with both edges enlarged under it.
func withStrips(out *image.NRGBA, p *Picture, r *Result) *image.NRGBA {
	width := out.Bounds().Dx()
	var strips []*image.NRGBA
	for i, o := range r.Outlines {
		zoom := math.Max(stripPeriod, 0.2*stripHigh) / o.PeriodPixels
		across := max(1, int(float64(width-40)/(zoom*o.PeriodPixels)))
		for from := 0; from < len(o.Crests); from += across {
			strips = append(strips, p.strip(o, r.Outlines[len(r.Outlines)-1-i], from, min(from+across, len(o.Crests)), width, zoom, r))
		}
	}
	full := image.NewNRGBA(image.Rect(0, 0, width, out.Bounds().Dy()+len(strips)*(stripHigh+4)))
	draw.Draw(full, full.Bounds(), image.White, image.Point{}, draw.Src)
	draw.Draw(full, out.Bounds(), out, image.Point{}, draw.Src)
	for i, s := range strips {
		draw.Draw(full, s.Bounds().Add(image.Pt(0, out.Bounds().Dy()+4+i*(stripHigh+4))), s, image.Point{}, draw.Src)
	}
	return full
}

// strip is an edge with some of its crests, their row lying from left to right and the outside above.
func (p *Picture) strip(o, other Outline, from, to, width int, zoom float64, r *Result) *image.NRGBA {
	out := image.NewNRGBA(image.Rect(0, 0, width, stripHigh))
	length := math.Hypot(o.LineTo.X-o.LineFrom.X, o.LineTo.Y-o.LineFrom.Y)
	ex, ey := (o.LineTo.X-o.LineFrom.X)/length, (o.LineTo.Y-o.LineFrom.Y)/length
	ax, ay := -ey, ex // out of the part, square to the edge
	if x, y := o.Away(other); x*ax+y*ay < 0 {
		ax, ay = -ax, -ay
	}
	first := o.Crests[from]
	b := p.Image.Bounds()
	for y := range stripHigh {
		for x := range width {
			s, t := (float64(x)-20)/zoom, (stripLow-float64(y))/zoom
			u, v := int(math.Round(first.X+s*ex+t*ax)), int(math.Round(first.Y+s*ey+t*ay))
			if u < 0 || v < 0 || u >= r.Width || v >= r.Height {
				continue
			}
			i, j := upright(p.turn, u, v, r.Width, r.Height)
			out.Set(x, y, p.Image.At(b.Min.X+min(i, b.Dx()-1), b.Min.Y+min(j, b.Dy()-1)))
		}
	}
	for k := from; k < to; k++ {
		c := o.Crests[k]
		x := 20 + ((c.X-first.X)*ex+(c.Y-first.Y)*ey)*zoom
		y := stripLow - ((c.X-first.X)*ax+(c.Y-first.Y)*ay)*zoom
		stroke(out, x, y-1, x, y-12, 1, crestColour)
		dot(out, x, y, 2.5, crestColour)
		largeNumber(out, int(x), int(y)-14, fmt.Sprint(k+1))
	}
	write(out, 4, stripHigh-5, basicfont.Face7x13.Advance*len(o.Side+" edge"), o.Side+" edge")
	return out
}

// largeNumber writes a number above a place, so large that a phone shows it.
func largeNumber(out draw.Image, x, base int, text string) {
	face := basicfont.Face7x13
	w, h := face.Advance*len(text), face.Ascent
	small := image.NewNRGBA(image.Rect(0, 0, w, h))
	write(small, 0, h-1, w, text)
	draw.NearestNeighbor.Scale(out, image.Rect(x-large*w/2, base-large*h, x-large*w/2+large*w, base), small, small.Bounds(), draw.Over, nil)
}
