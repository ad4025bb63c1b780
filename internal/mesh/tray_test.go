package mesh

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/ring"
)

// trayVolume is the block less its pockets, from the areas of the plan's polygons.
func trayVolume(t ring.Tray) float64 {
	v := t.Outline.Area() * t.ThicknessMM
	for _, p := range t.Pockets {
		for _, c := range p.Glyph {
			v -= c.Area() * p.DepthMM
		}
	}
	return v
}

func TestTray(t *testing.T) {
	p := printer.Unnamed()
	for _, n := range []int{1, 2, 7, 40} {
		t.Run(fmt.Sprintf("%d wells", n), func(t *testing.T) {
			var wells []ring.Well
			for i := range n {
				wells = append(wells, ring.Well{Label: []string{"NO-GO RING", fmt.Sprintf("M%dx1.5-6g %d", i, 8*i)}, AcrossMM: 20 + float64(i%5)*7})
			}
			trays, leftOut, err := ring.PlanTrays(wells, p)
			require.NoError(t, err)
			assert.Empty(t, leftOut)
			seen := 0
			for _, tray := range trays {
				m, err := Slab(tray.Slab)
				require.NoError(t, err)
				s := Audit(m)
				assert.True(t, s.Sound(), "%+v", s)
				assert.Equal(t, 1, s.Shells)
				assert.InDelta(t, trayVolume(tray), s.VolumeMM3, 1e-4*trayVolume(tray))
				assert.LessOrEqual(t, s.BoundsMM[1][0], p.BedX.MM())
				assert.LessOrEqual(t, s.BoundsMM[1][1], p.BedY.MM())
				for i, w := range tray.Wells {
					assert.Equal(t, seen, w.Index, "wells keep their order")
					seen++
					assert.GreaterOrEqual(t, 2*w.RadiusMM, wells[w.Index].AcrossMM)
					for _, v := range tray.Wells[:i] {
						assert.Greater(t, math.Hypot(v.X-w.X, v.Y-w.Y), v.RadiusMM+w.RadiusMM+1, "wall between wells")
					}
				}
			}
			assert.Equal(t, n, seen)
		})
	}
}

func TestTrayTooLarge(t *testing.T) {
	trays, leftOut, err := ring.PlanTrays([]ring.Well{{Label: []string{"M10"}, AcrossMM: 30}, {Label: []string{"G 6"}, AcrossMM: 190}, {AcrossMM: 30}}, printer.Unnamed())
	require.NoError(t, err)
	assert.Equal(t, []int{1}, leftOut)
	require.Len(t, trays, 1)
	assert.Equal(t, 2, trays[0].Wells[1].Index)
}

func TestTrayRefusesCrossedOutlines(t *testing.T) {
	trays, _, err := ring.PlanTrays([]ring.Well{{AcrossMM: 20}}, printer.Unnamed())
	require.NoError(t, err)
	tray := trays[0]
	tray.Pockets = append(tray.Pockets, tray.Pockets[0])
	_, err = Slab(tray.Slab)
	assert.ErrorIs(t, err, ErrOutlines)
}

// A sole is a smaller outline for the lowest layer.
func TestSole(t *testing.T) {
	square := func(half float64) ring.Contour {
		return ring.Contour{{X: -half, Y: -half}, {X: half, Y: -half}, {X: half, Y: half}, {X: -half, Y: half}}
	}
	m, err := Slab(ring.Slab{Outline: square(5), ThicknessMM: 2, Sole: square(4.5), SoleMM: 0.25})
	require.NoError(t, err)
	s := Audit(m)
	assert.True(t, s.Sound(), "%+v", s)
	assert.InDelta(t, 100*1.75+81*0.25, s.VolumeMM3, 1e-3)
}
