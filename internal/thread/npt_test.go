package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// ASME B1.20.1, basic dimensions of NPT, in; outside diameters from memory (ASME B36.10M), E1, L1 and L2 read from a
// public secondary table of the standard.
const nptPublished = `
size,tpi,outside_dia,E1,L1,L2
1/8,27,0.405,0.37360,0.1615,0.2639
1/4,18,0.540,0.49163,0.2278,0.4018
3/8,18,0.675,0.62701,0.240,0.4078
1/2,14,0.840,0.77843,0.320,0.5337
3/4,14,1.050,0.98887,0.339,0.5457
1,11.5,1.315,1.23863,0.400,0.6828
1 1/4,11.5,1.660,1.58338,0.420,0.7068
1 1/2,11.5,1.900,1.82234,0.420,0.7235
2,11.5,2.375,2.29627,0.436,0.7565
2 1/2,8,2.875,2.76216,0.682,1.1375
3,8,3.500,3.38850,0.766,1.2000
4,8,4.500,4.38712,0.844,1.3000
`

// ASME B1.20.1, the sizes that are from memory, in.
const nptFromMemory = `
size,tpi,outside_dia,E1,L1,L2
1/16,27,0.3125,0.28118,0.1600,0.2611
3 1/2,8,4.000,3.88881,0.821,1.2500
5,8,5.563,5.44929,0.937,1.4063
6,8,6.625,6.50597,0.958,1.5125
8,8,8.625,8.50003,1.063,1.7125
`

func TestNPTRows(t *testing.T) {
	rows, remembered := published(t, nptPublished), published(t, nptFromMemory)
	require.Len(t, inTable("NPT").Threads(), len(rows)+len(remembered))
	for i, r := range append(rows, remembered...) {
		t.Run(r["size"], func(t *testing.T) {
			th := find(t, inTable("NPT"), Name{Series: "NPT", Size: r["size"]})
			assert.Equal(t, r["size"]+"-"+r["tpi"]+" NPT", th.Designation)
			assert.InDelta(t, 1.0/16, th.Taper, 1e-12)
			assert.InDelta(t, 60, th.Form.AngleDeg(), 1e-9)
			sameDigits(t, r["E1"], &th.Basic.Pitch, unit.Inch, "E1")
			sameDigits(t, r["L1"], &th.GaugeLength, unit.Inch, "L1")
			l, err := th.TaperLengths()
			require.NoError(t, err)
			sameDigits(t, r["L1"], &l.Gauge, unit.Inch, "L1")
			sameDigits(t, r["L2"], &l.Useful, unit.Inch, "L2")
			assert.Equal(t, th.Pitch, l.ExternalTol)
			assert.Equal(t, th.Pitch, l.InternalTol)
			if i < len(rows) {
				assert.Contains(t, inTable("NPT").Source(th), Published)
			} else {
				assert.Contains(t, inTable("NPT").Source(th), FromMemory)
			}
			h := 0.8 / asFloat(t, r["tpi"])
			assert.InDelta(t, asFloat(t, r["E1"])+h, th.Basic.Major.Inches(), 1e-9)
			assert.InDelta(t, asFloat(t, r["E1"])-h, th.Basic.Minor.Inches(), 1e-9)
		})
	}
}

// ASME B1.20.1: E0 = D - (0.05 D + 1.1) P, E1 = E0 + 0.0625 L1, L2 = (0.80 D + 6.8) P; the table rounds E1 to five
// decimals and L2 to four. With the height of 0.8 P the three formulas put the crest at the end of the effective
// thread 0.125 P outside the pipe: E0 + L2/16 + 0.8 P = D + 0.125 P.
func TestNPTRowsFollowTheFormulas(t *testing.T) {
	for _, r := range append(published(t, nptPublished), published(t, nptFromMemory)...) {
		th := find(t, inTable("NPT"), Name{Series: "NPT", Size: r["size"]})
		d, p, l1, l2 := asFloat(t, r["outside_dia"]), th.Pitch.Inches(), th.GaugeLength.Inches(), asFloat(t, r["L2"])
		e0 := d - (0.05*d+1.1)*p
		assert.InDelta(t, e0+l1/16, th.Basic.Pitch.Inches(), 0.000011, "E1 of %s", r["size"])
		assert.InDelta(t, (0.80*d+6.8)*p, l2, 0.00011, "L2 of %s", r["size"])
		assert.InDelta(t, d+0.125*p, th.Basic.Major.Inches()+(l2-l1)/16, 0.00002, "crest at L2 of %s", r["size"])
	}
}
