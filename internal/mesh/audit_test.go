package mesh

import (
	"math"
	"math/big"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// slowAudit is the oracle: maps, flooding and fractions.
func slowAudit(m *Mesh) Soundness {
	var s Soundness
	type edge [2]uint32
	type use struct {
		face int
		down bool
	}
	uses := map[edge][]use{}
	var faces []int
	sum := new(big.Rat)
	for i, f := range m.Faces {
		if f[0] == f[1] || f[1] == f[2] || f[2] == f[0] {
			s.Degenerate++
			continue
		}
		faces = append(faces, i)
		var p [3][3]*big.Rat
		for c := range p {
			p[c] = fractions(m.Vertices[f[c]])
		}
		n := crossRat(subRat(p[1], p[0]), subRat(p[2], p[0]))
		if n[0].Sign() == 0 && n[1].Sign() == 0 && n[2].Sign() == 0 {
			s.Degenerate++
		}
		sum.Add(sum, dotRat(n, p[0]))
		for k := range 3 {
			a, b := f[k], f[(k+1)%3]
			uses[edge{min(a, b), max(a, b)}] = append(uses[edge{min(a, b), max(a, b)}], use{i, a > b})
		}
	}
	s.VolumeMM3, _ = sum.Quo(sum, big.NewRat(6, 1)).Float64()
	for _, u := range uses {
		switch {
		case len(u) == 1:
			s.OpenEdges++
		case len(u) > 2:
			s.NonmanifoldEdges++
		case u[0].down == u[1].down:
			s.MisorientedEdges++
		}
	}
	// flood counts groups of the faces given, stepping over the edges that pass lets through.
	flood := func(faces []int, pass func(edge) bool) int {
		in, seen, groups := map[int]bool{}, map[int]bool{}, 0
		for _, f := range faces {
			in[f] = true
		}
		for _, f := range faces {
			if seen[f] {
				continue
			}
			groups++
			seen[f] = true
			for todo := []int{f}; len(todo) > 0; {
				f := m.Faces[todo[0]]
				todo = todo[1:]
				for k := range 3 {
					a, b := f[k], f[(k+1)%3]
					e := edge{min(a, b), max(a, b)}
					for _, u := range uses[e] {
						if pass(e) && in[u.face] && !seen[u.face] {
							seen[u.face] = true
							todo = append(todo, u.face)
						}
					}
				}
			}
		}
		return groups
	}
	seen := map[[3]uint32]bool{}
	for _, i := range faces {
		corners := m.Faces[i]
		slices.Sort(corners[:])
		if seen[corners] {
			s.Repeated++
		}
		seen[corners] = true
	}
	s.Shells = flood(faces, func(edge) bool { return true })
	for v := range m.Vertices {
		var around []int
		for _, i := range faces {
			for _, c := range m.Faces[i] {
				if int(c) == v {
					around = append(around, i)
				}
			}
		}
		if flood(around, func(e edge) bool { return int(e[0]) == v || int(e[1]) == v }) > 1 {
			s.PinchedVertices++
		}
	}
	first := true
	for _, f := range m.Faces {
		for _, i := range f {
			for k, x := range m.Vertices[i] {
				if first {
					s.BoundsMM[0][k], s.BoundsMM[1][k] = float64(x), float64(x)
				}
				s.BoundsMM[0][k] = min(s.BoundsMM[0][k], float64(x))
				s.BoundsMM[1][k] = max(s.BoundsMM[1][k], float64(x))
			}
			first = false
		}
	}
	return s
}

func fractions(v Vec) [3]*big.Rat {
	var out [3]*big.Rat
	for k := range v {
		out[k] = new(big.Rat).SetFloat64(float64(v[k]))
	}
	return out
}

func subRat(a, b [3]*big.Rat) [3]*big.Rat {
	return [3]*big.Rat{new(big.Rat).Sub(a[0], b[0]), new(big.Rat).Sub(a[1], b[1]), new(big.Rat).Sub(a[2], b[2])}
}

func crossRat(u, v [3]*big.Rat) (n [3]*big.Rat) {
	for k := range n {
		i, j := (k+1)%3, (k+2)%3
		n[k] = new(big.Rat).Sub(new(big.Rat).Mul(u[i], v[j]), new(big.Rat).Mul(u[j], v[i]))
	}
	return n
}

func dotRat(u, v [3]*big.Rat) *big.Rat {
	sum := new(big.Rat)
	for k := range u {
		sum.Add(sum, new(big.Rat).Mul(u[k], v[k]))
	}
	return sum
}

// requireSameSoundness compares all but the volume exactly, and that to rounding. Only a closed, oriented mesh has a
// volume that does not depend on where it is measured from.
func requireSameSoundness(t require.TestingT, want, got Soundness) {
	if want.OpenEdges == 0 && want.NonmanifoldEdges == 0 && want.MisorientedEdges == 0 && want.Degenerate == 0 {
		require.InDelta(t, want.VolumeMM3, got.VolumeMM3, 1e-9*(1+math.Abs(want.VolumeMM3)))
	}
	want.VolumeMM3, got.VolumeMM3 = 0, 0
	require.Equal(t, want, withoutNesting(got))
}

// slowCrossings counts pairs of faces that meet, of which none repeats one before it.
func slowCrossings(m *Mesh) (n int) {
	once := &Mesh{Vertices: m.Vertices}
	seen := map[[3]uint32]bool{}
	for _, f := range m.Faces {
		corners := f
		slices.Sort(corners[:])
		if !seen[corners] {
			once.Faces = append(once.Faces, f)
		}
		seen[corners] = true
	}
	return len(slowSelfIntersections(once))
}

// withoutNesting are the figures that slowAudit counts.
func withoutNesting(s Soundness) Soundness {
	s.Places, s.TJoints, s.Overlaps, s.InsideOut, s.Buried, s.Cavities = nil, 0, 0, 0, 0, 0
	return s
}

func TestAuditOnKnownShapes(t *testing.T) {
	cube := box(Vec{1, 2, 3}, Vec{3, 5, 7})
	inner := box(Vec{1.5, 2.5, 3.5}, Vec{2, 3, 4})
	turned := copyMesh(inner)
	for i, f := range turned.Faces {
		turned.Faces[i] = [3]uint32{f[0], f[2], f[1]}
	}
	cubeBox := [2][3]float64{{1, 2, 3}, {3, 5, 7}}
	without := func(m *Mesh, face int) *Mesh {
		m = copyMesh(m)
		m.Faces = append(m.Faces[:face], m.Faces[face+1:]...)
		return m
	}
	with := func(m *Mesh, faces ...[3]uint32) *Mesh {
		m = copyMesh(m)
		m.Faces = append(m.Faces, faces...)
		return m
	}
	flipped := copyMesh(cube)
	f := flipped.Faces[4]
	flipped.Faces[4] = [3]uint32{f[1], f[0], f[2]}
	// Two tetrahedra on one vertex.
	pinched := &Mesh{
		Vertices: []Vec{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {-1, 0, 0}, {0, -1, 0}, {0, 0, -1}},
		Faces: [][3]uint32{
			{0, 2, 1},
			{0, 1, 3},
			{0, 3, 2},
			{1, 2, 3},
			{0, 4, 5},
			{0, 6, 4},
			{0, 5, 6},
			{4, 6, 5},
		},
	}
	for _, c := range []struct {
		name  string
		mesh  *Mesh
		want  Soundness
		sound bool
	}{
		{"nothing", &Mesh{}, Soundness{}, false},
		{"cuboid 2 x 3 x 4", cube, Soundness{Shells: 1, VolumeMM3: 24, BoundsMM: cubeBox}, true},
		{"inside out", func() *Mesh {
			m := copyMesh(cube)
			for i, f := range m.Faces {
				m.Faces[i] = [3]uint32{f[0], f[2], f[1]}
			}
			return m
		}(), Soundness{Shells: 1, VolumeMM3: -24, BoundsMM: cubeBox}, false},
		{"a face missing", without(cube, 0), Soundness{OpenEdges: 3, Shells: 1, BoundsMM: cubeBox}, false},
		{"a face turned", flipped, Soundness{MisorientedEdges: 3, Shells: 1, BoundsMM: cubeBox}, false},
		{"a face twice", with(cube, cube.Faces[0]), Soundness{NonmanifoldEdges: 3, Repeated: 1, Shells: 1, BoundsMM: cubeBox}, false},
		{"a repeated corner", with(cube, [3]uint32{1, 1, 2}), Soundness{Degenerate: 1, Shells: 1, BoundsMM: cubeBox}, false},
		{"a missing corner", with(cube, [3]uint32{0, 1, 99}), Soundness{Degenerate: 1, Shells: 1, BoundsMM: cubeBox}, false},
		{"a hollow", join(cube, turned), Soundness{Shells: 2, VolumeMM3: 24 - 0.125, BoundsMM: cubeBox}, true},
		{"a solid in a solid", join(cube, inner), Soundness{Shells: 2, VolumeMM3: 24 + 0.125, BoundsMM: cubeBox}, false},
		{"pinched", pinched, Soundness{
			Shells: 2, PinchedVertices: 1, VolumeMM3: 1.0 / 3, BoundsMM: [2][3]float64{{-1, -1, -1}, {1, 1, 1}},
		}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := Audit(c.mesh)
			requireSameSoundness(t, c.want, got)
			assert.Equal(t, c.sound, got.Sound())
		})
	}
}

func TestAuditOfUnweldedFacesOnALine(t *testing.T) {
	for _, c := range []struct {
		name    string
		a, b, c Vec
		want    int
	}{
		{"on a line, off the grid", Vec{0.1, 0.1, 0.1}, Vec{0.2, 0.2, 0.2}, Vec{0.4, 0.4, 0.4}, 1},
		{"one step of the last bit aside", Vec{0.1, 0.1, 0.1}, Vec{0.2, 0.2, 0.2}, Vec{0.4, 0.4, math.Nextafter32(0.4, 1)}, 0},
		{"same place, other index", Vec{1, 2, 3}, Vec{1, 2, 3}, Vec{4, 5, 7}, 1},
		{"the smallest numbers", Vec{0, 0, 0}, Vec{1e-45, 0, 0}, Vec{0, 1e-45, 0}, 0},
		{"small and large, on a line", Vec{0, 0, 0}, Vec{1e-45, 1e-45, 0}, Vec{3e38, 3e38, 0}, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := &Mesh{Vertices: []Vec{c.a, c.b, c.c}, Faces: [][3]uint32{{0, 1, 2}}}
			assert.Equal(t, c.want, Audit(m).Degenerate)
			assert.Equal(t, c.want, slowAudit(m).Degenerate)
		})
	}
}

// A torus of n by k facets about its circles has, by Pappus, the volume 2 pi R pi r²; the facets lie inside.
func TestAuditVolumeOfATorus(t *testing.T) {
	got := Audit(torus(20, 5, 400, 200))
	assert.True(t, got.Sound())
	want := 2 * math.Pi * 20 * math.Pi * 5 * 5
	assert.InDelta(t, want, got.VolumeMM3, want*5e-4) // sagitta: (2 pi / 200)²/6 + (2 pi / 400)²/6
	assert.Less(t, got.VolumeMM3, want)
}

func TestAuditOfTheReferenceTube(t *testing.T) {
	m := referenceTube()
	got := Audit(m)
	assert.Len(t, m.Faces, 28_800)
	assert.True(t, got.Sound(), "%+v", got)
	assert.Equal(t, 1, got.Shells)
	assert.Zero(t, got.PinchedVertices)
}

func TestAuditAgainstTheSlowWay(t *testing.T) {
	samples := 0
	t.Run("soup", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			m := soup(t, 2, 16)
			m.weld()
			want, got := slowAudit(m), Audit(m)
			want.SelfIntersections = slowCrossings(m)
			requireSameSoundness(t, want, got)
			samples++
		})
	})
	t.Run("damaged shapes", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			m := join(box(Vec{}, Vec{1, 1, 1}), torus(20, 5, rapid.IntRange(3, 9).Draw(t, "columns"), 4))
			face := rapid.IntRange(0, len(m.Faces)-1)
			for range rapid.IntRange(0, 4).Draw(t, "wounds") {
				i := face.Draw(t, "face")
				switch rapid.IntRange(0, 3).Draw(t, "kind") {
				case 0:
					m.Faces[i][0], m.Faces[i][1] = m.Faces[i][1], m.Faces[i][0]
				case 1:
					m.Faces = append(m.Faces, m.Faces[i])
				case 2:
					m.Faces[i] = m.Faces[face.Draw(t, "other")]
				case 3:
					m.Faces[i][2] = uint32(rapid.IntRange(0, len(m.Vertices)-1).Draw(t, "corner"))
				}
			}
			got := Audit(m)
			got.SelfIntersections = 0 // they have an oracle above, which is too slow here
			requireSameSoundness(t, slowAudit(m), got)
			samples++
		})
	})
	require.NotZero(t, samples)
}

func BenchmarkAudit(b *testing.B) {
	m := referenceTube()
	b.ReportAllocs()
	for b.Loop() {
		if !Audit(m).Sound() {
			b.Fatal("not sound")
		}
	}
}

// exactBits hold any product of two differences of float32 numbers, which span 2^-149 to 2^128.
const exactBits = 2 * (149 + 128 + 2)

// hasNoAreaExactly says in long arithmetic whether three places lie exactly on a line.
func hasNoAreaExactly(a, b, c Vec) bool {
	number := func(x float32) *big.Float { return new(big.Float).SetPrec(exactBits).SetFloat64(float64(x)) }
	blank := func() *big.Float { return new(big.Float).SetPrec(exactBits) }
	var u, v [3]*big.Float
	for k := range u {
		u[k] = blank().Sub(number(b[k]), number(a[k]))
		v[k] = blank().Sub(number(c[k]), number(a[k]))
	}
	for k := range u {
		i, j := (k+1)%3, (k+2)%3
		if blank().Mul(u[i], v[j]).Cmp(blank().Mul(u[j], v[i])) != 0 {
			return false
		}
	}
	return true
}
