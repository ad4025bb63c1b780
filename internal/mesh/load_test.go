package mesh

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/hpinc/go3mf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/datafile"
)

// gzipped packs data.
func gzipped(t testing.TB, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	_, err := w.Write(data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return b.Bytes()
}

// asOBJ writes a mesh as OBJ text.
func asOBJ(m *Mesh) []byte {
	var b bytes.Buffer
	b.WriteString("# a part\no part\n")
	for _, v := range m.Vertices {
		fmt.Fprintf(&b, "v %v %v %v\n", v[0], v[1], v[2])
	}
	b.WriteString("vn 0 0 1\n")
	for _, f := range m.Faces {
		fmt.Fprintf(&b, "f %d//1 %d//1 %d//1\n", f[0]+1, f[1]+1, f[2]+1)
	}
	return b.Bytes()
}

// asPLY writes a mesh as PLY, in text for a nil order, with what is passed over between.
func asPLY(m *Mesh, order binary.AppendByteOrder) []byte {
	format := "ascii"
	if order != nil {
		format = strings.NewReplacer("LittleEndian", "binary_little_endian", "BigEndian", "binary_big_endian").Replace(order.String())
	}
	var b bytes.Buffer
	fmt.Fprintf(&b, "ply\nformat %s 1.0\ncomment a part\nelement vertex %d\nproperty float x\nproperty double quality\nproperty float y\nproperty float z\n"+
		"element face %d\nproperty uchar flags\nproperty list uchar int vertex_indices\nend_header\n", format, len(m.Vertices), len(m.Faces))
	for _, v := range m.Vertices {
		if order == nil {
			fmt.Fprintf(&b, "%v 0.5 %v %v\n", v[0], v[1], v[2])
			continue
		}
		line := order.AppendUint32(nil, math.Float32bits(v[0]))
		line = order.AppendUint64(line, math.Float64bits(0.5))
		line = order.AppendUint32(line, math.Float32bits(v[1]))
		b.Write(order.AppendUint32(line, math.Float32bits(v[2])))
	}
	for _, f := range m.Faces {
		if order == nil {
			fmt.Fprintf(&b, "7 3 %d %d %d\n", f[0], f[1], f[2])
			continue
		}
		line := []byte{7, 3}
		for _, i := range f {
			line = order.AppendUint32(line, i)
		}
		b.Write(line)
	}
	return b.Bytes()
}

// One part is the same in every format, however it is packed.
func TestEveryFormat(t *testing.T) {
	m := torus(20, 5, 12, 9)
	want := Audit(m)
	text := bytes.ReplaceAll(asciiOf(m), []byte("\n"), []byte("\r"))
	var archive bytes.Buffer
	z := zip.NewWriter(&archive)
	for name, data := range map[string][]byte{"parts/": nil, "parts/torus.obj": asOBJ(m), "__MACOSX/parts/x": []byte("x"), ".hidden": []byte("x")} {
		w, err := z.Create(name)
		require.NoError(t, err)
		_, err = w.Write(data)
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	for _, c := range []struct {
		name, format string
		data         []byte
	}{
		{"binary STL", "binary STL", encoded(t, m)},
		{"text STL, one line end a line, of the oldest kind", "text STL", text},
		{"3MF", "3MF", encoded3MF(t, Object{Mesh: m})},
		{"OBJ", "OBJ", asOBJ(m)},
		{"OBJ, Windows", "OBJ", bytes.ReplaceAll(asOBJ(m), []byte("\n"), []byte("\r\n"))},
		{"text PLY", "PLY", asPLY(m, nil)},
		{"PLY, little end first", "PLY", asPLY(m, binary.LittleEndian)},
		{"PLY, big end first", "PLY", asPLY(m, binary.BigEndian)},
		{"gzip of STL", "binary STL, packed by gzip", gzipped(t, encoded(t, m))},
		{"gzip of PLY", "PLY, packed by gzip", gzipped(t, asPLY(m, binary.BigEndian))},
		{"zip of one", "OBJ, packed by zip", archive.Bytes()},
		{"zip of one with its papers", "OBJ, packed by zip", packed(t, "LICENCE.txt", "free", "a folder/part.OBJ", string(asOBJ(m)), "photo.png", "x")},
	} {
		t.Run(c.name, func(t *testing.T) {
			part, err := Decode(bytes.NewReader(c.data), int64(len(c.data)), Options{})
			require.NoError(t, err)
			assert.Equal(t, c.format, part.Format)
			requireSameSoundness(t, withoutNesting(want), Audit(part.Mesh))
			inches, err := Decode(bytes.NewReader(c.data), int64(len(c.data)), Options{UnitMM: 25.4})
			require.NoError(t, err)
			assert.InEpsilon(t, want.VolumeMM3*25.4*25.4*25.4, Audit(inches.Mesh).VolumeMM3, 1e-6)
		})
	}
}

// asciiOf is a mesh as text STL.
func asciiOf(m *Mesh) []byte {
	var b bytes.Buffer
	b.WriteString("solid part\n")
	for _, f := range m.Faces {
		b.WriteString("facet normal 0 0 0\nouter loop\n")
		for _, i := range f {
			v := m.Vertices[i]
			fmt.Fprintf(&b, "vertex %v %v %v\n", v[0], v[1], v[2])
		}
		b.WriteString("endloop\nendfacet\n")
	}
	b.WriteString("endsolid part\n")
	return b.Bytes()
}

func TestWhatIsNoPartIsNamed(t *testing.T) {
	skipInBrief(t)
	m := box(Vec{}, Vec{1, 1, 1})
	iges := fmt.Sprintf("%-72sS%7d\r\n", "a part", 1)
	for _, c := range []struct {
		name string
		data []byte
		want error
		says string
	}{
		{"STEP", []byte("ISO-10303-21;\nHEADER;\n"), ErrNotPart, "a STEP file, which holds curves and not triangles; export the part as STL or 3MF"},
		{"IGES", []byte(iges), ErrNotPart, "an IGES file"},
		{"DXF", []byte("  0\r\nSECTION\r\n"), ErrNotPart, "a DXF drawing"},
		{"glTF", []byte(`{"asset":{"version":"2.0"}}`), ErrNotPart, "a glTF scene"},
		{"a web page", []byte("<!DOCTYPE html><html>"), ErrNotPart, "a web page"},
		{"a 7z archive", []byte("7z\xbc\xaf\x27\x1c\x00\x04"), ErrNotPart, "unpack it first"},
		{"UTF-16", []byte("\xff\xfes\x00o\x00"), ErrNotPart, "UTF-16"},
		{"packed twice", gzipped(t, gzipped(t, encoded(t, m))), ErrNotPart, "packed twice"},
		{"a package in gzip", gzipped(t, encoded3MF(t, Object{Mesh: m})), ErrNotPart, "packed twice"},
		{"several files", packed(t, "a.stl", "x", "b.stl", "y"), ErrManyParts, "a.stl, b.stl"},
		{"a part in two formats", packed(t, "a.stl", "x", "a.3mf", "y", "licence.txt", "z"), ErrManyParts, "(a.stl, a.3mf)"},
		{"bytes without a zero", bytes.Repeat([]byte("\x9d\x07b"), 400), ErrNotPart, "bytes that no known format has"},
		{"an empty archive", packed(t), ErrNotPart, ""},
		{"zeros", gzipped(t, make([]byte, 32<<20)), ErrTrailing, ""},
		{"a bomb that says solid", gzipped(t, append([]byte("solid x\n"), bytes.Repeat([]byte(" "), 64<<20)...)), ErrSwollen, "unpack to more"},
		{"gzip cut short", gzipped(t, encoded(t, torus(20, 5, 30, 30)))[:2000], ErrTruncated, "1800 triangles"},
		{"OBJ on a missing vertex", []byte("v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n"), ErrBadIndex, "line 4: a face on vertex 4 of 3"},
		{"OBJ of two corners", []byte("v 0 0 0\nv 1 0 0\nf 1 2\n"), ErrNotPart, "line 3"},
		{"OBJ with a word for a number", []byte("v 0 0 zero\n"), ErrNotPart, `line 1 has "zero" where a number`},
		{"OBJ of points", []byte("v 0 0 0\nv 1 0 0\n"), ErrNoTriangles, ""},
		{"PLY cut short", asPLY(m, binary.LittleEndian)[:len(asPLY(m, binary.LittleEndian))-20], ErrTruncated, "of 12"},
		{"PLY text cut short", asPLY(m, nil)[:len(asPLY(m, nil))-20], ErrTruncated, ""},
		{"PLY without a format", []byte("ply\nformat morse 1.0\nend_header\n"), ErrNotPart, `"morse"`},
		{"PLY on a missing vertex", bytes.Replace(asPLY(m, nil), []byte("7 3 "), []byte("7 3 9"), 1), ErrBadIndex, "face 1 of 12"},
		{"PLY of points", asPLY(&Mesh{Vertices: m.Vertices}, nil), ErrNoTriangles, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			part, err := Decode(bytes.NewReader(c.data), int64(len(c.data)), Options{})
			require.Error(t, err)
			if c.want != nil {
				require.ErrorIs(t, err, c.want)
			}
			require.ErrorContains(t, err, c.says)
			assert.Nil(t, part)
			assert.Less(t, len(err.Error()), 400)
		})
	}
}

// A pipe is refused before it is opened: opening would wait for a writer.
func TestPipesAreRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe.stl")
	require.NoError(t, syscall.Mkfifo(path, 0o600))
	_, err := Load(t.Context(), path, Options{})
	require.ErrorIs(t, err, datafile.ErrNoFile)
	require.ErrorContains(t, err, "is a pipe")
}

// Faces of any number of corners are covered once, hollow outlines too.
func TestPolygonsAreCut(t *testing.T) {
	// An upright L of 2 x 2 less 1 x 1, whose first corner does not see all others.
	obj := "v 2 0 1\nv 2 0 2\nv 0 0 2\nv 0 0 0\nv 1 0 0\nv 1 0 1\nf 1 2 3 4 5 6\n"
	m, err := decoded([]byte(obj))
	require.NoError(t, err)
	require.Len(t, m.Faces, 4)
	area, n := 0.0, [3]float64{}
	for _, f := range m.Faces {
		x, y, z := cross(&m.Vertices[f[0]], &m.Vertices[f[1]], &m.Vertices[f[2]])
		area += math.Sqrt(x*x+y*y+z*z) / 2
		n[0], n[1], n[2] = n[0]+x/2, n[1]+y/2, n[2]+z/2
	}
	assert.InDelta(t, 3, area, 1e-6)
	assert.InDelta(t, -3, n[1], 1e-6, "it faces as its outline runs")
	m, err = decoded([]byte("v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nf -4 -3 \\\n-2 -1\n"))
	require.NoError(t, err)
	assert.Len(t, m.Faces, 2, "numbered from the end, on two lines")
}

// Corners that rounding has parted are taken for one, and that is told; far ones are not.
func TestWeldingWithTolerance(t *testing.T) {
	m := torus(20, 5, 24, 16)
	jittered := func(by float32) []byte {
		n := &Mesh{}
		for i, f := range m.Faces {
			for k, v := range f {
				p := m.Vertices[v]
				p[k] += by * float32((i*7+k*3)%5-2)
				n.Vertices = append(n.Vertices, p)
			}
			last := uint32(len(n.Vertices))
			n.Faces = append(n.Faces, [3]uint32{last - 3, last - 2, last - 1})
		}
		return encoded(t, n)
	}
	data := jittered(2e-6)
	part, err := Decode(bytes.NewReader(data), int64(len(data)), Options{})
	require.NoError(t, err)
	assert.True(t, Audit(part.Mesh).Sound())
	assert.Len(t, part.Faces, len(m.Faces))
	assert.Positive(t, part.Welded)
	assert.Positive(t, part.WeldedMM)
	assert.Less(t, part.WeldedMM, 2e-5)
	data = jittered(1e-3)
	part, err = Decode(bytes.NewReader(data), int64(len(data)), Options{})
	require.NoError(t, err)
	assert.Positive(t, Audit(part.Mesh).OpenEdges)
}

// Units, components in components, and what turns, mirrors and scales them.
func Test3MFOfOtherPrograms(t *testing.T) {
	cube := `<object id="1"><mesh><vertices>`
	m := box(Vec{}, Vec{1, 1, 1})
	for _, v := range m.Vertices {
		cube += fmt.Sprintf(`<vertex y="%v" x="%v" z="%v" />`, v[1], v[0], v[2]) + "\n"
	}
	cube += "</vertices>\n<triangles>"
	for _, f := range m.Faces {
		cube += fmt.Sprintf(`<triangle v1="%d" v2="%d" v3="%d" pid="1" />`, f[0], f[1], f[2])
	}
	cube += `</triangles></mesh></object>`
	two := cube + `<object id="2"><components><component objectid="1"/><component objectid="1" transform="-2 0 0 0 1 0 0 0 1 -1 0 0"/></components></object>` +
		`<object id="3"><components><component objectid="2" transform="1 0 0 0 1 0 0 0 1 0 0 5"/></components></object>` + `<object id="4" type="support">` + cube[len(`<object id="1">`):]
	data := modelled(t, "inch", two, `<item objectid="3" transform="0 1 0 -1 0 0 0 0 1 0 0 0"/><item objectid="4"/>`)
	part, err := Decode(bytes.NewReader(data), int64(len(data)), Options{})
	require.NoError(t, err)
	assert.InDelta(t, 25.4, part.StatedMM, 1e-9)
	s := Audit(part.Mesh)
	assert.True(t, s.Sound(), "%v", s.Faults())
	assert.Equal(t, 2, s.Shells)
	assert.InEpsilon(t, 3*25.4*25.4*25.4, s.VolumeMM3, 1e-6)
	// x from -3 to 1 becomes y, y becomes -x, and all is 5 up.
	for k, want := range [2][3]float64{{-1, -3, 5}, {0, 1, 6}} {
		for axis := range 3 {
			assert.InDelta(t, want[axis]*25.4, s.BoundsMM[k][axis], 1e-4)
		}
	}
	// The same, of two files in one package.
	root := strings.Replace(two[len(cube):], `<component objectid="1"/>`, `<component objectid="1" p:path="/3D/Objects/cube.model" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06"/>`, 1)
	root = strings.Replace(root, `<component objectid="1" transform`, `<component objectid="1" p:path="/3D/Objects/cube.model" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06" transform`, 1)
	frame := `<model unit="millimeter" xmlns="` + go3mf.Namespace + `"><resources>%s</resources><build>%s</build></model>`
	data = packed(t, typesPart, typesText, relationsPart, relationsText,
		"3D/Objects/cube.model", fmt.Sprintf(frame, cube, ""), "3D/3dmodel.model", fmt.Sprintf(frame, root, `<item objectid="3"/>`))
	part, err = Decode(bytes.NewReader(data), int64(len(data)), Options{})
	require.NoError(t, err)
	assert.InEpsilon(t, 3, Audit(part.Mesh).VolumeMM3, 1e-6)
}

func FuzzLoad(f *testing.F) {
	m := box(Vec{}, Vec{1, 1, 1})
	for _, data := range [][]byte{[]byte("v nan 0 0\nv 1 inf 0\nv 0 1 0\nv 0 0 1\nf 1 2 3 4\n"), asOBJ(m), asPLY(m, nil), asPLY(m, binary.LittleEndian), asPLY(m, binary.BigEndian), gzipped(f, encoded(f, m)), packed(f, "a.stl", asciiTriangle), encoded3MF(f, Object{Mesh: m})} {
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		part, err := Decode(bytes.NewReader(data), int64(len(data)), Options{})
		if err != nil {
			require.Nil(t, part)
			return
		}
		require.NoError(t, part.Check())
		require.NotEmpty(t, part.Faces)
		_ = Audit(part.Mesh).Faults()
	})
}
