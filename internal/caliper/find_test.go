package caliper_test

// This file lays several threads into one mesh, anywhere and in any direction, and has all of them found.

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
)

// laid is a thread as laid into a mesh: its form, the side, two points of its axis.
type laid struct {
	form     form
	outer    bool
	from, to [3]float64
}

// together puts meshes into one.
func together(ms ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range ms {
		k := uint32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, f := range m.Faces {
			out.Faces = append(out.Faces, [3]uint32{f[0] + k, f[1] + k, f[2] + k})
		}
	}
	return out
}

// pose turns about y by tilt and about z by turn, and moves.
func pose(tilt, turn float64, to [3]float64) func(v [3]float64) [3]float64 {
	s, c := math.Sincos(tilt)
	t, d := math.Sincos(turn)
	return func(v [3]float64) [3]float64 {
		x, y, z := c*v[0]+s*v[2], v[1], c*v[2]-s*v[0]
		return [3]float64{d*x - t*y + to[0], t*x + d*y + to[1], z + to[2]}
	}
}

// missing tells which of the threads laid are not among those found, and which were found that are none.
func missing(want []laid, rep caliper.Report, tol float64) (bad []string) {
	used := make([]bool, len(rep.Threads))
	for _, w := range want {
		ok := false
		for i, got := range rep.Threads {
			off := math.Max(distance(got.Axis, w.from), distance(got.Axis, w.to))
			hand := "right"
			if w.form.hand < 0 {
				hand = "left"
			}
			if !used[i] && (got.Side == "outer") == w.outer && off < 0.05 && math.Abs(got.LeadMM-w.form.lead()) < tol && got.Hand == hand &&
				math.Abs(got.PitchDMM-w.form.pitchD) < tol && math.Abs(got.MajorMM-w.form.major) < 2*tol {
				ok, used[i] = true, true
				break
			}
		}
		if !ok {
			bad = append(bad, fmt.Sprintf("not found: %+v", w))
		}
	}
	for i, is := range used {
		if !is {
			bad = append(bad, fmt.Sprintf("no such thread: %+v", rep.Threads[i]))
		}
	}
	return bad
}

func TestThreadsAnywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var want []laid
		var ms []*mesh.Mesh
		skins := rapid.Bool().Draw(t, "open skins")
		for k := range rapid.IntRange(1, 4).Draw(t, "threads") {
			d := rapid.Float64Range(8, 24).Draw(t, "diameter")
			f := iso(d, d/rapid.Float64Range(8, 14).Draw(t, "pitches to the diameter"))
			f.hand = rapid.SampledFrom([]float64{1, -1}).Draw(t, "hand")
			f.starts = rapid.IntRange(1, 2).Draw(t, "starts")
			h := f.pitch * rapid.Float64Range(6, 10).Draw(t, "turns")
			outer := rapid.Bool().Draw(t, "outside")
			p := part{height: h, columns: rapid.IntRange(60, 140).Draw(t, "columns"), fine: 2, out: 2.0 / 3, open: skins}
			if outer {
				p.outer = external(f, 0, h, 0.1)
			} else if p.inner = internal(f, 0, h, 0.1); !skins {
				p.outer = plain(d/2 + 3)
			}
			move := pose(rapid.Float64Range(0, math.Pi).Draw(t, "tilt"), rapid.Float64Range(0, 2*math.Pi).Draw(t, "turn"),
				[3]float64{60 * float64(k%2), 60 * float64(k/2), rapid.Float64Range(-30, 30).Draw(t, "up")})
			ms = append(ms, moved(welded(p.build()), move))
			want = append(want, laid{f, outer, move([3]float64{}), move([3]float64{0, 0, h})})
		}
		rep, err := caliper.Measure(together(ms...), caliper.DefaultOptions())
		require.NoError(t, err)
		assert.Empty(t, missing(want, rep, 0.03))
	})
}

// threaded is one threaded wall by itself from one height to another, its thread turned about the axis by so much.
func threaded(f form, outer bool, from, to, turn float64) (*mesh.Mesh, laid) {
	p := part{height: to - from, columns: 120, fine: 2, out: 2.0 / 3, open: true}
	if outer {
		p.outer = external(f, 0, to-from, 0.1)
	} else {
		p.inner = internal(f, 0, to-from, 0.1)
	}
	return moved(welded(p.build()), pose(0, turn, [3]float64{0, 0, from})), laid{f, outer, [3]float64{0, 0, from}, [3]float64{0, 0, to}}
}

func TestSeveralThreadsAboutOneAxis(t *testing.T) {
	long(t)
	left := func(f form) form {
		f.hand = -1
		return f
	}
	type wall struct {
		f              form
		outer          bool
		from, to, turn float64
	}
	cases := []struct {
		name  string
		walls []wall
	}{
		{"stepped bar", []wall{{iso(30, 2), true, 0, 20, 0}, {iso(20, 2.5), true, 20, 40, 0}}},
		{"stepped bar, hardly", []wall{{iso(20, 2.5), true, 0, 20, 0}, {iso(18, 2.5), true, 20, 40, 1}}},
		{"one size, two pitches", []wall{{iso(20, 2.5), true, 0, 20, 0}, {iso(20, 1.5), true, 20, 36, 0}}},
		{"pitches much alike", []wall{{pipe(33.249, 2.309), true, -18, 0, 0}, {iso(30, 2), true, 10, 28, 0}}},
		{"right and left", []wall{{iso(20, 2.5), true, 0, 20, 0}, {left(iso(20, 2.5)), true, 20, 40, 0}}},
		{"coupler from both ends", []wall{{iso(24, 2), false, 0, 18, 0}, {iso(24, 2), false, 20.5, 38, 2.5}}},
		{"reducing coupler", []wall{{iso(24, 2), false, 0, 18, 0}, {pipe(33.249, 2.309), false, 18, 40, 0}}},
		{"coarse, beside a chamfer as deep", []wall{{form{pitch: 3.25, starts: 1, hand: 1, major: 25.26, pitchD: 22.66, minor: 20.06, up: 30, down: 30}, true, 0, 13.5, 0}, {iso(25.3, 2.4), true, 20, 44, 0}}},
		{"stud in a cup", []wall{{iso(12, 1.75), true, 0, 18, 0}, {iso(40, 2), false, 0, 20, 0}, {iso(48, 3), true, 0, 24, 0}}},
		{"stud of two ends", []wall{{iso(12, 1.75), true, 0, 15, 0}, {iso(12, 1.75), true, 40, 60, 1}}},
		{"coarse above very fine", []wall{{iso(48, 5), true, 0, 45, 0}, {iso(40, 0.75), true, 50, 60, 0}}},
		{"nut on a bolt", []wall{{iso(20, 2.5), true, 0, 40, 0}, {iso(20.4, 2.5), false, 12, 28, 0.3}}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var want []laid
			var ms []*mesh.Mesh
			for _, w := range c.walls {
				m, l := threaded(w.f, w.outer, w.from, w.to, w.turn)
				ms, want = append(ms, m), append(want, l)
			}
			for _, move := range []func(v [3]float64) [3]float64{pose(0, 0, [3]float64{}), pose(1.1, 0.7, [3]float64{30, -80, 12})} {
				for i, w := range c.walls {
					want[i].from, want[i].to = move([3]float64{0, 0, w.from}), move([3]float64{0, 0, w.to})
				}
				rep, err := caliper.Measure(moved(together(ms...), move), caliper.DefaultOptions())
				require.NoError(t, err)
				assert.Empty(t, missing(want, rep, 0.02))
			}
		})
	}
}

// A short thread far out beside a longer one near the axis, and two that are much alike, on one bar with necks between.
func TestSteppedBarsTurned(t *testing.T) {
	for _, c := range []struct {
		low, high   form
		lowH, highH float64
	}{
		{iso(50, 3.72), iso(19.3, 1.65), 5.7, 12.8},
		{iso(43.4, 4.66), iso(46.4, 4.49), 23.8, 19},
	} {
		const neck = 1.0
		top := 3*neck + c.lowH
		p := part{height: top + c.highH + neck, columns: 60, fine: 12, out: 2.0 / 3, outer: &side{form: c.high, radius: func(theta, z float64) float64 {
			f, from, to := c.low, neck, neck+c.lowH
			if z > top-neck {
				f, from, to = c.high, top, top+c.highH
			}
			if z < from || z > to {
				return f.minor / 2
			}
			return f.radius(theta, z)
		}}}
		rep, err := caliper.Measure(moved(welded(p.build()), pose(1.1, 0.7, [3]float64{30, -80, 12})), caliper.DefaultOptions())
		require.NoError(t, err)
		require.Len(t, rep.Threads, 2, "%v", c)
		for _, f := range []form{c.low, c.high} {
			assert.True(t, math.Abs(rep.Threads[0].LeadMM-f.pitch) < 0.05 || math.Abs(rep.Threads[1].LeadMM-f.pitch) < 0.05, "%v in %v", f, rep.Threads)
		}
	}
}

// coil is a wire wound to a spring, without its ends.
func coil(radius, wire, pitch, turns float64) *mesh.Mesh {
	const around, aTurn = 24, 48
	b := &builder{}
	n := int(turns * aTurn)
	at := func(i, j int) [3]float64 {
		s, c := math.Sincos(2 * math.Pi * float64(i) / aTurn)
		t, d := math.Sincos(2 * math.Pi * float64(j%around) / around)
		r := radius + wire*d
		return [3]float64{r * c, r * s, pitch*float64(i)/aTurn + wire*t}
	}
	for i := range n {
		for j := range around {
			b.quad(at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1))
		}
	}
	return welded(&b.m)
}

func TestSpringIsNoThread(t *testing.T) {
	long(t)
	for _, pitch := range []float64{2, 2.1, 3, 6} {
		rep, err := caliper.Measure(coil(12, 1, pitch, 8), caliper.DefaultOptions())
		require.NoError(t, err)
		assert.Empty(t, rep.Threads, "pitch %g", pitch)
		assert.NotEmpty(t, rep.OuterWhy)
	}
}

func TestFacesThereTwice(t *testing.T) {
	p, in, out := small()
	m := p.build()
	rep, err := caliper.Measure(welded(together(m, m)), caliper.DefaultOptions())
	require.NoError(t, err)
	require.Len(t, rep.Threads, 2)
	agrees(t, in, rep.Inner, lengthTol)
	agrees(t, out, rep.Outer, lengthTol)
}
