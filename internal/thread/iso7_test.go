package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ISO 7-1, mm; recalled from memory, gauge lengths of 1/16 to 3/8 re-read against a public secondary table.
const iso7Published = `
size,tpi,gauge_length,gauge_tol,useful
1/16,28,4.0,0.9,6.5
1/8,28,4.0,0.9,6.5
1/4,19,6.0,1.3,9.7
3/8,19,6.4,1.3,10.1
1/2,14,8.2,1.8,13.2
3/4,14,9.5,1.8,14.5
1,11,10.4,2.3,16.8
1 1/4,11,12.7,2.3,19.1
1 1/2,11,12.7,2.3,19.1
2,11,15.9,2.3,23.4
2 1/2,11,17.5,3.5,26.7
3,11,20.6,3.5,29.8
4,11,25.4,3.5,35.8
5,11,28.6,3.5,40.1
6,11,28.6,3.5,40.1
`

func TestISO7Rows(t *testing.T) {
	rows := published(t, iso7Published)
	require.GreaterOrEqual(t, len(inTable("R").Threads()), 3*len(rows))
	for _, r := range rows {
		for _, series := range []string{"R", "Rc", "Rp"} {
			t.Run(series+" "+r["size"], func(t *testing.T) {
				th := find(t, inTable("R"), Name{Series: series, Size: r["size"]})
				assert.Equal(t, series+" "+r["size"], th.Designation)
				assert.Equal(t, series, th.Series)
				g := find(t, inTable("G"), Name{Series: "G", Size: r["size"]})
				assert.Equal(t, g.Basic, th.Basic)
				assert.InDelta(t, asFloat(t, r["tpi"]), 25.4/th.Pitch.MM(), 1e-9)
				if series == "Rp" {
					assert.Zero(t, th.Taper)
					assert.Zero(t, th.GaugeLength)
					_, err := th.TaperLengths()
					assert.ErrorContains(t, err, "not a taper thread")
					return
				}
				assert.InDelta(t, 1.0/16, th.Taper, 1e-12)
				sameDigits(t, r["gauge_length"], &th.GaugeLength, 1, "gauge length")
				l, err := th.TaperLengths()
				require.NoError(t, err)
				sameDigits(t, r["gauge_length"], &l.Gauge, 1, "gauge length")
				sameDigits(t, r["gauge_tol"], &l.ExternalTol, 1, "gauge length tolerance")
				sameDigits(t, r["useful"], &l.Useful, 1, "useful thread")
				limits, err := inTable("R").Limits(th, "", series == "R")
				require.NoError(t, err)
				assert.Equal(t, Limits{}, limits, "the standard leaves the diameters of taper threads open")
			})
		}
	}
}

// The tolerances of ISO 7-1 are turns of the thread along the axis (1 outside, 1 1/4 inside, 1 1/2 both from size
// 2 1/2), and on a parallel internal thread the taper over as many turns on the diameter. Rule from memory.
func TestISO7TolerancesFollowTheTurns(t *testing.T) {
	for _, r := range inTable("R").rows {
		p := 25.4 / *r.TPI
		outside, inside := 1.0, 1.25
		if asSize(t, r.Size) >= 2.5 {
			outside, inside = 1.5, 1.5
		}
		assert.InDelta(t, outside*p, r.ExternalTol, 0.0501, "gauge tolerance of %s", r.Size)
		assert.InDelta(t, inside*p, r.InternalTol, 0.0501, "internal tolerance of %s", r.Size)
		assert.InDelta(t, inside*p/16, *r.InternalPitchDiaMax-*r.PitchDia, 0.00051, "Rp tolerance of %s", r.Size)
	}
}

// Rp 1/2: 18.631 and 19.793 mm give or take 0.142 mm (ISO 7-1 table 1; from memory).
func TestISO7LimitsOfRp(t *testing.T) {
	th := find(t, inTable("R"), Name{Series: "Rp", Size: "1/2"})
	l, err := inTable("R").Limits(th, "", false)
	require.NoError(t, err)
	sameDigits(t, "20.813", l.MajorMin, 1, "D min")
	sameDigits(t, "19.935", l.PitchMax, 1, "D2 max")
	sameDigits(t, "19.651", l.PitchMin, 1, "D2 min")
	sameDigits(t, "18.773", l.MinorMax, 1, "D1 max")
	sameDigits(t, "18.489", l.MinorMin, 1, "D1 min")
	assert.Nil(t, l.MajorMax)
	l, err = inTable("R").Limits(th, "", true)
	require.NoError(t, err)
	assert.Equal(t, Limits{}, l, "there is no external Rp")
}
