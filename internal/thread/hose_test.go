package thread

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// ASME B1.20.7, hose coupling thread, in; recalled from memory, not re-read.
const nhPublished = `
size,tpi,nipple_major_max,nipple_major_min,nipple_pd_max,nipple_pd_min,nipple_minor_max,coupling_minor_min,coupling_minor_max,coupling_pd_min,coupling_pd_max,coupling_major_min
3/4,11.5,1.0625,1.0455,1.0060,0.9975,0.9495,0.9595,0.9765,1.0160,1.0245,1.0725
`

func TestNHRows(t *testing.T) {
	rows := published(t, nhPublished)
	require.Len(t, rows, 1)
	r := rows[0]
	th := find(t, inTable("NH"), Name{Series: "NH", Size: r["size"]})
	assert.Equal(t, "3/4-11.5 NH", th.Designation)
	assert.InDelta(t, 11.5, 25.4/th.Pitch.MM(), 1e-9)
	sameDigits(t, r["nipple_major_max"], &th.Basic.Major, unit.Inch, "basic major")
	sameDigits(t, r["nipple_pd_max"], &th.Basic.Pitch, unit.Inch, "basic pitch diameter")
	sameDigits(t, r["nipple_minor_max"], &th.Basic.Minor, unit.Inch, "basic minor")
	ext, err := inTable("NH").Limits(th, "", true)
	require.NoError(t, err)
	sameDigits(t, r["nipple_major_max"], ext.MajorMax, unit.Inch, "major max")
	sameDigits(t, r["nipple_major_min"], ext.MajorMin, unit.Inch, "major min")
	sameDigits(t, r["nipple_pd_max"], ext.PitchMax, unit.Inch, "pitch max")
	sameDigits(t, r["nipple_pd_min"], ext.PitchMin, unit.Inch, "pitch min")
	sameDigits(t, r["nipple_minor_max"], ext.MinorMax, unit.Inch, "minor max")
	assert.Nil(t, ext.MinorMin)
	in, err := inTable("NH").Limits(th, "", false)
	require.NoError(t, err)
	assert.Nil(t, in.MajorMax)
	sameDigits(t, r["coupling_major_min"], in.MajorMin, unit.Inch, "major min")
	sameDigits(t, r["coupling_pd_max"], in.PitchMax, unit.Inch, "pitch max")
	sameDigits(t, r["coupling_pd_min"], in.PitchMin, unit.Inch, "pitch min")
	sameDigits(t, r["coupling_minor_max"], in.MinorMax, unit.Inch, "minor max")
	sameDigits(t, r["coupling_minor_min"], in.MinorMin, unit.Inch, "minor min")
}

// NFPA 1963, greatest nipple and least coupling of the larger sizes, in; re-read in a public handbook. The names are
// those of the hose coupling thread.
func TestNHLargerSizes(t *testing.T) {
	for _, c := range []struct{ size, designation, major, pitch, minor, coupling string }{
		{"1", "1-8 NH", "1.3750", "1.2938", "1.2126", "1.3058"},
		{"1 1/2", "1 1/2-9 NH", "1.9900", "1.9178", "1.8457", "1.9298"},
		{"2 1/2", "2 1/2-7.5 NH", "3.0686", "2.9820", "2.8954", "2.9970"},
		{"4 1/2", "4 1/2-4 NH", "5.7609", "5.5985", "5.4361", "5.6235"},
	} {
		t.Run(c.size, func(t *testing.T) {
			th, err := Parse(c.size + " NH")
			require.NoError(t, err)
			assert.Equal(t, c.designation, th.Designation)
			assert.Equal(t, "NFPA 1963-1993", th.Standard)
			ext, err := th.Limits("", true)
			require.NoError(t, err)
			sameDigits(t, c.major, ext.MajorMax, unit.Inch, "major max")
			sameDigits(t, c.pitch, ext.PitchMax, unit.Inch, "pitch max")
			sameDigits(t, c.minor, ext.MinorMax, unit.Inch, "minor max")
			in, err := th.Limits("", false)
			require.NoError(t, err)
			sameDigits(t, c.coupling, in.PitchMin, unit.Inch, "coupling pitch min")
		})
	}
	th, err := Parse("3/4 NH")
	require.NoError(t, err)
	assert.Equal(t, "3/4-11.5 NH", th.Designation, "the garden hose comes first")
	th, err = Parse("3/4-8 NH")
	require.NoError(t, err)
	assert.Equal(t, "1-8 NH", th.Designation)
}

// The form of ASME B1.20.7 has 3/4 H = 0.649519 P from crest to root on either part, its pitch line midway.
func TestNHRowsFollowTheForm(t *testing.T) {
	for _, r := range inTable("NH").rows {
		h := 0.649519 / *r.TPI
		assert.InDelta(t, *r.ExternalMajorMax-h, *r.ExternalPitchDiaMax, 0.000051, r.Size)
		assert.InDelta(t, *r.ExternalMajorMax-2*h, *r.ExternalMinorMax, 0.000101, r.Size)
		if r.InternalPitchDiaMin == nil {
			continue
		}
		assert.InDelta(t, *r.InternalPitchDiaMin-h, *r.InternalMinorMin, 0.000051, r.Size)
		assert.InDelta(t, *r.InternalPitchDiaMin+h, *r.InternalMajorMin, 0.000051, r.Size)
	}
}
