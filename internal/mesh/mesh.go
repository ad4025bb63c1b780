// Package mesh turns a ring's solid into triangles, proves them sound, and reads and writes them as STL and 3MF.
//
// Frame: millimetres, z up from the print bed, counter-clockwise faces seen from outside.
package mesh

// Vec is a point in millimetres; every vertex that we make lies on the grid of GridMM.
type Vec = [3]float32

// GridMM is the spacing of the grid that vertices are snapped to: exact in float32 below 256 mm, so that
// welding and orientation tests are exact.
const GridMM = 1.0 / 65536

// Mesh is an indexed triangle mesh.
type Mesh struct {
	Vertices []Vec
	// Faces hold three indices into Vertices, counter-clockwise seen from outside.
	Faces [][3]uint32
}
