package toolpath

// This file tries the room on rings that it slices itself.

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

var usual = dialect{filament: 1.75, decimals: 4}

// added is what beads of a layer add to the pitch diameter that a mate feels. On a slow helix each flank moves along the axis by
// s = h/2 (1 - sin a)/cos a = h/2 (sqrt(1 + tan^2 a) - tan a). An outline cut level with the bed leans by the helix as well, by its
// climb c over the way around, so that a ball rolled along it lies g = sqrt(tan^2 a + c^2) times its radius inside of the flank, and
// reaches sqrt(1 + g^2) times it.
func added(t thread.Thread, layer float64) float64 {
	form := t.Form
	climb := t.Lead().MM() / (math.Pi * t.Basic.Pitch.MM())
	lower, upper := form.Flanks()
	s := func(a float64) float64 {
		g := math.Hypot(math.Tan(a), climb)
		return layer / 2 * (math.Hypot(1, g) - g)
	}
	return 2 * (s(lower) + s(upper)) / (math.Tan(lower) + math.Tan(upper))
}

// TestFeltAsTheFormula lays mates over threads of every kind, sliced here, and holds them to the formula.
func TestFeltAsTheFormula(t *testing.T) {
	const tol = 0.008 // mm on the diameter: the outlines have 400 corners
	for k, name := range []string{"M48x2", "M20x2.5", "G 1 1/4", "Tr 40x7", "S 60x9", "M45x1.5 LH", "44mm x 3mm 2start", "30mm x 3mm 4start LH", "1 1/2-11.5 NPT", "R 1 1/4"} {
		for _, external := range []bool{true, false} {
			layer := []float64{0.12, 0.2, 0.28}[k%3]
			if !external {
				layer = []float64{0.12, 0.2, 0.28}[(k+1)%3]
			}
			th, sign := parse(t, name), 1.0
			j := ringOf(th, external, -0.4)
			j.layer, j.first = layer, layer
			if !external {
				sign = -1
			}
			drawn := th.Basic.Plus(unit.MM(-0.4 * sign))
			w := j.wall(t, usual, th, external)
			assert.InDelta(t, drawn.Pitch.MM()+sign*added(th, layer), w.Felt.Pitch.MM(), tol, "%s pitch %v layer %v", name, external, layer)
			side := printer.Outside
			if !external {
				side = printer.Inside
			}
			// The printer's own model, which leaves the climb of the helix out.
			model := printer.Profile{Process: "filament", Layer: unit.MM(layer)}.Layers(th, side)
			assert.InDelta(t, model.Pitch.MM(), sign*(w.Felt.Pitch-drawn.Pitch).MM(), 0.02, "%s as modelled %v layer %v", name, external, layer)
			crest, felt, root, feltRoot := drawn.Major, w.Felt.Major, drawn.Minor, w.Felt.Minor
			if !external {
				crest, felt, root, feltRoot = root, feltRoot, crest, felt
			}
			assert.InDelta(t, crest.MM(), felt.MM(), tol, "%s crest %v layer %v", name, external, layer)
			if th.Form.DepthPerPitch < 0.75 { // the sharp grooves of NPT are closed by the beads of their flanks
				assert.InDelta(t, root.MM(), feltRoot.MM(), tol, "%s root %v layer %v", name, external, layer)
			}
			assert.InDelta(t, th.Pitch.MM(), w.Pitch.MM(), 0.002*th.Pitch.MM(), name)
			assert.Equal(t, th.Hand, w.Hand, name)
			assert.False(t, w.Down, name)
			assert.Zero(t, w.OtherMM, name)
			// What is left is what the tightest of crest, flanks and root leave, each on the diameter.
			least := math.Min(sign*(th.Basic.Major-w.Felt.Major).MM(), math.Min(sign*(th.Basic.Pitch-w.Felt.Pitch).MM(), sign*(th.Basic.Minor-w.Felt.Minor).MM()))
			if th.Form.RoundPerPitch == 0 { // round crests may meet beside their tops
				assert.InDelta(t, least, w.Clearance.MM(), tol, "%s clearance", name)
			}
		}
	}
}

// ringOf is a ring with one thread that is smaller by less on the diameter (larger inside).
func ringOf(th thread.Thread, external bool, less float64) job {
	j := job{height: math.Round(10*(2.2*th.Pitch.MM()+4)) / 10, layer: 0.2, first: 0.2, line: 0.45, x: 90, y: 110}
	if external {
		j.outer, j.outerD = &th, th.Basic.Plus(unit.MM(less))
	} else {
		j.inner, j.innerD = &th, th.Basic.Plus(unit.MM(-less))
	}
	return j
}

// wall slices j and lays the mate over its thread.
func (j job) wall(t *testing.T, d dialect, th thread.Thread, external bool) Wall {
	t.Helper()
	return felt(t, j.slice(d), th, external, j.height)
}

func felt(t *testing.T, code string, th thread.Thread, external bool, height float64) Wall {
	t.Helper()
	p, err := Read(strings.NewReader(code))
	require.NoError(t, err)
	w, err := p.Thread(Wanted{Thread: th, External: external, HeightMM: height})
	require.NoError(t, err)
	return w
}

// TestDialects reads one ring as different slicers would write it.
func TestDialects(t *testing.T) {
	th := parse(t, "M24x3")
	j := ringOf(th, true, -0.4)
	plain := j.wall(t, usual, th, true)
	for name, d := range map[string]dialect{
		"relative filament": {relativeE: true, filament: 1.75},
		"all relative":      {relative: true, relativeE: true, filament: 1.75},
		"inches":            {inch: true, filament: 1.75},
		"no comments":       {bare: true, filament: 1.75},
		"wide filament":     {bare: true, filament: 2.85},
		"told filament":     {filament: 2.85},
		"numbered":          {numbered: true, crlf: true, filament: 1.75},
		"two decimals":      {filament: 1.75, decimals: 2},
	} {
		p, err := Read(strings.NewReader(j.slice(d)))
		require.NoError(t, err)
		w, err := p.Thread(Wanted{Thread: th, External: true, HeightMM: j.height})
		require.NoError(t, err)
		tol := 0.002
		if d.decimals == 2 {
			tol = 0.02
		}
		assert.InDelta(t, plain.Felt.Pitch.MM(), w.Felt.Pitch.MM(), tol, name)
		assert.InDelta(t, plain.Felt.Major.MM(), w.Felt.Major.MM(), tol, name)
		assert.InDelta(t, d.filament, p.FilamentMM, 1e-9, name)
		assert.Equal(t, map[bool]string{true: "spacing", false: "written"}[d.bare], p.FilamentFrom, name)
		assert.InDelta(t, 0.45, p.LineMM, 0.005, name)
		assert.InDelta(t, 0.2, p.LayerMM, 1e-6, name)
		assert.InDelta(t, 90, p.x, 0.05, name)
		assert.InDelta(t, 110, p.y, 0.05, name)
		assert.Equal(t, 2, p.Walls, name)
	}
}

// TestArcs turns every second pair of moves into an arc through their three places, by both ways of writing it.
func TestArcs(t *testing.T) {
	for _, name := range []string{"M24x3", "G 1 1/4", "20mm x 2mm 2start LH"} {
		th := parse(t, name)
		j := ringOf(th, true, -0.4)
		straight := j.slice(dialect{filament: 1.75, relativeE: true, decimals: 5})
		plain := felt(t, straight, th, true, j.height)
		for _, radius := range []bool{false, true} {
			bent, arcs := bend(straight, radius)
			require.Greater(t, arcs, 1000)
			w := felt(t, bent, th, true, j.height)
			assert.InDelta(t, plain.Felt.Pitch.MM(), w.Felt.Pitch.MM(), 0.006, name)
			assert.InDelta(t, plain.Felt.Major.MM(), w.Felt.Major.MM(), 0.006, name)
			assert.InDelta(t, plain.Felt.Minor.MM(), w.Felt.Minor.MM(), 0.006, name)
		}
	}
}

// bend turns pairs of laying moves into arcs; the filament must be told relative.
func bend(code string, radius bool) (out string, arcs int) {
	type move struct{ x, y, e float64 }
	var b strings.Builder
	var last move
	var first *move
	read := func(line string) (m move, ok bool) {
		n, _ := fmt.Sscanf(line, "G1 X%g Y%g E%g", &m.x, &m.y, &m.e)
		return m, n == 3
	}
	lay := func(m move) { fmt.Fprintf(&b, "G1 X%.5f Y%.5f E%.7f\n", m.x, m.y, m.e) }
	for _, line := range strings.Split(code, "\n") {
		m, laying := read(line)
		switch {
		case laying && first == nil:
			first = &m
			continue
		case laying:
			dx1, dy1, dx2, dy2 := first.x-last.x, first.y-last.y, m.x-last.x, m.y-last.y
			if cross := dx1*dy2 - dx2*dy1; math.Abs(cross) > 1e-5 {
				a, c := dx1*dx1+dy1*dy1, dx2*dx2+dy2*dy2
				i, jj := (dy2*a-dy1*c)/(2*cross), (dx1*c-dx2*a)/(2*cross)
				word := "G3"
				if cross < 0 {
					word = "G2"
				}
				middle := fmt.Sprintf("I%.6f J%.6f", i, jj)
				if radius {
					middle = fmt.Sprintf("R%.6f", math.Hypot(i, jj))
				}
				fmt.Fprintf(&b, "%s X%.5f Y%.5f %s E%.7f\n", word, m.x, m.y, middle, first.e+m.e)
				arcs++
			} else {
				lay(*first)
				lay(m)
			}
			last, first = m, nil
			continue
		}
		if first != nil {
			lay(*first)
			last, first = *first, nil
		}
		b.WriteString(line + "\n")
		fmt.Sscanf(line, "G1 X%g Y%g", &last.x, &last.y)
	}
	return b.String(), arcs
}

// TestWhatTheSlicerDid tells scale, moved outlines, another first layer, skirts, supports and a ring that stands on its head.
func TestWhatTheSlicerDid(t *testing.T) {
	inner, outer := parse(t, "M20x2"), parse(t, "M36x3")
	both := job{inner: &inner, outer: &outer, innerD: inner.Basic.Plus(0.3), outerD: outer.Basic.Plus(-0.3), height: 12, layer: 0.2, first: 0.3, line: 0.45, x: 60, y: 60, skirt: true}
	drawn := []Wanted{{Thread: inner, Modelled: both.innerD}, {Thread: outer, External: true, Modelled: both.outerD}}
	change := func(j job) (c Change, other float64) {
		p, err := Read(strings.NewReader(j.slice(usual)))
		require.NoError(t, err)
		assert.InDelta(t, 0.3, p.FirstMM, 1e-6)
		var walls []Wall
		for _, d := range drawn {
			w, err := p.Thread(d)
			require.NoError(t, err)
			walls = append(walls, w)
			other += w.OtherMM
		}
		return Compare(walls), other
	}
	plain, other := change(both)
	assert.InDelta(t, 1, plain.Across, 0.0005)
	assert.InDelta(t, 1, plain.Along, 0.001)
	assert.InDelta(t, 0, plain.GrownMM, 0.006)
	assert.Zero(t, other, "a skirt stands clear of the thread")

	grown := both
	grown.grow = 0.1
	c, _ := change(grown)
	assert.InDelta(t, 0.1, c.GrownMM, 0.006)
	assert.InDelta(t, 1, c.Across, 0.0005)

	scaled := both
	scaled.scale = 1.01
	c, _ = change(scaled)
	assert.InDelta(t, 1.01, c.Across, 0.0005)
	assert.InDelta(t, 0, c.GrownMM, 0.006)

	supported := both
	supported.extra = func(g *writer, z float64) {
		if z > 4 && z < 6 { // a line across the groove, 1 mm out of the crests
			g.to(60+19, 60-2, z, 0)
			g.to(60+19, 60+2, z, 0.2)
		}
	}
	_, other = change(supported)
	assert.Greater(t, other, 20.0)

	saw := parse(t, "S 36x6")
	j := ringOf(saw, true, -0.4)
	up := j.wall(t, usual, saw, true)
	head := saw
	head.Form.FlankRad, head.Form.UpperRad = head.Form.Flanks()
	head.Form.FlankRad, head.Form.UpperRad = head.Form.UpperRad, head.Form.FlankRad
	j.outer = &head
	down := j.wall(t, usual, saw, true)
	assert.False(t, up.Down)
	assert.True(t, down.Down)
	assert.InDelta(t, up.Felt.Pitch.MM(), down.Felt.Pitch.MM(), 0.01)
	assert.False(t, up.Turned([2]float64{0, 12}, 22))
	assert.True(t, Wall{MiddleMM: 16}.Turned([2]float64{0, 12}, 22))
	assert.False(t, Wall{MiddleMM: 11.5}.Turned([2]float64{0, 22}, 22))
}

// TestSeam finds where the loops begin.
func TestSeam(t *testing.T) {
	th := parse(t, "M24x3")
	w := ringOf(th, true, -0.4).wall(t, usual, th, true)
	assert.InDelta(t, 0, math.Remainder(w.SeamDeg, 360), 0.5)
	assert.Less(t, w.SeamSpreadDeg, 1.0)
}

// TestOtherThread says of a thread that is not there that it is not, and of one with another pitch or hand.
func TestOtherThread(t *testing.T) {
	th := parse(t, "M24x3")
	j := ringOf(th, true, -0.4)
	p, err := Read(strings.NewReader(j.slice(usual)))
	require.NoError(t, err)
	_, err = p.Thread(Wanted{Thread: parse(t, "M36x3"), External: true})
	require.ErrorIs(t, err, ErrNoThread)
	_, err = p.Thread(Wanted{Thread: th, External: false})
	require.ErrorIs(t, err, ErrNoThread)
	for _, other := range []string{"M24x2", "M24x3 LH"} {
		o := parse(t, other)
		w, err := p.Thread(Wanted{Thread: o, External: true})
		require.NoError(t, err)
		assert.True(t, w.Other() || w.Hand != o.Hand, other)
		assert.InDelta(t, 3, w.Pitch.MM(), 0.01)
		assert.Less(t, w.Clearance.MM(), -0.1)
	}
}

// TestOneThickLine is felt and named: the layer with half again as much flow.
func TestOneThickLine(t *testing.T) {
	th := parse(t, "M24x3")
	j := ringOf(th, true, -0.4)
	plain := j.wall(t, usual, th, true)
	j.thick = 20
	w := j.wall(t, usual, th, true)
	assert.True(t, plain.BindsAll, "a helix meets its mate at every layer alike")
	assert.False(t, w.BindsAll)
	assert.Equal(t, 20, w.BindingLayer)
	assert.InDelta(t, 4.0, w.BindingMM, 1e-6)
	// Half again as much flow makes the bead wider by half of its area over its height, a half of that to either side.
	area := (0.45-0.2)*0.2 + math.Pi/4*0.2*0.2
	assert.InDelta(t, plain.Felt.Pitch.MM()+area/2/0.2, w.Felt.Pitch.MM(), 0.02)
}

func TestRefused(t *testing.T) {
	th := parse(t, "M24x3")
	good := ringOf(th, true, -0.4).slice(usual)
	lines := strings.SplitAfter(good, "\n")
	middle := strings.Join(lines[:500], "")
	thick := ringOf(th, true, -0.4)
	thick.layer, thick.first, thick.line = 2.5, 2.5, 3
	for name, c := range map[string]struct {
		code  string
		cause error
		says  string
	}{
		"empty":         {"", ErrNotGCode, "nothing in it lays material"},
		"prose":         {"Dear Sir,\nthe ring is lost.\n", ErrNotGCode, "nothing in it lays material"},
		"milling":       {"G21\nG0 X0 Y0 Z5\nG1 X10 F100\nG1 Y10\n", ErrNotGCode, "nothing in it lays material"},
		"binary":        {"GCDE\x01\x00\x00\x00\x01", ErrNotGCode, "plain text"},
		"stl":           {"solid x\nfacet normal 0 0 1\n", ErrNotGCode, "lays material"},
		"long line":     {"G1 X1" + strings.Repeat(" ", 5000) + "\n", ErrNotGCode, "more than 4096"},
		"no number":     {middle + "G1 X Y3\n", ErrBroken, "number is wanted after X"},
		"two points":    {middle + "G1 X1.2.3\n", ErrBroken, "number is wanted after X"},
		"twice":         {middle + "G1 X1 X2\n", ErrBroken, "X stands twice"},
		"a sign":        {middle + "G1 X1 #3\n", ErrBroken, "a letter is wanted"},
		"far":           {middle + "G1 X123456789\n", ErrBroken, "farther than any printer"},
		"far by steps":  {"G91\n" + strings.Repeat("G1 X99999\n", 3), ErrBroken, "farther than any printer"},
		"plane":         {middle + "G18\n", ErrBroken, "level with the bed"},
		"by volume":     {middle + "M200 D1.75\n", ErrBroken, "by volume"},
		"no middle":     {middle + "G2 X1 Y1\n", ErrBroken, "middle (I, J)"},
		"crooked arc":   {"G92 X0 Y0\nG2 X10 Y0 I2 J0 E1\n", ErrBroken, "from its middle"},
		"short radius":  {"G92 X0 Y0\nG2 X10 Y0 R2 E1\n", ErrBroken, "no arc of radius"},
		"spiral":        {spiral(), ErrNoRing, "rises"},
		"lying":         {"G1 Z1\nG1 X50 E5\nG1 Z2\nG1 X0 E10\n", ErrNoRing, "upright"},
		"thick layers":  {thick.slice(usual), ErrNoRing, "upright"},
		"two rings":     {twoRings(t), ErrNoRing, "alone"},
		"endless moves": {"M83\n" + strings.Repeat("G92 X0 Y0\nG2 I-100000 E99\n", 5000), datafile.ErrTooLarge, "slice one ring alone"},
	} {
		_, err := Read(strings.NewReader(c.code))
		require.ErrorIs(t, err, c.cause, name)
		assert.ErrorContains(t, err, c.says, name)
	}
	_, err := Read(strings.NewReader("; thumbnail " + strings.Repeat("A", 1<<16) + "\n" + good))
	require.NoError(t, err, "comments may be long")
	_, err = Read(iotest.TimeoutReader(strings.NewReader(good)))
	require.ErrorIs(t, err, iotest.ErrTimeout)
}

func spiral() string {
	var b strings.Builder
	b.WriteString("M83\n")
	for k := range 1000 {
		sin, cos := math.Sincos(float64(k) / 20)
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f E0.1\n", 50+20*cos, 50+20*sin, float64(k)*0.002)
	}
	return b.String()
}

func twoRings(t *testing.T) string {
	th := parse(t, "M24x3")
	one := ringOf(th, true, -0.4)
	other := one
	other.x = 150
	return one.slice(usual) + "G90\n" + other.slice(usual)
}

func TestLoad(t *testing.T) {
	th := parse(t, "M24x3")
	name := filepath.Join(t.TempDir(), "ring.gcode")
	require.NoError(t, os.WriteFile(name, []byte(ringOf(th, true, -0.4).slice(usual)), 0o600))
	p, err := Load(t.Context(), name)
	require.NoError(t, err)
	assert.Equal(t, 53, p.Layers)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = Load(ctx, name)
	require.ErrorIs(t, err, context.Canceled)
	_, err = Load(t.Context(), filepath.Dir(name))
	require.ErrorIs(t, err, datafile.ErrNoFile)
	require.NoError(t, os.WriteFile(name, []byte("nothing"), 0o600))
	_, err = Load(t.Context(), name)
	wrong, is := errors.AsType[fault.Fault](err)
	require.True(t, is)
	assert.Equal(t, name, wrong.Read)
}

// A file that cannot be read to its end is no whole print, wherever the reading fails.
func TestReadFails(t *testing.T) {
	whole := ringOf(parse(t, "M24x3"), true, -0.4).slice(usual)
	for name, last := range map[string]string{"in a line": "G1 X", "in a comment": ";", "in a long comment": ";" + strings.Repeat("-", 2*longestLine)} {
		broken := errors.New("gone")
		_, err := Read(io.MultiReader(strings.NewReader(whole+last), iotest.ErrReader(broken)))
		require.ErrorIs(t, err, broken, name)
	}
}

// A printer's plain size comes to what the path does, and its layers, by their share and by their own ends, take the place of round ones.
func TestBy(t *testing.T) {
	th := parse(t, "M24x3")
	for _, external := range []bool{true, false} {
		w := ringOf(th, external, -0.4).wall(t, usual, th, external)
		layer := w.layer.MM()
		p := printer.Unnamed()
		p.OutsideAdds, p.InsideTakes = 0.1, -0.1
		sign := map[bool]float64{true: 1, false: -1}[external]
		by := func(p printer.Profile) float64 { return (w.By(p).Printed.Pitch - w.Felt.Pitch).MM() }
		assert.InDelta(t, 0.1+sign*(p.LayerShare-1)*layer, by(p), 1e-4, "round ends, a layer on the pitch diameter at 60 degrees")
		require.NoError(t, p.Bead.UnmarshalText([]byte("15=0.5, 30=0.5")))
		p.LayerShare = 1
		assert.InDelta(t, 0.1+sign*(math.Sqrt(3)-1)*layer, by(p), 1e-4, "square ends")
	}
}

// FuzzRead takes any bytes: no panic, no figure that is none, and bounded.
func FuzzRead(f *testing.F) {
	th := parse(f, "M6")
	small := ringOf(th, true, -0.1)
	small.height, small.points = 1.4, 40
	f.Add([]byte(small.slice(usual)))
	f.Add([]byte(small.slice(dialect{relative: true, relativeE: true, inch: true, numbered: true, crlf: true, filament: 2.85})))
	f.Add([]byte("G91\nG3 X1 Y1 R1 E1\nG2 I3 J0 E4 ; full\n"))
	f.Add([]byte("n1 g1x1y2e3*12\n(never closed\nG92\nG28 X\nM200 D0\n"))
	f.Add([]byte("G2I1E1")) // a layer of no height
	f.Fuzz(func(t *testing.T, code []byte) {
		p, err := Read(bytes.NewReader(code))
		if err != nil {
			return
		}
		for _, x := range []float64{p.LayerMM, p.FirstMM, p.HeightMM, p.LineMM, p.FilamentMM, p.x, p.y} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", p)
			}
		}
		if p.Layers > 5 {
			return // the mates take their time
		}
		w, err := p.Thread(Wanted{Thread: th, External: true})
		if err == nil && (math.IsNaN(w.Clearance.MM()) || math.IsNaN(w.Felt.Pitch.MM())) {
			t.Fatalf("%+v", w)
		}
	})
}

// BenchmarkInspect reads a ring's file of 5 MB and lays both mates over it.
func BenchmarkInspect(b *testing.B) {
	inner, outer := parse(b, "M30x2"), parse(b, "M48x2")
	j := job{inner: &inner, outer: &outer, innerD: inner.Basic.Plus(0.3), outerD: outer.Basic.Plus(-0.3), height: 16, layer: 0.15, first: 0.2, line: 0.45, x: 100, y: 100, points: 400}
	code := []byte(j.slice(dialect{filament: 1.75, decimals: 3}))
	b.SetBytes(int64(len(code)))
	b.ReportMetric(float64(len(code))/1e6, "MB")
	for b.Loop() {
		p, err := Read(bytes.NewReader(code))
		require.NoError(b, err)
		for _, w := range []Wanted{{Thread: inner}, {Thread: outer, External: true}} {
			_, err := p.Thread(w)
			require.NoError(b, err)
		}
	}
}

// TestModes follows the filament's own mode, and the axes' where it has none.
func TestModes(t *testing.T) {
	for _, c := range []struct {
		name, modes string
		fed         float64
	}{
		{"absolute from the start", "", 2},
		{"all relative", "G91\n", 3},
		{"axes relative, filament not", "M82\nG91\n", 2},
		{"filament relative, axes not", "M83\n", 3},
		{"filament stays relative", "M83\nG91\nG90\n", 3},
		{"back to absolute", "G91\nG90\n", 2},
	} {
		m := newMachine()
		for line := range strings.Lines(c.modes + "G1 X1 Y1 E1\nG1 X2 Y3 E3\n") {
			_, err := m.run([]byte(line))
			require.NoError(t, err)
		}
		require.Len(t, m.laid, 1, c.name)
		assert.InDelta(t, c.fed, m.laid[0].pts[2].e, 1e-12, c.name)
	}
}

// TestOn takes what a printer does from what is left, at the tightest diameter.
func TestOn(t *testing.T) {
	th := parse(t, "M24x3")
	for _, external := range []bool{true, false} {
		sign := unit.Length(1)
		if !external {
			sign = -1
		}
		w := Wall{Felt: th.Basic.Plus(-0.2 * sign), Clearance: 0.2, of: Wanted{Thread: th, External: external}}
		printed, left := w.On(thread.Diameters{Major: 0.05 * sign, Pitch: 0.08 * sign, Minor: 0.01 * sign})
		assert.InDelta(t, 0.12, left.MM(), 1e-9)
		assert.InDelta(t, (w.Felt.Pitch + 0.08*sign).MM(), printed.Pitch.MM(), 1e-9)
		_, left = w.On(thread.Diameters{}.Plus(-0.1 * sign))
		assert.InDelta(t, 0.3, left.MM(), 1e-9)
	}
}

// TestLetters finds the axis of a ring beside many small round loops, as letters are.
func TestLetters(t *testing.T) {
	th := parse(t, "M24x3")
	j := ringOf(th, true, -0.4)
	plain := j.wall(t, usual, th, true)
	j.extra = func(g *writer, z float64) {
		for k := range 6 {
			xs, ys := circleOf(j.x-6+float64(k), j.y-5, 0.4, 12)
			g.loop(xs, ys, z, 0.4, 0.2, 1)
		}
	}
	w := j.wall(t, usual, th, true)
	assert.InDelta(t, plain.Felt.Pitch.MM(), w.Felt.Pitch.MM(), 0.001)
}
