package caliper

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// swingsAt are swings of one size at the heights given, up and down in turn.
func swingsAt(size float64, zs ...float64) (ws []swing) {
	for i, z := range zs {
		ws = append(ws, swing{size: size, zMid: z, up: i%2 == 0})
	}
	return ws
}

func TestRunsOfSwings(t *testing.T) {
	cases := []struct {
		name string
		ws   []swing
		want []int // the lengths of the runs
	}{
		{"even", swingsAt(1, 0, 1, 2, 3, 4, 5), []int{6}},
		{"three", swingsAt(1, 0, 1, 2), []int{3}},
		{"two", swingsAt(1, 0, 1), nil},
		{"narrow ridges", swingsAt(1, 0, 0.5, 4, 4.5, 8, 8.5, 12), []int{7}},
		{"narrow ridges, too few", swingsAt(1, 0, 0.5, 4), nil},
		{"a chamfer close by", swingsAt(1, 0, 0.5, 1.5, 2.5, 3.5, 4.5, 5.5), []int{7}},
		{"a step far above", swingsAt(1, 0, 1.6, 3.2, 4.8, 6.4, 8, 13.1), []int{6}},
		{"a step far below", swingsAt(1, -5.1, 0, 1.6, 3.2, 4.8, 6.4, 8), []int{6}},
		{"a wide gap", swingsAt(1, 0, 1, 2, 3, 10, 11, 12, 13), []int{4, 4}},
		{"another pitch", swingsAt(1, 0, 1, 2, 3, 4, 6, 7.4, 8.8, 10.2, 11.6), []int{5, 5}},
		{"a groove between two of one pitch", swingsAt(1, 0, 1, 2, 3, 4, 6.5, 7.5, 8.5, 9.5, 10.5), []int{5, 5}},
		{"another depth", append(swingsAt(1, 0, 1, 2, 3), swingsAt(2, 4, 5, 6, 7)...), []int{4, 4}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var got []int
			for _, run := range regular(c.ws) {
				got = append(got, len(run))
			}
			assert.Equal(t, c.want, got)
		})
	}
}
