package pose_test

// This file has the sheet found on pictures that are drawn by casting rays, apart from how the finder reckons.

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/pose"
)

// shot is a camera that takes pictures for these tests.
type shot struct {
	wide, high          int
	rise, side, roll    float64
	away, focal, k1, k2 float64
	cx, cy              float64
	// covered is what hides the sheet, from and to in x and y on it.
	covered [4]float64
	dim     float64
}

// axes are the camera's directions on the sheet's frame, and its place, over the middle of the sheet.
func (s shot) axes() (right, down, ahead, at [3]float64) {
	c, n := math.Cos(s.rise), math.Sin(s.rise)
	at = [3]float64{s.away * c * math.Sin(s.side), -s.away * c * math.Cos(s.side), s.away * n}
	ahead = [3]float64{-at[0] / s.away, -at[1] / s.away, -at[2] / s.away}
	r := [3]float64{math.Cos(s.side), math.Sin(s.side), 0}
	d := [3]float64{ahead[1]*r[2] - ahead[2]*r[1], ahead[2]*r[0] - ahead[0]*r[2], ahead[0]*r[1] - ahead[1]*r[0]}
	for i := range 3 {
		right[i] = math.Cos(s.roll)*r[i] + math.Sin(s.roll)*d[i]
		down[i] = -math.Sin(s.roll)*r[i] + math.Cos(s.roll)*d[i]
	}
	return right, down, ahead, at
}

// near are the marks by the square of the lattice that they lie in.
var near = func() map[[2]int]pose.Mark {
	all := map[[2]int]pose.Mark{}
	for _, m := range pose.Marks() {
		all[[2]int{int(math.Floor(m.X / pose.StepMM)), int(math.Round(m.Y / pose.StepMM))}] = m
	}
	return all
}()

// ink tells whether a place of the sheet is printed black.
func ink(x, y float64) bool {
	m, ok := near[[2]int{int(math.Floor(x / pose.StepMM)), int(math.Round(y / pose.StepMM))}]
	if !ok || math.Hypot(x-m.X, y-m.Y) > pose.RadiusMM {
		return false
	}
	for _, h := range pose.HolesOf(m.Holes) {
		if math.Hypot(x-m.X-h.X, y-m.Y-h.Y) < h.Radius {
			return false
		}
	}
	return true
}

// take draws what the camera sees, with noise.
func (s shot) take(seed uint64) pose.Grey {
	g := pose.Grey{Wide: s.wide, High: s.high, Pix: make([]float32, s.wide*s.high)}
	lot := rand.New(rand.NewPCG(seed, 1))
	right, down, ahead, at := s.axes()
	const fine = 2
	for y := range s.high {
		for x := range s.wide {
			sum := 0.0
			for k := range fine * fine {
				u := (float64(x) + (float64(k%fine)+0.5)/fine - 0.5 - s.cx) / s.focal
				v := (float64(y) + (float64(k/fine)+0.5)/fine - 0.5 - s.cy) / s.focal
				a, b := u, v
				for range 6 {
					r := a*a + b*b
					a, b = u/(1+r*(s.k1+r*s.k2)), v/(1+r*(s.k1+r*s.k2))
				}
				var d [3]float64
				for i := range 3 {
					d[i] = ahead[i] + a*right[i] + b*down[i]
				}
				light := 150.0
				if d[2] < 0 {
					t := -at[2] / d[2]
					p, q := at[0]+t*d[0], at[1]+t*d[1]
					switch {
					case p > s.covered[0] && p < s.covered[1] && q > s.covered[2] && q < s.covered[3]:
						light = 90
					case math.Abs(p) > 105 || math.Abs(q) > 148:
						light = 120
					case ink(p, q):
						light = 25
					default:
						light = 215 + 0.15*p
					}
				}
				sum += light * s.dim / (fine * fine)
			}
			g.Pix[y*s.wide+x] = float32(math.Min(math.Max(sum+2*lot.NormFloat64(), 0), 255))
		}
	}
	return g
}

// TestSeesTheSheet takes pictures from all about, through bent lenses whose middle lies beside the picture's, with a third of the sheet covered,
// and asks where places on and over the sheet are seen.
func TestSeesTheSheet(t *testing.T) {
	lot := rand.New(rand.NewPCG(5, 6))
	draw := func(low, high float64) float64 { return low + lot.Float64()*(high-low) }
	for range 5 {
		s := shot{wide: 1000, high: 750, rise: draw(20, 75) * math.Pi / 180, side: draw(-3, 3), roll: draw(-0.3, 0.3), dim: draw(0.4, 1)}
		s.focal = draw(0.55, 1.2) * 1250
		s.away = s.focal * 0.42 * draw(0.9, 1.3)
		s.k1, s.k2 = draw(-0.06, 0.06), draw(-0.03, 0.03)
		s.cx, s.cy = 499.5+draw(-8, 8), 374.5+draw(-8, 8)
		s.covered = [4]float64{-55, 20, -70, 60}
		v := pose.See(s.take(lot.Uint64()))
		require.NotNil(t, v)
		right, down, ahead, at := s.axes()
		for _, p := range []pose.Vec{{0, 0, 0}, {60, 40, 0}, {-60, 90, 0}, {0, 0, 40}, {30, -20, 20}} {
			var q [3]float64
			for i := range 3 {
				d := p[i] - at[i]
				q[0], q[1], q[2] = q[0]+right[i]*d, q[1]+down[i]*d, q[2]+ahead[i]*d
			}
			a, b := q[0]/q[2], q[1]/q[2]
			bend := s.focal * (1 + (a*a+b*b)*(s.k1+(a*a+b*b)*s.k2))
			x, y, ok := v.Sees(p)
			require.True(t, ok)
			tol := 0.25 + 0.02*p[2] // what stands up from the sheet is known by the camera's tilt
			if math.Abs(s.cx+a*bend-500) > 520 || math.Abs(s.cy+b*bend-375) > 400 {
				continue // beyond the picture nothing holds the lens
			}
			assert.InDelta(t, s.cx+a*bend, x, tol, "%v", p)
			assert.InDelta(t, s.cy+b*bend, y, tol, "%v", p)
			// The ray leads back.
			d, e := v.Ray(x, y), p.Plus(-1, v.At).Unit()
			assert.InDelta(t, 1, pose.Dot(d, e), 1e-6)
		}
	}
}

// TestOthersSpread holds how well the camera says it is known to how far it is off, on one view with other noise each time.
func TestOthersSpread(t *testing.T) {
	s := shot{wide: 800, high: 600, rise: 0.8, away: 370, focal: 800, cx: 399.5, cy: 299.5, dim: 1}
	var off, told float64
	const n = 4
	for i := range uint64(n) {
		v := pose.See(s.take(i))
		require.NotNil(t, v)
		_, _, _, at := s.axes()
		off += math.Pow(v.At[2]-at[2], 2) / n
		for _, o := range v.Others() {
			told += math.Pow(o.At[2]-v.At[2], 2) / n
		}
	}
	assert.Less(t, math.Sqrt(off), 3*math.Sqrt(told))
	assert.Less(t, math.Sqrt(told), 0.02*s.away)
}

// TestNoSheet has pictures without one: noise, discs by lot, an even grid of discs with one hole, and the sheet in a mirror.
func TestNoSheet(t *testing.T) {
	lot := rand.New(rand.NewPCG(3, 4))
	disc := func(g pose.Grey, cx, cy, r, hole float64) {
		for y := range g.High {
			for x := range g.Wide {
				if d := math.Hypot(float64(x)-cx, float64(y)-cy); d < r && d > hole {
					g.Pix[y*g.Wide+x] = 20
				}
			}
		}
	}
	blank := func() pose.Grey {
		g := pose.Grey{Wide: 600, High: 450, Pix: make([]float32, 600*450)}
		for i := range g.Pix {
			g.Pix[i] = 200 + 6*float32(lot.NormFloat64())
		}
		return g
	}
	strewn, grid, mirror := blank(), blank(), shot{wide: 600, high: 450, rise: 1, away: 370, focal: 600, cx: 299.5, cy: 224.5, dim: 1}.take(1)
	for range 60 {
		disc(strewn, lot.Float64()*600, lot.Float64()*450, 10, 3)
	}
	for i := range 12 {
		for k := range 9 {
			disc(grid, 30+48*float64(i), 30+48*float64(k), 11, 3.5)
		}
	}
	require.NotNil(t, pose.See(mirror))
	for y := range mirror.High {
		for x := range mirror.Wide / 2 {
			a, b := &mirror.Pix[y*mirror.Wide+x], &mirror.Pix[(y+1)*mirror.Wide-1-x]
			*a, *b = *b, *a
		}
	}
	for name, g := range map[string]pose.Grey{"noise": blank(), "strewn": strewn, "grid": grid, "mirror": mirror} {
		assert.Nil(t, pose.See(g), name)
	}
}

// TestMarksStandApart holds the layout to what the finder and the printer need.
func TestMarksStandApart(t *testing.T) {
	all := pose.Marks()
	require.Len(t, all, 82)
	for i, m := range all {
		assert.True(t, math.Abs(m.X)+pose.RadiusMM <= pose.HalfWideMM+1e-9 && math.Abs(m.Y)+pose.RadiusMM <= pose.HalfHighMM+1e-9)
		assert.True(t, pose.Printed(m.X, m.Y, 0))
		assert.False(t, math.Abs(m.X) < pose.FreeWideMM && m.Y > pose.FreeFromMM && m.Y < pose.FreeToMM)
		for _, o := range all[:i] {
			assert.GreaterOrEqual(t, math.Hypot(m.X-o.X, m.Y-o.Y), pose.StepMM-1e-9)
		}
		holes := pose.HolesOf(m.Holes)
		require.Len(t, holes, m.Holes)
		for k, h := range holes {
			assert.GreaterOrEqual(t, pose.RadiusMM-math.Hypot(h.X, h.Y)-h.Radius, 1.0)
			for _, o := range holes[:k] {
				assert.GreaterOrEqual(t, math.Hypot(h.X-o.X, h.Y-o.Y)-h.Radius-o.Radius, 1.0)
			}
		}
	}
	assert.False(t, pose.Printed(0, 0, 0))
	assert.False(t, pose.Printed(500, 0, 0))
	assert.True(t, pose.Printed(pose.HalfWideMM-0.1-pose.RadiusMM, pose.HalfHighMM-0.1-pose.RadiusMM, 0))
}

// FuzzSee has any picture looked at.
func FuzzSee(f *testing.F) {
	f.Add(uint8(40), []byte("no sheet"))
	s := shot{wide: 120, high: 90, rise: 1, away: 370, focal: 120, cx: 59.5, cy: 44.5, dim: 1}.take(1)
	var data []byte
	for _, v := range s.Pix {
		data = append(data, byte(v))
	}
	f.Add(uint8(120), data)
	f.Fuzz(func(t *testing.T, wide uint8, data []byte) {
		w := max(4, int(wide))
		g := pose.Grey{Wide: w, High: min(len(data)/w, 200)}
		if g.High < 4 {
			return
		}
		for _, b := range data[:w*g.High] {
			g.Pix = append(g.Pix, float32(b))
		}
		if v := pose.See(g); v != nil {
			require.False(t, math.IsNaN(v.RMS) || math.IsNaN(v.Focal) || v.At[2] <= 0)
		}
	})
}
