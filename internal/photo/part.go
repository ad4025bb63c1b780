package photo

// This file holds the patch of a picture on which a part lies.

import (
	"math"
	"slices"
)

// leastContrast is the least difference of part and ground, in grey levels, at an edge that the mask alone tells.
const leastContrast = 25

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

// neighbours is the mask of pixels for which keep holds of how many of the nine about and on them are in it.
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

func scaled(i, n int) float64 { return 2*float64(i)/float64(n-1) - 1 }
