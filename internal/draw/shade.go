package draw

// This file draws the shaded view: the mesh that will be printed, seen from above and the front, in greys on white.

import (
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math"

	"tryring/internal/mesh"
)

// View says how a mesh is shown.
type View struct {
	// Width and Height are in pixels, 16 to 4096.
	Width, Height int
	// Cut takes the quarter nearest to the eye away, so that both threads show; the cut faces are light.
	Cut bool
	// AzimuthRad and ElevationRad are where the eye stands, seen from the middle of the part: from +x toward +y, and up
	// (-π/2 to π/2).
	AzimuthRad, ElevationRad float64
}

// DefaultView looks at the whole part from the front right and above.
func DefaultView() View {
	return View{Width: 800, Height: 600, AzimuthRad: -50 * math.Pi / 180, ElevationRad: 32 * math.Pi / 180}
}

// ErrView is returned for a view that cannot be drawn.
var ErrView = errors.New("shaded view")

const (
	// finer is how many samples a pixel has along each side: steps along edges are a quarter as dark.
	finer = 2
	// viewMargin is left free around the part, as a share of the picture.
	viewMargin = 0.04
	// The greys of faces run from shade (turned away from the light) to lit; cut faces and the ground are lighter than both.
	shadeGrey, litGrey, cutGrey, groundGrey = 58.0, 214.0, 236, 255
	// leastArea, in samples, is below what any sample sees of a face and above what its slopes could be worked out from.
	leastArea = 1e-6
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

// shading is a picture in the making: for each sample the nearest depth and its grey.
type shading struct {
	view          View
	wide, high    int
	right, up, to vector // the eye's frame in the part's
	scale         float64
	middle        vector
	depth         []float32
	grey          []uint8
	// ahead and aside bound the quarter that is taken away: it is where both are positive, in the part's frame.
	ahead, aside vector
}

// Shade draws m as a PNG of greys: light from the upper left, orthogonal, the same bytes for the same mesh and view.
// Errors: ErrView for an empty mesh or a view out of range, and those of w.
func Shade(w io.Writer, m *mesh.Mesh, v View) error {
	s, err := newShading(m, v)
	if err != nil {
		return err
	}
	for _, f := range m.Faces {
		s.face(s.part(m.Vertices[f[0]]), s.part(m.Vertices[f[1]]), s.part(m.Vertices[f[2]]))
	}
	s.edges()
	return (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(w, s.picture())
}

func newShading(m *mesh.Mesh, v View) (*shading, error) {
	switch {
	case v.Width < 16 || v.Width > 4096 || v.Height < 16 || v.Height > 4096:
		return nil, fmt.Errorf("%w: %d x %d pixels; each side must be 16 to 4096", ErrView, v.Width, v.Height)
	case !(math.Abs(v.ElevationRad) <= math.Pi/2) || math.IsNaN(v.AzimuthRad) || math.IsInf(v.AzimuthRad, 0):
		return nil, fmt.Errorf("%w: the eye stands %v rad around and %v rad up; up must be -π/2 to π/2", ErrView, v.AzimuthRad, v.ElevationRad)
	case len(m.Faces) == 0:
		return nil, fmt.Errorf("%w: the mesh is empty", ErrView)
	}
	sinA, cosA := math.Sincos(v.AzimuthRad)
	sinE, cosE := math.Sincos(v.ElevationRad)
	s := &shading{view: v, wide: v.Width * finer, high: v.Height * finer}
	s.right, s.to = vector{-sinA, cosA, 0}, vector{cosA * cosE, sinA * cosE, sinE}
	s.up = s.to.cross(s.right)
	const eighth = math.Pi / 4
	for k, side := range []*vector{&s.ahead, &s.aside} {
		sin, cos := math.Sincos(v.AzimuthRad + eighth*(1-2*float64(k)))
		*side = vector{cos, sin, 0}
	}
	low, high := vector{math.Inf(1), math.Inf(1)}, vector{math.Inf(-1), math.Inf(-1)}
	for _, at := range m.Vertices {
		p := vector{float64(at[0]), float64(at[1]), float64(at[2])}
		for k, axis := range []vector{s.right, s.up} {
			low[k], high[k] = math.Min(low[k], p.dot(axis)), math.Max(high[k], p.dot(axis))
		}
	}
	s.middle = vector{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2}
	share := 1 - 2*viewMargin
	s.scale = math.Min(float64(s.wide)*share/(high[0]-low[0]), float64(s.high)*share/(high[1]-low[1]))
	if !(s.scale > 0) || math.IsInf(s.scale, 1) {
		return nil, fmt.Errorf("%w: the mesh has no extent", ErrView)
	}
	s.depth = make([]float32, s.wide*s.high)
	s.grey = make([]uint8, s.wide*s.high)
	farthest := float32(math.Inf(-1))
	for i := range s.depth {
		s.depth[i] = farthest
		s.grey[i] = groundGrey
	}
	return s, nil
}

// corner is a vertex: in the part's frame, and on the picture in samples (x right, y down) with its depth toward the eye.
type corner struct {
	p       vector
	x, y, z float64
	// ahead and aside tell on which side of the cutting planes it stands.
	ahead, aside float64
}

func (s *shading) part(at mesh.Vec) corner {
	p := vector{float64(at[0]), float64(at[1]), float64(at[2])}
	return corner{
		p: p,
		x: float64(s.wide)/2 + float64((p.dot(s.right)-s.middle[0])*s.scale),
		y: float64(s.high)/2 - float64((p.dot(s.up)-s.middle[1])*s.scale),
		z: p.dot(s.to), ahead: p.dot(s.ahead), aside: p.dot(s.aside),
	}
}

// face draws a triangle. Faces that look away are drawn only when a quarter is taken away: where one of them is the nearest
// that is left, the eye looks into the material, which is the cut face.
func (s *shading) face(a, b, c corner) {
	area := float64((b.x-a.x)*(c.y-a.y)) - float64((c.x-a.x)*(b.y-a.y))
	front := area < 0 // y points down
	cut := s.view.Cut && math.Max(a.ahead, math.Max(b.ahead, c.ahead)) > 0 && math.Max(a.aside, math.Max(b.aside, c.aside)) > 0
	gone := s.view.Cut && math.Min(a.ahead, math.Min(b.ahead, c.ahead)) > 0 && math.Min(a.aside, math.Min(b.aside, c.aside)) > 0
	if math.Abs(area) < leastArea || gone || !front && !s.view.Cut {
		return
	}
	grey := uint8(cutGrey)
	if front {
		n := b.p.minus(a.p).cross(c.p.minus(a.p)).unit()
		lit := (1 + vector{n.dot(s.right), n.dot(s.up), n.dot(s.to)}.dot(light)) / 2
		grey = uint8(shadeGrey + (litGrey-shadeGrey)*lit*lit)
	}
	depth := slopeOver(a, b, c, area, a.z, b.z, c.z)
	ahead := slopeOver(a, b, c, area, a.ahead, b.ahead, c.ahead)
	aside := slopeOver(a, b, c, area, a.aside, b.aside, c.aside)
	y0, y1 := max(0, int(math.Ceil(min(a.y, b.y, c.y)-0.5))), min(s.high-1, int(math.Floor(max(a.y, b.y, c.y)-0.5)))
	for y := y0; y <= y1; y++ {
		py := float64(y) + 0.5
		from, to := math.Inf(1), math.Inf(-1)
		for _, edge := range [3][2]spot{{{a.x, a.y}, {b.x, b.y}}, {{b.x, b.y}, {c.x, c.y}}, {{c.x, c.y}, {a.x, a.y}}} {
			p, q := edge[0], edge[1]
			if (p.y <= py) == (q.y <= py) {
				continue
			}
			if p.y > q.y { // the same edge of two triangles gives the same place
				p, q = q, p
			}
			x := p.x + float64((q.x-p.x)*((py-p.y)/(q.y-p.y)))
			from, to = min(from, x), max(to, x)
		}
		for x := max(0, int(math.Ceil(from-0.5))); x < s.wide && float64(x)+0.5 < to; x++ {
			px, at := float64(x)+0.5, y*s.wide+x
			z := float32(depth.at(px, py))
			if z <= s.depth[at] || cut && ahead.at(px, py) > 0 && aside.at(px, py) > 0 {
				continue
			}
			s.depth[at], s.grey[at] = z, grey
		}
	}
}

// spot is a place on the picture.
type spot struct{ x, y float64 }

// slope is what varies evenly over a triangle: the value at the picture's origin and its change a sample.
type slope struct{ at0, dx, dy float64 }

func (s slope) at(x, y float64) float64 { return s.at0 + float64(s.dx*x) + float64(s.dy*y) }

// slopeOver returns the slope that has the values p, q and r at the corners; area is twice the triangle's, with its sign.
func slopeOver(a, b, c corner, area, p, q, r float64) slope {
	dx := (float64((q-p)*(c.y-a.y)) - float64((r-p)*(b.y-a.y))) / area
	dy := (float64((r-p)*(b.x-a.x)) - float64((q-p)*(c.x-a.x))) / area
	return slope{p - float64(dx*a.x) - float64(dy*a.y), dx, dy}
}

// edges darkens the outline of the cut faces and of steps in depth, which greys alone would leave soft.
func (s *shading) edges() {
	step := float32(edgeShare * float64(s.wide) / s.scale)
	var dark []int
	for y := range s.high - 1 {
		for x := range s.wide - 1 {
			at := y*s.wide + x
			for _, next := range [2]int{at + 1, at + s.wide} {
				a, b := s.grey[at] == cutGrey, s.grey[next] == cutGrey
				if d := s.depth[at] - s.depth[next]; a != b || !(a && b) && (d > step || d < -step) {
					dark = append(dark, at)
					break
				}
			}
		}
	}
	for _, at := range dark {
		s.grey[at] = edgeGrey
	}
}

// picture brings the samples down to pixels.
func (s *shading) picture() *image.Gray {
	out := image.NewGray(image.Rect(0, 0, s.view.Width, s.view.Height))
	for y := range s.view.Height {
		for x := range s.view.Width {
			sum := 0
			for dy := range finer {
				for dx := range finer {
					sum += int(s.grey[(y*finer+dy)*s.wide+x*finer+dx])
				}
			}
			out.Pix[y*out.Stride+x] = uint8(sum / (finer * finer))
		}
	}
	return out
}
