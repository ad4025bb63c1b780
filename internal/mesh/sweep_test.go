package mesh

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// outlines collects contours for triangulate.
type outlines struct {
	points   []gridPoint
	contours [][]int
}

func (o *outlines) add(points ...gridPoint) {
	c := make([]int, len(points))
	for i, p := range points {
		c[i] = len(o.points)
		o.points = append(o.points, p)
	}
	o.contours = append(o.contours, c)
}

// star draws a star-shaped ring of n points about a centre, counter-clockwise or clockwise, with radii from low to high.
// Straight stretches and level points are made on purpose by rounding to a coarse grid.
func star(t *rapid.T, name string, x, y, low, high int64, clockwise bool) []gridPoint {
	n := rapid.IntRange(3, 40).Draw(t, name+" points")
	coarse := rapid.SampledFrom([]int64{1, max(1, low/100)}).Draw(t, name+" grid")
	var ps []gridPoint
	for i := range n {
		r := float64(rapid.Int64Range(low, high).Draw(t, name+" radius"))
		a := 2 * math.Pi * float64(i) / float64(n)
		if clockwise {
			a = -a
		}
		p := gridPoint{x + int64(math.Round(r*math.Cos(a)/float64(coarse)))*coarse, y + int64(math.Round(r*math.Sin(a)/float64(coarse)))*coarse}
		ps = append(ps, p)
	}
	return ps
}

func TestTriangulateCoversExactly(t *testing.T) {
	covered := 0
	rapid.Check(t, func(rt *rapid.T) {
		var o outlines
		o.add(star(rt, "rim", 0, 0, 3000, 6000, false)...)
		holes := rapid.IntRange(0, 4).Draw(rt, "holes")
		for i := range holes {
			a := 2 * math.Pi * float64(i) / float64(holes)
			// Rims of few points cut deep: the holes stay within the largest circle that every such rim contains.
			o.add(star(rt, "hole", int64(700*math.Cos(a)), int64(700*math.Sin(a)), 100, 400, true)...)
		}
		ts, err := triangulate(o.points, o.contours)
		require.NoError(rt, err)
		require.Len(rt, ts, len(o.points)+2*holes-2, "a polygon of n points with h holes has n + 2h - 2 triangles")
		provePartition(rt, o, ts)
		covered++
	})
	require.Positive(t, covered)
}

// provePartition compares with brute force: triangles turn left, hold no other point, and share every inner edge with one
// other triangle that runs along it the other way; what is left over is the outline.
func provePartition(t require.TestingT, o outlines, ts [][3]int) {
	edges := map[[2]int]int{}
	for _, tr := range ts {
		a, b, c := o.points[tr[0]], o.points[tr[1]], o.points[tr[2]]
		require.Positive(t, leftTurn(a, b, c), "a triangle turns right or has no area")
		for _, p := range o.points {
			inside := leftTurn(a, b, p) > 0 && leftTurn(b, c, p) > 0 && leftTurn(c, a, p) > 0
			require.False(t, inside, "a triangle holds a point")
		}
		for i := range tr {
			edges[[2]int{tr[i], tr[(i+1)%3]}]++
		}
	}
	outline := map[[2]int]bool{}
	for _, c := range o.contours {
		for i := range c {
			outline[[2]int{c[i], c[(i+1)%len(c)]}] = true
		}
	}
	for e, n := range edges {
		require.Equal(t, 1, n, "an edge is used twice the same way")
		if !outline[e] {
			require.Equal(t, 1, edges[[2]int{e[1], e[0]}], "an inner edge has one side only")
		}
		delete(outline, e)
	}
	require.Empty(t, outline, "an outline edge has no triangle")
}

func TestTriangulateKeepsStraightPoints(t *testing.T) {
	var o outlines
	o.add(gridPoint{0, 0}, gridPoint{5, 0}, gridPoint{10, 0}, gridPoint{10, 4}, gridPoint{10, 10}, gridPoint{3, 10}, gridPoint{0, 10}, gridPoint{0, 7})
	o.add(gridPoint{2, 2}, gridPoint{2, 4}, gridPoint{2, 6}, gridPoint{6, 6}, gridPoint{6, 2})
	ts, err := triangulate(o.points, o.contours)
	require.NoError(t, err)
	provePartition(t, o, ts)
}

func TestTriangulateIslands(t *testing.T) {
	// A letter O sunk into a plate: the plate has a hole, the hole an island.
	var o outlines
	o.add(gridPoint{-100, -100}, gridPoint{100, -100}, gridPoint{100, 100}, gridPoint{-100, 100})
	o.add(gridPoint{-50, -50}, gridPoint{-50, 50}, gridPoint{50, 50}, gridPoint{50, -50})
	o.add(gridPoint{-20, -20}, gridPoint{20, -20}, gridPoint{20, 20}, gridPoint{-20, 20})
	ts, err := triangulate(o.points, o.contours)
	require.NoError(t, err)
	provePartition(t, o, ts)
	assert.Len(t, ts, 8+2)
}

func TestTriangulateRefuses(t *testing.T) {
	square := func(x, y, r int64) []gridPoint {
		return []gridPoint{{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}}
	}
	hole := func(x, y, r int64) []gridPoint {
		return []gridPoint{{x - r, y - r}, {x - r, y + r}, {x + r, y + r}, {x + r, y - r}}
	}
	for name, contours := range map[string][][]gridPoint{
		"holes that cross":    {square(0, 0, 100), hole(0, 0, 30), hole(20, 10, 30)},
		"a hole over the rim": {square(0, 0, 100), hole(90, 0, 30)},
		"a hole outside":      {square(0, 0, 100), hole(300, 0, 30)},
		"points that repeat":  {square(0, 0, 100), hole(70, 70, 30)},
		"a figure of eight":   {{{0, 0}, {10, 10}, {10, 0}, {0, 10}}},
		"two points":          {{{0, 0}, {10, 10}}},
		"inside out":          {hole(0, 0, 100)},
	} {
		t.Run(name, func(t *testing.T) {
			var o outlines
			for _, c := range contours {
				o.add(c...)
			}
			_, err := triangulate(o.points, o.contours)
			assert.ErrorIs(t, err, ErrOutlines)
		})
	}
}

// TestTriangulateLeavesNoSlivers: the arms of an E, turned so that their ends lie on a line but for the grid, make triangles that are
// thicker than a step.
func TestTriangulateLeavesNoSlivers(t *testing.T) {
	e := [][2]float64{{0, 0}, {5, 0}, {5, 2}, {2, 2}, {2, 4}, {5, 4}, {5, 6}, {2, 6}, {2, 8}, {5, 8}, {5, 10}, {0, 10}}
	thin := 0
	for turn := range 90 {
		sin, cos := math.Sincos(float64(turn) / 50)
		var points []gridPoint
		var outline []int
		for i, p := range e {
			points = append(points, gridPoint{int64(math.Round(1e5 * (p[0]*cos - p[1]*sin))), int64(math.Round(1e5 * (p[0]*sin + p[1]*cos)))})
			outline = append(outline, i)
		}
		triangles, err := triangulate(points, [][]int{outline})
		require.NoError(t, err)
		require.Len(t, triangles, len(e)-2)
		whole := int64(0)
		for _, c := range triangles {
			twice := leftTurn(points[c[0]], points[c[1]], points[c[2]])
			whole += twice
			if twice < 1e6 { // sides are some 1e5 to 1e6 steps long
				thin++
			}
		}
		require.Equal(t, enclosed(points, [][]int{outline}), whole)
	}
	assert.Zero(t, thin)
}
