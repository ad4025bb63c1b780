package mesh

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tryring/internal/datafile"

	"github.com/hpinc/go3mf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var testMeta = Meta{Title: `1 3/4-12 UN to M48x2 <"&'>`, Description: "For test-fitting only.\nNever under pressure."}

// encoded3MF is a package with testMeta.
func encoded3MF(t testing.TB, objects ...Object) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Encode3MF(&b, objects, testMeta))
	return b.Bytes()
}

// onDisk puts bytes into a file.
func onDisk(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.3mf")
	require.NoError(t, os.WriteFile(path, data, 0o600))
	return path
}

// plainMesh copies the library's mesh into ours.
func plainMesh(from *go3mf.Mesh) *Mesh {
	m := &Mesh{
		Vertices: make([]Vec, len(from.Vertices.Vertex)),
		Faces:    make([][3]uint32, len(from.Triangles.Triangle)),
	}
	for i, v := range from.Vertices.Vertex {
		m.Vertices[i] = Vec(v)
	}
	for i := range from.Triangles.Triangle {
		t := &from.Triangles.Triangle[i]
		m.Faces[i] = [3]uint32{t.V1, t.V2, t.V3}
	}
	return m
}

func TestEncode3MFReadByTheLibrary(t *testing.T) {
	tube, cube := referenceTube(), box(Vec{}, Vec{1, 2, 3})
	data := encoded3MF(t, Object{Name: "ring <1>", Mesh: tube}, Object{Name: "cube", Mesh: cube, X: 60.5, Y: -7.125})
	var model go3mf.Model
	require.NoError(t, go3mf.NewDecoder(bytes.NewReader(data), int64(len(data))).Decode(&model), "strict")
	require.NoError(t, model.Validate())
	require.NoError(t, model.ValidateCoherency())

	assert.Equal(t, go3mf.UnitMillimeter, model.Units)
	assert.Equal(t, "en-US", model.Language)
	require.Len(t, model.Metadata, 2)
	assert.Equal(t, testMeta.Title, model.Metadata[0].Value)
	assert.Equal(t, testMeta.Description, model.Metadata[1].Value)
	require.Len(t, model.Resources.Objects, 2)
	assert.Equal(t, "ring <1>", model.Resources.Objects[0].Name)
	assert.Equal(t, tube, plainMesh(model.Resources.Objects[0].Mesh), "every digit comes back")
	assert.Equal(t, cube, plainMesh(model.Resources.Objects[1].Mesh))
	require.Len(t, model.Build.Items, 2)
	assert.False(t, model.Build.Items[0].HasTransform())
	at := model.BoundingBox()
	assert.InDelta(t, 61.5, at.Max[0], 1e-6)
}

func TestEncode3MFPackage(t *testing.T) {
	objects := []Object{{Name: "tube", Mesh: referenceTube()}}
	data := encoded3MF(t, objects...)
	assert.Equal(t, data, encoded3MF(t, objects...), "same input, same bytes")

	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		assert.Equal(t, packageTime, f.Modified.UTC(), f.Name)
		assert.Zero(t, f.Flags&8, "%s: sizes stand in front of the data", f.Name)
		r, err := f.Open()
		require.NoError(t, err)
		text, err := io.ReadAll(r)
		require.NoError(t, err, "%s: checksum", f.Name)
		assert.True(t, strings.HasPrefix(string(text), "<?xml"), f.Name)
	}
	assert.Equal(t, []string{"[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"}, names)
}

func TestEncode3MFText(t *testing.T) {
	m := &Mesh{Vertices: []Vec{{0, float32(math.Copysign(0, -1)), GridMM}, {1.5, 0, 0}, {0, -2, 100.1}}, Faces: [][3]uint32{{0, 1, 2}}}
	data := encoded3MF(t, Object{Name: "one & only", Mesh: m, X: 60, Y: -0.5})
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	f, err := z.Open("3D/3dmodel.model")
	require.NoError(t, err)
	got, err := io.ReadAll(f)
	require.NoError(t, err)
	// Elements and attributes of the 3MF Core Specification 1.3, chapters 3 to 5.
	want := `<?xml version="1.0" encoding="UTF-8"?>` + "\n" +
		`<model xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02" unit="millimeter" xml:lang="en-US">` +
		`<metadata name="Title">1 3/4-12 UN to M48x2 &lt;&#34;&amp;&#39;&gt;</metadata>` +
		`<metadata name="Description">For test-fitting only.&#xA;Never under pressure.</metadata>` +
		`<resources><object id="1" name="one &amp; only"><mesh><vertices>` +
		`<vertex x="0" y="0" z="0.000015258789"/><vertex x="1.5" y="0" z="0"/><vertex x="0" y="-2" z="100.1"/>` +
		`</vertices><triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh></object></resources>` +
		`<build><item objectid="1" transform="1.000 0.000 0.000 0.000 1.000 0.000 0.000 0.000 1.000 60.000 -0.500 0.000"/></build></model>`
	assert.Equal(t, want, string(got))
}

func TestEncode3MFKeepsNeighboursApart(t *testing.T) {
	m := &Mesh{Faces: [][3]uint32{{0, 1, 2}}}
	for _, x := range []float32{255.99998, math.Nextafter32(255.99998, 256), 1e-7} {
		m.Vertices = append(m.Vertices, Vec{x, GridMM, -x})
	}
	got, _, err := decode3MF(onDisk(t, encoded3MF(t, Object{Mesh: m})))
	require.NoError(t, err)
	assert.Equal(t, m, got[0].Mesh)
}

func Test3MFThereAndBack(t *testing.T) {
	objects := []Object{{"a", box(Vec{}, Vec{1, 1, 1}), 0, 0}, {"b", torus(20, 5, 30, 15), 50, 0.125}}
	path := onDisk(t, encoded3MF(t, objects...))
	got, meta, err := decode3MF(path)
	require.NoError(t, err)
	assert.Equal(t, objects, got)
	assert.Equal(t, testMeta, meta)
}

// Test3MFLongWords has words that are longer than what is read at once.
func Test3MFLongWords(t *testing.T) {
	meta := Meta{Title: strings.Repeat("ring ", modelBuffer), Description: "For test-fitting only."}
	objects := []Object{{Name: "a", Mesh: box(Vec{}, Vec{1, 1, 1})}}
	var b bytes.Buffer
	require.NoError(t, Encode3MF(&b, objects, meta))
	got, gotMeta, err := decode3MF(onDisk(t, b.Bytes()))
	require.NoError(t, err)
	assert.Equal(t, objects, got)
	assert.Equal(t, meta, gotMeta)
}

func TestEncode3MFRefuses(t *testing.T) {
	cube := box(Vec{}, Vec{1, 1, 1})
	hole, wild := copyMesh(cube), copyMesh(cube)
	hole.Faces[2][1] = 8
	wild.Vertices[3][0] = float32(math.Inf(1))
	for _, c := range []struct {
		name    string
		objects []Object
		want    error
	}{
		{"nothing", nil, ErrNoObjects},
		{"no mesh", []Object{{Name: "x"}}, ErrNoObjects},
		{"no triangles", []Object{{Mesh: &Mesh{}}}, ErrNoObjects},
		{"missing vertex", []Object{{Mesh: hole}}, ErrBadIndex},
		{"infinite", []Object{{Mesh: wild}}, ErrNotFinite},
		{"placed nowhere", []Object{{Mesh: cube, Y: math.NaN()}}, ErrNotFinite},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			require.ErrorIs(t, Encode3MF(&b, c.objects, Meta{}), c.want)
			assert.Zero(t, b.Len())
		})
	}
}

func TestEncode3MFPassesOnTheWritersError(t *testing.T) {
	objects := []Object{{Mesh: torus(20, 5, 20, 10)}}
	size := len(encoded3MF(t, objects...))
	for left := 0; left < size; left += 101 {
		require.ErrorIs(t, Encode3MF(&failsAt{left}, objects, testMeta), errFull, "after %d bytes", left)
	}
}

// packed is a package of the parts given, name before text.
func packed(t testing.TB, parts ...string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for i := 0; i < len(parts); i += 2 {
		w, err := z.Create(parts[i])
		require.NoError(t, err)
		_, err = io.WriteString(w, parts[i+1])
		require.NoError(t, err)
	}
	require.NoError(t, z.Close())
	return b.Bytes()
}

// modelled is a package of a model that is given in full but for its frame.
func modelled(t testing.TB, unit, resources, build string) []byte {
	return packed(t, typesPart, typesText, relationsPart, relationsText, "3D/3dmodel.model",
		`<model unit="`+unit+`" xmlns="`+go3mf.Namespace+`"><resources>`+resources+`</resources><build>`+build+`</build></model>`)
}

const (
	oneFace = `<object id="1"><mesh><vertices><vertex x="0" y="0" z="0"/><vertex x="1" y="0" z="0"/><vertex x="0" y="1" z="0"/></vertices>` +
		`<triangles><triangle v1="0" v2="1" v3="2"/></triangles></mesh></object>`
	oneItem = `<item objectid="1"/>`
)

func TestDecode3MFRefuses(t *testing.T) {
	good := encoded3MF(t, Object{Mesh: box(Vec{}, Vec{1, 1, 1})})
	zeros := strings.Repeat(" ", 20<<20)
	whole := `<model unit="millimeter" xmlns="` + go3mf.Namespace + `"><resources>` + oneFace + `</resources><build>` + oneItem + `</build></model>`
	for _, c := range []struct {
		name string
		data []byte
		want error
	}{
		{"empty", nil, ErrNot3MF},
		{"nonsense", []byte("nonsense"), ErrNot3MF},
		{"cut short", good[:len(good)/2], ErrNot3MF},
		{"empty zip", packed(t), ErrNot3MF},
		{"zip of something else", packed(t, "a.txt", "hello"), ErrNot3MF},
		{"model without a package", packed(t, "3D/3dmodel.model", "<model/>"), ErrNoObjects},
		{"swells", modelled(t, "millimeter", oneFace+zeros, oneItem), ErrSwollen},
		{"many parts", packed(t, strings.Split(strings.Repeat("x/y|", 2*maxPacked+2), "|")[:2*maxPacked+2]...), ErrSwollen},
		{"two models", packed(t, "3D/a.model", whole, "3D/b.model", whole), ErrUnread3MF},
		{"an extension that changes the shape", packed(t, "3D/a.model", strings.Replace(whole, "<model ", `<model xmlns:v="urn:v" requiredextensions="v" `, 1)), ErrUnread3MF},
		{"no such unit", modelled(t, "cubit", oneFace, oneItem), ErrNot3MF},
		{"inches", modelled(t, "inch", oneFace, oneItem), ErrUnread3MF},
		{"turned", modelled(t, "millimeter", oneFace, `<item objectid="1" transform="0 1 0 -1 0 0 0 0 1 0 0 0"/>`), ErrUnread3MF},
		{"lifted", modelled(t, "millimeter", oneFace, `<item objectid="1" transform="1 0 0 0 1 0 0 0 1 0 0 5"/>`), ErrUnread3MF},
		{"made of two", modelled(t, "millimeter", oneFace+`<object id="2"><components><component objectid="1"/><component objectid="1"/></components></object>`, `<item objectid="2"/>`), ErrUnread3MF},
		{"made of itself", modelled(t, "millimeter", `<object id="2"><components><component objectid="2"/></components></object>`, `<item objectid="2"/>`), ErrUnread3MF},
		{"made of nothing", modelled(t, "millimeter", `<object id="2"><components><component objectid="1"/></components></object>`, `<item objectid="2"/>`), ErrNot3MF},
		{"no such object", modelled(t, "millimeter", oneFace, `<item objectid="7"/>`), ErrNot3MF},
		{"nothing to build", modelled(t, "millimeter", oneFace, ""), ErrNoObjects},
		{"missing vertex", modelled(t, "millimeter", strings.Replace(oneFace, `v3="2"`, `v3="3"`, 1), oneItem), ErrBadIndex},
		{"not a number", modelled(t, "millimeter", strings.Replace(oneFace, `x="1"`, `x="nan"`, 1), oneItem), ErrNotFinite},
		{"a word for a number", modelled(t, "millimeter", strings.Replace(oneFace, `x="1"`, `x="one"`, 1), oneItem), ErrNot3MF},
		{"triangles missing", modelled(t, "millimeter", strings.Replace(oneFace, "<triangles>", "<strips>", 1), oneItem), ErrNot3MF},
		{"broken xml", modelled(t, "millimeter", "<object", oneItem), ErrNot3MF},
		{"lies about its size", lyingZip(t), ErrNot3MF},
	} {
		t.Run(c.name, func(t *testing.T) {
			objects, _, err := decode3MF(onDisk(t, c.data))
			require.ErrorIs(t, err, c.want)
			assert.Nil(t, objects)
		})
	}
	_, _, err := decode3MF(t.TempDir())
	require.ErrorIs(t, err, datafile.ErrNoFile)
	_, _, err = decode3MF(filepath.Join(t.TempDir(), "missing.3mf"))
	require.ErrorIs(t, err, os.ErrNotExist)
	got, _, err := decode3MF(onDisk(t, modelled(t, "millimeter", oneFace, oneItem)))
	require.NoError(t, err, "the frame of these cases is good")
	assert.Len(t, got[0].Mesh.Faces, 1)
}

// lyingZip has a model that unpacks to 50 MB and tells a size of 100 bytes.
func lyingZip(t testing.TB) []byte {
	t.Helper()
	var body, b bytes.Buffer
	w, err := flate.NewWriter(&body, flate.BestSpeed)
	require.NoError(t, err)
	text := bytes.Repeat([]byte(" "), 50<<20)
	_, err = w.Write(text)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	z := zip.NewWriter(&b)
	for _, part := range [][2]string{{typesPart, typesText}, {relationsPart, relationsText}} {
		w, err := z.Create(part[0])
		require.NoError(t, err)
		_, err = io.WriteString(w, part[1])
		require.NoError(t, err)
	}
	raw, err := z.CreateRaw(&zip.FileHeader{
		Name: "3D/3dmodel.model", Method: zip.Deflate, CRC32: crc32.ChecksumIEEE(text),
		CompressedSize64: uint64(body.Len()), UncompressedSize64: 100,
	})
	require.NoError(t, err)
	_, err = raw.Write(body.Bytes())
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return b.Bytes()
}

func FuzzLoad3MF(f *testing.F) {
	f.Add([]byte(oneFace), []byte(oneItem))
	f.Add([]byte(`<object id="1" a="1" b="2" c="3" d="4" e="5" f="6" g="7" h="8" i="9" j="10" k="11"/>`), []byte(oneItem))
	f.Add([]byte(oneFace+oneFace), []byte(`<item objectid="1" transform="1 0 0 0 1 0 0 0 1 3 4 0"/>`))
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, resources, build []byte) {
		path := filepath.Join(dir, "a.3mf")
		require.NoError(t, os.WriteFile(path, modelled(t, "millimeter", string(resources), string(build)), 0o600))
		objects, _, err := decode3MF(path)
		if err != nil {
			require.Nil(t, objects)
			return
		}
		require.NotEmpty(t, objects)
		for _, o := range objects {
			require.NoError(t, o.Mesh.Check())
		}
	})
}

func FuzzLoad3MFPackage(f *testing.F) {
	f.Add(encoded3MF(f, Object{Mesh: box(Vec{}, Vec{1, 1, 1})}))
	f.Add(packed(f))
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		path := filepath.Join(dir, "a.3mf")
		require.NoError(t, os.WriteFile(path, data, 0o600))
		objects, _, err := decode3MF(path)
		require.Equal(t, err != nil, objects == nil)
	})
}

func BenchmarkEncode3MF(b *testing.B) {
	m := referenceTube()
	b.Run("ours", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			var to bytes.Buffer
			if err := Encode3MF(&to, []Object{{Name: "tube", Mesh: m}}, testMeta); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(to.Len()), "bytes")
		}
	})
	b.Run("library", func(b *testing.B) {
		mesh := &go3mf.Mesh{}
		for _, v := range m.Vertices {
			mesh.Vertices.Vertex = append(mesh.Vertices.Vertex, go3mf.Point3D(v))
		}
		for _, f := range m.Faces {
			mesh.Triangles.Triangle = append(mesh.Triangles.Triangle, go3mf.Triangle{V1: f[0], V2: f[1], V3: f[2]})
		}
		model := &go3mf.Model{
			Resources: go3mf.Resources{Objects: []*go3mf.Object{{ID: 1, Mesh: mesh}}},
			Build:     go3mf.Build{Items: []*go3mf.Item{{ObjectID: 1}}},
		}
		b.ReportAllocs()
		for b.Loop() {
			var to bytes.Buffer
			e := go3mf.NewEncoder(&to)
			e.FloatPrecision = -1
			if err := e.Encode(model); err != nil {
				b.Fatal(err)
			}
			b.ReportMetric(float64(to.Len()), "bytes")
		}
	})
}

// decode3MF reads the 3MF file at path.
func decode3MF(path string) ([]Object, Meta, error) {
	f, err := datafile.Regular(path)
	if err != nil {
		return nil, Meta{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, Meta{}, err
	}
	objects, meta, err := Read3MF(f, info.Size())
	if err != nil {
		return nil, Meta{}, fmt.Errorf("%s: %w", path, err)
	}
	return objects, meta, nil
}
