package caliper_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
)

// bruteWall returns the least distance between points strewn over the inner and the outer wall, straight from the radii.
// Points stand every 0.02 mm about, so that it is too large by less than 0.001 mm at walls of 1 mm.
func bruteWall(p part, turn float64) float64 {
	const step = 0.02
	strew := func(s *side) [][3]float64 {
		var out [][3]float64
		n := math.Ceil(turn * s.form.major / 2 / (4 * step))
		for i := 0.0; i <= n; i++ {
			theta := turn * i / n
			sin, cos := math.Sincos(theta)
			for z := 0.0; z <= p.height; z += step {
				r := s.radius(theta, z)
				out = append(out, [3]float64{r * cos, r * sin, z})
			}
		}
		return out
	}
	// Buckets along z, the outer ones sorted by nothing else: slow and plain.
	const bucket = 0.25
	in, out := strew(p.inner), strew(p.outer)
	rows := make([][][3]float64, int(p.height/bucket)+2)
	for _, q := range out {
		k := int(q[2] / bucket)
		rows[k] = append(rows[k], q)
	}
	best := math.Inf(1)
	for _, a := range in {
		lo := max(0, int((a[2]-best)/bucket))
		if math.IsInf(best, 1) {
			lo = int(a[2] / bucket)
		}
		for k := lo; k < len(rows) && float64(k)*bucket <= a[2]+best; k++ {
			for _, b := range rows[k] {
				x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]
				if d := x*x + y*y + z*z; d < best*best {
					best = math.Sqrt(d)
				}
			}
		}
	}
	return best
}

func TestWall(t *testing.T) {
	fourStarts := iso(10, 1)
	fourStarts.starts = 4
	left := iso(14, 1.5)
	left.hand = -1
	left.starts = 2
	cases := []struct {
		name    string
		in, out form
	}{
		{"fine in fine", iso(10, 1), iso(14, 1)},
		{"unlike pitches", iso(10, 1.25), iso(14, 0.8)},
		{"steep in fine", fourStarts, iso(14, 1)},
		{"steep in steep the other way", fourStarts, left},
		{"tapers", npt(10, 1, 3), npt(15, 1.2, 3)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			p := part{height: 5, columns: 240, fine: 8, out: 0.5}
			p.inner = &side{form: c.in, radius: c.in.radius}
			p.outer = &side{form: c.out, radius: c.out.radius}
			rep, err := caliper.Measure(p.build(), caliper.DefaultOptions())
			require.NoError(t, err)
			assert.InDelta(t, bruteWall(p, 2*math.Pi), rep.WallMM, wallTol)
		})
	}
}
