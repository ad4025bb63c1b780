package build

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

func TestShelves(t *testing.T) {
	p := printer.Profile{Name: "p", BedX: 100, BedY: 80}
	rapid.Check(t, func(t *rapid.T) {
		diameters := rapid.SliceOfN(rapid.Float64Range(1, 70), 1, 40).Draw(t, "diameters")
		order := make([]int, len(diameters))
		for i := range order {
			order[i] = len(order) - 1 - i
		}
		var seen []int
		for _, plate := range shelves(order, diameters, p) {
			if len(plate) == 0 {
				t.Fatal("empty plate")
			}
			for i, a := range plate {
				seen = append(seen, a.Part)
				r := diameters[a.Part] / 2
				if a.X-r < bedMarginMM-1e-9 || a.Y-r < bedMarginMM-1e-9 || a.X+r > 100-bedMarginMM+1e-9 || a.Y+r > 80-bedMarginMM+1e-9 {
					t.Fatalf("part %d at %g, %g with radius %g leaves the bed", a.Part, a.X, a.Y, r)
				}
				for _, b := range plate[:i] {
					if gap := math.Hypot(a.X-b.X, a.Y-b.Y) - r - diameters[b.Part]/2; gap < partGapMM-1e-9 {
						t.Fatalf("parts %d and %d leave %g mm", a.Part, b.Part, gap)
					}
				}
			}
		}
		assert.Equal(t, order, seen, "each part once, in order")
	})
}

func TestLay(t *testing.T) {
	_, small := planned(t, small)
	_, large := planned(t, "inner='M30x2'\nouter='M42x2'\n")
	parts := []Standing{{"small", small.Shape}, {"large", large.Shape}}
	numbers := func(plates [][]Placed) (out []int) {
		for _, plate := range plates {
			for _, at := range plate {
				out = append(out, at.Part)
			}
		}
		return out
	}
	p := printer.Unnamed()
	plates, err := Lay(parts, p, false)
	require.NoError(t, err)
	assert.Equal(t, []int{0, 1}, numbers(plates))
	plates, err = Lay(parts, p, true)
	require.NoError(t, err)
	assert.Equal(t, []int{1, 0}, numbers(plates))

	p.Name, p.BedX, p.BedZ = "tiny", unit.MM(Across(small.Shape)+2*bedMarginMM+0.2), 13
	_, err = Lay(parts, p, false)
	require.ErrorContains(t, err, "large is ")
	require.ErrorContains(t, err, "mm across; the bed of printer tiny")
	require.ErrorContains(t, err, " tall; printer tiny reaches 13.000 mm", "all faults at once")
	assert.NotContains(t, err.Error(), "small is")
}

func TestAcrossHoldsTheFlange(t *testing.T) {
	_, p := planned(t, small)
	bare := p.Shape
	bare.Flange = nil
	assert.Greater(t, Across(p.Shape), Across(bare))
	assert.InDelta(t, 20, Across(bare), 0.5, "M20 outside")
	assert.IsType(t, ring.Shape{}, bare)
}
