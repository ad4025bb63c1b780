package toolpath

// This file slices threads by itself, apart from any slicer and from the room's own arithmetic: outlines of a thread at the middles
// of the layers, drawn in by half a line, written as G-code in any dialect.

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tryring/internal/thread"
)

// dialect is how a slicer writes.
type dialect struct {
	relative, relativeE, inch, bare, numbered, crlf bool
	filament                                        float64
	// decimals of coordinates; 0 for 4.
	decimals int
}

// job is what the test's own slicer is given.
type job struct {
	inner, outer         *thread.Thread
	innerD, outerD       thread.Diameters
	height, layer, first float64
	line                 float64
	x, y                 float64
	// scale and grow are what a slicer may do across; points is how many corners an outline has.
	scale, grow float64
	points      int
	skirt       bool
	// thick is the layer, from 1, whose walls are laid with half again as much flow, 0 for none.
	thick int
	extra func(g *writer, z float64)
}

// writer writes moves.
type writer struct {
	strings.Builder
	dialect
	at   [4]float64
	line int
}

func (g *writer) put(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if g.bare && strings.HasPrefix(text, ";") {
		return
	}
	g.line++
	if g.numbered && text[0] != ';' {
		text = fmt.Sprintf("N%d %s", g.line, text)
		sum := byte(0)
		for k := range len(text) {
			sum ^= text[k]
		}
		text += fmt.Sprintf("*%d", sum)
	}
	end := "\n"
	if g.crlf {
		end = "\r\n"
	}
	g.WriteString(text + end)
}

func (g *writer) start() {
	g.put("; filament_diameter = %.2f", g.filament)
	g.put("G28 ; home")
	if g.inch {
		g.put("G20")
	} else {
		g.put("G21 (millimetres)")
	}
	g.put("G90")
	if g.relative {
		g.put("G91")
	}
	if g.relativeE {
		g.put("M83")
	} else {
		g.put("M82")
	}
	g.put("M117 It prints X now")
	g.put("G92 E0")
	g.at = [4]float64{}
}

// to moves; feed is the filament fed, mm.
func (g *writer) to(x, y, z, feed float64) {
	unit := 1.0
	if g.inch {
		unit = 25.4
	}
	decimals := g.decimals
	if decimals == 0 {
		decimals = 4
	}
	if g.inch {
		decimals += 2
	}
	// What is written is rounded, and the place is where the printer comes to.
	word := func(k int, letter string, to float64, relative bool) string {
		from := 0.0
		if relative {
			from = g.at[k]
		}
		text := strconv.FormatFloat((to-from)/unit, 'f', decimals+2*(k/3), 64)
		v, _ := strconv.ParseFloat(text, 64)
		g.at[k] = from + v*unit
		return letter + text
	}
	text := "G1 " + word(0, "X", x, g.relative) + " " + word(1, "Y", y, g.relative)
	if math.Abs(z-g.at[2]) > 1e-6 {
		text += " " + word(2, "Z", z, g.relative)
	}
	if feed > 0 {
		text += " " + word(3, "E", g.at[3]+feed, g.relativeE)
	}
	g.put("%s", text)
}

// loop lays a closed loop with beads of the given width.
func (g *writer) loop(xs, ys []float64, z, width, height, more float64) {
	area := more * ((width-height)*height + math.Pi/4*height*height)
	g.to(xs[0], ys[0], z, 0)
	for k := 1; k <= len(xs); k++ {
		x, y := xs[k%len(xs)], ys[k%len(xs)]
		way := math.Hypot(x-g.at[0], y-g.at[1])
		g.to(x, y, z, way*area/(math.Pi/4*g.filament*g.filament))
	}
}

// outline is the closed outline of a thread at z, drawn in by half a line along its own normal.
func (j job) outline(t *thread.Thread, d thread.Diameters, external bool, z, plane, in float64) (xs, ys []float64) {
	p, err := thread.NewProfile(t.Section(d))
	if err != nil {
		panic(err)
	}
	n := j.points
	if n == 0 {
		n = 400
	}
	radius := func(theta float64) float64 {
		return p.Rho(z-t.Lead().MM()*float64(t.Hand)*theta/(2*math.Pi)) + p.Slope*(z-plane)
	}
	sign := -1.0
	if !external {
		sign = 1
	}
	// The outline and its outward normals; where the line's middle would leave less than half a line to a neighbour the corner is cut.
	type place struct{ x, y, nx, ny float64 }
	all := make([]place, n)
	for k := range n {
		theta := 2 * math.Pi * float64(k) / float64(n)
		const e = 1e-5
		r := radius(theta)
		dr := (radius(theta+e) - radius(theta-e)) / (2 * e)
		sin, cos := math.Sincos(theta)
		nx, ny := r*cos+dr*sin, r*sin-dr*cos
		far := math.Hypot(nx, ny)
		all[k] = place{r * cos, r * sin, nx / far, ny / far}
	}
	const near = 12
	for k, o := range all {
		x, y := o.x+sign*in*o.nx, o.y+sign*in*o.ny
		free := true
		for d := -near; d <= near; d++ {
			a, b := all[(k+d+n)%n], all[(k+d+1+n)%n]
			dx, dy := b.x-a.x, b.y-a.y
			t := min(max(((x-a.x)*dx+(y-a.y)*dy)/(dx*dx+dy*dy), 0), 1)
			free = free && math.Hypot(x-a.x-t*dx, y-a.y-t*dy) > in-0.002
		}
		if free {
			xs, ys = append(xs, j.x+j.scale*(x-sign*j.grow*o.nx)), append(ys, j.y+j.scale*(y-sign*j.grow*o.ny))
		}
	}
	return xs, ys
}

func circleOf(x, y, r float64, n int) (xs, ys []float64) {
	for k := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
		xs, ys = append(xs, x+r*cos), append(ys, y+r*sin)
	}
	return xs, ys
}

// slice writes j.
func (j job) slice(d dialect) string {
	if j.scale == 0 {
		j.scale = 1
	}
	g := &writer{dialect: d}
	g.start()
	z, number := 0.0, 0
	for h := j.first; z+h <= j.height+1e-9; h = j.layer {
		z += h
		number++
		more := 1.0
		if number == j.thick {
			more = 1.5
		}
		g.put(";LAYER_CHANGE")
		mid := z - h/2
		if j.skirt && z < 2*j.first {
			xs, ys := circleOf(j.x, j.y, 40, 200)
			g.loop(xs, ys, z, j.line, h, 1)
		}
		apart := j.line - h*(1-math.Pi/4)
		if j.outer != nil {
			plane := j.height - j.outer.GaugeLength.MM()
			for k := 1.0; k >= 0; k-- {
				xs, ys := j.outline(j.outer, j.outerD, true, mid, plane, j.line/2+k*apart)
				g.loop(xs, ys, z, j.line, h, more)
			}
		}
		if j.inner != nil {
			for k := 1.0; k >= 0; k-- {
				xs, ys := j.outline(j.inner, j.innerD, false, mid, 0, j.line/2+k*apart)
				g.loop(xs, ys, z, j.line, h, more)
			}
		}
		if j.extra != nil {
			j.extra(g, z)
		}
	}
	g.put("G1 E-2")
	g.put("M104 S0")
	return g.String()
}

func parse(t testing.TB, text string) thread.Thread {
	t.Helper()
	th, err := thread.NewTables().Parse(text)
	require.NoError(t, err)
	return th
}
