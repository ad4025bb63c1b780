package caliper_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
)

// bruteWall returns the least distance between points strewn over the inner and the outer wall, straight from the
// radii. They stand 0.03 mm apart, so that it is too large by less than 0.001 mm at walls of 1 mm. Only points that
// may come nearer than the radial wall at angle zero are looked at.
func bruteWall(p part) float64 {
	const step = 0.03
	columns := int(math.Ceil(math.Pi * p.outer.form.major / step))
	rows := int(math.Ceil(p.height / step))
	best, foot := math.Inf(1), math.Inf(1)
	type spot struct {
		col, row int
		p        [3]float64
		r        float64
	}
	var in []spot
	out := make([]spot, columns*(rows+1))
	for col := range columns {
		theta := 2 * math.Pi * float64(col) / float64(columns)
		sin, cos := math.Sincos(theta)
		for row := range rows + 1 {
			z := p.height * float64(row) / float64(rows)
			a, b := p.inner.radius(theta, z), p.outer.radius(theta, z)
			in = append(in, spot{col, row, [3]float64{a * cos, a * sin, z}, a})
			out[col*(rows+1)+row] = spot{col, row, [3]float64{b * cos, b * sin, z}, b}
			best, foot = math.Min(best, b-a), math.Min(foot, b)
		}
	}
	for _, a := range in {
		if foot-a.r > best {
			continue
		}
		reach := int(best/step) + 1
		for col := a.col - reach; col <= a.col+reach; col++ {
			from := (col + columns) % columns * (rows + 1)
			for _, b := range out[from+max(0, a.row-reach) : from+min(rows+1, a.row+reach+1)] {
				if b.r-a.r > best {
					continue
				}
				x, y, z := a.p[0]-b.p[0], a.p[1]-b.p[1], a.p[2]-b.p[2]
				if d := x*x + y*y + z*z; d < best*best {
					best = math.Sqrt(d)
				}
			}
		}
	}
	return best
}

func TestWall(t *testing.T) {
	long(t)
	fourStarts := iso(10, 1)
	fourStarts.starts = 4
	left := iso(14, 1.5)
	left.hand = -1
	left.starts = 2
	steep := func(major float64) form {
		f := iso(major, 2)
		f.starts = 6
		return f
	}
	cases := []struct {
		name    string
		in, out form
	}{
		// Flanks that run side by side at 18 degrees are nearest across the section along the axis, not in it.
		{"steep in steep", steep(12), steep(15)},
		{"fine in fine", iso(10, 1), iso(14, 1)},
		{"unlike pitches", iso(10, 1.25), iso(14, 0.8)},
		{"steep in fine", fourStarts, iso(14, 1)},
		{"steep in steep the other way", fourStarts, left},
		{"tapers", npt(10, 1, 3), npt(15, 1.2, 3)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := part{height: 4, columns: 240, fine: 8, out: 0.5}
			p.inner = &side{form: c.in, radius: c.in.radius}
			p.outer = &side{form: c.out, radius: c.out.radius}
			rep, err := caliper.Measure(p.build(), caliper.DefaultOptions())
			require.NoError(t, err)
			assert.InDelta(t, bruteWall(p), rep.WallMM, wallTol)
		})
	}
}
