package thread

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/unit"
)

// formTolMM is how far a published diameter may lie from what the form gives: the last digit of tables in inches to
// 0.0001 or in mm to 0.001, twice rounded.
const formTolMM = 0.006

// Every row of every listed family: it names a source, what its figures were checked against and a use; it gives a
// second figure that its form must agree with; its name finds it and nothing else; its diameters fall, and its limits
// do not cross.
func TestEveryListedRow(t *testing.T) {
	seen, walked := map[string]string{}, 0
	tables := NewTables()
	for _, f := range families() {
		f, ok := f.(*Listed)
		if !ok {
			continue
		}
		require.NotEmpty(t, f.head.Edition+f.head.Table, "%s names an edition or a table", f.head.name())
		for _, th := range f.Threads() {
			walked++
			name, r := th.Designation, f.rows[th.row]
			for _, key := range append([]string{name}, r.Also...) {
				if _, err := unit.ParseNumber(key); err == nil {
					continue // a size, which counts with its series alone
				}
				require.Empty(t, seen[nameKey(key)], "%q of %s is taken", key, name)
				seen[nameKey(key)] = name
			}
			again, err := tables.Parse(name)
			require.NoError(t, err, name)
			require.Equal(t, th, again, "the name finds the row")
			if th.series.Name != "" && r.Designation == "" {
				n := Name{Series: th.Series, Size: r.Size, Pitch: th.Pitch}
				require.Equal(t, th, find(t, f, n), "so do series, size and pitch")
			}

			assert.Contains(t, th.Source(), f.head.name(), name)
			assert.NotEmpty(t, r.Checked+f.head.Checked, name)
			assert.NotEmpty(t, th.Use()+r.Use, "%s has no use", name)
			figures := 0
			for _, x := range []*float64{r.Major, r.PitchDia, r.Minor, r.ExternalMajorMax, r.InternalPitchDiaMin} {
				if x != nil {
					figures++
				}
			}
			assert.True(t, figures >= 2 || figures == 1 && r.Useful > 0, "%s has no second figure to check it by", name)

			b, p := th.Basic, th.Pitch.MM()
			assert.True(t, b.Major > b.Pitch && b.Pitch > b.Minor, name)
			tol := formTolMM + f.head.length(f.head.Rounding).MM()
			assert.InDelta(t, 2*th.Form.AddendumPerPitch*p, (b.Major - b.Pitch).MM(), tol, "%s: crest against its form", name)
			assert.InDelta(t, 2*th.Form.DepthPerPitch*p, (b.Major - b.Minor).MM(), tol, "%s: depth against its form", name)
			p0, err := NewProfile(th.Section(b))
			require.NoError(t, err, name)
			assert.Equal(t, th.Form.RoundPerPitch > 0, p0.RoundMajor, "%s: its arcs leave a flank", name)

			for _, external := range []bool{true, false} {
				l, err := th.Limits("", external)
				require.NoError(t, err, name)
				for _, pair := range [][2]*unit.Length{{l.MajorMax, l.MajorMin}, {l.PitchMax, l.PitchMin}, {l.MinorMax, l.MinorMin}} {
					if pair[0] != nil && pair[1] != nil {
						assert.Greater(t, *pair[0], *pair[1], name)
					}
				}
				const most = 0.35 // pitches by which a limit may lie off the basic size, more than any standard here allows
				for _, c := range []struct{ at, basic *unit.Length }{{l.PitchMax, &b.Pitch}, {l.PitchMin, &b.Pitch}} {
					if c.at != nil {
						assert.Less(t, math.Abs((*c.at - *c.basic).MM()), most*p, "%s: limits lie at its size", name)
					}
				}
			}
		}
	}
	assert.Greater(t, walked, 90)
}
