package draw

// This file draws the shaded view: the mesh that will be printed, seen from above and the front, in greys on white. The quarter
// nearest to the eye is taken away, so that both threads show; the cut faces are light.

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"

	"tryring/internal/mesh"
)

// eye says how a mesh is shown.
type eye struct {
	// width and height are in pixels. Edges have steps: show the picture at two thirds of its size.
	width, height int
	// azimuthRad and elevationRad are where the eye stands, seen from the middle of the part: from +x toward +y, and up.
	azimuthRad, elevationRad float64
}

// usualEye looks from the front right and above.
var usualEye = eye{512, 384, -50 * math.Pi / 180, 32 * math.Pi / 180}

// ErrView is returned for a mesh that cannot be drawn.
var ErrView = errors.New("shaded view")

const (
	// viewMargin is left free around the part, as a share of the picture.
	viewMargin = 0.04
	// The greys of faces run from shade (turned away from the light) to lit; cut faces and the ground are lighter than both.
	shadeGrey, litGrey, cutGrey, groundGrey = 58.0, 214.0, 236, 255
	// edgeGrey draws the outline of cut faces and of steps in depth beyond edgeShare of the part's size.
	edgeGrey, edgeShare = 40, 0.02
)

// vector is a direction or a place in the part's frame, or in the eye's: right, up, toward the eye.
type vector [3]float64

func (a vector) dot(b vector) float64 {
	return float64(a[0]*b[0]) + float64(a[1]*b[1]) + float64(a[2]*b[2])
}

func (a vector) minus(b vector) vector { return vector{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func (a vector) cross(b vector) vector {
	return vector{
		float64(a[1]*b[2]) - float64(a[2]*b[1]),
		float64(a[2]*b[0]) - float64(a[0]*b[2]),
		float64(a[0]*b[1]) - float64(a[1]*b[0]),
	}
}

func (a vector) unit() vector {
	l := math.Sqrt(a.dot(a))
	return vector{a[0] / l, a[1] / l, a[2] / l}
}

// light comes over the left shoulder, in the eye's frame.
var light = vector{-0.45, 0.62, 0.64}.unit()

// shading is a picture in the making: for each pixel the nearest depth and its grey.
type shading struct {
	eye
	right, up, to vector // the eye's frame in the part's
	scale         float64
	middle        vector
	depth         []float32
	grey          []uint8
	// ahead and aside bound the quarter that is taken away: it is where both are positive, in the part's frame.
	ahead, aside vector
}

// greys is a palette of all 256 greys in their order: the encoder takes half as long with one as with a grey picture.
var greys = func() color.Palette {
	p := make(color.Palette, 256)
	for i := range p {
		p[i] = color.Gray{Y: uint8(i)}
	}
	return p
}()

// Shade draws m, cut open, as a PNG of greys: light from the upper left, orthogonal, the same bytes for the same mesh.
// Errors: ErrView for a mesh that is empty or has no extent, and those of w.
func Shade(w io.Writer, m *mesh.Mesh) error { return usualEye.shade(w, m) }

func (e eye) shade(w io.Writer, m *mesh.Mesh) error {
	s, err := newShading(m, e)
	if err != nil {
		return err
	}
	corners := make([]corner, len(m.Vertices))
	for i := range corners {
		corners[i] = s.corner(m.Vertices[i])
	}
	for _, f := range m.Faces {
		s.face(&corners[f[0]], &corners[f[1]], &corners[f[2]])
	}
	s.edges()
	picture := &image.Paletted{Pix: s.grey, Stride: s.width, Rect: image.Rect(0, 0, s.width, s.height), Palette: greys}
	return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, picture)
}

func newShading(m *mesh.Mesh, e eye) (*shading, error) {
	if len(m.Faces) == 0 {
		return nil, fmt.Errorf("%w: the mesh is empty", ErrView)
	}
	sinA, cosA := math.Sincos(e.azimuthRad)
	sinE, cosE := math.Sincos(e.elevationRad)
	s := &shading{eye: e}
	s.right, s.to = vector{-sinA, cosA, 0}, vector{cosA * cosE, sinA * cosE, sinE}
	s.up = s.to.cross(s.right)
	const eighth = math.Pi / 4
	for k, side := range []*vector{&s.ahead, &s.aside} {
		sin, cos := math.Sincos(e.azimuthRad + eighth*(1-2*float64(k)))
		*side = vector{cos, sin, 0}
	}
	low, high := vector{math.Inf(1), math.Inf(1)}, vector{math.Inf(-1), math.Inf(-1)}
	for _, at := range m.Vertices {
		p := vector{float64(at[0]), float64(at[1]), float64(at[2])}
		for k, axis := range []vector{s.right, s.up} {
			at := p.dot(axis)
			low[k], high[k] = min(low[k], at), max(high[k], at)
		}
	}
	s.middle = vector{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2}
	share := 1 - 2*viewMargin
	s.scale = math.Min(float64(s.width)*share/(high[0]-low[0]), float64(s.height)*share/(high[1]-low[1]))
	if !(s.scale > 0) || math.IsInf(s.scale, 1) {
		return nil, fmt.Errorf("%w: the mesh has no extent", ErrView)
	}
	s.depth = make([]float32, s.width*s.height)
	s.grey = make([]uint8, s.width*s.height)
	farthest := float32(math.Inf(-1))
	for i := range s.depth {
		s.depth[i] = farthest
		s.grey[i] = groundGrey
	}
	return s, nil
}

// edges darkens the outline of the cut faces and of steps in depth, which greys alone would leave soft: of two pixels
// that differ the one to the left or above. Both neighbours that are looked at are still as the faces left them.
func (s *shading) edges() {
	step := float32(edgeShare * float64(s.width) / s.scale)
	differ := func(a, b bool, deeper float32) bool { return a != b || !(a && b) && (deeper > step || deeper < -step) }
	for y := range s.height - 1 {
		grey, depth := s.grey[y*s.width:][:s.width], s.depth[y*s.width:][:s.width]
		greyBelow, depthBelow := s.grey[(y+1)*s.width:][:s.width], s.depth[(y+1)*s.width:][:s.width]
		for x := range s.width - 1 {
			cut := grey[x] == cutGrey
			if differ(cut, grey[x+1] == cutGrey, depth[x]-depth[x+1]) || differ(cut, greyBelow[x] == cutGrey, depth[x]-depthBelow[x]) {
				grey[x] = edgeGrey
			}
		}
	}
}
