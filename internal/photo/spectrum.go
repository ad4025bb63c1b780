package photo

// This file finds where on a picture something repeats, along which direction and how often, from the spectra of small squares: a thread's
// face and its edges both do, on whatever ground and in whatever light.

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
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
	for range mostRepeats {
		var best tile
		most := 0.0
		for _, a := range all {
			weight := 0.0
			for _, b := range all {
				if a.alike(b) {
					weight += b.weight
				}
			}
			if weight > most {
				best, most = a, weight
			}
		}
		if most <= 0 {
			break
		}
		var group []tile
		all = slices.DeleteFunc(all, func(b tile) bool {
			alike := best.alike(b)
			if alike {
				group = append(group, b)
			}
			return alike
		})
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
	var halves []float64
	for _, b := range group {
		halves = append(halves, b.half)
		sign := 1.0
		if b.fx*group[0].fx+b.fy*group[0].fy < 0 {
			sign = -1
		}
		fx, fy, x, y, r.weight = fx+sign*b.weight*b.fx, fy+sign*b.weight*b.fy, x+b.weight*b.x, y+b.weight*b.y, r.weight+b.weight
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
