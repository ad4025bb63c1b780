package bench

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/build"
	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func TestRingShowsDrawingAndSizes(t *testing.T) {
	view := getJSON[ringView](t, open(t)+"/api/ring?"+twoThreads)
	require.Empty(t, view.Faults)
	assert.Equal(t, "IN 1 5/8-16 UN OUT 1 7/8-14 UNS", view.Threads)
	assert.NotEmpty(t, view.Checks)
	require.Len(t, view.Fits, 2)
	for _, f := range view.Fits {
		assert.True(t, f.Verdict.Usable(), "%+v", f)
		assert.Contains(t, f.Why, "clearance")
	}
	dec := xml.NewDecoder(bytes.NewReader([]byte(view.SVG)))
	elements := 0
	for {
		token, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if _, is := token.(xml.StartElement); is {
			elements++
		}
	}
	assert.Greater(t, elements, 50)
	found := map[string]string{}
	for _, f := range view.Facts {
		found[f.What] = f.Value
	}
	// Basic major diameter 1.875 in = 47.625 mm (ASME B1.1), less the gap of 0.32 mm: a fifth of the finer pitch, where no
	// printer is named.
	assert.Equal(t, "47.30 ± 0.26 mm (1.862 ± 0.010 in)", found["Outside, on your caliper"])
}

func TestFitDrawing(t *testing.T) {
	at := open(t)
	var drawn [][]byte
	for _, side := range []string{"inner", "outer", "both"} {
		status, head, body := get(t, at+"/api/fit?side="+side+"&"+twoThreads)
		require.Equal(t, http.StatusOK, status)
		assert.Equal(t, "image/svg+xml", head.Get("Content-Type"))
		assert.Contains(t, string(body), "<svg")
		drawn = append(drawn, body)
	}
	assert.NotEqual(t, drawn[0], drawn[1])
	assert.NotEqual(t, drawn[1], drawn[2])
	status, _, _ := get(t, at+"/api/fit?side=both&height=x&"+twoThreads)
	assert.Equal(t, http.StatusNoContent, status, "/api/ring tells what is wrong")
	status, _, _ = get(t, at+"/api/fit?side=top&"+twoThreads)
	assert.Equal(t, http.StatusBadRequest, status)
}

// unpackMesh reads what packMesh wrote, as the page does.
func unpackMesh(t *testing.T, data []byte) *mesh.Mesh {
	t.Helper()
	require.GreaterOrEqual(t, len(data), 8)
	vertices, faces := binary.LittleEndian.Uint32(data), binary.LittleEndian.Uint32(data[4:])
	size := uint32(4)
	if vertices <= 1<<16 {
		size = 2
	}
	require.Len(t, data, int(8+12*vertices+3*size*faces))
	m := &mesh.Mesh{}
	number := func(i uint32) float32 { return math.Float32frombits(binary.LittleEndian.Uint32(data[8+4*i:])) }
	for v := range vertices {
		m.Vertices = append(m.Vertices, mesh.Vec{number(3 * v), number(3*v + 1), number(3*v + 2)})
	}
	corner := func(i uint32) uint32 {
		at := data[8+12*vertices+size*i:]
		if size == 2 {
			return uint32(binary.LittleEndian.Uint16(at))
		}
		return binary.LittleEndian.Uint32(at)
	}
	for f := range faces {
		m.Faces = append(m.Faces, [3]uint32{corner(3 * f), corner(3*f + 1), corner(3*f + 2)})
	}
	return m
}

func TestMeshIsTheOneThatIsPrinted(t *testing.T) {
	at := open(t)
	for _, c := range []struct {
		name, query string
		many        bool
	}{{"as usual", twoThreads, false}, {"with more vertices than two bytes count", twoThreads + "&chord=0.0006&height=40", true}} {
		t.Run(c.name, func(t *testing.T) {
			status, head, body := get(t, at+"/api/mesh?"+c.query)
			require.Equal(t, http.StatusOK, status)
			assert.Equal(t, meshType, head.Get("Content-Type"))
			shown := unpackMesh(t, body)
			assert.Equal(t, c.many, len(shown.Vertices) > 1<<16)
			_, _, stl := get(t, at+"/file/ring.stl?"+c.query)
			printed, err := mesh.ReadBack(bytes.NewReader(stl))
			require.NoError(t, err)
			require.Equal(t, len(printed.Faces), len(shown.Faces))
			for i, f := range printed.Faces {
				for k := range f {
					require.Equal(t, printed.Vertices[f[k]], shown.Vertices[shown.Faces[i][k]], "face %d", i)
				}
			}
			s := mesh.Audit(shown)
			assert.True(t, s.Sound())
		})
	}
}

func TestFaults(t *testing.T) {
	at := open(t)
	for _, c := range []struct {
		name, query, field, says string
	}{
		{"no inner thread", "outer=M30", "inner", "name the thread"},
		{"no outer thread", "inner=M20", "outer", "name the thread"},
		{"inner in no form", "inner=wide&outer=M30", "inner", `"wide"`},
		{"outer in no form", "inner=M20&outer=wide", "outer", `"wide"`},
		{"height no length", "height=12x&" + twoThreads, "height", `unknown unit "x"`},
		{"height too high", "height=9999&" + twoThreads, "height", "250"},
		{"clearance no length", "clearance=abc&" + twoThreads, "clearance", `"abc"`},
		{"clearance too wide", "clearance=9&" + twoThreads, "clearance", "3 mm"},
		{"clearance inside", "inner_clearance=9&" + twoThreads, "inner_clearance", "3 mm"},
		{"clearance outside", "outer_clearance=9&" + twoThreads, "outer_clearance", "3 mm"},
		{"printer", "printer=nobody&" + twoThreads, "printer", `"nobody"`},
		{"grip", "grip=wings&" + twoThreads, "grip", "scallop"},
		{"layout", "layout=beside&" + twoThreads, "layout", "stacked"},
		{"no wall", "layout=nested&inner=M30&outer=M20", "layout", "wall"},
		{"label", "label=" + url.QueryEscape("ABCDEFGHIJKLMNOPQRSTUVWXYZ ABCDEFGHIJKLMNOPQRSTUVWXYZ ABCDEFGHIJKLMNOPQRSTUVWXYZ") + "&" + twoThreads, "label", "60"},
		{"name", "name=a/b&" + twoThreads, "name", "letters"},
		{"name that climbs", "name=../up&" + twoThreads, "name", "letters"},
		{"chord", "chord=9&" + twoThreads, "chord", "between"},
		{"unit", "unit=cubit&" + twoThreads, "unit", "mm or inch"},
		{"field too long", "label=" + string(bytes.Repeat([]byte("x"), maxField+1)) + "&" + twoThreads, "label", "200"},
		{"no text", "label=%01&" + twoThreads, "label", "no text"},
		{"not UTF-8", "label=%ff&" + twoThreads, "label", "no text"},
		{"too many triangles", "inner=M100x0.5&outer=M110x0.5&height=200&chord=0.0005", "chord", "triangles"},
	} {
		t.Run(c.name, func(t *testing.T) {
			view := getJSON[ringView](t, at+"/api/ring?"+c.query)
			require.NotEmpty(t, view.Faults)
			assert.Equal(t, c.field, view.Faults[0].Field, "%v", view.Faults)
			assert.Contains(t, view.Faults[0].Text, c.says)
			assert.Empty(t, view.SVG)
			for _, path := range []string{"/api/mesh?", "/file/ring.stl?", "/file/ring.html?"} {
				status, _, body := get(t, at+path+c.query)
				if path == "/api/mesh?" {
					assert.Equal(t, http.StatusNoContent, status)
					continue
				}
				assert.Equal(t, http.StatusUnprocessableEntity, status, path)
				assert.Contains(t, string(body), c.says, path)
			}
		})
	}
	all := getJSON[ringView](t, at+"/api/ring?height=x&clearance=y&name=/")
	fields := map[string]bool{}
	for _, f := range all.Faults {
		fields[f.Field] = true
	}
	assert.Equal(t, map[string]bool{"inner": true, "outer": true, "height": true, "clearance": true, "name": true}, fields, "all at once")
}

func TestInchSwitch(t *testing.T) {
	at := open(t)
	inch := getJSON[ringView](t, at+"/api/ring?unit=inch&height=7/8&clearance=.012&"+twoThreads)
	mm := getJSON[ringView](t, at+"/api/ring?height=22.225&clearance=0.3048&"+twoThreads)
	require.Empty(t, inch.Faults)
	assert.Equal(t, mm.Facts, inch.Facts)
	written := getJSON[ringView](t, at+"/api/ring?unit=inch&height=22.225mm&clearance=0.3048mm&"+twoThreads)
	assert.Equal(t, mm.Facts, written.Facts, "a unit that is written goes before the switch")
}

func TestFilesAreProvedAndMeasured(t *testing.T) {
	at := open(t)
	query := twoThreads + "&printer=filament-0.4&name=bath&stays.bore=45.7&stays.pitch=14+tpi"
	for _, f := range ringFiles {
		status, head, body := get(t, at+"/file/"+f.path+"?"+query)
		require.Equal(t, http.StatusOK, status, "%s: %s", f.path, body)
		assert.Equal(t, f.mediaType, head.Get("Content-Type"))
		assert.Equal(t, "attachment; filename=bath"+f.ending, head.Get("Content-Disposition"))
		switch f.ending {
		case ".stl":
			m, err := mesh.ReadBack(bytes.NewReader(body))
			require.NoError(t, err)
			found, err := caliper.Measure(m, caliper.Options{})
			require.NoError(t, err)
			require.NotNil(t, found.Outer)
			assert.InDelta(t, unit.MMPerInch/14, found.Outer.PitchMM, 0.005)
			require.NotNil(t, found.Inner)
			assert.InDelta(t, unit.MMPerInch/16, found.Inner.PitchMM, 0.005)
		case ".3mf":
			objects, _, err := mesh.Read3MF(bytes.NewReader(body), int64(len(body)))
			require.NoError(t, err)
			assert.Len(t, objects, 1)
		case ".json":
			var r build.Result
			require.NoError(t, json.Unmarshal(body, &r))
			assert.Equal(t, "bath", r.Name)
			assert.True(t, r.Mesh.Closed)
			require.NotNil(t, r.Outer.Measured)
			assert.InDelta(t, r.Outer.Modelled.Major.MM(), r.Outer.Measured.MajorMM, 0.01)
		case ".pdf":
			assert.Contains(t, string(body), "/MediaBox [0 0 841.89 595.28]")
			_, _, letter := get(t, at+"/file/ring.pdf?paper=letter&"+query)
			assert.Contains(t, string(letter), "/MediaBox [0 0 792.00 612.00]")
		case ".html":
			assert.True(t, strings.Contains(string(body), "The fitting that stays: bore 45.7, pitch 14 tpi"))
		}
	}
}

func TestNothingReachesTheDisk(t *testing.T) {
	at := open(t)
	empty := t.TempDir()
	t.Chdir(empty)
	t.Setenv("TMPDIR", empty)
	for _, path := range []string{"ring.stl", "ring.html"} {
		status, _, _ := get(t, at+"/file/"+path+"?name=here&"+smallRing)
		require.Equal(t, http.StatusOK, status)
	}
	status, _, _ := get(t, at+"/file/ladder.zip?name=here&ladder.from=0.2&ladder.to=0.2&ladder.step=0.1&"+smallRing)
	require.Equal(t, http.StatusOK, status)
	left, err := filepath.Glob(filepath.Join(empty, "*"))
	require.NoError(t, err)
	assert.Empty(t, left)
	_, err = os.Stat("out")
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// TestTrianglesForetold holds the estimate to the mesh: never far below, or huge jobs would pass, and not far above.
func TestTrianglesForetold(t *testing.T) {
	tables := thread.NewTables()
	all := tables.All()
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		pick := func(name string) thread.Thread { return all[rapid.IntRange(0, len(all)-1).Draw(t, name)] }
		spec := ring.DefaultSpec(pick("inner"), pick("outer"))
		spec.Grip = rapid.SampledFrom([]ring.Grip{ring.NoGrip, ring.Scallop, ring.Flats}).Draw(t, "grip")
		p, err := ring.New(spec)
		if err != nil {
			return
		}
		chord := unit.MM(rapid.Float64Range(0.003, 0.1).Draw(t, "chord"))
		foretold := triangles(p, chord)
		if foretold > 100_000 {
			return
		}
		m, err := mesh.Helix{ChordMM: chord.MM()}.Mesh(p.Shape)
		if err != nil {
			return
		}
		tried++
		if made := len(m.Faces); float64(foretold) < 0.9*float64(made) || float64(foretold) > 1.25*float64(made) {
			t.Fatalf("%s, %s grip, chord %v: foretold %d, made %d", p.Designations(), p.Grip, chord, foretold, len(m.Faces))
		}
	})
	assert.Greater(t, tried, 20)
}

func BenchmarkRingAndMesh(b *testing.B) {
	at := open(b)
	n := 0
	for b.Loop() {
		n++
		query := fmt.Sprintf("%s&height=%.2f", twoThreads, 18+float64(n%200)/50)
		view := getJSON[ringView](b, at+"/api/ring?"+query)
		status, _, body := get(b, at+"/api/mesh?"+query)
		if len(view.Faults) > 0 || status != http.StatusOK || len(body) < 100_000 {
			b.Fatal(view.Faults, status, len(body))
		}
	}
}
