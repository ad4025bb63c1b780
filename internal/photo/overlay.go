package photo

// This file draws what was counted over the picture, so that a person can check it by eye.

import (
	"fmt"
	"image"
	"image/color"
	"math"

	"golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

const (
	// overlaySide is the longest side of the overlay at which the picture is shrunk.
	overlaySide = 1600
	// crowded is the distance of crests in overlay pixels below which every other number is left out, and so on.
	crowded = 15
	// numberAway is how far beside its crest a number stands, in pixels.
	numberAway = 16
)

var (
	crestColour  = color.NRGBA{0xc8, 0x1e, 0x5a, 0xff}
	lineColour   = color.NRGBA{0x12, 0x7a, 0x8c, 0xff}
	numberColour = color.NRGBA{0x20, 0x20, 0x20, 0xff}
	tracedColour = color.NRGBA{0xe8, 0x9a, 0x10, 0xff}
	plateColour  = color.NRGBA{0xff, 0xff, 0xff, 0xd8}
)

// Overlay returns the upright picture with the edges that were followed, every full crest marked and numbered, crest lines and root lines, and
// a title; with an answer both edges enlarged under it.
func Overlay(p *Picture, r *Result) image.Image {
	scale := math.Min(1, overlaySide/float64(max(r.Width, r.Height)))
	out := p.uprightImage(int(float64(r.Width)*scale), int(float64(r.Height)*scale))
	at := func(m Mark) (x, y float64) { return (m.X+0.5)*scale - 0.5, (m.Y+0.5)*scale - 0.5 }
	for _, line := range r.Traced {
		for i := 1; i < len(line); i++ {
			x0, y0 := at(line[i-1])
			x1, y1 := at(line[i])
			stroke(out, x0, y0, x1, y1, 1, tracedColour)
		}
	}
	for _, o := range r.Outlines {
		for _, l := range [][2]Mark{{o.LineFrom, o.LineTo}, {o.RootFrom, o.RootTo}} {
			x0, y0 := at(l[0])
			x1, y1 := at(l[1])
			stroke(out, x0, y0, x1, y1, 1, lineColour)
		}
	}
	for i, o := range r.Outlines {
		// Numbers stand outward: away from the other outline.
		other := r.Outlines[len(r.Outlines)-1-i]
		nx, ny := o.Away(other)
		every := max(1, int(math.Ceil(crowded/(o.PeriodPixels*scale))))
		for k, c := range o.Crests {
			x, y := at(c)
			long := 5.0
			if numbered := k == 0 || k == len(o.Crests)-1 || (k+1)%every == 0; numbered {
				long = numberAway - 6
				if k == len(o.Crests)-1 || k == 0 || len(o.Crests)-1-k >= every {
					number(out, x+nx*numberAway, y+ny*numberAway, nx, fmt.Sprint(k+1))
				}
			}
			stroke(out, x+nx, y+ny, x+nx*long, y+ny*long, 1, crestColour)
			dot(out, x, y, 2.5, crestColour)
		}
	}
	title(out, r.title())
	if r.Answered {
		return withStrips(out, p, r)
	}
	return out
}

// title says the answer in a line.
func (r *Result) title() string {
	if !r.Answered && len(r.Refusals) > 0 {
		return "No answer: " + r.Refusals[0].Why
	}
	return fmt.Sprintf("%d full crests; %s", r.Crests(), r.Words())
}

// uprightImage returns the picture turned upright, at the given size.
func (p *Picture) uprightImage(w, h int) *image.NRGBA {
	w, h = max(1, w), max(1, h)
	sw, sh := w, h
	if p.turn >= 5 {
		sw, sh = h, w
	}
	small := image.NewNRGBA(image.Rect(0, 0, sw, sh))
	draw.Draw(small, small.Bounds(), image.White, image.Point{}, draw.Src)
	draw.ApproxBiLinear.Scale(small, small.Bounds(), p.Image, p.Image.Bounds(), draw.Over, nil)
	if p.turn <= 1 {
		return small
	}
	out := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			i, j := upright(p.turn, x, y, w, h)
			out.SetNRGBA(x, y, small.NRGBAAt(i, j))
		}
	}
	return out
}

// stroke draws a straight line of the given width.
func stroke(out draw.Image, x0, y0, x1, y1, width float64, c color.Color) {
	length := math.Hypot(x1-x0, y1-y0)
	if length < 1e-9 || math.IsNaN(length) {
		return
	}
	dx, dy := (x1-x0)/length*width/2, (y1-y0)/length*width/2
	fill(out, c, [][2]float64{{x0 - dy, y0 + dx}, {x1 - dy, y1 + dx}, {x1 + dy, y1 - dx}, {x0 + dy, y0 - dx}})
}

// dot draws a filled round.
func dot(out draw.Image, x, y, radius float64, c color.Color) {
	const corners = 12
	var p [][2]float64
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / corners)
		p = append(p, [2]float64{x + radius*cos, y + radius*sin})
	}
	fill(out, c, p)
}

// fill fills a polygon given at pixel middles; only the pixels around it are touched.
func fill(out draw.Image, c color.Color, polygon [][2]float64) {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, p := range polygon {
		for k := range 2 {
			low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], p[k])
		}
	}
	box := image.Rect(int(low[0])-1, int(low[1])-1, int(high[0])+3, int(high[1])+3)
	if box.Intersect(out.Bounds()).Empty() || box.Dx() > 4*overlaySide || box.Dy() > 4*overlaySide {
		return
	}
	raster := vector.NewRasterizer(box.Dx(), box.Dy())
	for i, p := range polygon {
		x, y := float32(p[0]+0.5)-float32(box.Min.X), float32(p[1]+0.5)-float32(box.Min.Y)
		if i == 0 {
			raster.MoveTo(x, y)
		} else {
			raster.LineTo(x, y)
		}
	}
	raster.ClosePath()
	raster.Draw(out, box, image.NewUniform(c), image.Point{})
}

// number writes a number beside a crest, on a plate so that it reads on any ground.
func number(out draw.Image, x, y, nx float64, text string) {
	face := basicfont.Face7x13
	width := face.Advance * len(text)
	left := int(x) - width/2
	if nx > 0.5 {
		left = int(x) - 3
	} else if nx < -0.5 {
		left = int(x) - width + 3
	}
	write(out, left, int(y)+face.Ascent/2-1, width, text)
}

func title(out draw.Image, text string) {
	write(out, 8, out.Bounds().Dy()-10, basicfont.Face7x13.Advance*len(text), text)
}

func write(out draw.Image, left, base, width int, text string) {
	face := basicfont.Face7x13
	draw.Draw(out, image.Rect(left-1, base-face.Ascent+1, left+width+1, base+face.Descent), image.NewUniform(plateColour), image.Point{}, draw.Over)
	d := font.Drawer{Dst: out, Src: image.NewUniform(numberColour), Face: face, Dot: fixed.P(left, base)}
	d.DrawString(text)
}
