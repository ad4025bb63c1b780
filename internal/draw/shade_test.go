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

func shaded(t testing.TB, m *mesh.Mesh, v View) (picture []byte, read *image.Paletted) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Shade(&b, m, v))
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
				v := DefaultView()
				whole, _ := shaded(t, m, v)
				keep(t, "view "+name+".png", whole)
				v.Cut = true
				cut, _ := shaded(t, m, v)
				keep(t, "view cut "+name+".png", cut)
				again, _ := shaded(t, m, v)
				assert.Equal(t, cut, again, "the same mesh must give the same bytes")
				assert.NotEqual(t, whole, cut)
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
	v := View{Width: 400, Height: 400, AzimuthRad: 0}
	share := 1 - 2*viewMargin
	pixelsPerMM := 400 * share / 20
	_, front := shaded(t, block(10, 20, 20), v)
	ground, cut := counts(front)
	assert.InDelta(t, 400*400-math.Pow(20*pixelsPerMM, 2), float64(ground), 4*400*2, "20 x 20 mm seen from the front")
	assert.Zero(t, cut, "nothing is cut")

	v.Cut = true
	_, opened := shaded(t, block(20, 20, 20), v)
	_, cut = counts(opened)
	// From the front both faces of the quarter stand at 45 degrees and hide nothing: together as wide as the block.
	assert.InDelta(t, math.Pow(20*pixelsPerMM, 2), float64(cut), 4*400*3, "the cut faces, seen from the front")

	v.ElevationRad = math.Pi / 2
	_, top := shaded(t, block(20, 20, 20), v)
	ground, cut = counts(top)
	assert.Zero(t, cut, "the cut faces stand on edge seen from above")
	assert.InDelta(t, 400*400-0.75*math.Pow(20*pixelsPerMM, 2), float64(ground), 4*400*2, "three quarters are left, seen from above")
}

func TestShadeLightComesFromTheLeft(t *testing.T) {
	v := View{Width: 200, Height: 200, AzimuthRad: -45 * math.Pi / 180, ElevationRad: 0.5}
	_, p := shaded(t, block(20, 20, 20), v)
	assert.Greater(t, p.ColorIndexAt(60, 120), p.ColorIndexAt(140, 120))
	assert.Greater(t, p.ColorIndexAt(100, 60), p.ColorIndexAt(140, 120), "the top is lit")
}

// TestReportWithView puts a picture into the report and takes it out again.
func TestReportWithView(t *testing.T) {
	sm := samples[6]
	m := meshOf(t, sm)
	v := DefaultView()
	v.Cut = true
	picture, _ := shaded(t, m, v)
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
	b := block(1, 1, 1)
	for name, c := range map[string]struct {
		m *mesh.Mesh
		v View
	}{
		"empty mesh": {&mesh.Mesh{}, DefaultView()},
		"no size":    {b, View{}},
		"huge":       {b, View{Width: 5000, Height: 100}},
		"not finite": {b, View{Width: 100, Height: 100, AzimuthRad: math.NaN()}},
		"too high":   {b, View{Width: 100, Height: 100, ElevationRad: 2}},
	} {
		t.Run(name, func(t *testing.T) { assert.ErrorIs(t, Shade(io.Discard, c.m, c.v), ErrView) })
	}
}

func BenchmarkShade(b *testing.B) {
	for _, s := range samples {
		if s.name != "pipe" {
			continue
		}
		m := meshOf(b, s)
		v := DefaultView()
		v.Cut = true
		for b.Loop() {
			if err := Shade(io.Discard, m, v); err != nil {
				b.Fatal(err)
			}
		}
		b.ReportMetric(float64(len(m.Faces)), "faces")
	}
}
