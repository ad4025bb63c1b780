package photo

// This file finds the part against its ground.

import (
	"math"
	"slices"
)

const (
	// groundSide is the longest side, in pixels, of the picture on which the ground is fitted; it changes slowly.
	groundSide = 160
	// maskSide is that on which part and ground are told apart.
	maskSide = 800
	// rim is the share of the picture's sides along which the ground is looked for first.
	rim = 0.06
	// leastContrast is the least difference of part and ground, in grey levels: below it shadow and noise are as strong.
	leastContrast = 25
	// leastArea is the least share of the picture that the part must fill.
	leastArea = 0.01
)

// surface is the ground's brightness, a polynomial of second degree in x and y from -1 to 1 over the picture.
type surface [6]float64

func (s surface) at(x, y float64) float64 {
	return s[0] + s[1]*x + s[2]*y + s[3]*x*x + s[4]*x*y + s[5]*y*y
}

// fitSurface fits the pixels for which use is true, and leaves out what strays (Tukey's biweight).
func fitSurface(p *plane, use func(x, y int) bool) (s surface, ok bool) {
	type point struct{ x, y, v float64 }
	var points []point
	var values []float64
	for y := range p.h {
		for x := range p.w {
			if use(x, y) {
				v := float64(p.pix[y*p.w+x])
				points = append(points, point{scaled(x, p.w), scaled(y, p.h), v})
				values = append(values, v)
			}
		}
	}
	if len(points) < 50 {
		return s, false
	}
	s[0] = median(values)
	residuals := make([]float64, len(points))
	for range 8 {
		for i, q := range points {
			residuals[i] = math.Abs(q.v - s.at(q.x, q.y))
		}
		spread := math.Max(1, 1.4826*median(residuals)) // a normal deviation is 1.4826 times the median one
		fit := newLeastSquares(len(s))
		for _, q := range points {
			if u := (q.v - s.at(q.x, q.y)) / (5 * spread); math.Abs(u) < 1 {
				fit.add(square(1-u*u), q.v, 1, q.x, q.y, q.x*q.x, q.x*q.y, q.y*q.y)
			}
		}
		for i := range s {
			var flat surface
			flat[i] = 1
			fit.add(1e-3, 0, flat[:]...) // keeps a direction that the pixels leave open flat
		}
		c, ok := fit.solve()
		if !ok {
			return s, false
		}
		s = surface(c)
	}
	return s, true
}

func scaled(i, n int) float64 { return 2*float64(i)/float64(n-1) - 1 }

// part is what stands out from the ground: the largest connected patch.
type part struct {
	w, h int
	// step is the size of a pixel of the mask in pixels of the working picture.
	step int
	mask []bool
	area int
	// contrast is the mean difference to the ground in grey levels, above 0 for a part darker than its ground.
	// It is 0 where that is not known.
	contrast float64
	// frame is along the axis, as far as it is known; period is that of the ripple on the face, and band how far from the mask's edge an edge
	// is looked for, in pixels of the working picture; 0 where that is not known.
	frame  *frame
	period float64
	band   int
	// blue and red are the picture's tints, nil where they are not looked at; clear is how much clearer the face repeats than the ground.
	blue, red *plane
	clear     float64
}

// findPart tells part and ground apart. A nil part comes with the reason.
func findPart(grey *plane) (*part, string) {
	small := grey.shrunk((max(grey.w, grey.h) + groundSide - 1) / groundSide)
	band := max(2, int(rim*float64(min(small.w, small.h))))
	ground, ok := fitSurface(small, func(x, y int) bool {
		return x < band || y < band || x >= small.w-band || y >= small.h-band
	})
	if !ok {
		return nil, "there is no even ground around the part"
	}
	// Once more with all that is close to this ground, so that it holds in the middle too.
	fitted, ok := fitSurface(small, func(x, y int) bool {
		return math.Abs(float64(small.pix[y*small.w+x])-ground.at(scaled(x, small.w), scaled(y, small.h))) < leastContrast
	})
	if ok {
		ground = fitted
	}
	step := (max(grey.w, grey.h) + maskSide - 1) / maskSide
	m := grey.shrunk(step)
	off := make([]float64, len(m.pix))
	var counts [256]int
	for y := range m.h {
		for x := range m.w {
			d := ground.at(scaled(x, m.w), scaled(y, m.h)) - float64(m.pix[y*m.w+x])
			off[y*m.w+x] = d
			counts[min(255, int(math.Abs(d)))]++
		}
	}
	threshold := math.Max(otsu(counts), leastContrast/2)
	p := &part{w: m.w, h: m.h, step: step, mask: make([]bool, len(off))}
	for i, d := range off {
		p.mask[i] = math.Abs(d) > threshold
	}
	p.open()
	p.keepLargest()
	for i, in := range p.mask {
		if in {
			p.contrast += off[i] / float64(p.area)
		}
	}
	switch {
	case float64(p.area) < leastArea*float64(len(p.mask)):
		return nil, "nothing stands out from the ground"
	case math.Abs(p.contrast) < leastContrast:
		return nil, "the part hardly stands out from the ground"
	}
	return p, ""
}

// otsu returns the grey level that parts a histogram into two groups of least variance.
func otsu(counts [256]int) float64 {
	var n, sum float64
	for v, c := range counts {
		n += float64(c)
		sum += float64(v * c)
	}
	var below, belowSum, best, at float64
	for v, c := range counts {
		below += float64(c)
		belowSum += float64(v * c)
		above := n - below
		if below < 1 || above < 1 {
			continue
		}
		d := belowSum/below - (sum-belowSum)/above
		if between := below * above * d * d; between > best {
			best, at = between, float64(v)+1
		}
	}
	return at
}

// open takes away what is narrower than three pixels: hair, scratches, noise.
func (p *part) open() {
	p.mask = p.neighbours(func(n int) bool { return n == 9 })
	p.mask = p.neighbours(func(n int) bool { return n > 0 })
}

func (p *part) neighbours(keep func(n int) bool) []bool {
	out := make([]bool, len(p.mask))
	for y := 1; y < p.h-1; y++ {
		for x := 1; x < p.w-1; x++ {
			n := 0
			for j := y - 1; j <= y+1; j++ {
				for _, in := range p.mask[j*p.w+x-1 : j*p.w+x+2] {
					if in {
						n++
					}
				}
			}
			out[y*p.w+x] = keep(n)
		}
	}
	return out
}

// keepLargest leaves the largest connected patch.
func (p *part) keepLargest() {
	label := make([]int32, len(p.mask))
	var stack []int
	var best, bestArea, next int32
	for start, in := range p.mask {
		if !in || label[start] != 0 {
			continue
		}
		next++
		label[start] = next
		stack = append(stack[:0], start)
		var area int32
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			area++
			// The mask is empty along the picture's edge (open leaves it so), which keeps neighbours in range.
			for _, k := range [4]int{i - 1, i + 1, i - p.w, i + p.w} {
				if p.mask[k] && label[k] == 0 {
					label[k] = next
					stack = append(stack, k)
				}
			}
		}
		if area > bestArea {
			best, bestArea = next, area
		}
	}
	for i := range p.mask {
		p.mask[i] = p.mask[i] && label[i] == best
	}
	p.area = int(bestArea)
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	s := slices.Clone(v)
	slices.Sort(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}
