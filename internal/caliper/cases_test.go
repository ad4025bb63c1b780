package caliper_test

// Hard cases: what anybody may hand in, and where a part may stand.

import (
	"encoding/binary"
	"math"
	"math/rand"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
)

// small is a quick ring: M20x1.5 inside, M30x2 outside.
func small() (p part, in, out form) {
	in, out = iso(20, 1.5), iso(30, 2)
	return part{
		inner: internal(in, 0, 14, 0.1), outer: external(out, 0, 14, 0.1), height: 14, columns: 160, fine: 2, out: 2.0 / 3,
	}, in, out
}

// moved returns m with each vertex sent through f.
func moved(m *mesh.Mesh, f func(v [3]float64) [3]float64) *mesh.Mesh {
	out := &mesh.Mesh{Faces: m.Faces, Vertices: make([]mesh.Vec, len(m.Vertices))}
	for i, v := range m.Vertices {
		w := f([3]float64{float64(v[0]), float64(v[1]), float64(v[2])})
		out.Vertices[i] = mesh.Vec{float32(w[0]), float32(w[1]), float32(w[2])}
	}
	return out
}

func turned(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices, Faces: make([][3]uint32, len(m.Faces))}
	for i, f := range m.Faces {
		out.Faces[i] = [3]uint32{f[0], f[2], f[1]}
	}
	return out
}

func TestWhereThePartStands(t *testing.T) {
	tilt := func(deg float64) func(v [3]float64) [3]float64 {
		s, c := math.Sincos(deg * math.Pi / 180)
		return func(v [3]float64) [3]float64 { return [3]float64{c*v[0] + s*v[2] + 3, v[1] - 7, c*v[2] - s*v[0] + 11} }
	}
	cases := []struct {
		name string
		move func(v [3]float64) [3]float64
		tol  float64
	}{
		{"as built", func(v [3]float64) [3]float64 { return v }, lengthTol},
		{"elsewhere", func(v [3]float64) [3]float64 { return [3]float64{v[0] + 120, v[1] - 35, v[2] + 60} }, lengthTol},
		{"a little off", func(v [3]float64) [3]float64 { return [3]float64{v[0] + 0.3, v[1] - 0.2, v[2]} }, lengthTol},
		{"along x", func(v [3]float64) [3]float64 { return [3]float64{v[2] + 5, v[0] + 9, v[1] - 40} }, lengthTol},
		{"along y", func(v [3]float64) [3]float64 { return [3]float64{v[1], v[2], v[0] + 50} }, lengthTol},
		{"upside down", func(v [3]float64) [3]float64 { return [3]float64{v[0], -v[1], -v[2]} }, lengthTol},
		{"half a degree off", tilt(0.5), lengthTol},
		{"three degrees off", tilt(3), lengthTol},
		{"far away", func(v [3]float64) [3]float64 { return [3]float64{v[0] + 5000, v[1], v[2]} }, 0.01},
		{"turned about z", func(v [3]float64) [3]float64 {
			s, c := math.Sincos(1.234)
			return [3]float64{c*v[0] - s*v[1], s*v[0] + c*v[1], v[2]}
		}, lengthTol},
	}
	p, in, out := small()
	m := p.build()
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			rep, err := caliper.Measure(moved(m, c.move), caliper.DefaultOptions())
			require.NoError(t, err)
			agrees(t, in, rep.Inner, c.tol)
			agrees(t, out, rep.Outer, c.tol)
			// Points of the true axis lie on the one found.
			for _, z := range []float64{0, 14} {
				q := c.move([3]float64{0, 0, z})
				assert.InDelta(t, 0, distance(rep.Axis, q), 0.01, "axis %+v", rep.Axis)
			}
		})
	}
}

func distance(a caliper.Axis, q [3]float64) float64 {
	d, o := a.Direction, a.OriginMM
	length := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2]) // not quite 1, as it is told
	v := [3]float64{q[0] - o[0], q[1] - o[1], q[2] - o[2]}
	along := (v[0]*d[0] + v[1]*d[1] + v[2]*d[2]) / length
	return math.Sqrt(math.Max(0, v[0]*v[0]+v[1]*v[1]+v[2]*v[2]-along*along))
}

func TestMirroredIsOtherHand(t *testing.T) {
	p, _, _ := small()
	m := turned(moved(p.build(), func(v [3]float64) [3]float64 { return [3]float64{-v[0], v[1], v[2]} }))
	rep, err := caliper.Measure(m, caliper.DefaultOptions())
	require.NoError(t, err)
	require.NotNil(t, rep.Inner)
	require.NotNil(t, rep.Outer)
	assert.Equal(t, "left", rep.Inner.Hand)
	assert.Equal(t, "left", rep.Outer.Hand)
}

func TestInsideOut(t *testing.T) {
	p, in, out := small()
	rep, err := caliper.Measure(turned(welded(p.build())), caliper.DefaultOptions())
	require.NoError(t, err)
	agrees(t, in, rep.Inner, lengthTol)
	agrees(t, out, rep.Outer, lengthTol)
}

func TestOpenMesh(t *testing.T) {
	p, in, out := small()
	p.open = true
	agrees(t, in, measure(t, p).Inner, lengthTol)
	p.inner = nil
	rep := measure(t, p)
	assert.Nil(t, rep.Inner)
	assert.NotEmpty(t, rep.InnerWhy)
	agrees(t, out, rep.Outer, lengthTol)
	assert.Zero(t, rep.WallMM)
}

func TestBolt(t *testing.T) {
	f := iso(8, 1.25)
	p := part{outer: external(f, 5, 30, 0.05), height: 30, columns: 90, fine: 2, out: 2.0 / 3, flange: 5}
	p.flangeR = func(theta float64) float64 { // a hexagon
		sixth := math.Pi / 3
		a := math.Mod(theta, sixth) - sixth/2
		return 6.5 / math.Cos(a)
	}
	rep := measure(t, p)
	agrees(t, f, rep.Outer, lengthTol)
	assert.Nil(t, rep.Inner)
}

func TestStartsAndTurns(t *testing.T) {
	cases := []struct {
		name   string
		f      form
		starts int
		hand   float64
		turns  float64
	}{
		{"three turns of fine pitch", iso(60, 0.35), 1, 1, 3.6},
		{"fine pitch on a large ring", iso(150, 0.5), 1, -1, 12},
		{"six starts, less than a turn of lead", iso(40, 3), 6, 1, 4.5},
		{"six starts, left", pipe(40, 2), 6, -1, 5},
		{"coarse", pipe(150, 6), 1, 1, 4},
		{"small", iso(4, 0.7), 1, 1, 6},
		{"small, three starts", iso(5, 0.5), 3, -1, 8},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f := c.f
			f.starts, f.hand = c.starts, c.hand
			h := c.turns * f.pitch
			p := part{outer: external(f, 0, h, 0.02*f.pitch), height: h, fine: 2, out: 2.0 / 3, columns: columnsFor(f.major/2, f)}
			agrees(t, f, measure(t, p).Outer, lengthTol)
		})
	}
}

func TestNoThread(t *testing.T) {
	tube := part{inner: plain(8), outer: plain(10), height: 20, columns: 64}.build()
	ribs := func(theta, z float64) float64 { return 10 + math.Abs(math.Mod(z, 2)-1) }
	ribbed := part{outer: &side{form: plain(10).form, radius: ribs}, height: 20, columns: 64, fine: 16}
	cube := box(10)
	cases := []struct {
		name string
		m    *mesh.Mesh
	}{
		{"tube", tube},
		{"rings without lead", ribbed.build()},
		{"cube", cube},
		{"one triangle", &mesh.Mesh{Vertices: []mesh.Vec{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}, Faces: [][3]uint32{{0, 1, 2}}}},
		{"one point", &mesh.Mesh{Vertices: []mesh.Vec{{1, 1, 1}}, Faces: [][3]uint32{{0, 0, 0}}}},
		{"huge cube", moved(cube, func(v [3]float64) [3]float64 { return [3]float64{v[0] * 3e37, v[1] * 3e37, v[2] * 3e37} })},
		{"tiny cube", moved(cube, func(v [3]float64) [3]float64 { return [3]float64{v[0] * 1e-38, v[1] * 1e-38, v[2] * 1e-38} })},
		{"soup", soup(3, 3000)},
		{"much soup", soup(2, 60_000)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if len(c.m.Faces) > 10_000 {
				long(t)
			}
			rep, err := caliper.Measure(c.m, caliper.DefaultOptions())
			require.NoError(t, err)
			assert.Nil(t, rep.Inner)
			assert.Nil(t, rep.Outer)
			assert.NotEmpty(t, rep.InnerWhy)
			assert.NotEmpty(t, rep.OuterWhy)
			assert.False(t, math.IsNaN(rep.WallMM))
		})
	}
}

func box(s float32) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, mesh.Vec{s * float32(i&1), s * float32(i>>1&1), s * float32(i>>2)})
	}
	m.Faces = [][3]uint32{
		{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5},
	}
	return m
}

func soup(seed int64, n int) *mesh.Mesh {
	rnd := rand.New(rand.NewSource(seed))
	m := &mesh.Mesh{}
	for i := range n {
		for range 3 {
			m.Vertices = append(m.Vertices, mesh.Vec{rnd.Float32()*40 - 20, rnd.Float32()*40 - 20, rnd.Float32() * 40})
		}
		k := uint32(3 * i)
		m.Faces = append(m.Faces, [3]uint32{k, k + 1, k + 2})
	}
	return m
}

func TestErrors(t *testing.T) {
	nan := float32(math.NaN())
	cases := []struct {
		name string
		m    *mesh.Mesh
	}{
		{"nil", nil},
		{"empty", &mesh.Mesh{}},
		{"not a number", &mesh.Mesh{Vertices: []mesh.Vec{{nan, 0, 0}}, Faces: [][3]uint32{{0, 0, 0}}}},
		{"infinite", &mesh.Mesh{Vertices: []mesh.Vec{{float32(math.Inf(1)), 0, 0}}, Faces: [][3]uint32{{0, 0, 0}}}},
		{"index too high", &mesh.Mesh{Vertices: []mesh.Vec{{0, 0, 0}}, Faces: [][3]uint32{{0, 0, 7}}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := caliper.Measure(c.m, caliper.DefaultOptions())
			assert.ErrorIs(t, err, caliper.ErrMesh)
		})
	}
}

// TestForeign holds sane, not exact, answers for rough meshes: 24 facets a turn, and steps as cell-by-cell meshers leave.
func TestForeign(t *testing.T) {
	f := iso(30, 2)
	t.Run("24 facets a turn", func(t *testing.T) {
		p := part{outer: external(f, 0, 20, 0.1), height: 20, columns: 24, fine: 2}
		rep := measure(t, p)
		require.NotNil(t, rep.Outer, rep.OuterWhy)
		assert.InDelta(t, 2, rep.Outer.LeadMM, 0.01)
		// The facets sink up to 0.13 mm below the thread, on the radius.
		assert.InDelta(t, f.pitchD, rep.Outer.PitchDMM, 0.26)
		assert.Equal(t, "right", rep.Outer.Hand)
	})
	t.Run("uneven", func(t *testing.T) {
		p := part{outer: external(f, 0, 20, 0.1), height: 20, columns: 200, fine: 12}
		rnd := rand.New(rand.NewSource(1))
		m := moved(welded(p.build()), func(v [3]float64) [3]float64 {
			for i := range v {
				v[i] += 0.04 * (rnd.Float64() - 0.5)
			}
			return v
		})
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		require.NoError(t, err)
		require.NotNil(t, rep.Outer, rep.OuterWhy)
		assert.InDelta(t, 2, rep.Outer.LeadMM, 0.005)
		assert.InDelta(t, f.pitchD, rep.Outer.PitchDMM, 0.03)
		assert.InDelta(t, 60, rep.Outer.AngleDeg, 3)
	})
}

func TestReferenceHeight(t *testing.T) {
	f := npt(30, 1.8, 10)
	p := part{outer: external(f, 0, 20, 0.1), height: 20, columns: 160, fine: 2, out: 2.0 / 3}
	m := p.build()
	for _, z := range []float64{0, 10, 20} {
		opt := caliper.DefaultOptions()
		opt.OuterRefZMM = z
		rep, err := caliper.Measure(m, opt)
		require.NoError(t, err)
		require.NotNil(t, rep.Outer)
		assert.InDelta(t, 30+(z-10)/16, rep.Outer.PitchDMM, lengthTol)
		assert.InDelta(t, z, rep.Outer.RefZMM, 1e-9)
		assert.True(t, rep.Outer.WidensUp)
	}
}

// TestFullFormRange holds the ends of the full form to a twentieth of a pitch: chamfers of 45 degrees leave the crest
// where they meet it.
func TestFullFormRange(t *testing.T) {
	f := iso(30, 2)
	p := part{outer: external(f, 0, 24, 0.1), height: 24, columns: 160, fine: 24, out: 2.0 / 3}
	rep := measure(t, p)
	require.NotNil(t, rep.Outer)
	cut := (f.major-f.minor)/2 + 0.1
	assert.InDelta(t, cut, rep.Outer.ZMM[0], f.pitch/20)
	assert.InDelta(t, 24-cut, rep.Outer.ZMM[1], f.pitch/20)
}

func FuzzMeasure(f *testing.F) {
	f.Add([]byte{})
	f.Add(make([]byte, 72))
	seed := make([]byte, 0, 4000)
	for _, v := range soup(1, 30).Vertices {
		for _, c := range v {
			seed = binary.LittleEndian.AppendUint32(seed, math.Float32bits(c))
		}
	}
	f.Add(seed)
	f.Fuzz(func(t *testing.T, data []byte) {
		m := &mesh.Mesh{}
		for len(data) >= 12 {
			var v mesh.Vec
			for i := range v {
				v[i] = math.Float32frombits(binary.LittleEndian.Uint32(data[4*i:]))
			}
			m.Vertices = append(m.Vertices, v)
			data = data[12:]
		}
		for i := 0; i+2 < len(m.Vertices); i++ {
			m.Faces = append(m.Faces, [3]uint32{uint32(i), uint32(i + 1), uint32(i + 2)})
		}
		rep, err := caliper.Measure(m, caliper.DefaultOptions())
		if err != nil {
			require.ErrorIs(t, err, caliper.ErrMesh)
			return
		}
		for _, th := range []*caliper.Thread{rep.Inner, rep.Outer} {
			if th != nil {
				assert.False(t, math.IsNaN(th.PitchDMM+th.MajorMM+th.MinorMM+th.LeadMM+th.AngleDeg), "%+v", *th)
			}
		}
		assert.False(t, math.IsNaN(rep.WallMM))
	})
}

// A long plain wall as wide as the pitch cone is no flank, though it stands where flanks are looked for.
func TestThreadBesideAPlainWall(t *testing.T) {
	const end, top = 20.0, 48.0
	p, in, _ := small()
	out := npt(60, 4, end/2)
	out.starts, out.taper = 2, -out.taper
	threaded := external(out, 0, end, 0.1)
	p.height = top
	p.inner = internal(in, 0, top, 0.1)
	p.outer = &side{out, func(theta, z float64) float64 {
		share := math.Max(0, math.Min(1, z-end)) // the wall begins within a millimetre
		return (1-share)*threaded.radius(theta, math.Min(z, end)) + share*out.pitchD/2
	}}
	rep, err := caliper.Measure(p.build(), caliper.DefaultOptions())
	require.NoError(t, err)
	require.NotNil(t, rep.Outer, rep.OuterWhy)
	agrees(t, out, rep.Outer, lengthTol)
}
