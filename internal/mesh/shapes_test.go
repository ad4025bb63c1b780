package mesh

// Closed meshes to test with, made without the helix mesher.

import (
	"math"

	"pgregory.net/rapid"
)

// onGrid snaps a point to the grid.
func onGrid(x, y, z float64) Vec {
	snap := func(v float64) float32 { return float32(math.Round(v/GridMM) * GridMM) }
	return Vec{snap(x), snap(y), snap(z)}
}

// box is a cuboid from lo to hi.
func box(lo, hi Vec) *Mesh {
	m := &Mesh{}
	for i := range 8 {
		v := lo
		for k := range 3 {
			if i>>k&1 == 1 {
				v[k] = hi[k]
			}
		}
		m.Vertices = append(m.Vertices, v)
	}
	for _, q := range [][4]uint32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Faces = append(m.Faces, [3]uint32{q[0], q[1], q[2]}, [3]uint32{q[0], q[2], q[3]})
	}
	return m
}

// join puts meshes into one, without welding.
func join(meshes ...*Mesh) *Mesh {
	out := &Mesh{}
	for _, m := range meshes {
		base := uint32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, f := range m.Faces {
			out.Faces = append(out.Faces, [3]uint32{f[0] + base, f[1] + base, f[2] + base})
		}
	}
	return out
}

// copyMesh is a deep copy.
func copyMesh(m *Mesh) *Mesh {
	return &Mesh{Vertices: append([]Vec(nil), m.Vertices...), Faces: append([][3]uint32(nil), m.Faces...)}
}

// torus lies around the z axis; columns run around the axis and rows around the tube.
func torus(ringRadius, tubeRadius float64, columns, rows int) *Mesh {
	m := &Mesh{}
	for i := range columns {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(columns))
		for j := range rows {
			sj, cj := math.Sincos(2 * math.Pi * float64(j) / float64(rows))
			r := ringRadius + tubeRadius*cj
			m.Vertices = append(m.Vertices, onGrid(r*c, r*s, tubeRadius*sj))
		}
	}
	for i := range columns {
		for j := range rows {
			at := func(i, j int) uint32 { return uint32(i%columns*rows + j%rows) }
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			m.Faces = append(m.Faces, [3]uint32{a, b, c}, [3]uint32{a, c, d})
		}
	}
	return m
}

// threadedTube has a triangle wave running up both its sides: its profile at each angle is a closed polygon of 2 rows
// corners, joined to the next angle's. The wall is 3 mm, the height 25 mm, the lead 1.5 mm inside and 2 mm outside.
func threadedTube(columns, rows int) *Mesh {
	wave := func(t float64) float64 { return math.Abs(t - math.Floor(t) - 0.5) }
	m := &Mesh{}
	for i := range columns {
		turn := float64(i) / float64(columns)
		s, c := math.Sincos(2 * math.Pi * turn)
		for j := range 2 * rows {
			up := j
			r, lead, depth := 24.0, 2.0, -1.2
			if j >= rows {
				up = 2*rows - 1 - j
				r, lead, depth = 20.0, 1.5, 0.9
			}
			z := 25 * float64(up) / float64(rows-1)
			r += depth * wave(z/lead-turn)
			m.Vertices = append(m.Vertices, onGrid(r*c, r*s, z))
		}
	}
	n := 2 * rows
	for i := range columns {
		for j := range n {
			at := func(i, j int) uint32 { return uint32(i%columns*n + j%n) }
			a, b, c, d := at(i, j), at(i+1, j), at(i+1, j+1), at(i, j+1)
			m.Faces = append(m.Faces, [3]uint32{a, b, c}, [3]uint32{a, c, d})
		}
	}
	return m
}

// referenceTube has about as many triangles as the reference ring.
func referenceTube() *Mesh { return threadedTube(120, 60) }

// soup draws a mesh of few vertices on few places, where faces repeat, fold, touch and pierce each other often.
func soup(t *rapid.T, places, most int) *Mesh {
	coordinate := rapid.IntRange(-places, places)
	vertices := rapid.IntRange(3, 8).Draw(t, "vertices")
	m := &Mesh{}
	for range vertices {
		m.Vertices = append(m.Vertices, Vec{
			float32(coordinate.Draw(t, "x")), float32(coordinate.Draw(t, "y")), float32(coordinate.Draw(t, "z")),
		})
	}
	corner := rapid.Uint32Range(0, uint32(vertices-1))
	for range rapid.IntRange(0, most).Draw(t, "faces") {
		m.Faces = append(m.Faces, [3]uint32{corner.Draw(t, "a"), corner.Draw(t, "b"), corner.Draw(t, "c")})
	}
	return m
}
