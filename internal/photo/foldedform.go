package photo

// This file holds what a crest of the basic form covers on a picture with some blur.

import (
	"math"
)

// form is the share of each place that a crest of the basic form covers in a picture with some blur: for bins places along the pitch,
// the crest at the first, and rows a quarter of a pixel apart, from least outward past the crest's end.
type form struct {
	blur  float64
	least float64
	rows  [][bins]float64
}

const rowsAPixel = 4

// newForm reckons it for a pitch and a blur in pixels. A crest is seen farther and farther around the part the more the view slants
// along it: turned by the angle u out of the outline it stands slant u farther along and radius u^2/2 lower, and fills the root beside
// it. Slant and radius are in pixels.
func newForm(period, blur, slant, radius float64) form {
	const fine = 4 * bins
	var height [fine]float64
	for i := range height {
		height[i] = -math.Inf(1)
		for k := -fine; k <= fine; k++ {
			off := float64(k) / fine * period
			fall := radius * square(off/math.Max(math.Abs(slant), 1e-3)) / 2
			height[i] = math.Max(height[i], basicHeight(float64(i-k)/fine)*period-fall)
		}
	}
	reach := int(math.Ceil(3 * blur / period * fine))
	kernel := make([]float64, 2*reach+1)
	sum := 0.0
	for k := range kernel {
		kernel[k] = math.Exp(-square(float64(k-reach)/fine*period/blur) / 2)
		sum += kernel[k]
	}
	f := form{blur: blur, least: -(basicDepth*period + 3*blur)}
	for y := f.least; y < 3*blur; y += 1.0 / rowsAPixel {
		var all [fine]float64
		for i, h := range height {
			all[i] = 0.5 * math.Erfc((y-h)/blur/math.Sqrt2)
		}
		var row [bins]float64
		for b := range row {
			for k, w := range kernel {
				row[b] += w / sum * all[((b*fine/bins+k-reach)%fine+fine)%fine]
			}
		}
		f.rows = append(f.rows, row)
	}
	return f
}

// at is the row at y pixels past the crest's end.
func (f form) at(y float64) *[bins]float64 {
	i := int(math.Round((y - f.least) * rowsAPixel))
	if i < 0 {
		i = 0
	}
	if i >= len(f.rows) {
		return nil
	}
	return &f.rows[i]
}
