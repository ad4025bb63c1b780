package reading

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// What was typed and all slips share the belief; what was typed comes first and has most of it.
func TestSlipsShareTheBelief(t *testing.T) {
	for _, b := range []Batch{
		{Outside: []string{"41.2mm"}},
		{Outside: []string{"1.62"}, Count: []string{"17"}, Over: []string{"1in"}},
		{Bore: []string{"45.75", "45.7"}, Leaf: []string{"14tpi"}, Worn: true},
		{TPI: []string{"14"}},
		{Pitch: []string{"14"}},
	} {
		slips := read(t, b).slips()
		sum := 0.0
		for _, sl := range slips {
			assert.Greater(t, sl.share, 0.0, "%+v: %s", b, sl.as)
			sum += sl.share
		}
		assert.InDelta(t, 1, sum, 1e-12, "%+v", b)
		assert.Empty(t, slips[0].as)
		assert.Greater(t, slips[0].share, 0.5, "%+v", b)
	}
}

// Each slip, made with a thread that is well known, is asked about, or the thread is still found without a question. 1 5/8-16 UN is
// 40.996 to 41.234 mm outside and 39.548 to 39.878 mm inside (ASME B1.1, by its formulas).
func TestEachSlipIsAsked(t *testing.T) {
	sixteen := []string{"17"}
	inch := []string{"25.4mm"}
	for _, c := range []struct {
		name string
		Batch
		ask string
	}{
		{"as it is", Batch{Outside: []string{"41.1mm"}, Count: sixteen, Over: inch}, ""},
		{"the other side", Batch{Outside: []string{"39.7mm"}, Count: sixteen, Over: inch, Leaf: []string{"16tpi"}}, "is the bore"},
		{"inches", Batch{Outside: []string{"1.62"}, Count: sixteen, Over: inch}, "in inches"},
		{"a pitch to the inch", Batch{Outside: []string{"41.1mm"}, Pitch: []string{"16"}}, "16 is meant as threads to the inch"},
		{"a leaf to the inch", Batch{Outside: []string{"41.1mm"}, Leaf: []string{"16"}, NoLeaf: []string{"18"}}, "16 is meant as threads to the inch"},
		{"spaces", Batch{Outside: []string{"41.1mm"}, Count: []string{"16"}, Over: inch}, "spaces were counted"},
		{"digits", Batch{Outside: []string{"14.10mm"}, Count: sixteen, Over: inch, Leaf: []string{"16tpi"}}, "41.10mm was meant"},
		{"an unsteady hand", Batch{Outside: []string{"40.65mm"}, Count: sixteen, Over: inch}, "held true"},
		{"a flattened crest", Batch{Outside: []string{"40.7mm"}, Count: sixteen, Over: inch}, "worn"},
		{"paint", Batch{Outside: []string{"41.45mm"}, Count: sixteen, Over: inch}, "paint"},
		{"paint inside", Batch{Bore: []string{"39.3mm"}, Count: sixteen, Over: inch}, "paint"},
		{"worn inside", Batch{Bore: []string{"40.15mm"}, Count: sixteen, Over: inch}, "worn"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := Identify(thread.NewTables(), read(t, c.Batch), Drain)
			var asked []string
			for _, q := range a.Questions {
				asked = append(asked, q.Text)
				assert.Greater(t, q.Weight, 0.0)
			}
			all := strings.Join(asked, "\n")
			if c.ask == "" {
				assert.Empty(t, all)
				return
			}
			assert.Contains(t, all, c.ask)
			assert.Contains(t, all, "it is 1 5/8-16 UN")
		})
	}
}

// A reading far from every thread speaks for an unsteady hand: its interval is wider than that of one that fits.
func TestWhatFitsNothingWidens(t *testing.T) {
	width := func(outside string) float64 {
		a := Identify(thread.NewTables(), read(t, Batch{Outside: []string{outside}, Count: []string{"17"}, Over: []string{"25.4mm"}}), Drain)
		require.NotNil(t, a.Found.Diameter)
		low, high := a.Found.Diameter.Interval()
		return high - low
	}
	assert.Greater(t, width("40.65mm"), 1.2*width("41.1mm"))

	// Who reads a thread of no table has no steadier a hand than others.
	s := read(t, Batch{Outside: []string{"55.3mm"}, Pitch: []string{"1.17±0.005mm"}})
	a := Identify(thread.NewTables(), s, Any)
	require.Greater(t, a.Candidates[len(a.Candidates)-1].Weight, 0.9)
	assert.Greater(t, a.Found.Diameter.U, 1.2*s.Find().Diameter.U)
}
