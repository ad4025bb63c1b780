package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// Throats and pipe sizes are common practice, no published source; outsides are the basic major diameters of the standards.
func TestNamesOf(t *testing.T) {
	for _, c := range []struct{ designation, bore, outside string }{
		{"1 7/8-14 UNS", "1 1/2 in", "1 7/8 in"},
		{"1 5/8-16 UN", "1 3/8 in", "1 5/8 in"},
		{"1 1/2-11.5 NPSM", "1 1/2 in", "1 7/8 in"},
		{"G 1 1/2", "1 1/2 in", "1 7/8 in"},
		{"3/4-11.5 NH", "3/4 in", "1 1/16 in"},
		{"M24x1", "", "24 mm"},
		{"2-12 UN", "", "2 in"},
	} {
		th, err := thread.BuiltIn().Parse(c.designation)
		require.NoError(t, err)
		n := NamesOf(th)
		assert.Equal(t, c.bore, n.ByBore, c.designation)
		assert.Equal(t, c.outside, n.ByOutside, c.designation)
		assert.Contains(t, n.Text, c.outside+" by the outside (")
		assert.Contains(t, n.Text, c.bore)
	}
}
