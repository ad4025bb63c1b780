package mesh

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// turnedOver is a mesh that faces the other way.
func turnedOver(m *Mesh) *Mesh {
	m = copyMesh(m)
	for i, f := range m.Faces {
		m.Faces[i] = [3]uint32{f[0], f[2], f[1]}
	}
	return m
}

// What keeps several shells from bounding a solid, each named with its place.
func TestShellsAreJudged(t *testing.T) {
	large, middle, small, far := box(Vec{}, Vec{8, 8, 8}), box(Vec{1, 1, 1}, Vec{7, 7, 7}), box(Vec{2, 2, 2}, Vec{3, 3, 3}), box(Vec{20, 0, 0}, Vec{22, 2, 2})
	// A wall of the cube is parted by a vertex that its neighbours do not have.
	parted := copyMesh(large)
	f := parted.Faces[0]
	a, b := parted.Vertices[f[0]], parted.Vertices[f[1]]
	parted.Vertices = append(parted.Vertices, Vec{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2})
	half := uint32(len(parted.Vertices) - 1)
	parted.Faces[0] = [3]uint32{f[0], half, f[2]}
	parted.Faces = append(parted.Faces, [3]uint32{half, f[1], f[2]})
	for _, c := range []struct {
		name string
		mesh *Mesh
		want Soundness // of what is set
		says string    // "" for sound
	}{
		{"two bodies", join(large, far), Soundness{Shells: 2}, ""},
		{"a body inside out beside another", join(large, turnedOver(far)), Soundness{Shells: 2, InsideOut: 1}, "a body inside out: its faces look inward (at x 20.000, y 0.000, z 0.000 mm)"},
		{"a cavity", join(large, turnedOver(middle)), Soundness{Shells: 2, Cavities: 1}, ""},
		{"a body in a cavity", join(large, turnedOver(middle), small), Soundness{Shells: 3, Cavities: 1}, ""},
		{"a solid in a solid", join(large, middle), Soundness{Shells: 2, Buried: 1}, "a solid inside a solid"},
		{"a cavity in a cavity", join(large, turnedOver(middle), turnedOver(small)), Soundness{Shells: 3, Cavities: 1, InsideOut: 1}, "inside out"},
		{"all inside out", turnedOver(large), Soundness{Shells: 1, InsideOut: 1}, "inside out"},
		{"bodies that overlap", join(large, box(Vec{7, 7, 7}, Vec{9, 9, 9})), Soundness{Shells: 2, Overlaps: 1, SelfIntersections: 12}, "two bodies that run into each other (at x 7"},
		{"a body twice", join(large, large), Soundness{Shells: 2, Overlaps: 1, SelfIntersections: 12 * 12}, "run into each other"},
		{"a T-joint", parted, Soundness{Shells: 1, OpenEdges: 3, TJoints: 1, SelfIntersections: 2}, "one of them with a corner of a neighbour within it, a T-joint"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Audit(c.mesh)
			said := got.Faults()
			assert.Equal(t, c.says == "", got.Sound(), "%v", said)
			if c.says == "" {
				assert.Empty(t, said)
			} else {
				assert.True(t, slices.ContainsFunc(said, func(s string) bool { return strings.Contains(s, c.says) }), "%v", said)
			}
			c.want.Places, c.want.VolumeMM3, c.want.BoundsMM = got.Places, got.VolumeMM3, got.BoundsMM
			if c.want.SelfIntersections > 0 {
				assert.Positive(t, got.SelfIntersections)
				c.want.SelfIntersections = got.SelfIntersections
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// A file of one face over and over is named for what it is, and not searched pair by pair; and no more crossings are counted than are told.
func TestTheSearchIsBounded(t *testing.T) {
	again := &Mesh{Vertices: []Vec{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}}
	for range 100_000 {
		again.Faces = append(again.Faces, [3]uint32{0, 1, 2})
	}
	s := Audit(again)
	assert.Equal(t, 99_999, s.Repeated)
	assert.Zero(t, s.SelfIntersections)
	assert.Contains(t, strings.Join(s.Faults(), ", "), "99999 faces that stand there already")

	comb := &Mesh{} // each of 60 long faces pierces 60 others
	for i := range 60 {
		y := float32(i)
		n := uint32(len(comb.Vertices))
		comb.Vertices = append(comb.Vertices, Vec{-100, y, 0}, Vec{100, y, 0}, Vec{0, y, 1}, Vec{y / 10, -100, -1}, Vec{y / 10, 200, -1}, Vec{y / 10, 50, 100})
		comb.Faces = append(comb.Faces, [3]uint32{n, n + 1, n + 2}, [3]uint32{n + 3, n + 4, n + 5})
	}
	s = Audit(comb)
	assert.Equal(t, mostCrossings, s.SelfIntersections)
	assert.Contains(t, strings.Join(s.Faults(), ", "), "at least 1000 pairs of faces that cross or touch")
	assert.False(t, s.Undecided)

	// One search that may try no more pairs says that it was cut short.
	cut := search{left: 2, faces: make([][3]uint32, 4), places: []gridVec{{0, 0, 0}, {9, 0, 0}, {0, 9, 0}}, patches: []patch{{0, 1}, {1, 2}, {2, 3}, {3, 4}}, settled: [][3]uint32{{3, 4, 5}, {6, 7, 8}, {9, 10, 11}, {12, 13, 14}}}
	for i := range cut.faces {
		cut.faces[i] = [3]uint32{0, 1, 2}
	}
	g := groups{places: cut.places}
	pairs(4, func(i int32) gridBox { return g.boxOf(cut.faces[i]) }, cut.visit)
	assert.Negative(t, cut.left)
}
