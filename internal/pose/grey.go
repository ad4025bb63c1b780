package pose

// This file finds what looks like a mark in a picture: dark discs with holes.

import "math"

// Grey is a picture in shades of grey, 0 to 255, row by row.
type Grey struct {
	Wide, High int
	Pix        []float32
}

// Disc is what looks like a mark.
type Disc struct {
	// X and Y are its middle on the picture, Holes how many it has.
	X, Y  float64
	Holes int
	// xx, xy and yy are the second moments of its face, a quarter of the square of the radius on a circle.
	xx, xy, yy float64
	// Paper is the brightness around it.
	Paper float64
}

const (
	// darker is the share of the brightness around it below which a pixel may be ink.
	darker = 0.72
	// leastAxis is the least half axis of a disc in pixels: with less its holes do not show.
	leastAxis = 3.0
	// mostSlant is the largest ratio of its axes: from 11 degrees over the sheet it is 5.
	mostSlant = 5.0
	// roundTol is by how much a disc's area may differ from that of the ellipse with its moments.
	roundTol = 0.07
	// leastHole is the least share of a disc that a hole has: 0.06 as drawn, less where it is blurred.
	leastHole = 0.012
	// mostOpen is the largest share that all its holes have: 0.19 as drawn.
	mostOpen = 0.35
)

// Discs finds all dark discs with one to three holes.
func (g Grey) Discs() (found []Disc) {
	dark := g.dark()
	seen := make([]bool, len(dark))
	var patch, stack []int32
	for start, in := range dark {
		if !in || seen[start] {
			continue
		}
		patch, stack = patch[:0], append(stack[:0], int32(start))
		seen[start] = true
		edge := false
		for len(stack) > 0 {
			i := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			patch = append(patch, int32(i))
			x, y := i%g.Wide, i/g.Wide
			edge = edge || x == 0 || y == 0 || x == g.Wide-1 || y == g.High-1
			for _, n := range [4][2]int{{x - 1, y}, {x + 1, y}, {x, y - 1}, {x, y + 1}} {
				if n[0] < 0 || n[1] < 0 || n[0] >= g.Wide || n[1] >= g.High {
					continue
				}
				if k := n[1]*g.Wide + n[0]; dark[k] && !seen[k] {
					seen[k] = true
					stack = append(stack, int32(k))
				}
			}
		}
		if n := float64(len(patch)); edge || n < leastAxis*leastAxis*2 || n > float64(len(dark))/100 {
			continue
		}
		if d, ok := g.disc(patch); ok {
			found = append(found, d)
		}
	}
	return found
}

// dark tells the pixels that are darker than what is around them.
func (g Grey) dark() []bool {
	reach := max(g.Wide, g.High)/24 + 1
	out := make([]bool, len(g.Pix))
	columns := make([]float64, g.Wide+1)
	lines := 0
	add := func(y int, sign float64) {
		if y < 0 || y >= g.High {
			return
		}
		lines += int(sign)
		for x, v := range g.Pix[y*g.Wide : (y+1)*g.Wide] {
			columns[x] += sign * float64(v)
		}
	}
	for y := range reach {
		add(y, 1)
	}
	sums := make([]float64, g.Wide+1)
	for y := range g.High {
		add(y+reach, 1)
		add(y-reach-1, -1)
		for x := range g.Wide {
			sums[x+1] = sums[x] + columns[x]
		}
		for x := range g.Wide {
			from, to := max(0, x-reach), min(g.Wide, x+reach+1)
			mean := (sums[to] - sums[from]) / float64((to-from)*lines)
			out[y*g.Wide+x] = float64(g.Pix[y*g.Wide+x]) < darker*mean-2
		}
	}
	return out
}

// disc judges a connected dark patch.
func (g Grey) disc(patch []int32) (d Disc, ok bool) {
	x0, y0, x1, y1 := g.Wide, g.High, 0, 0
	for _, i := range patch {
		x, y := int(i)%g.Wide, int(i)/g.Wide
		x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
	}
	// One pixel of margin all round, so that what is outside hangs together.
	w, h := x1-x0+3, y1-y0+3
	if min(w, h) < 2*leastAxis || float64(max(w, h)) > mostSlant*2*float64(min(w, h)) || w*h > 4*len(patch) {
		return d, false
	}
	const ink, outside = 1, 2
	kind := make([]uint8, w*h)
	for _, i := range patch {
		kind[(int(i)/g.Wide-y0+1)*w+int(i)%g.Wide-x0+1] = ink
	}
	flood := func(start int, as uint8) (n int) {
		stack := []int{start}
		kind[start] = as
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			n++
			x := i % w
			for _, k := range [4]int{i - w, i + w, i - 1, i + 1} {
				if k < 0 || k >= len(kind) || k == i-1 && x == 0 || k == i+1 && x == w-1 || kind[k] != 0 {
					continue
				}
				kind[k] = as
				stack = append(stack, k)
			}
		}
		return n
	}
	face := w*h - flood(0, outside)
	open := face - len(patch)
	var sx, sy, sxx, sxy, syy float64
	for i, k := range kind {
		if k != outside {
			x, y := float64(i%w), float64(i/w)
			sx, sy, sxx, sxy, syy = sx+x, sy+y, sxx+x*x, sxy+x*y, syy+y*y
		}
	}
	n := float64(face)
	sx, sy = sx/n, sy/n
	d = Disc{X: sx + float64(x0-1), Y: sy + float64(y0-1), xx: sxx/n - sx*sx, xy: sxy/n - sx*sy, yy: syy/n - sy*sy}
	wide, narrow := d.axes()
	if narrow < leastAxis || wide > mostSlant*narrow || math.Abs(n/(math.Pi*wide*narrow)-1) > roundTol || float64(open) > mostOpen*n {
		return d, false
	}
	for i, k := range kind {
		if k == 0 && float64(flood(i, 3)) > leastHole*n {
			d.Holes++
		}
	}
	return d, d.Holes >= 1 && d.Holes <= 3 && g.centre(&d)
}

// axes are the half axes of the ellipse with the disc's moments.
func (d Disc) axes() (wide, narrow float64) {
	mean, half := (d.xx+d.yy)/2, math.Hypot((d.xx-d.yy)/2, d.xy)
	return 2 * math.Sqrt(mean+half), 2 * math.Sqrt(math.Max(mean-half, 0))
}

// from is how far a place lies from the disc's middle, in radii of the disc in that direction, as a vector in which the disc is a
// circle.
func (d Disc) from(x, y float64) (u, v float64) {
	// The Cholesky factor of the moments, of which 4 make the square of the radius.
	a := math.Sqrt(d.xx)
	b := d.xy / a
	c := math.Sqrt(math.Max(d.yy-b*b, 1e-9))
	x, y = x-d.X, y-d.Y
	u = x / a
	return u / 2, (y - b*u) / c / 2
}

// centre finds the middle to a small part of a pixel: each pixel counts by how much of it is ink, and the holes as ink.
func (g Grey) centre(d *Disc) bool {
	const inner, outer, groundFrom, groundTo = 0.72, 1.3, 1.4, 1.8
	for range 2 {
		wide, _ := d.axes()
		reach := int(wide*groundTo) + 2
		x0, x1 := int(d.X)-reach, int(d.X)+reach
		y0, y1 := int(d.Y)-reach, int(d.Y)+reach
		var ground, n float64
		ink := 255.0
		visit := func(do func(at, x, y, v float64)) {
			for y := max(0, y0); y <= min(g.High-1, y1); y++ {
				for x := max(0, x0); x <= min(g.Wide-1, x1); x++ {
					u, v := d.from(float64(x), float64(y))
					do(math.Hypot(u, v), float64(x), float64(y), float64(g.Pix[y*g.Wide+x]))
				}
			}
		}
		visit(func(at, _, _, v float64) {
			switch {
			case at > groundFrom && at < groundTo:
				ground += v
				n++
			case at < 1:
				ink = math.Min(ink, v)
			}
		})
		if n < 8 || ground/n < ink+12 {
			return false
		}
		ground /= n
		var sum, sx, sy float64
		visit(func(at, x, y, v float64) {
			if at > outer {
				return
			}
			share := 1.0
			if at > inner {
				share = math.Min(math.Max((ground-v)/(ground-ink), 0), 1)
			}
			sum, sx, sy = sum+share, sx+share*x, sy+share*y
		})
		d.X, d.Y, d.Paper = sx/sum, sy/sum, ground
	}
	return true
}
