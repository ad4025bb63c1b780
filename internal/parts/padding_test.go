package parts

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Zeros that all sizes end with are padding, as far as the rest of the list lets them be; a size that shows another digit there
// ends that.
func TestPadding(t *testing.T) {
	padded := func(text string, zeros int) (sum float64) {
		l, err := Read(text, Options{})
		require.NoError(t, err)
		l.ways.all(func(chance *float64, w, _, _ int) {
			if writings[w].zeros == zeros {
				sum += *chance
			}
		})
		return sum
	}
	const head = "part,inner thread,inner tpi,outer thread,outer tpi\n"
	assert.Greater(t, padded(head+"a,1.620,16,1.430,16\nb,1.370,16,1.870,14\n", 1), 0.9, "1 5/8, 1 3/8 and 1 7/8 have a third decimal")
	assert.Less(t, padded(head+"a,1.625,16,1.430,16\nb,1.375,16,1.875,14\n", 1), 0.05)
	assert.Greater(t, padded(head+"a,1.600,16,1.300,16\nb,1.600,16,1.800,14\n", 2), 0.8)
	for _, list := range []string{"a,1.250,,1.430,\nb,1.500,,1.870,\n", "a,1.250,,1.430,\nb,1.500,,1.875,\n"} {
		l, err := Read(head+list, Options{})
		require.NoError(t, err)
		mate, err := l.tables.Parse("1 7/16-16 UN")
		require.NoError(t, err)
		inner, err := l.tables.Parse("1 1/4-16 UN")
		require.NoError(t, err)
		ranked, err := l.Shortlist(Sure(inner), Sure(mate))
		require.NoError(t, err)
		for _, r := range ranked {
			assert.Equal(t, r.Name == "a", r.Chance > OpenFrom, "1.430 may be 1 7/16 cut off: %s %v", r.Name, r.Chance)
		}
	}
}

func TestHeadersAsPeopleWriteThem(t *testing.T) {
	for _, text := range []string{
		"part,inner (mm),outer (mm)\nx,41.28,47.63\n",
		"Adapters in stock\npart,inner thread,outer thread\nx,1 5/8-16,1 7/8-14\n",
		"Model,I.D. (in),t.p.i.,O.D. (in),t.p.i.\nx,1.625,16,1.875,14\n",
		"name,F thread,M thread\nx,1 5/8-16,1 7/8-14\n",
		"SKU,inner Ø mm,outer Ø mm\nx,41.28,47.63\n",
		"adapter,goes on strainer,goes into drain\nx,1 5/8,1 7/8\n",
		"Price list, all sizes in inches\n\nAdapter,Strainer side,Strainer tpi,Drain side,Drain tpi\nx,1 5/8,16,1 7/8,14\n",
	} {
		l, err := Read(text, Options{})
		require.NoError(t, err, text)
		require.Len(t, l.Parts, 1, text)
		assert.InDelta(t, 41.28, l.Parts[0].spec[inner].size.value, 0.01, text)
		assert.InDelta(t, 47.63, l.Parts[0].spec[outer].size.value, 0.01, text)
	}
}
