package mesh

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A body with a patch of it turned, less than a half by area, is the body again.
func TestOriented(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := join(box(Vec{}, Vec{8, 8, 8}), box(Vec{20, 0, 0}, Vec{22, 2, 2}))
		turned := copyMesh(whole)
		for _, body := range []int{0, 12} {
			for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, 11), 0, 5, rapid.ID).Draw(t, "turned") {
				f := turned.Faces[body+i]
				turned.Faces[body+i] = [3]uint32{f[0], f[2], f[1]}
			}
		}
		before := copyMesh(turned)
		got := Oriented(turned)
		assert.Equal(t, before.Faces, turned.Faces, "the mesh given stays as it is")
		assert.Zero(t, Audit(got).MisorientedEdges)
		assert.InDelta(t, 8*8*8+2*2*2, Audit(got).VolumeMM3, 1e-9)
	})
}
