package photo_test

// This file draws pictures that hold no thread, all of which must be refused.

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/basicfont"
	"golang.org/x/image/math/fixed"

	"tryring/internal/photo"
	"tryring/internal/reading"
)

// painted returns a scene's camera on a picture that paint fills: the level of each pixel, over 0 ground and 1 part.
func painted(t testing.TB, s scene, paint func(x, y float64) float64) []byte {
	t.Helper()
	s.cornerHand = false
	cover := newCanvas(s.width, s.height)
	const sub = 2
	for y := range s.height {
		for x := range s.width {
			for k := range sub * sub {
				u, v := float64(x)+(float64(k%sub)+0.5)/sub, float64(y)+(float64(k/sub)+0.5)/sub
				cover.v[y*s.width+x] += paint(u, v) / (sub * sub)
			}
		}
	}
	picture := s.ground(cover)
	for i, a := range cover.v {
		picture.v[i] = picture.v[i]*(1-a) + s.part*a
	}
	return s.exposed(t, picture)
}

// within is 1 inside a box about (x0, y0) turned by angle, and 0 outside; u runs along it, v across, in pixels.
func turnedAbout(s scene, x, y float64) (u, v float64) {
	sin, cos := math.Sincos(s.turn)
	dx, dy := x-float64(s.width)/2, y-float64(s.height)/2
	return dx*cos + dy*sin, -dx*sin + dy*cos
}

func covered(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// nonThreads are pictures without a thread, each from a scene that lends its camera and light.
var nonThreads = map[string]func(t testing.TB, s scene, r *rand.Rand) []byte{
	"a smooth pipe": func(t testing.TB, s scene, _ *rand.Rand) []byte {
		s.smooth = true
		return s.photo(t)
	},
	"rings and not a thread": func(t testing.TB, s scene, _ *rand.Rand) []byte {
		s.hand, s.lean = 0, s.lean/2
		s.tpi = math.Min(s.tpi, 25.4*18/s.diameter) // coarse enough for the step between the sides to be told
		s.length = math.Min(math.Max(s.length, 9*s.pitch()), 34*s.pitch())
		return s.photo(t)
	},
	"a brick wall": func(t testing.TB, s scene, r *rand.Rand) []byte {
		long, high, joint := 60+80*r.Float64(), 20+30*r.Float64(), 3+4*r.Float64()
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			row := math.Floor(v / high)
			u += math.Mod(row, 2) * long / 2
			return covered(math.Abs(math.Mod(u, long)) > joint && math.Abs(math.Mod(v, high)) > joint)
		})
	},
	"a piece of brick wall": func(t testing.TB, s scene, r *rand.Rand) []byte {
		long, high := 90+60*r.Float64(), 24+20*r.Float64()
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			row := math.Floor(v / high)
			step := long / 2 * math.Abs(math.Mod(row, 2)) // toothed ends, as bonded courses leave them
			return covered(math.Abs(v) < 220 && u > -150+step/2 && u < 150+step/2)
		})
	},
	"a comb": func(t testing.TB, s scene, r *rand.Rand) []byte {
		pitch, teeth := 8+14*r.Float64(), 40+80*r.Float64()
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			back := v > -60 && v <= 0
			tooth := v > 0 && v < teeth && math.Mod(u+1000*pitch, pitch) < pitch*0.55
			return covered(math.Abs(u) < 280 && (back || tooth))
		})
	},
	"a comb with two rows of teeth": func(t testing.TB, s scene, r *rand.Rand) []byte {
		pitch := 14 + 20*r.Float64()
		other := pitch * (0.45 + 0.2*r.Float64())
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			one := v >= 40 && v < 150 && math.Mod(u+1000*pitch, pitch) < pitch*0.55
			two := v <= -40 && v > -150 && math.Mod(u+1000*other, other) < other*0.55
			return covered(math.Abs(u) < 280 && (math.Abs(v) < 40 || one || two))
		})
	},
	"a saw blade": func(t testing.TB, s scene, r *rand.Rand) []byte {
		pitch := 10 + 25*r.Float64()
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			return covered(math.Abs(u) < 290 && v < 70 && v > -70+math.Mod(u+1000*pitch, pitch)*0.6)
		})
	},
	"text": func(t testing.TB, s scene, r *rand.Rand) []byte {
		page := image.NewGray(image.Rect(0, 0, s.width, s.height))
		d := font.Drawer{Dst: page, Src: image.NewUniform(color.White), Face: basicfont.Face7x13}
		for line := 60; line < s.height-60; line += 17 {
			d.Dot = fixed.P(80, line)
			for range 20 {
				word := make([]byte, 2+r.IntN(8))
				for i := range word {
					word[i] = byte('a' + r.IntN(26))
				}
				d.DrawString(string(word) + " ")
			}
		}
		return painted(t, s, func(x, y float64) float64 { return float64(page.GrayAt(int(x), int(y)).Y) / 255 })
	},
	"nothing": func(t testing.TB, s scene, _ *rand.Rand) []byte {
		return painted(t, s, func(_, _ float64) float64 { return 0 })
	},
	"noise": func(t testing.TB, s scene, r *rand.Rand) []byte {
		return painted(t, s, func(_, _ float64) float64 { return r.Float64() })
	},
	"stripes": func(t testing.TB, s scene, r *rand.Rand) []byte {
		pitch := 8 + 40*r.Float64()
		return painted(t, s, func(x, y float64) float64 {
			u, _ := turnedAbout(s, x, y)
			return covered(math.Mod(u+1000*pitch, pitch) < pitch/2)
		})
	},
	"stacked coins": func(t testing.TB, s scene, r *rand.Rand) []byte {
		var half []float64
		for range 30 {
			half = append(half, 120+10*r.Float64())
		}
		return painted(t, s, func(x, y float64) float64 {
			u, v := turnedAbout(s, x, y)
			i := int(math.Floor((u + 225) / 15))
			return covered(i >= 0 && i < 30 && math.Abs(v) < half[min(max(i, 0), 29)])
		})
	},
}

// TestNoThread shows pictures without a thread, each kind a few times. TRYRING_PHOTOS and TRYRING_SEED are those of
// TestRenderedPhotos.
func TestNoThread(t *testing.T) {
	if os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("one goroutine at long work, which a brief run does without")
	}
	times, seed := max(1, photographs(t, 24)/24), seedOr(t, 7)
	for name, taken := range nonThreads {
		t.Run(name, func(t *testing.T) {
			for i := range times {
				s := draw(seed, uint64(i)+uint64(len(name))*1000)
				s.texture = false
				s = s.small()
				file := taken(t, s, rand.New(rand.NewPCG(seed-4, uint64(i))))
				p, err := photo.Decode(bytes.NewReader(file))
				require.NoError(t, err)
				outside := reading.Combine(30, reading.Part{U: 0.05, DOF: math.Inf(1)})
				for what, o := range map[string]photo.Options{"with a diameter": {Outside: &outside}, "without": {}} {
					r, err := photo.Measure(p, o)
					require.NoError(t, err)
					assert.False(t, r.Answered, "%s, picture %d: read %.3f", what, i, r.Ratio.Value)
					if r.Answered {
						keep(t, fmt.Sprintf("%s %d", name, i), file, photo.Overlay(p, r))
					} else {
						t.Log(r.Refusals[0].Why)
						assert.NotEmpty(t, r.Refusals[0].Why)
						assert.NotEmpty(t, r.Refusals[0].Mend)
					}
				}
			}
		})
	}
}
