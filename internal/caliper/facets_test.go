package caliper

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"tryring/internal/mesh"
)

// ridged is a bar with ridges of triangular section, depth high, that climb like a thread's.
func ridged(radius, depth, pitch float64) *mesh.Mesh {
	const columns, rows, turns = 60, 16, 5
	m := &mesh.Mesh{}
	for i := range rows*turns + 1 {
		for j := range columns {
			theta, z := 2*math.Pi*float64(j)/columns, pitch*float64(i)/rows
			u := z/pitch - float64(j)/columns
			r := radius + depth*2*math.Abs(u-math.Round(u))
			m.Vertices = append(m.Vertices, mesh.Vec{float32(r * math.Cos(theta)), float32(r * math.Sin(theta)), float32(z)})
		}
	}
	at := func(i, j int) uint32 { return uint32(i*columns + j%columns) }
	for i := range rows * turns {
		for j := range columns {
			m.Faces = append(m.Faces, [3]uint32{at(i, j), at(i, j+1), at(i+1, j+1)}, [3]uint32{at(i, j), at(i+1, j+1), at(i+1, j)})
		}
	}
	return m
}

// The sides of a many-sided bar that is twisted climb as ridges do, of less than a thousandth of its radius.
func TestRidgesOfFacetsAreNoThread(t *testing.T) {
	for _, c := range []struct {
		depth   float64
		threads int
	}{{0.6, 1}, {0.06, 1}, {0.009, 0}, {0.005, 0}} {
		m := ridged(12, c.depth, 2.3*c.depth)
		lines := linesOf(cut(place(m, newFrame(vec{}, vec{0, 0, 1})), m.Faces, math.Inf(1)), true, 0)
		found, why := threadsOn(lines, true, math.NaN())
		assert.Len(t, found, c.threads, "%v deep: %s", c.depth, why)
	}
}
