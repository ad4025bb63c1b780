package photo_test

// This file renders scenes: a mesh of the thread through a rasteriser that knows nothing of the analysis, then what a
// camera does to the picture.

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/fogleman/fauxgl"
	"github.com/stretchr/testify/require"
)

// knots is the thread's form over one pitch: height under the crest (mm) at z, first at z = 0 and last at z = pitch.
func (s scene) knots() (z, drop []float64) {
	if s.smooth {
		return []float64{0, s.pitch() / 2, s.pitch()}, []float64{0, 0, 0}
	}
	p, tan := s.pitch(), math.Tan(s.flank)
	if !s.rounded {
		// Crest flat P/8; root flat P/8, as a sharp tool with a small flat cuts it.
		depth := (p - p/4) / 2 / tan
		return []float64{0, p / 16, p * 7 / 16, p * 9 / 16, p * 15 / 16, p}, []float64{0, 0, depth, depth, 0, 0}
	}
	// Rounded crests and roots, a smooth wave of the depth of the Whitworth form (0.640327 P; ISO 228-1 clause 4).
	const steps = 16
	for i := range steps + 1 {
		x := float64(i) / steps
		z = append(z, x*p)
		// Straight flanks with arcs: a clipped triangle wave, smoothed at the corners.
		t := math.Abs(2*x - 1)                       // 1 at the crest, 0 at the root
		v := math.Min(math.Max((t-0.16)/0.68, 0), 1) // flanks
		v = v*v*(3-2*v)*0.35 + v*0.65
		drop = append(drop, (1-v)*0.640327*p)
	}
	return z, drop
}

// mesh is the part standing on z, its thread from 0 to length, the larger end of a taper at 0; only the half toward the
// camera (-y) and a little more.
func (s scene) mesh() *fauxgl.Mesh {
	p := s.pitch()
	z, drop := s.knots()
	n := len(z) - 1
	turns := int(math.Ceil(s.length/p)) + 3
	const columns = 150
	place := func(theta float64, k int) fauxgl.Vector {
		turn, i := k/n-1, k%n
		at := float64(turn)*p + z[i] + float64(s.hand)*p*theta/(2*math.Pi)
		clamped := math.Min(math.Max(at, 0), s.length)
		d := drop[i]
		if clamped != at {
			d = s.dropAt(math.Mod(z[i]+clamped-at+100*p, p))
		}
		radius := s.diameter/2 - s.taper*clamped/2 - d
		if fromEnd := s.length - clamped; fromEnd < s.chamfer {
			radius = math.Min(radius, s.diameter/2-s.taper*clamped/2-(s.chamfer-fromEnd)*0.8)
		}
		return fauxgl.V(radius*math.Cos(theta), radius*math.Sin(theta), clamped)
	}
	var t []*fauxgl.Triangle
	quad := func(a, b, c, d fauxgl.Vector) {
		t = append(t, fauxgl.NewTriangleForPoints(a, b, c), fauxgl.NewTriangleForPoints(a, c, d))
	}
	angle := func(j int) float64 { return math.Pi + (math.Pi+0.7)*(float64(j)/columns) - 0.35 }
	ring := func(radius, z float64, j int) fauxgl.Vector {
		return fauxgl.V(radius*math.Cos(angle(j)), radius*math.Sin(angle(j)), z)
	}
	for j := range columns {
		for k := range turns * n {
			quad(place(angle(j), k), place(angle(j+1), k), place(angle(j+1), k+1), place(angle(j), k+1))
		}
		inner := s.diameter/2 - s.taper*s.length/2 - 0.7*p
		for _, end := range []float64{0, s.length} {
			quad(ring(inner, end, j), ring(inner, end, j+1), fauxgl.V(0, 0, end), fauxgl.V(0, 0, end))
		}
		if s.collar > 0 {
			r := s.collar / 2
			quad(ring(r, -collarLength, j), ring(r, -collarLength, j+1), ring(r, 0, j+1), ring(r, 0, j))
			for _, end := range []float64{-collarLength, 0} {
				quad(ring(r, end, j), ring(r, end, j+1), fauxgl.V(0, 0, end), fauxgl.V(0, 0, end))
			}
		}
	}
	var kept []*fauxgl.Triangle
	for _, q := range t {
		if q.Area() > 1e-9 {
			q.FixNormals()
			kept = append(kept, q)
		}
	}
	return fauxgl.NewTriangleMesh(kept)
}

// dropAt is the height under the crest at z within a pitch.
func (s scene) dropAt(at float64) float64 {
	z, drop := s.knots()
	for i := range len(z) - 1 {
		if at <= z[i+1] {
			return drop[i] + (drop[i+1]-drop[i])*(at-z[i])/(z[i+1]-z[i])
		}
	}
	return drop[len(drop)-1]
}

// shade lights the part: from the camera's upper left, the more from behind the darker its face.
type shade struct {
	matrix     fauxgl.Matrix
	eye, light fauxgl.Vector
	s          scene
}

func (h *shade) Vertex(v fauxgl.Vertex) fauxgl.Vertex {
	v.Output = h.matrix.MulPositionW(v.Position)
	return v
}

func (h *shade) Fragment(v fauxgl.Vertex) fauxgl.Color {
	normal := v.Normal.Normalize()
	toEye := h.eye.Sub(v.Position).Normalize()
	if normal.Dot(toEye) < 0 {
		normal = normal.Negate()
	}
	diffuse := math.Max(0, normal.Dot(h.light))
	half := h.light.Add(toEye).Normalize()
	shine := math.Pow(math.Max(0, normal.Dot(half)), 30) * h.s.gloss
	front := 1 - 0.8*h.s.backlit
	g := h.s.part/255*(1-0.5*front+front*diffuse) + 0.6*front*shine
	return fauxgl.Color{R: math.Min(g, 1), G: math.Min(g, 1), B: math.Min(g, 1), A: 1}
}

// oversampling of the renderer, a side.
const oversample = 2

// canvas is a grey picture of floats, 0 to 255.
type canvas struct {
	w, h int
	v    []float64
}

func newCanvas(w, h int) *canvas { return &canvas{w, h, make([]float64, w*h)} }

// photo renders the scene to a JPEG file as a phone would write it.
func (s scene) photo(t testing.TB) []byte {
	t.Helper()
	part, cover := s.rendered()
	picture := s.ground(cover)
	for i, a := range cover.v {
		picture.v[i] = picture.v[i]*(1-a) + part.v[i]
	}
	return s.exposed(t, picture)
}

// rendered returns the part's light (times its cover) and its cover.
func (s scene) rendered() (part, cover *canvas) {
	w, h := s.width*oversample, s.height*oversample
	ctx := fauxgl.NewContext(w, h)
	ctx.Cull = fauxgl.CullNone
	ctx.ClearColorBufferWith(fauxgl.Color{})
	d := s.distance()
	f := s.focal() * oversample
	near, far := d/10, 4*d
	// A pinhole whose axis passes through the middle of the picture.
	lens := fauxgl.Frustum(-float64(w)/2*near/f, float64(w)/2*near/f, -float64(h)/2*near/f, float64(h)/2*near/f, near, far)
	eye := fauxgl.V(0, -d, 0)
	look := fauxgl.LookAt(eye, fauxgl.V(0, 0, 0), fauxgl.V(0, 0, 1))
	// The part: its middle to the origin, leaned about x, turned about the line of sight, moved aside.
	place := fauxgl.Translate(fauxgl.V(0, 0, -s.middle())).
		Rotate(fauxgl.V(1, 0, 0), s.lean).
		Rotate(fauxgl.V(0, 1, 0), s.turn).
		Translate(fauxgl.V(s.offX*float64(s.width)*d/s.focal(), 0, s.offY*float64(s.height)*d/s.focal()))
	world := s.mesh()
	world.Transform(place)
	ctx.Shader = &shade{matrix: lens.Mul(look), eye: eye, light: fauxgl.V(-0.5, -0.7, 0.6).Normalize(), s: s}
	for _, t := range world.Triangles { // one by one: DrawMesh draws from several goroutines into one depth buffer, unlocked
		ctx.DrawTriangle(t)
	}
	part, cover = newCanvas(s.width, s.height), newCanvas(s.width, s.height)
	for y := range h {
		for x := range w {
			c := ctx.ColorBuffer.Pix[y*ctx.ColorBuffer.Stride+4*x:]
			at := y/oversample*s.width + x/oversample
			a := float64(c[3]) / 255 / (oversample * oversample)
			part.v[at] += float64(c[0]) * a
			cover.v[at] += a
		}
	}
	return part, cover
}

// middle is the z of the part's middle.
func (s scene) middle() float64 {
	if s.collar > 0 {
		return (s.length - collarLength) / 2
	}
	return s.length / 2
}

// ground is the lit ground with the part's shadow on it.
func (s scene) ground(cover *canvas) *canvas {
	r := rand.New(rand.NewPCG(s.seed, 1))
	g := newCanvas(s.width, s.height)
	shadow := newCanvas(s.width, s.height)
	for y := range s.height {
		for x := range s.width {
			i, j := x-int(s.shadowX), y-int(s.shadowY)
			if i >= 0 && j >= 0 && i < s.width && j < s.height {
				shadow.v[y*s.width+x] = cover.v[j*s.width+i]
			}
		}
	}
	shadow = shadow.softened(s.shadowSoft)
	grain := newCanvas(s.width, s.height)
	if s.texture {
		for i := range grain.v {
			grain.v[i] = r.NormFloat64()
		}
		grain.blur(2)
	}
	sin, cos := math.Sincos(s.slope)
	for y := range s.height {
		for x := range s.width {
			u, v := 2*float64(x)/float64(s.width)-1, 2*float64(y)/float64(s.height)-1
			light := 1 - s.uneven*(0.5+0.35*(u*cos+v*sin)) - 0.1*(u*u+v*v)
			at := y*s.width + x
			g.v[at] = s.background * light * (1 - s.shadow*shadow.v[at]) * (1 + 0.15*grain.v[at])
		}
	}
	return g
}

// exposed does what the lens, the sensor and the file do.
func (s scene) exposed(t testing.TB, picture *canvas) []byte {
	t.Helper()
	r := rand.New(rand.NewPCG(s.seed, 2))
	if s.glare > 0 {
		// A spot of light near the middle, over part and ground alike.
		cx, cy := float64(s.width)*(0.35+0.3*r.Float64()), float64(s.height)*(0.35+0.3*r.Float64())
		size := float64(s.width) * (0.02 + 0.03*r.Float64())
		for y := range s.height {
			for x := range s.width {
				d := math.Hypot(float64(x)-cx, float64(y)-cy) / size
				picture.v[y*s.width+x] += s.glare * 200 * math.Exp(-d*d/2)
			}
		}
	}
	if s.cornerHand {
		// A finger comes in from a corner.
		for y := range s.height {
			for x := range s.width {
				if math.Hypot(float64(x), 1.4*float64(y)) < 0.16*float64(s.width) {
					picture.v[y*s.width+x] = 150
				}
			}
		}
	}
	picture.blur(s.blur)
	out := image.NewRGBA(image.Rect(0, 0, s.width, s.height))
	for i, v := range picture.v {
		v += s.noise * r.NormFloat64()
		c := uint8(math.Min(math.Max(v+0.5, 0), 255))
		out.SetRGBA(i%s.width, i/s.width, color.RGBA{c, c, uint8(float64(c) * 0.95), 255})
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, out, &jpeg.Options{Quality: s.quality}))
	if !s.writesFocal {
		return b.Bytes()
	}
	return withEXIF(b.Bytes(), 1, int(s.focal35))
}

// withEXIF puts an APP1 segment with orientation and focal length behind the start of a JPEG file.
func withEXIF(jpeg []byte, orientation, focal35 int) []byte {
	tiff := []byte{'M', 'M', 0, 42, 0, 0, 0, 8}
	entry := func(tag, kind uint16, value uint32) []byte {
		e := binary.BigEndian.AppendUint16(nil, tag)
		e = binary.BigEndian.AppendUint16(e, kind)
		e = binary.BigEndian.AppendUint32(e, 1)
		if kind == 3 {
			value <<= 16
		}
		return binary.BigEndian.AppendUint32(e, value)
	}
	tiff = append(tiff, 0, 2)
	tiff = append(tiff, entry(0x0112, 3, uint32(orientation))...)
	tiff = append(tiff, entry(0x8769, 4, 8+2+24+4)...)
	tiff = append(tiff, 0, 0, 0, 0, 0, 1)
	tiff = append(tiff, entry(0xa405, 3, uint32(focal35))...)
	tiff = append(tiff, 0, 0, 0, 0)
	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := append([]byte{0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(body)+2))...)
	out := append([]byte{}, jpeg[:2]...)
	out = append(out, segment...)
	out = append(out, body...)
	return append(out, jpeg[2:]...)
}

// softened is c blurred widely: on a picture a quarter the size, which nobody sees behind so wide a blur.
func (c *canvas) softened(sd float64) *canvas {
	const q = 4
	small := newCanvas(c.w/q, c.h/q)
	for y := range small.h * q {
		for x := range small.w * q {
			small.v[y/q*small.w+x/q] += c.v[y*c.w+x] / (q * q)
		}
	}
	small.blur(sd / q)
	out := newCanvas(c.w, c.h)
	for y := range c.h {
		for x := range c.w {
			u, v := (float64(x)+0.5)/q-0.5, (float64(y)+0.5)/q-0.5
			i, j := min(max(int(u), 0), small.w-2), min(max(int(v), 0), small.h-2)
			fx, fy := math.Min(math.Max(u-float64(i), 0), 1), math.Min(math.Max(v-float64(j), 0), 1)
			at := j*small.w + i
			out.v[y*c.w+x] = (small.v[at]*(1-fx)+small.v[at+1]*fx)*(1-fy) + (small.v[at+small.w]*(1-fx)+small.v[at+small.w+1]*fx)*fy
		}
	}
	return out
}

// blur smooths with a normal kernel, rows and then columns.
func (c *canvas) blur(sd float64) {
	if sd <= 0 {
		return
	}
	reach := int(3*sd) + 1
	kernel := make([]float64, 2*reach+1)
	sum := 0.0
	for i := range kernel {
		d := float64(i-reach) / sd
		kernel[i] = math.Exp(-d * d / 2)
		sum += kernel[i]
	}
	for i := range kernel {
		kernel[i] /= sum
	}
	pass := func(n, lines, step, jump int) {
		line := make([]float64, n+2*reach)
		for l := range lines {
			base := l * jump
			for i := range line {
				line[i] = c.v[base+min(max(i-reach, 0), n-1)*step]
			}
			for i := range n {
				v := 0.0
				for k, w := range kernel {
					v += w * line[i+k]
				}
				c.v[base+i*step] = v
			}
		}
	}
	pass(c.w, c.h, 1, c.w)
	pass(c.h, c.w, c.w, 1)
}
