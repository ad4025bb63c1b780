package mesh

// Faces of more than three corners, cut into triangles.

import (
	"fmt"
	"math"
	"slices"
)

// polygonSteps is the grid on which a polygon is cut, as steps to its size: what triangulate takes.
const polygonSteps = 1 << 22

// addPolygon adds a face of three corners or more. One that is no simple outline, seen along its normal, is cut from its first corner.
func (m *Mesh) addPolygon(corners []uint32) error {
	if len(m.Faces) > maxTriangles-len(corners) {
		return fmt.Errorf("%w: at most %d can be read", ErrTooLarge, maxTriangles)
	}
	if len(corners) > 3 {
		points, outline := m.flattened(corners)
		if cut, err := triangulate(points, [][]int{outline}); err == nil {
			for _, t := range cut {
				m.Faces = append(m.Faces, [3]uint32{corners[t[0]], corners[t[1]], corners[t[2]]})
			}
			return nil
		}
	}
	for k := 2; k < len(corners); k++ {
		m.Faces = append(m.Faces, [3]uint32{corners[0], corners[k-1], corners[k]})
	}
	return nil
}

// flattened is a polygon seen along the axis that is nearest to its normal, as an outline with the inside on its left.
func (m *Mesh) flattened(corners []uint32) (points []gridPoint, outline []int) {
	lo, hi := m.Vertices[corners[0]], m.Vertices[corners[0]]
	var n [3]float64 // Newell's sum: twice the area along each axis
	for i, c := range corners {
		a, b := m.Vertices[c], m.Vertices[corners[(i+1)%len(corners)]]
		for k := range 3 {
			u, v := (k+1)%3, (k+2)%3
			n[k] += (float64(a[u]) - float64(b[u])) * (float64(a[v]) + float64(b[v]))
			lo[k], hi[k] = min(lo[k], a[k]), max(hi[k], a[k])
		}
	}
	axis, size := 0, 0.0
	for k := range 3 {
		if math.Abs(n[k]) > math.Abs(n[axis]) {
			axis = k
		}
		size = max(size, float64(hi[k])-float64(lo[k]))
	}
	u, v := (axis+1)%3, (axis+2)%3
	if n[axis] < 0 {
		u, v = v, u
	}
	for i, c := range corners {
		at := m.Vertices[c]
		points = append(points, gridPoint{
			int64(math.Round((float64(at[u]) - float64(lo[u])) / size * polygonSteps)),
			int64(math.Round((float64(at[v]) - float64(lo[v])) / size * polygonSteps)),
		})
		outline = append(outline, i)
	}
	return points, slices.Clip(outline)
}
