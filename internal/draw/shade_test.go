package draw

import (
	"bytes"
	"encoding/base64"
	"html"
	"image"
	"image/png"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/mesh"
)

func meshOf(t testing.TB, s sample) *mesh.Mesh {
	t.Helper()
	m, err := mesh.Helix{ChordMM: 0.02}.Mesh(s.plan(t).Shape)
	require.NoError(t, err)
	return m
}

func shaded(t testing.TB, m *mesh.Mesh, v eye) (picture []byte, read *image.Paletted) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, v.shade(&b, m))
	got, err := png.Decode(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.IsType(t, &image.Paletted{}, got)
	return b.Bytes(), got.(*image.Paletted)
}

func TestShadePictures(t *testing.T) {
	for _, name := range []string{"smallest", "pipe", "tapers stacked", "largest nested", "left many starts"} {
		for _, s := range samples {
			if s.name != name {
				continue
			}
			t.Run(name, func(t *testing.T) {
				m := meshOf(t, s)
				cut, _ := shaded(t, m, usualEye)
				keep(t, "view cut "+name+".png", cut)
				again, _ := shaded(t, m, usualEye)
				assert.Equal(t, cut, again, "the same mesh must give the same bytes")
			})
		}
	}
}

// block is a box from 0 to the given corner, moved so that its middle stands on the axis.
func block(x, y, z float32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for k := range 8 {
		at := mesh.Vec{-x / 2, -y / 2, 0}
		for axis, size := range []float32{x, y, z} {
			if k>>axis&1 == 1 {
				at[axis] += size
			}
		}
		m.Vertices = append(m.Vertices, at)
	}
	for _, f := range [][4]uint32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Faces = append(m.Faces, [3]uint32{f[0], f[1], f[2]}, [3]uint32{f[0], f[2], f[3]})
	}
	return m
}

// counts returns how many pixels are the ground and how many exactly the cut faces.
func counts(p *image.Paletted) (ground, cut int) {
	for _, g := range p.Pix {
		switch g {
		case groundGrey:
			ground++
		case cutGrey:
			cut++
		}
	}
	return ground, cut
}

// TestShadeOfABlock compares areas on the picture with those of a box seen straight from the front and from the top.
func TestShadeOfABlock(t *testing.T) {
	v := eye{width: 400, height: 400}
	share := 1 - 2*viewMargin
	pixelsPerMM := 400 * share / 20
	_, front := shaded(t, block(10, 20, 20), v)
	ground, _ := counts(front)
	assert.InDelta(t, 400*400-math.Pow(20*pixelsPerMM, 2), float64(ground), 4*400*2, "20 x 20 mm seen from the front")

	_, opened := shaded(t, block(20, 20, 20), v)
	_, cut := counts(opened)
	// From the front both faces of the quarter stand at 45 degrees and hide nothing: together as wide as the block.
	assert.InDelta(t, math.Pow(20*pixelsPerMM, 2), float64(cut), 4*400*3, "the cut faces, seen from the front")

	v.elevationRad = math.Pi / 2
	_, top := shaded(t, block(20, 20, 20), v)
	ground, cut = counts(top)
	assert.Zero(t, cut, "the cut faces stand on edge seen from above")
	assert.InDelta(t, 400*400-0.75*math.Pow(20*pixelsPerMM, 2), float64(ground), 4*400*2, "three quarters are left, seen from above")
}

func TestShadeLightComesFromTheLeft(t *testing.T) {
	v := eye{width: 200, height: 200, azimuthRad: -45 * math.Pi / 180, elevationRad: 0.5}
	_, p := shaded(t, block(20, 20, 20), v)
	left, right, top := p.ColorIndexAt(36, 110), p.ColorIndexAt(164, 110), p.ColorIndexAt(100, 28)
	assert.Less(t, left, uint8(cutGrey), "beside the cut")
	assert.Greater(t, left, right)
	assert.Greater(t, top, right, "the top is lit")
	assert.Less(t, top, uint8(cutGrey), "behind the cut")
}

// TestReportWithView puts a picture into the report and takes it out again.
func TestReportWithView(t *testing.T) {
	sm := samples[6]
	m := meshOf(t, sm)
	picture, _ := shaded(t, m, usualEye)
	r := reportOn(t, sm.plan(t))
	assert.NotContains(t, reportBytes(t, r), "<img")
	r.View = picture
	page := reportBytes(t, r)
	keep(t, "with view.html", []byte(page))
	found := regexp.MustCompile(`<img src="data:image/png;base64,([^"]+)" alt="[^"]+">`).FindAllStringSubmatch(page, -1)
	require.Len(t, found, 1)
	back, err := base64.StdEncoding.DecodeString(html.UnescapeString(found[0][1]))
	require.NoError(t, err)
	assert.Equal(t, picture, back)
	assert.NotContains(t, strings.ReplaceAll(page, "http://www.w3.org/2000/svg", ""), "://", "nothing is fetched")
}

func TestShadeRefuses(t *testing.T) {
	point := &mesh.Mesh{Vertices: []mesh.Vec{{1, 1, 1}}, Faces: [][3]uint32{{0, 0, 0}}}
	for name, m := range map[string]*mesh.Mesh{"empty mesh": {}, "no extent": point} {
		t.Run(name, func(t *testing.T) { assert.ErrorIs(t, Shade(io.Discard, m), ErrView) })
	}
}

func BenchmarkShade(b *testing.B) {
	for _, s := range samples {
		if s.name != "pipe" {
			continue
		}
		m := meshOf(b, s)
		for b.Loop() {
			if err := Shade(io.Discard, m); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(m.Faces)), "faces")
	}
}
