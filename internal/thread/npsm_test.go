package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// ASME B1.20.1, limits of NPSM, in; read from a public secondary table of the standard.
const npsmPublished = `
size,tpi,allowance,ext_major_max,ext_major_min,ext_pd_max,ext_pd_min,int_minor_min,int_minor_max,int_pd_min,int_pd_max
1/8,27,0.0011,0.397,0.390,0.3725,0.3689,0.358,0.364,0.3736,0.3783
1/4,18,0.0013,0.526,0.517,0.4903,0.4859,0.468,0.481,0.4916,0.4974
3/8,18,0.0014,0.662,0.653,0.6256,0.6211,0.603,0.612,0.6270,0.6329
1/2,14,0.0015,0.823,0.813,0.7769,0.7718,0.747,0.759,0.7784,0.7851
3/4,14,0.0016,1.034,1.024,0.9873,0.9820,0.958,0.970,0.9889,0.9958
1,11.5,0.0017,1.293,1.281,1.2369,1.2311,1.201,1.211,1.2386,1.2462
1 1/4,11.5,0.0018,1.638,1.626,1.5816,1.5756,1.546,1.555,1.5834,1.5912
1 1/2,11.5,0.0018,1.877,1.865,1.8205,1.8144,1.785,1.794,1.8223,1.8302
2,11.5,0.0019,2.351,2.339,2.2944,2.2882,2.259,2.268,2.2963,2.3044
2 1/2,8,0.0022,2.841,2.826,2.7600,2.7526,2.708,2.727,2.7622,2.7720
3,8,0.0023,3.467,3.452,3.3862,3.3786,3.334,3.353,3.3885,3.3984
3 1/2,8,0.0023,3.968,3.953,3.8865,3.8788,3.835,3.848,3.8888,3.8988
4,8,0.0023,4.466,4.451,4.3848,4.3771,4.333,4.346,4.3871,4.3971
`

func TestNPSMRows(t *testing.T) {
	rows := published(t, npsmPublished)
	require.Len(t, inTable("NPSM").Threads(), len(rows))
	for i, r := range rows {
		t.Run(r["size"], func(t *testing.T) {
			th := find(t, inTable("NPSM"), Name{Series: "NPSM", Size: r["size"]})
			assert.Equal(t, inTable("NPSM").Threads()[i], th)
			assert.Equal(t, r["size"]+"-"+r["tpi"]+" NPSM", th.Designation)
			sameDigits(t, r["int_pd_min"], &th.Basic.Pitch, unit.Inch, "basic pitch diameter")
			ext, err := inTable("NPSM").Limits(th, "", true)
			require.NoError(t, err)
			sameDigits(t, r["ext_major_max"], ext.MajorMax, unit.Inch, "major max")
			sameDigits(t, r["ext_major_min"], ext.MajorMin, unit.Inch, "major min")
			sameDigits(t, r["ext_pd_max"], ext.PitchMax, unit.Inch, "pitch max")
			sameDigits(t, r["ext_pd_min"], ext.PitchMin, unit.Inch, "pitch min")
			assert.Nil(t, ext.MinorMax)
			assert.Nil(t, ext.MinorMin)
			in, err := inTable("NPSM").Limits(th, "", false)
			require.NoError(t, err)
			assert.Nil(t, in.MajorMax)
			assert.Nil(t, in.MajorMin)
			sameDigits(t, r["int_pd_max"], in.PitchMax, unit.Inch, "pitch max")
			sameDigits(t, r["int_pd_min"], in.PitchMin, unit.Inch, "pitch min")
			sameDigits(t, r["int_minor_max"], in.MinorMax, unit.Inch, "minor max")
			sameDigits(t, r["int_minor_min"], in.MinorMin, unit.Inch, "minor min")
		})
	}
}

// ASME B1.20.1: the internal pitch diameter starts at E1 of the NPT size; the external one is smaller by the allowance;
// the crests lie 3/4 H outside the largest external and H/2 inside the smallest internal pitch diameter. Crests are
// published to 0.001 in, pitch diameters to 0.0001 in.
func TestNPSMRowsFollowTheForm(t *testing.T) {
	for _, r := range published(t, npsmPublished) {
		th := find(t, inTable("NPSM"), Name{Series: "NPSM", Size: r["size"]})
		e1 := find(t, inTable("NPT"), Name{Series: "NPT", Size: r["size"]}).Basic.Pitch.Inches()
		tpi, pd := asFloat(t, r["tpi"]), th.Basic.Pitch.Inches()
		assert.InDelta(t, e1, pd, 0.000051, "pitch diameter of %s against E1", r["size"])
		assert.InDelta(t, asFloat(t, r["allowance"]), pd-asFloat(t, r["ext_pd_max"]), 0.000101, "allowance of %s", r["size"])
		assert.InDelta(t, asFloat(t, r["ext_pd_max"])+0.649519/tpi, asFloat(t, r["ext_major_max"]), 0.00101, "external crest of %s", r["size"])
		assert.InDelta(t, pd-0.433013/tpi, asFloat(t, r["int_minor_min"]), 0.00101, "internal crest of %s", r["size"])
		assert.InDelta(t, pd+0.649519/tpi, th.Basic.Major.Inches(), 1e-6)
		assert.InDelta(t, pd-0.433013/tpi, th.Basic.Minor.Inches(), 1e-6)
	}
}
