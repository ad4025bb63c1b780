package reading

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAgainstTheBestMatch(t *testing.T) {
	for _, c := range []struct {
		name   string
		record Batch
		best   string
		texts  []string
		again  string
	}{
		{"all agrees", Batch{Outside: []string{"47.6mm"}, TPI: []string{"14"}, Angle: "60", Tapers: "no"}, "1 7/8-14 UNS", nil, ""},
		{"straight, a taper seen", Batch{Outside: []string{"47.6mm"}, TPI: []string{"14"}, Tapers: "yes"}, "1 7/8-14 UNS", []string{"is straight, and a taper was seen"}, "whether it tapers"},
		{"60 degrees, 55 read", Batch{Outside: []string{"47.6mm"}, TPI: []string{"14"}, Angle: "55"}, "1 7/8-14 UNS", []string{"has 60 degrees between its flanks, and 55 were read"}, "the angle"},
		{"well over its limits", Batch{Outside: []string{"20.3mm"}, Pitch: []string{"2.5±0.005mm"}}, "M20x2.5", []string{"but the outside diameter, 20.300 mm (0.7992 in), is 0.342 mm above its limits of size"}, "20.3mm"},
		{"below them", Batch{Outside: []string{"19.45mm"}, Pitch: []string{"1.5mm"}}, "M20x1.5", []string{"mm below its limits of size"}, "19.45mm"},
		{"spaces taken for crests", Batch{Outside: []string{"1.872in"}, Count: []string{"14"}, Over: []string{"1in"}}, "1 7/8-14 UNS", []string{"fits only if spaces were counted, not crests"}, "the count"},
		{"crests taken for spaces", Batch{Outside: []string{"1.872in"}, Count: []string{"15"}, Over: []string{"1in"}, Counted: "spaces"}, "1 7/8-14 UNS", []string{"fits only if crests were counted, not spaces"}, "the count"},
		{"crests as asked", Batch{Outside: []string{"1.872in"}, Count: []string{"15"}, Over: []string{"1in"}}, "1 7/8-14 UNS", nil, ""},
		{"the count and a leaf for thirteen", Batch{Outside: []string{"1.872in"}, Count: []string{"14"}, Over: []string{"1in"}, Leaf: []string{"13tpi"}, NoLeaf: []string{"14tpi"}}, "1 7/8-13 UNS", nil, ""},
		{"below them by wear", Batch{Outside: []string{"19.45mm"}, Pitch: []string{"1.5mm"}, Worn: true}, "M20x1.5", nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := answer(t, c.record)
			require.Equal(t, c.best, a.Candidates[0].Designation)
			require.Len(t, a.Found.Contradictions, len(c.texts))
			for i, text := range c.texts {
				assert.Contains(t, a.Found.Contradictions[i].Text, text)
				assert.Equal(t, c.again, a.Found.Contradictions[i].Again)
			}
		})
	}
}
