package parts

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Zeros that all sizes end with are padding; a size that shows another digit there ends that.
func TestPadding(t *testing.T) {
	step := func(text string) float64 {
		l, err := Read(text, Options{})
		require.NoError(t, err)
		return l.Parts[0].spec[outer].size.step / 25.4
	}
	assert.InDelta(t, 0.01, step("part,inner thread,outer thread\na,1.250,1.430\nb,1.500,1.870\n"), 1e-9)
	assert.InDelta(t, 0.001, step("part,inner thread,outer thread\na,1.250,1.430\nb,1.500,1.875\n"), 1e-9)
}

func TestHeadersAsPeopleWriteThem(t *testing.T) {
	for _, text := range []string{
		"part,inner (mm),outer (mm)\nx,41.28,47.63\n",
		"Adapters in stock\npart,inner thread,outer thread\nx,1 5/8-16,1 7/8-14\n",
		"Price list, all sizes in inches\n\nAdapter,Strainer side,Strainer tpi,Drain side,Drain tpi\nx,1 5/8,16,1 7/8,14\n",
	} {
		l, err := Read(text, Options{})
		require.NoError(t, err, text)
		require.Len(t, l.Parts, 1, text)
		assert.InDelta(t, 41.28, l.Parts[0].spec[inner].size.value, 0.01, text)
		assert.InDelta(t, 47.63, l.Parts[0].spec[outer].size.value, 0.01, text)
	}
}
