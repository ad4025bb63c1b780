package photo

// This file finds where on a picture something repeats, along which direction and how often, from the spectra of small squares: a thread's
// face and its edges both do, on whatever ground and in whatever light.

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

const (
	// tileSide is a square's side in pixels, on the picture shrunk to tiledSide and on halves of it.
	tileSide, tiledSide = 64, 1300
	// leastCycles and mostCycles are between how many periods a square shows of what is looked for; a thread with fewer is found on a larger
	// square.
	leastCycles, mostCycles = 4.5, 22.0
	// leastPurity is the least share of a square's whitened power at one place of its spectrum.
	leastPurity = 0.08
	// leastSwing is the least amplitude in grey levels.
	leastSwing = 1.5
	// alikeTiles is by what share of its length the wave of one square may differ from another's on the same part.
	alikeTiles = 0.2
	// mostRepeats is how many different repeats are followed up.
	mostRepeats = 10
)

// tile is what one square repeats with: place on the working picture, half its side, waves a pixel in x and y, and its weight.
type tile struct {
	x, y, half, fx, fy, weight float64
}

// repeat is a patch of squares that repeat alike: the direction of its waves, period, box in that frame, and weight.
type repeat struct {
	frame                  frame
	period                 float64
	low, high, left, right float64
	weight                 float64
	// half is half the side of the usual square.
	half float64
}

// tiles looks at all squares of all sizes.
func tiles(grey *plane) (out []tile) {
	k := (max(grey.w, grey.h) + tiledSide - 1) / tiledSide
	real1, complex1 := fourier.NewFFT(tileSide), fourier.NewCmplxFFT(tileSide)
	var hann [tileSide]float64
	for i := range hann {
		hann[i] = 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/tileSide)
	}
	const half = tileSide/2 + 1
	row, column := make([]float64, tileSide), make([]complex128, tileSide)
	var rows [tileSide][]complex128
	var power [half][tileSide]float64 // by waves across, then down
	for p := grey.shrunk(k); min(p.w, p.h) >= tileSide; p, k = p.shrunk(2), 2*k {
		for y0 := 0; y0+tileSide <= p.h; y0 += tileSide / 2 {
			for x0 := 0; x0+tileSide <= p.w; x0 += tileSide / 2 {
				mean := 0.0
				for y := range tileSide {
					mean += mean32(p.pix[(y0+y)*p.w+x0:][:tileSide]) / tileSide
				}
				for y := range tileSide {
					for x := range row {
						row[x] = (float64(p.pix[(y0+y)*p.w+x0+x]) - mean) * hann[x] * hann[y]
					}
					rows[y] = real1.Coefficients(rows[y], row)
				}
				total, best, bx, by := 0.0, 0.0, 0, 0
				for x := range half {
					for y := range column {
						column[y] = rows[y][x]
					}
					complex1.Coefficients(column, column)
					for y := range column {
						r := math.Hypot(float64(x), float64(waves(y)))
						power[x][y] = square(cmplx.Abs(column[y])) * r * r
						if x == 0 && y > tileSide/2 || r < 2.5 {
							power[x][y] = 0
						}
						total += power[x][y]
						if v := power[x][y]; v > best && r >= leastCycles && r <= mostCycles {
							best, bx, by = v, x, y
						}
					}
				}
				if best == 0 {
					continue
				}
				var sum, fx, fy float64
				for x := max(0, bx-1); x <= min(half-1, bx+1); x++ {
					for d := -1; d <= 1; d++ {
						y := (by + d + tileSide) % tileSide
						v := power[x][y]
						sum, fx, fy = sum+v, fx+v*float64(x), fy+v*float64(waves(y))
					}
				}
				r := math.Hypot(float64(bx), float64(waves(by)))
				swing := 2 * math.Sqrt(best) / r / (tileSide * tileSide / 4)
				if sum < leastPurity*total || swing < leastSwing {
					continue
				}
				side := float64(tileSide * k)
				out = append(out, tile{float64(x0*k) + side/2, float64(y0*k) + side/2, side / 2, fx / sum / side, fy / sum / side, sum / total * float64(k)})
			}
		}
	}
	return out
}

// waves is how many waves the place i of a spectrum stands for, below 0 from the middle on.
func waves(i int) int {
	if i > tileSide/2 {
		return i - tileSide
	}
	return i
}

// findRepeats groups squares that repeat alike, the weightiest group first.
func findRepeats(grey *plane) (out []repeat) {
	all := tiles(grey)
	used := make([]bool, len(all))
	for range mostRepeats {
		best, bestWeight := -1, 0.0
		for i, a := range all {
			if used[i] {
				continue
			}
			w := 0.0
			for k, b := range all {
				if !used[k] && a.alike(b) {
					w += b.weight
				}
			}
			if w > bestWeight {
				best, bestWeight = i, w
			}
		}
		if best < 0 {
			break
		}
		var group []tile
		a := all[best]
		for i, b := range all {
			if !used[i] && a.alike(b) {
				used[i] = true
				group = append(group, b)
			}
		}
		out = append(out, patch(group))
	}
	return out
}

// alike tells whether two squares show the same wave; a wave and its opposite are one.
func (a tile) alike(b tile) bool {
	near := math.Min(math.Hypot(a.fx-b.fx, a.fy-b.fy), math.Hypot(a.fx+b.fx, a.fy+b.fy))
	return near < alikeTiles*math.Hypot(a.fx, a.fy)
}

// patch is what a group of squares has in common.
func patch(group []tile) (r repeat) {
	var fx, fy, x, y float64
	for _, b := range group {
		sign := 1.0
		if b.fx*group[0].fx+b.fy*group[0].fy < 0 {
			sign = -1
		}
		fx, fy, x, y, r.weight = fx+sign*b.weight*b.fx, fy+sign*b.weight*b.fy, x+b.weight*b.x, y+b.weight*b.y, r.weight+b.weight
	}
	var halves []float64
	for _, b := range group {
		halves = append(halves, b.half)
	}
	r.half = median(halves)
	r.period = r.weight / math.Hypot(fx, fy)
	r.frame = newFrame(x/r.weight, y/r.weight, math.Atan2(fy, fx))
	// The box holds all but a twentieth of the weight on each side: stray squares elsewhere are no part of it.
	bound := func(of func(b tile) float64) float64 {
		slices.SortFunc(group, func(a, b tile) int { return cmp.Compare(of(a), of(b)) })
		left := 0.04 * r.weight
		for _, b := range group {
			if left -= b.weight; left < 0 {
				return of(b)
			}
		}
		return 0
	}
	along := func(b tile) float64 { s, _ := r.frame.to(b.x, b.y); return s }
	across := func(b tile) float64 { _, t := r.frame.to(b.x, b.y); return t }
	r.low, r.high = bound(along), -bound(func(b tile) float64 { return -along(b) })
	r.left, r.right = bound(across), -bound(func(b tile) float64 { return -across(b) })
	return r
}

const (
	// segmentPeriods is over how many periods the ripple is looked for beside the axis, and columnsPeriod in how many places a period.
	segmentPeriods, columnsPeriod = 4.0, 6.0
	// coherent is the share of the best segment's coherence below which the ripple counts as gone along the axis, edgeShare that between the
	// ground's and the face's across it.
	coherent, edgeShare = 0.5, 0.3
	// leastCoherence is that of the best segment for a part.
	leastCoherence = 0.1
	// mostTraced is how many of the clearest are traced.
	mostTraced = 6
	// bandPeriods is how far from where the ripple ends an edge is looked for, in periods.
	bandPeriods = 1.2
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
func repeating(grey, blue, red *plane) (out []*part) {
	for _, r := range findRepeats(grey) {
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
