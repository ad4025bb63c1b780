package mesh

// This file measures speed and truth of the helix mesher beside sdfx's own renderers, on the reference ring.

import (
	"bufio"
	"bytes"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/deadsy/sdfx/render"
	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
)

// BenchmarkMeshAndWrite is the work of the main job on a warm process: shape to STL bytes.
func BenchmarkMeshAndWrite(b *testing.B) {
	plain := referenceRing(b)
	flanged := plan(b, "M42x1.5", "M48x2", func(s *ring.Spec) { s.Height = 25 }).Shape
	for _, c := range []struct {
		name  string
		shape ring.Shape
		chord float64
	}{
		{"plain/0.005", plain, 0.005},
		{"plain/0.001", plain, 0.001},
		{"flange and label/0.005", flanged, 0.005},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			w := bufio.NewWriterSize(io.Discard, 64<<10)
			var m *Mesh
			for b.Loop() {
				var err error
				m, err = Helix{ChordMM: c.chord}.Mesh(c.shape)
				require.NoError(b, err)
				require.NoError(b, EncodeSTL(w, m, "bench"))
				require.NoError(b, w.Flush())
			}
			b.ReportMetric(float64(len(m.Faces)), "triangles")
			b.ReportMetric(float64(84+50*len(m.Faces)), "STL-bytes")
		})
		b.Run(c.name+"/to a file", func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "ring.stl")
			for b.Loop() {
				m, err := Helix{ChordMM: c.chord}.Mesh(c.shape)
				require.NoError(b, err)
				f, err := os.Create(path)
				require.NoError(b, err)
				w := bufio.NewWriterSize(f, 64<<10)
				require.NoError(b, EncodeSTL(w, m, "bench"))
				require.NoError(b, w.Flush())
				require.NoError(b, f.Close())
			}
		})
	}
}

// BenchmarkBesideSdfx prints, for the reference ring, time, triangles and error of each mesher, and how many times
// longer sdfx's renderers take than the helix mesher.
func BenchmarkBesideSdfx(b *testing.B) {
	solid, err := ring.NewSolid(referenceRing(b))
	require.NoError(b, err)
	helix := math.NaN()
	for _, c := range []struct {
		name string
		make func() (*Mesh, error)
	}{
		{"helix, 0.005 mm", func() (*Mesh, error) { return Helix{ChordMM: 0.005}.Mesh(solid.Shape()) }},
		{"sdfx octree, 200 cells", func() (*Mesh, error) { return renderWith(b.Context(), solid, render.NewMarchingCubesOctree(200)) }},
		{"sdfx octree, 400 cells", func() (*Mesh, error) { return renderWith(b.Context(), solid, render.NewMarchingCubesOctree(400)) }},
		{"sdfx uniform, 200 cells", func() (*Mesh, error) { return renderWith(b.Context(), solid, render.NewMarchingCubesUniform(200)) }},
		{"sdfx uniform, 400 cells", func() (*Mesh, error) { return renderWith(b.Context(), solid, render.NewMarchingCubesUniform(400)) }},
	} {
		b.Run(c.name, func(b *testing.B) {
			var m *Mesh
			var took time.Duration
			n := 0
			for b.Loop() {
				start := time.Now()
				m, err = c.make()
				took += time.Since(start)
				n++
				require.NoError(b, err)
			}
			each := took.Seconds() / float64(n)
			if math.IsNaN(helix) {
				helix = each
			}
			worst, rms := strayed(m, solid)
			b.ReportMetric(float64(len(m.Faces)), "triangles")
			b.ReportMetric(worst*1000, "worst-um")
			b.ReportMetric(rms*1000, "rms-um")
			b.ReportMetric(each/helix, "times-helix")
		})
	}
}

// strayed is how far random points of a mesh lie from the solid's surface, millimetres.
func strayed(m *Mesh, solid *ring.Solid) (worst, rms float64) {
	rng := rand.New(rand.NewPCG(3, 4))
	const points = 100_000
	sum := 0.0
	for range points {
		f := m.Faces[rng.IntN(len(m.Faces))]
		a, c := rng.Float64(), rng.Float64()
		if a+c > 1 {
			a, c = 1-a, 1-c
		}
		p := m.point(f[0]).MulScalar(1 - a - c).Add(m.point(f[1]).MulScalar(a)).Add(m.point(f[2]).MulScalar(c))
		d := solid.Evaluate(p)
		worst = math.Max(worst, math.Abs(d))
		sum += d * d
	}
	return worst, math.Sqrt(sum / points)
}

// TestMemoryOfTheReferenceRing holds the memory promised for meshing and writing the reference ring.
func TestMemoryOfTheReferenceRing(t *testing.T) {
	shape := referenceRing(t)
	result := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			m, err := Helix{ChordMM: 0.005}.Mesh(shape)
			require.NoError(b, err)
			require.NoError(b, EncodeSTL(bufio.NewWriterSize(io.Discard, 64<<10), m, "memory"))
		}
	})
	const budget = 4 << 20
	require.Positive(t, result.AllocedBytesPerOp())
	require.Less(t, result.AllocedBytesPerOp(), int64(budget))
}

// TestSTLOfTheReferenceRing holds the size promised for the reference ring.
func TestSTLOfTheReferenceRing(t *testing.T) {
	m, err := Helix{ChordMM: 0.005}.Mesh(referenceRing(t))
	require.NoError(t, err)
	var out bytes.Buffer
	require.NoError(t, EncodeSTL(&out, m, "reference"))
	require.LessOrEqual(t, out.Len(), 1_450_000)
	require.LessOrEqual(t, len(m.Faces), 28_800)
}
