package photo

// This file takes what repeats on a picture for a part, and says where its edges may be.

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// part is the part that repeats so: bounded by where the ripple ends along the axis and across it. The ripple's period is as many times
// what was seen, since shine draws two lines on each crest. It is nil where there is none.
func (r repeat) part(grey *plane, times float64) *part {
	r.period *= times
	// Beside the box there must be ground enough to tell what its chance coherence is.
	margin := r.half + 2*r.period + 0.25*(r.right-r.left)
	low, left := r.low-r.half-r.period, r.left-margin
	step := math.Max(1, r.period/columnsPeriod)
	columns := int((r.right+margin-left)/step) + 1
	box := [2]int{int((r.left - left) / step), int((r.right-left)/step) + 1}
	var segments [][]float64
	var inner []float64
	best := 0
	for s := low; s+segmentPeriods*r.period <= r.high+r.half+r.period; s += segmentPeriods / 2 * r.period {
		shares := make([]float64, columns)
		for i := range shares {
			shares[i] = coherence(grey, r.frame, s, left+float64(i)*step, r.period)
		}
		segments, inner = append(segments, shares), append(inner, stat.Mean(shares[box[0]:min(box[1], columns)], nil))
		if inner[len(inner)-1] > inner[best] {
			best = len(inner) - 1
		}
	}
	if len(inner) == 0 {
		return nil
	}
	if inner[best] < leastCoherence {
		return nil
	}
	first, last := best, best
	for first > 0 && inner[first-1] > coherent*inner[best] {
		first--
	}
	for last < len(inner)-1 && inner[last+1] > coherent*inner[best] {
		last++
	}
	profile := make([]float64, columns)
	for _, shares := range segments[first : last+1] {
		floats.Add(profile, shares)
	}
	profile = runningMedian(profile, 3)
	sorted := slices.Sorted(slices.Values(profile))
	floor, top := sorted[len(sorted)*3/20], sorted[len(sorted)*17/20]
	from, to := 0, columns-1
	for from < to && profile[from] < floor+edgeShare*(top-floor) {
		from++
	}
	for to > from && profile[to] < floor+edgeShare*(top-floor) {
		to--
	}
	high := low + (segmentPeriods/2*float64(last)+segmentPeriods+1)*r.period
	low += (segmentPeriods/2*float64(first) - 1) * r.period
	left, right := left+float64(from)*step, left+float64(to)*step
	p := &part{step: 2, period: r.period, clear: top - floor, frame: &r.frame, band: int(math.Max(6, bandPeriods*r.period))}
	p.w, p.h = grey.w/p.step, grey.h/p.step
	p.mask = make([]bool, p.w*p.h)
	for y := 1; y < p.h-1; y++ {
		for x := 1; x < p.w-1; x++ {
			if s, t := r.frame.to(float64(x*p.step)+0.5, float64(y*p.step)+0.5); s > low && s < high && t > left && t < right {
				p.mask[y*p.w+x] = true
				p.area++
			}
		}
	}
	return p
}

// repeating are the parts that repeat most clearly.
func repeating(repeats []repeat, grey, blue, red *plane) (out []*part) {
	for _, r := range repeats {
		for _, times := range []float64{1, 2} {
			if p := r.part(grey, times); p != nil && p.area > 0 {
				p.blue, p.red = blue, red
				out = append(out, p)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b *part) int { return cmp.Compare(b.clear, a.clear) })
	return out[:min(len(out), mostTraced)]
}

// coherence is the share of what changes along a segment that begins at s, at t beside the axis, which repeats with a period.
func coherence(grey *plane, f frame, s, t, period float64) float64 {
	const places = 10 // a period
	n := int(segmentPeriods * places)
	var sum, squares, weights float64
	var wave, bare complex128
	for i := range n {
		x, y := f.at(s+(float64(i)+0.5)*period/places, t)
		if !grey.inside(x, y, 0) {
			return 0
		}
		w := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))
		e := cmplx.Rect(w, -2*math.Pi*float64(i)/places)
		v := grey.at(x, y)
		sum, squares, weights, wave, bare = sum+w*v, squares+w*v*v, weights+w, wave+e*complex(v, 0), bare+e
	}
	mean := sum / weights
	swing := 2 * cmplx.Abs(wave-bare*complex(mean, 0)) / weights
	return swing * swing / 2 / (squares/weights - mean*mean + square(leastSwing))
}
