package mesh

import (
	"bytes"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
)

// ringMesh is the reference ring as the helix mesher makes it.
func ringMesh(t testing.TB) *Mesh {
	t.Helper()
	m, err := Helix{ChordMM: 0.005}.Mesh(referenceRing(t))
	require.NoError(t, err)
	return m
}

// What is proved of a mesh holds for the files made of it: both formats give back every place and every face.
func TestRingsThroughBothFormats(t *testing.T) {
	flanged, err := Helix{ChordMM: 0.01}.Mesh(plan(t, "1 3/4-12 UN", "M60x3 3start LH", func(s *ring.Spec) { s.Grip = ring.Scallop }).Shape)
	require.NoError(t, err)
	for name, m := range map[string]*Mesh{"reference ring": ringMesh(t), "flanged ring of three starts": flanged} {
		t.Run(name, func(t *testing.T) {
			want := Audit(m)
			require.True(t, want.Sound(), "%+v", want)
			require.Zero(t, want.PinchedVertices)
			fromSTL, err := decoded(encoded(t, m))
			require.NoError(t, err)
			assert.Len(t, fromSTL.Vertices, len(m.Vertices), "no vertex lies twice in the mesh, and none unused")
			assert.Equal(t, want, Audit(fromSTL))

			from3MF, _, err := decode3MF(onDisk(t, encoded3MF(t, Object{Name: name, Mesh: m})))
			require.NoError(t, err)
			assert.Equal(t, m, from3MF[0].Mesh)
		})
	}
}

// A wound in a ring is seen wherever it is.
func TestWoundedRingsAreNotSound(t *testing.T) {
	skipInBrief(t)
	m := ringMesh(t)
	for i := 0; i < len(m.Faces); i += 997 {
		wounded := copyMesh(m)
		f := wounded.Faces[i]
		wounded.Faces[i] = [3]uint32{f[0], f[2], f[1]}
		got := Audit(wounded)
		require.False(t, got.Sound())
		require.Equal(t, 3, got.MisorientedEdges, "face %d turned", i)
		wounded.Faces = append(wounded.Faces[:i], wounded.Faces[i+1:]...)
		require.Equal(t, 3, Audit(wounded).OpenEdges, "face %d missing", i)
	}
}

func BenchmarkRingFiles(b *testing.B) {
	m := ringMesh(b)
	data := encoded(b, m)
	objects := []Object{{Name: "ring", Mesh: m}}
	for _, c := range []struct {
		name string
		do   func() error
	}{
		{"encode STL", func() error { return EncodeSTL(io.Discard, m, "ring") }},
		{"decode", func() error { _, err := decoded(data); return err }},
		{"read back", func() error { _, err := ReadBack(bytes.NewReader(data)); return err }},
		{"encode 3MF", func() error { return Encode3MF(io.Discard, objects, testMeta) }},
		{"audit", func() error { assert.True(b, Audit(m).Sound()); return nil }},
		{"self-intersections", func() error { assert.Empty(b, selfIntersections(m)); return nil }},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := c.do(); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(len(m.Faces)), "triangles")
		})
	}
}
