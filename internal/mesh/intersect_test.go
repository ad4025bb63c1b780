package mesh

import (
	"math"
	"math/big"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// slowSelfIntersections is the oracle: it cuts each triangle down to what lies in each other one, in fractions, and
// looks whether more is left than the corners that both have and the edge between them.
func slowSelfIntersections(m *Mesh) [][2]int {
	var found [][2]int
	for j, g := range m.Faces {
		b := [3]Vec{m.Vertices[g[0]], m.Vertices[g[1]], m.Vertices[g[2]]}
		if hasNoAreaExactly(b[0], b[1], b[2]) {
			continue
		}
		for i, f := range m.Faces[:j] {
			a := [3]Vec{m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]}
			if !hasNoAreaExactly(a[0], a[1], a[2]) && meetSlowly(a, b) {
				found = append(found, [2]int{i, j})
			}
		}
	}
	slices.SortFunc(found, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return found
}

func meetSlowly(a, b [3]Vec) bool {
	var shared []Vec
	for _, p := range a {
		for _, q := range b {
			if p == q {
				shared = append(shared, p)
			}
		}
	}
	if len(shared) == 3 {
		return true
	}
	common := [][3]*big.Rat{fractions(a[0]), fractions(a[1]), fractions(a[2])}
	q := [3][3]*big.Rat{fractions(b[0]), fractions(b[1]), fractions(b[2])}
	n := crossRat(subRat(q[1], q[0]), subRat(q[2], q[0]))
	common = cutRat(common, q[0], n)
	common = cutRat(common, q[0], subRat(fractions(Vec{}), n))
	for k := range 3 {
		common = cutRat(common, q[k], crossRat(n, subRat(q[(k+1)%3], q[k])))
	}
	for _, p := range common {
		if !inShared(p, shared) {
			return true
		}
	}
	return false
}

// cutRat keeps of a convex polygon, which may be a segment or a point, what lies at or in front of a plane.
func cutRat(polygon [][3]*big.Rat, at, n [3]*big.Rat) [][3]*big.Rat {
	var out [][3]*big.Rat
	for i, p := range polygon {
		q := polygon[(i+1)%len(polygon)]
		dp, dq := dotRat(n, subRat(p, at)), dotRat(n, subRat(q, at))
		if dp.Sign() >= 0 {
			out = append(out, p)
		}
		if dp.Sign()*dq.Sign() < 0 {
			s := new(big.Rat).Quo(dp, new(big.Rat).Sub(dp, dq))
			var cut [3]*big.Rat
			for k, d := range subRat(q, p) {
				cut[k] = new(big.Rat).Add(p[k], d.Mul(d, s))
			}
			out = append(out, cut)
		}
	}
	return out
}

// inShared says whether p lies on what the shared corners span: nothing, a point or a segment.
func inShared(p [3]*big.Rat, shared []Vec) bool {
	switch len(shared) {
	case 0:
		return false
	case 1:
		d := subRat(p, fractions(shared[0]))
		return dotRat(d, d).Sign() == 0
	}
	u, v := subRat(p, fractions(shared[0])), subRat(p, fractions(shared[1]))
	c := crossRat(u, v)
	return dotRat(c, c).Sign() == 0 && dotRat(u, v).Sign() <= 0
}

// selfIntersections are all pairs of faces that meet, once their corners are welded; faces that stand twice count.
func selfIntersections(m *Mesh) [][2]int {
	found, _ := selfIntersectionsBeside(m)
	return found
}

// selfIntersectionsBeside also counts the vertices whose faces were settled at once.
func selfIntersectionsBeside(m *Mesh) (found [][2]int, flat int) {
	welded := copyMesh(m)
	welded.weld()
	usable := make([]bool, len(welded.Faces))
	g := groupsOf(welded)
	for i, f := range welded.Faces {
		usable[i] = distinct(f, len(welded.Vertices))
	}
	(&Soundness{}).countEdges(welded, usable, g)
	for _, f := range fansOf(welded, g) {
		if f.flat() {
			flat++
		}
	}
	found, _ = crossings(welded, g, func(int) bool { return true })
	return found, flat
}

func TestSelfIntersectionsOfTwoFaces(t *testing.T) {
	base := [3]Vec{{0, 0, 0}, {4, 0, 0}, {0, 4, 0}}
	for _, c := range []struct {
		name  string
		other [3]Vec
		want  bool
	}{
		{"apart", [3]Vec{{0, 0, 1}, {4, 0, 1}, {0, 4, 1}}, false},
		{"in one plane, apart", [3]Vec{{5, 0, 0}, {9, 0, 0}, {5, 4, 0}}, false},
		{"one grid step above", [3]Vec{{1, 1, GridMM}, {2, 1, GridMM}, {1, 2, GridMM}}, false},
		{"pierces", [3]Vec{{1, 1, -1}, {1, 1, 1}, {9, 9, 1}}, true},
		{"pierces by one grid step", [3]Vec{{1, 1, -GridMM}, {1, 1, 1}, {2, 1, 1}}, true},
		{"corner touches the inside", [3]Vec{{1, 1, 0}, {1, 1, 1}, {2, 1, 1}}, true},
		{"corner touches an edge", [3]Vec{{2, 0, 0}, {2, -1, 1}, {2, -1, -1}}, true},
		{"corner misses an edge by one grid step", [3]Vec{{2, -GridMM, 0}, {2, -1, 1}, {2, -1, -1}}, false},
		{"edges touch", [3]Vec{{2, 0, -1}, {2, 0, 1}, {2, -1, 0}}, true},
		{"edge lies in the plane across", [3]Vec{{1, -1, 0}, {1, 5, 0}, {1, 1, 3}}, true},
		{"in one plane, over one corner", [3]Vec{{1, 1, 0}, {5, 1, 0}, {1, 5, 0}}, true},
		{"in one plane, inside", [3]Vec{{1, 1, 0}, {2, 1, 0}, {1, 2, 0}}, true},
		{"in one plane, around", [3]Vec{{-9, -9, 0}, {19, -9, 0}, {-9, 19, 0}}, true},
		{"in one plane, edge on part of an edge", [3]Vec{{1, 0, 0}, {3, 0, 0}, {2, -1, 0}}, true},
		{"same face", [3]Vec{{0, 0, 0}, {4, 0, 0}, {0, 4, 0}}, true},
		{"same face turned over", [3]Vec{{0, 0, 0}, {0, 4, 0}, {4, 0, 0}}, true},
		{"shares an edge, flat", [3]Vec{{4, 0, 0}, {0, 0, 0}, {0, -4, 0}}, false},
		{"shares an edge, square", [3]Vec{{4, 0, 0}, {0, 0, 0}, {0, 0, 4}}, false},
		{"shares an edge, folded over", [3]Vec{{4, 0, 0}, {0, 0, 0}, {1, 1, 0}}, true},
		{"shares an edge, all but folded over", [3]Vec{{4, 0, 0}, {0, 0, 0}, {1, 1, GridMM}}, false},
		{"shares a corner, apart", [3]Vec{{0, 0, 0}, {-4, 0, 0}, {0, -4, 1}}, false},
		{"shares a corner, upright", [3]Vec{{0, 0, 0}, {1, 1, 3}, {2, 1, 3}}, false},
		{"shares a corner, pierces", [3]Vec{{0, 0, 0}, {3, 1, -1}, {3, 1, 1}}, true},
		{"shares a corner, edge inside", [3]Vec{{0, 0, 0}, {1, 1, 0}, {1, 1, 3}}, true},
		{"shares a corner, edge runs across", [3]Vec{{0, 0, 0}, {9, 9, 0}, {1, 1, 3}}, true},
		{"shares a corner, edge on an edge", [3]Vec{{0, 0, 0}, {2, 0, 0}, {1, 0, 3}}, true},
		{"shares a corner, beside it, edge on an edge", [3]Vec{{0, 0, 0}, {0, 2, 0}, {-2, 0, 1}}, true},
		{"shares a corner, in one plane, overlaps", [3]Vec{{0, 0, 0}, {3, 1, 0}, {1, 3, 0}}, true},
		{"shares a corner, in one plane, apart", [3]Vec{{0, 0, 0}, {-3, -1, 0}, {-1, -3, 0}}, false},
		{"no area", [3]Vec{{1, 1, -1}, {1, 1, 0}, {1, 1, 1}}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := join(&Mesh{Vertices: base[:], Faces: [][3]uint32{{0, 1, 2}}}, &Mesh{Vertices: c.other[:], Faces: [][3]uint32{{0, 1, 2}}})
			got := selfIntersections(m)
			assert.Equal(t, c.want, len(got) == 1, "SelfIntersections = %v", got)
			assert.Equal(t, slowSelfIntersections(m), got)
		})
	}
}

func TestSelfIntersectionsOfShapes(t *testing.T) {
	cube := box(Vec{}, Vec{2, 2, 2})
	for _, c := range []struct {
		name string
		mesh *Mesh
		want bool
	}{
		{"cube", cube, false},
		{"torus", torus(20, 5, 60, 30), false},
		{"reference tube", referenceTube(), false},
		{"cubes apart", join(cube, box(Vec{2 + GridMM, 0, 0}, Vec{4, 2, 2})), false},
		{"cubes share part of a wall", join(cube, box(Vec{2, 1, 1}, Vec{4, 3, 3})), true},
		{"cubes overlap", join(cube, box(Vec{1, 1, 1}, Vec{3, 3, 3})), true},
		{"torus through itself", torus(4, 10, 60, 30), true},
		{"tube through a torus", join(referenceTube(), torus(22, 5, 60, 30)), true},
		{"nothing", &Mesh{}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := selfIntersections(c.mesh)
			assert.Equal(t, c.want, len(got) > 0, "%d pairs", len(got))
		})
	}
}

func TestSelfIntersectionsAgainstTheSlowWay(t *testing.T) {
	samples, met := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m := soup(t, rapid.IntRange(1, 4).Draw(t, "places"), 24)
		// The same figure at the far end of the reach needs the long arithmetic.
		if rapid.Bool().Draw(t, "stretched") {
			for i := range m.Vertices {
				for k := range m.Vertices[i] {
					m.Vertices[i][k] *= 255
				}
				m.Vertices[i][0] += GridMM * float32(i%2) // off the planes again, by one step
			}
		}
		got := selfIntersections(m)
		want := slowSelfIntersections(m)
		require.Equal(t, want, got)
		samples++
		met += len(want)
	})
	require.NotZero(t, samples)
	require.NotZero(t, met)
}

// Closed surfaces with some vertices moved anywhere fold, pierce and touch themselves beside vertices about which all is in order.
func TestSelfIntersectionsOfClosedMeshesAgainstTheSlowWay(t *testing.T) {
	skipInBrief(t)
	met, flats := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		m := torus(6, 3, 4, 3)
		for i, v := range m.Vertices {
			for k := range v {
				m.Vertices[i][k] = float32(math.Round(float64(v[k]))) // many planes and lines in common
			}
		}
		for range rapid.IntRange(0, 4).Draw(t, "moved") {
			i := rapid.IntRange(0, len(m.Vertices)-1).Draw(t, "vertex")
			for k := range 3 {
				m.Vertices[i][k] += float32(rapid.IntRange(-4, 4).Draw(t, "by"))
			}
		}
		got, flat := selfIntersectionsBeside(m)
		require.Equal(t, slowSelfIntersections(m), got)
		if flat > 0 {
			met += len(got)
			flats += flat
		}
	})
	require.NotZero(t, met)
	require.NotZero(t, flats)
}

// overlap says whether two boxes have a place in common.
func overlap(a, b gridBox) bool {
	for k := range 3 {
		if a.hi[k] < b.lo[k] || b.hi[k] < a.lo[k] {
			return false
		}
	}
	return true
}

// Oracle for the broad phase: every pair of boxes.
func TestBoxTreeAgainstAllPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{0, 1, 3, 4, 5, 16, 17, 300} {
		var boxes []gridBox
		for range n {
			var p [3]gridVec
			for c := range p {
				p[c] = gridVec{random.Int64N(40), random.Int64N(40), random.Int64N(40)}
				for k := range 3 {
					p[c][k] = p[0][k] + p[c][k]/4 // about p[0]
				}
			}
			g := groups{places: p[:]}
			boxes = append(boxes, g.boxOf([3]uint32{0, 1, 2}))
		}
		want := map[[2]int]bool{}
		for j := range boxes {
			for i := range j {
				if overlap(boxes[i], boxes[j]) {
					want[[2]int{i, j}] = true
				}
			}
		}
		got := map[[2]int]bool{}
		pairs(n, func(i int32) gridBox { return boxes[i] }, func(a, b int32) bool {
			pair := [2]int{int(min(a, b)), int(max(a, b))}
			require.False(t, got[pair], "pair %v comes once", pair)
			got[pair] = true
			return true
		})
		require.Equal(t, want, got, "%d triangles", n)
	}
}

func TestSidesAgainstBigIntegers(t *testing.T) {
	big3 := func(v gridVec) (out [3]*big.Rat) {
		for k, x := range v {
			out[k] = new(big.Rat).SetInt64(x)
		}
		return out
	}
	samples, flat, close := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		step := rapid.Int64Range(-1<<gridBits, 1<<gridBits)
		draw := func(name string) gridVec { return gridVec{step.Draw(t, name), step.Draw(t, name), step.Draw(t, name)} }
		p := [3]gridVec{draw("a"), draw("b"), draw("c")}
		d := draw("d")
		switch rapid.IntRange(0, 2).Draw(t, "where") {
		case 0:
			d = gridVec{p[0][0]/2 + p[1][0]/2, p[0][1]/2 + p[1][1]/2, p[0][2]/2 + p[1][2]/2}
			close++
		case 1: // in the plane exactly, but for one step
			u, v := gridVec{p[0][0] >> 4, p[0][1] >> 4, p[0][2] >> 4}, gridVec{p[1][0] >> 4, p[1][1] >> 4, p[1][2] >> 4}
			a := gridVec{p[2][0] / 2, p[2][1] / 2, p[2][2] / 2}
			p = [3]gridVec{a, a.add(u), a.add(v)}
			d = a
			for range rapid.IntRange(0, 3).Draw(t, "along") {
				d = d.add(u).add(u).sub(v)
			}
			d[rapid.IntRange(0, 2).Draw(t, "axis")] += rapid.Int64Range(-1, 1).Draw(t, "off")
			flat++
		}
		triangle := newGridTriangle(p[:], &[3]uint32{0, 1, 2})
		a := big3(p[0])
		n := crossRat(subRat(big3(p[1]), a), subRat(big3(p[2]), a))
		want := dotRat(n, subRat(big3(d), a)).Sign()
		require.Equal(t, want, triangle.side(&d))
		require.Equal(t, want, triangle.leansExactly(d.sub(p[0])))
		for axis, x := range n {
			require.Equal(t, x.Sign(), turn(&p[0], &p[1], &p[2], axis))
		}
		samples++
	})
	require.NotZero(t, samples)
	require.NotZero(t, flat)
	require.NotZero(t, close)
}

func BenchmarkSelfIntersections(b *testing.B) {
	m := referenceTube()
	b.ReportAllocs()
	for b.Loop() {
		if found := selfIntersections(m); len(found) > 0 {
			b.Fatal(found)
		}
	}
}

func (a gridVec) add(b gridVec) gridVec { return gridVec{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }

// skipInBrief leaves a test of long work in one goroutine out of a brief run.
func skipInBrief(t *testing.T) {
	t.Helper()
	if os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("one goroutine at long work, which a brief run does without")
	}
}
