package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// FuzzPhotoFlags gives the command any text for its lengths and points: it takes them or says what is wrong, and never a
// value that no picture can have.
func FuzzPhotoFlags(f *testing.F) {
	f.Add("42mm", "1,2", "3,4", "10mm")
	f.Add("1 7/8in ± 0.01", "-1e300,NaN", ",", "")
	f.Fuzz(func(t *testing.T, outside, a, b, apart string) {
		asked := photoAsked{marks: []string{a, b}}
		if outside != "" {
			asked = photoAsked{outside: []string{outside}}
		}
		_ = lengthFlag{&asked.apart}.Set(apart)
		o, err := asked.options()
		if err != nil {
			return
		}
		if o.Outside != nil {
			assert.Positive(t, o.Outside.Value)
		}
		if o.Marks != nil {
			for _, v := range append(o.Marks.A[:], o.Marks.B[:]...) {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0))
			}
		}
	})
}
