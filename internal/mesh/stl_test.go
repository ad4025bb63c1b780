package mesh

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"tryring/internal/datafile"

	"github.com/hschendel/stl"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// encoded is m as a binary STL file.
func encoded(t testing.TB, m *Mesh) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, EncodeSTL(&b, m, "tube"))
	return b.Bytes()
}

func TestEncodeSTLReadByAnIndependentReader(t *testing.T) {
	m := referenceTube()
	data := encoded(t, m)
	require.Len(t, data, 84+50*len(m.Faces))
	solid, err := stl.ReadAll(bytes.NewReader(data))
	require.NoError(t, err)
	assert.Equal(t, "tube", solid.Name)
	assert.False(t, solid.IsAscii)
	require.Len(t, solid.Triangles, len(m.Faces))
	for i, f := range m.Faces {
		got := solid.Triangles[i]
		for k := range 3 {
			require.Equal(t, m.Vertices[f[k]], Vec(got.Vertices[k]), "triangle %d corner %d", i, k)
		}
		require.Zero(t, got.Attributes)
	}
	was := make([]stl.Vec3, len(solid.Triangles))
	for i := range solid.Triangles {
		was[i] = solid.Triangles[i].Normal
	}
	solid.RecalculateNormals()
	for i := range solid.Triangles {
		for k := range 3 {
			// The library works in float32: seven digits on edges of millimetres at radii of tens.
			require.InDelta(t, solid.Triangles[i].Normal[k], was[i][k], 1e-3, "triangle %d", i)
		}
	}
}

func TestEncodeSTLBytes(t *testing.T) {
	var got bytes.Buffer
	m := &Mesh{Vertices: []Vec{{0, float32(math.Copysign(0, -1)), 0}, {1, 0, 0}, {0, 2, 0}}, Faces: [][3]uint32{{0, 1, 2}}}
	require.NoError(t, EncodeSTL(&got, m, "one"))
	want := "one" + strings.Repeat("\x00", 77) + "\x01\x00\x00\x00" +
		"\x00\x00\x00\x00" + "\x00\x00\x00\x00" + "\x00\x00\x80\x3f" + // 0 0 1
		strings.Repeat("\x00", 12) + // no -0: the same place gives the same bytes
		"\x00\x00\x80\x3f" + strings.Repeat("\x00", 8) + // 1 0 0
		strings.Repeat("\x00", 4) + "\x00\x00\x00\x40" + strings.Repeat("\x00", 4) + // 0 2 0
		"\x00\x00"
	assert.Equal(t, []byte(want), got.Bytes())
}

func TestEncodeSTLNormals(t *testing.T) {
	for _, c := range []struct {
		name    string
		a, b, c Vec
		want    Vec
	}{
		{"up", Vec{0, 0, 0}, Vec{2, 0, 0}, Vec{0, 3, 0}, Vec{0, 0, 1}},
		{"down when turned", Vec{0, 0, 0}, Vec{0, 3, 0}, Vec{2, 0, 0}, Vec{0, 0, -1}},
		{"3-4-5", Vec{0, 0, 0}, Vec{0, 1, 0}, Vec{3, 0, 4}, Vec{0.8, 0, -0.6}},
		{"no area", Vec{0, 0, 0}, Vec{1, 1, 1}, Vec{2, 2, 2}, Vec{}},
		{"tiny", Vec{0, 0, 0}, Vec{1e-30, 0, 0}, Vec{0, 1e-30, 0}, Vec{0, 0, 1}},
		{"huge", Vec{0, 0, 0}, Vec{3e38, 0, 0}, Vec{0, 3e38, 0}, Vec{0, 0, 1}},
	} {
		t.Run(c.name, func(t *testing.T) {
			data := encoded(t, &Mesh{Vertices: []Vec{c.a, c.b, c.c}, Faces: [][3]uint32{{0, 1, 2}}})
			for k := range 3 {
				got := math.Float32frombits(binary.LittleEndian.Uint32(data[84+4*k:]))
				assert.InDelta(t, c.want[k], got, 1e-7, "axis %d", k)
			}
		})
	}
}

func TestEncodeSTLRefuses(t *testing.T) {
	nan, inf := float32(math.NaN()), float32(math.Inf(-1))
	cube := box(Vec{}, Vec{1, 1, 1})
	with := func(change func(*Mesh)) *Mesh {
		m := copyMesh(cube)
		change(m)
		return m
	}
	for _, c := range []struct {
		name   string
		mesh   *Mesh
		header string
		want   error
	}{
		{"header begins with solid", cube, "solid ring", ErrHeader},
		{"header begins with Solid after a space", cube, " Solid", ErrHeader},
		{"header of 81 bytes", cube, strings.Repeat("h", 81), ErrHeader},
		{"not a number", with(func(m *Mesh) { m.Vertices[5][1] = nan }), "", ErrNotFinite},
		{"infinite", with(func(m *Mesh) { m.Vertices[7][2] = inf }), "", ErrNotFinite},
		{"missing vertex", with(func(m *Mesh) { m.Faces[3][2] = 8 }), "", ErrBadIndex},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorIs(t, EncodeSTL(&b, c.mesh, c.header), c.want)
			assert.Zero(t, b.Len(), "nothing is written of a mesh that is refused")
		})
	}
	assert.NoError(t, EncodeSTL(io.Discard, cube, strings.Repeat("h", 80)))
}

// failsAt takes so many bytes and then says that the disk is full.
type failsAt struct{ left int }

var errFull = errors.New("disk is full")

func (w *failsAt) Write(p []byte) (int, error) {
	if len(p) > w.left {
		n := w.left
		w.left = 0
		return n, errFull
	}
	w.left -= len(p)
	return len(p), nil
}

func TestEncodeSTLPassesOnTheWritersError(t *testing.T) {
	m := threadedTube(40, 20) // several chunks
	size := 84 + 50*len(m.Faces)
	require.Greater(t, size, 2*stlChunk*stlTriangleBytes)
	for left := 0; left < size; left += 997 {
		require.ErrorIs(t, EncodeSTL(&failsAt{left}, m, ""), errFull, "after %d bytes", left)
	}
	require.ErrorIs(t, EncodeSTL(&failsAt{size - 1}, m, ""), errFull)
	require.NoError(t, EncodeSTL(&failsAt{size}, m, ""))
}

// decoded reads a part file.
func decoded(data []byte) (*Mesh, error) {
	part, err := Decode(bytes.NewReader(data), int64(len(data)), Options{})
	if err != nil {
		return nil, err
	}
	return part.Mesh, nil
}

func TestSTLThereAndBack(t *testing.T) {
	for name, m := range map[string]*Mesh{
		"cube": box(Vec{-1, -2, -3}, Vec{1, 2, 3}), "torus": torus(20, 5, 31, 17), "tube": referenceTube(),
	} {
		t.Run(name, func(t *testing.T) {
			got, err := decoded(encoded(t, m))
			require.NoError(t, err)
			require.Len(t, got.Vertices, len(m.Vertices))
			require.Len(t, got.Faces, len(m.Faces))
			for i, f := range m.Faces {
				for k := range 3 {
					require.Equal(t, m.Vertices[f[k]], got.Vertices[got.Faces[i][k]])
				}
			}
			again, err := decoded(encoded(t, got))
			require.NoError(t, err)
			assert.Equal(t, got, again, "a second journey changes nothing")
		})
	}
}

// Oracle: welding with a map.
func TestWeldingAgainstAMap(t *testing.T) {
	samples := 0
	rapid.Check(t, func(t *rapid.T) {
		part := rapid.SampledFrom([]float32{0, float32(math.Copysign(0, -1)), 1, -1, 1.0000001, 5e-45, -5e-45, 3e38})
		n := rapid.IntRange(0, 400).Draw(t, "vertices")
		w, seen := newWelder(rapid.IntRange(0, 10).Draw(t, "room")), map[Vec]uint32{}
		for range n {
			v := Vec{part.Draw(t, "x"), part.Draw(t, "y"), part.Draw(t, "z")}
			want, ok := seen[v] // a map's == takes -0 for 0 too
			if !ok {
				want = uint32(len(seen))
				seen[v] = want
			}
			require.Equal(t, want, w.index(v))
			samples++
		}
		vertices := w.vertices
		require.Len(t, vertices, len(seen))
		for i, v := range vertices {
			require.Equal(t, uint32(i), seen[v], "every place stands at its index")
			for _, x := range v {
				require.False(t, x == 0 && math.Signbit(float64(x)), "no -0 is kept")
			}
		}
	})
	require.NotZero(t, samples)
}

const asciiTriangle = `solid one triangle
  facet normal 0 0 1
    outer loop
      vertex 0 0 0
      vertex 1 0 0
      vertex 0 1.5e0 0
    endloop
  endfacet
endsolid one triangle
`

func TestDecodeSTLTakes(t *testing.T) {
	cube := encoded(t, box(Vec{}, Vec{1, 1, 1}))
	lies := bytes.Clone(cube)
	copy(lies, "solid cube\nfacet")
	for _, c := range []struct {
		name            string
		data            []byte
		faces, vertices int
	}{
		{"binary", cube, 12, 8},
		{"binary that says solid", lies, 12, 8},
		{"ascii", []byte(asciiTriangle), 1, 3},
		{"no name", []byte(strings.Replace(asciiTriangle, "solid one triangle", "solid", 1)), 1, 3},
		{"capitals", []byte(strings.ToUpper(asciiTriangle)), 1, 3},
		{"windows line ends", []byte(strings.ReplaceAll(asciiTriangle, "\n", "\r\n")), 1, 3},
		{"byte order mark", []byte("\ufeff" + asciiTriangle), 1, 3},
		{"blank lines first", []byte("\n \n" + asciiTriangle), 1, 3},
		{"no new line at the end", []byte(strings.TrimSpace(asciiTriangle)), 1, 3},
		{"bare endsolid at the end", []byte(strings.TrimSuffix(asciiTriangle, " one triangle\n")), 1, 3},
		{"all facets on one line", []byte("solid x\n" + strings.ReplaceAll(asciiTriangle[len("solid one triangle\n"):], "\n", " ")), 1, 3},
		{"two solids", []byte(asciiTriangle + asciiTriangle), 2, 3},
		{"normal is nan", []byte(strings.Replace(asciiTriangle, "0 0 1", "nan -nan(ind) nan", 1)), 1, 3},
		{"a name of a megabyte", []byte("solid " + strings.Repeat("n", 1<<20) + asciiTriangle[5:]), 1, 3},
		{"minus zero is zero", []byte(asciiTriangle + strings.ReplaceAll(asciiTriangle, "vertex 0", "vertex -0")), 2, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := decoded(c.data)
			require.NoError(t, err)
			assert.Len(t, m.Faces, c.faces)
			assert.Len(t, m.Vertices, c.vertices)
		})
	}
}

func TestDecodeSTLRefuses(t *testing.T) {
	cube := encoded(t, box(Vec{}, Vec{1, 1, 1}))
	change := func(f func(b []byte) []byte) []byte { return f(bytes.Clone(cube)) }
	count := func(b []byte, n uint32) []byte { binary.LittleEndian.PutUint32(b[80:], n); return b }
	corner := func(b []byte, x float64) []byte {
		binary.LittleEndian.PutUint32(b[84+50+12:], math.Float32bits(float32(x)))
		return b
	}
	swap := func(old, new string) []byte { return []byte(strings.Replace(asciiTriangle, old, new, 1)) }
	for _, c := range []struct {
		name string
		data []byte
		want error
		says []string
	}{
		{"empty", nil, ErrEmptyFile, nil},
		{"one byte", []byte{0}, ErrNotPart, []string{"1 bytes", "84"}},
		{"83 bytes", cube[:83], ErrNotPart, []string{"83 bytes"}},
		{"header without triangles", cube[:84], ErrTruncated, []string{"12 triangles", "684 bytes", "84 bytes", "room for 0"}},
		{"count of none", count(bytes.Clone(cube[:84]), 0), ErrNoTriangles, nil},
		{"cut in the last triangle", cube[:len(cube)-1], ErrTruncated, []string{"12 triangles", "683 bytes"}},
		{"count of four thousand million", change(func(b []byte) []byte { return count(b, math.MaxUint32) }), ErrTruncated, []string{"4294967295", "684 bytes"}},
		{"bytes follow", append(bytes.Clone(cube), 1, 2, 3), ErrTrailing, []string{"12 triangles", "684 bytes", "687 bytes"}},
		{"count too small", change(func(b []byte) []byte { return count(b, 3) }), ErrTrailing, []string{"3 triangles"}},
		{"binary that says solid, cut", change(func(b []byte) []byte { copy(b, "solid"); return b[:len(b)-1] }), ErrTruncated, []string{"12 triangles"}},
		{"not a number", change(func(b []byte) []byte { return corner(b, math.NaN()) }), ErrNotFinite, []string{"triangle 2"}},
		{"infinite", change(func(b []byte) []byte { return corner(b, math.Inf(1)) }), ErrNotFinite, []string{"triangle 2"}},
		{"prose", []byte(strings.Repeat("This is a letter. ", 20)), ErrNotPart, []string{"This", "STL, 3MF, OBJ or PLY"}},
		{"solid prose", []byte("solid advice\nis rare"), ErrNotPart, []string{"line 2", `"is"`, "facet or endsolid"}},
		{"solid and no more", []byte("solid"), ErrTruncated, nil},
		{"solid with nothing in it", []byte("solid a\nendsolid a\n"), ErrNoTriangles, nil},
		{"ascii, cut in a word", []byte(asciiTriangle[:100]), ErrTruncated, []string{"line 6", `"v"`}},
		{"ascii without endsolid", swap("endsolid one triangle", ""), ErrTruncated, []string{"line 10", "endsolid"}},
		{"ascii, bad number", swap("1.5e0", "1,5"), ErrNotPart, []string{"line 6", `"1,5"`, "number"}},
		{"ascii, nan", swap("1.5e0", "nan"), ErrNotFinite, []string{"triangle 1"}},
		{"ascii, out of range", swap("1.5e0", "1e99"), ErrNotFinite, []string{"triangle 1"}},
		{"ascii, four corners", swap("endloop", "vertex 1 1 1 endloop"), ErrNotPart, []string{"line 7", "endloop"}},
		{"ascii, endless word", swap("1.5e0", strings.Repeat("1", 1<<20)), ErrNotPart, []string{"line 6"}},
		{"ascii, then bytes", append([]byte(strings.Repeat(asciiTriangle, 4)+"x"), 0, 1, ' '), ErrNotPart, []string{"line 37"}},
		{"solid, then bytes", append([]byte("solid"+strings.Repeat(" ", 600)), 0, 0, '\n'), ErrNotPart, []string{"zero bytes"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := decoded(c.data)
			require.ErrorIs(t, err, c.want)
			assert.Nil(t, m)
			assert.Less(t, len(err.Error()), 300)
			for _, s := range c.says {
				assert.ErrorContains(t, err, s)
			}
		})
	}
}

func TestLoad(t *testing.T) {
	dir := t.TempDir()
	_, err := Load(t.Context(), dir, Options{})
	require.ErrorIs(t, err, datafile.ErrNoFile)
	_, err = Load(t.Context(), filepath.Join(dir, "missing.stl"), Options{})
	require.ErrorIs(t, err, os.ErrNotExist)

	path := filepath.Join(dir, "a.stl")
	require.NoError(t, os.WriteFile(path, []byte("nonsense"), 0o600))
	_, err = Load(t.Context(), path, Options{})
	require.ErrorIs(t, err, ErrNotPart)
	require.ErrorContains(t, err, path)

	require.NoError(t, os.WriteFile(path, encoded(t, box(Vec{}, Vec{1, 1, 1})), 0o600))
	m, err := Load(t.Context(), path, Options{})
	require.NoError(t, err)
	assert.Len(t, m.Faces, 12)
	assert.Equal(t, "binary STL", m.Format)

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = Load(ctx, path, Options{})
	require.ErrorIs(t, err, context.Canceled)
}

// breaks fails with an error of its own behind so many bytes.
type breaks struct {
	*bytes.Reader
	left int64
}

func (r breaks) ReadAt(p []byte, at int64) (int, error) {
	if at+int64(len(p)) <= r.left {
		return r.Reader.ReadAt(p, at)
	}
	n, _ := r.Reader.ReadAt(p[:max(0, min(r.left-at, int64(len(p))))], at)
	return n, errFull
}

func TestDecodePassesOnTheReadersError(t *testing.T) {
	for name, data := range map[string][]byte{
		"binary": encoded(t, torus(20, 5, 40, 20)), "ascii": []byte(strings.Repeat(asciiTriangle, 40)),
	} {
		t.Run(name, func(t *testing.T) {
			for _, left := range []int{0, 1, 100, 600, len(data) - 1} {
				_, err := Decode(breaks{bytes.NewReader(data), int64(left)}, int64(len(data)), Options{})
				require.ErrorIs(t, err, errFull, "after %d bytes", left)
			}
		})
	}
}

// Oracle: the library's own ASCII reader, on files as the library writes them.
func TestASCIIAgainstTheLibrary(t *testing.T) {
	solid, err := stl.ReadAll(bytes.NewReader(encoded(t, torus(20, 5, 12, 9))))
	require.NoError(t, err)
	solid.IsAscii = true
	var text bytes.Buffer
	require.NoError(t, solid.WriteAll(&text))
	theirs, err := stl.ReadAll(bytes.NewReader(text.Bytes()))
	require.NoError(t, err)
	require.True(t, theirs.IsAscii)
	ours, err := decoded(text.Bytes())
	require.NoError(t, err)
	require.Len(t, ours.Faces, len(theirs.Triangles))
	for i, f := range ours.Faces {
		for k := range 3 {
			require.Equal(t, Vec(theirs.Triangles[i].Vertices[k]), ours.Vertices[f[k]])
		}
	}
}

// allocated is what f allocates in all, in bytes.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

func TestEncodeSTLTakesLittleMemory(t *testing.T) {
	m := referenceTube()
	got := allocated(func() { _ = EncodeSTL(io.Discard, m, "") })
	assert.Less(t, got, uint64(1<<20))
}

func TestDecodeSTLMemoryGoesWithTheFile(t *testing.T) {
	soup := &Mesh{} // no two corners meet: the worst case
	for i := range uint32(20_000) {
		x := float32(i)
		soup.Vertices = append(soup.Vertices, Vec{x, 0, 0}, Vec{x, 1, 0}, Vec{x, 0, 1})
		soup.Faces = append(soup.Faces, [3]uint32{3 * i, 3*i + 1, 3*i + 2})
	}
	for name, data := range map[string][]byte{
		"soup": encoded(t, soup), "tube": encoded(t, referenceTube()),
		"hostile count":   append(append(make([]byte, 80), 0xff, 0xff, 0xff, 0xff), make([]byte, 50_000)...),
		"hostile ascii":   []byte("solid " + strings.Repeat("facet ", 200_000)),
		"endless ascii":   []byte("solid\n" + strings.Repeat("x", 2_000_000)),
		"many tiny solid": []byte(strings.Repeat("solid\nendsolid\n", 50_000)),
	} {
		t.Run(name, func(t *testing.T) {
			got := allocated(func() { _, _ = decoded(data) })
			assert.Less(t, got, uint64(9*len(data)+1<<17), "%d bytes of file", len(data))
		})
	}
}

// sparse is a text with zeros behind it, as far as they are asked for.
type sparse string

func (s sparse) ReadAt(p []byte, off int64) (int, error) {
	clear(p)
	if off < int64(len(s)) {
		copy(p, s[off:])
	}
	return len(p), nil
}

func TestDecodeSTLOfATerabyteOfNothing(t *testing.T) {
	for _, text := range []string{"", "solid x", "solid x\n" + strings.Repeat(" ", 2*sniffBytes)} {
		got := allocated(func() {
			_, err := Decode(sparse(text), 1<<40, Options{})
			require.Error(t, err)
			require.NotErrorIs(t, err, ErrTruncated)
		})
		assert.Less(t, got, uint64(1<<20), "%.9q", text)
	}
}

func FuzzLoadSTL(f *testing.F) {
	f.Add(encoded(f, box(Vec{}, Vec{1, 1, 1})))
	f.Add([]byte(asciiTriangle))
	f.Add([]byte(asciiTriangle + asciiTriangle))
	f.Add([]byte("solid"))
	f.Add(encoded(f, box(Vec{}, Vec{1, 1, 1}))[:100])
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := decoded(data)
		if err != nil {
			require.Nil(t, m)
			return
		}
		require.NoError(t, m.Check())
		require.NotEmpty(t, m.Faces)
		require.LessOrEqual(t, len(m.Faces), len(data)/30)
		again, err := decoded(encoded(t, m))
		require.NoError(t, err)
		require.NotEmpty(t, again.Faces)
		_ = Audit(m).Sound()
	})
}

func BenchmarkEncodeSTL(b *testing.B) {
	m := referenceTube()
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if err := EncodeSTL(io.Discard, m, "tube"); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(m.Faces)), "triangles")
	})
	b.Run("library", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			solid := &stl.Solid{Name: "tube", Triangles: make([]stl.Triangle, len(m.Faces))}
			for i, f := range m.Faces {
				p, q, r := m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
				x, y, z := normal(&p, &q, &r)
				solid.Triangles[i] = stl.Triangle{Normal: stl.Vec3{x, y, z}, Vertices: [3]stl.Vec3{stl.Vec3(p), stl.Vec3(q), stl.Vec3(r)}}
			}
			if err := solid.WriteAll(io.Discard); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkDecode reads the same 28,800 triangles in each format, and binary STL by the library that reads our own files back.
func BenchmarkDecode(b *testing.B) {
	m := referenceTube()
	data := encoded(b, m)
	for _, c := range []struct {
		name string
		data []byte
	}{
		{"binary STL", data},
		{"text STL", asciiOf(m)},
		{"OBJ", asOBJ(m)},
		{"PLY", asPLY(m, binary.LittleEndian)},
		{"text PLY", asPLY(m, nil)},
		{"3MF", encoded3MF(b, Object{Mesh: m})},
		{"gzip", gzipped(b, data)},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(c.data)))
			for b.Loop() {
				if _, err := decoded(c.data); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("binary STL, read back", func(b *testing.B) {
		b.ReportAllocs()
		b.SetBytes(int64(len(data)))
		for b.Loop() {
			if _, err := ReadBack(bytes.NewReader(data)); err != nil {
				b.Fatal(err)
			}
		}
	})
}
