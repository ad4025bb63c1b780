package mesh

// Boxes, normals, areas and volumes of faces.

import "math"

// cross is (b-a) x (c-a) in mm²: twice the area, along the outward normal. Products are rounded one by one, so that
// no machine fuses them and all give the same bytes.
func cross(a, b, c *Vec) (x, y, z float64) {
	ax, ay, az := float64(a[0]), float64(a[1]), float64(a[2])
	ux, uy, uz := float64(b[0])-ax, float64(b[1])-ay, float64(b[2])-az
	vx, vy, vz := float64(c[0])-ax, float64(c[1])-ay, float64(c[2])-az
	return float64(uy*vz) - float64(uz*vy), float64(uz*vx) - float64(ux*vz), float64(ux*vy) - float64(uy*vx)
}

// normal is the unit normal of a face, or zero when the face has no area.
func normal(a, b, c *Vec) (x, y, z float32) {
	nx, ny, nz := cross(a, b, c)
	length := math.Sqrt(float64(nx*nx) + float64(ny*ny) + float64(nz*nz))
	if length == 0 {
		return 0, 0, 0
	}
	scale := 1 / length // one division instead of three; float32 cannot tell
	return float32(nx * scale), float32(ny * scale), float32(nz * scale)
}

// Bounds are the lowest and highest coordinates of vertices that faces use; all zero without faces.
func (m *Mesh) Bounds() [2][3]float64 {
	var lo, hi Vec
	first, seen := true, uint32(0) // all vertices below that
	for _, f := range m.Faces {
		for _, i := range f {
			if i < seen || int(i) >= len(m.Vertices) {
				continue
			}
			v := &m.Vertices[i]
			if i == seen {
				seen++
			}
			if first {
				lo, hi, first = *v, *v, false
			}
			for k, x := range v {
				switch { // min and max would look for NaN each time
				case x < lo[k]:
					lo[k] = x
				case x > hi[k]:
					hi[k] = x
				}
			}
		}
	}
	var out [2][3]float64
	for k := range lo {
		out[0][k], out[1][k] = float64(lo[k]), float64(hi[k])
	}
	return out
}

// coneVolume is the volume between a face and the middle of the box: v = (p - o) . ((b - a) x (c - a)) / 6. Those of a closed shell sum
// to its own.
func (m *Mesh) coneVolume(f [3]uint32, box [2][3]float64) float64 {
	a := &m.Vertices[f[0]]
	x, y, z := cross(a, &m.Vertices[f[1]], &m.Vertices[f[2]])
	sum := 0.0
	for k, n := range [3]float64{x, y, z} {
		sum += float64(n * (float64(a[k]) - (box[0][k]+box[1][k])/2))
	}
	return sum / 6
}
