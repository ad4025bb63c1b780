package mesh

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
)

// TestMeridianFollowsTheWall compares the corners with the wall's own formula at many heights and angles.
func TestMeridianFollowsTheWall(t *testing.T) {
	const chord = 0.002
	rng := rand.New(rand.NewPCG(5, 6))
	compared := 0
	for compared < 4000 {
		p, err := ring.New(randomSpec(rng))
		if err != nil {
			continue
		}
		for _, s := range []ring.Surface{p.Shape.Inner, p.Shape.Outer} {
			w := newWall(s, chord)
			theta := rng.Float64() * 2 * math.Pi
			corners := w.meridian(theta, nil)
			require.InDelta(t, s.From, corners[0].z, 1e-12)
			require.InDelta(t, s.To, corners[len(corners)-1].z, 1e-12)
			for i := 1; i < len(corners); i++ {
				a, b := corners[i-1], corners[i]
				require.Greater(t, b.z, a.z, "heights rise")
				f := rng.Float64()
				z, r := a.z+f*(b.z-a.z), a.r+f*(b.r-a.r)
				// A gap across a chord is at most 1/sin of the steeper flank's angle of it along the radius.
				assert.InDelta(t, s.Radius(theta, z), r, chord/math.Sin(min(s.Profile.FlankRad, s.Profile.UpperRad))+1e-6, "z %v of %+v", z, s.Profile.Section)
				compared++
			}
		}
	}
}

// TestColumnsHoldTheStructure: between two columns the corners stay the same, and run along straight lines.
func TestColumnsHoldTheStructure(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	strips := 0
	for strips < 2000 {
		p, err := ring.New(randomSpec(rng))
		if err != nil {
			continue
		}
		inner, outer := newWall(p.Shape.Inner, 0.01), newWall(p.Shape.Outer, 0.01)
		angles := columns(0.2, &inner, &outer)
		for i, a := range angles {
			b := angles[(i+1)%len(angles)]
			if i == len(angles)-1 {
				b += 2 * math.Pi
			}
			require.Greater(t, b, a)
			assert.LessOrEqual(t, b-a, 0.2+1e-9)
			if b-a < 1e-4 {
				continue // too narrow to look into
			}
			for _, w := range []*wall{&inner, &outer} {
				middle := w.meridian((a+b)/2, nil)
				turned := w.meridian(a+0.2*(b-a), nil)
				if !assert.Len(t, turned, len(middle), "the structure changes inside a strip") {
					return
				}
				for k, c := range middle {
					z, r := c.at(-0.3 * (b - a))
					assert.InDelta(t, turned[k].z, z, 1e-6)
					assert.InDelta(t, turned[k].r, r, 1e-6)
				}
			}
			strips++
		}
	}
}
