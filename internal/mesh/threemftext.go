package mesh

// Writing the lists of vertices and triangles in a 3MF model (3MF Core Specification 1.3, chapter 4). The library's own
// mesh writing is passed by for two reasons: it rounds to so many digits, where neighbours on the grid want as many as
// tell them apart, and it takes five times as long.

import (
	"bufio"
	"bytes"
	"encoding/xml"
	"io"
	"strconv"
)

// The elements of a mesh.
const (
	meshStart, meshEnd           = "<mesh>", "</mesh>"
	verticesStart, verticesEnd   = "<vertices>", "</vertices>"
	trianglesStart, trianglesEnd = "<triangles>", "</triangles>"
	elementEnd                   = `"/>`
)

// The texts before the three values of an element.
var (
	vertexParts   = [3]string{`<vertex x="`, `" y="`, `" z="`}
	triangleParts = [3]string{`<triangle v1="`, `" v2="`, `" v3="`}
)

// emptyMesh is how the library writes a mesh without lists. Names and other texts cannot hold it: in them "<" is
// escaped.
const emptyMesh = meshStart + meshEnd

// modelBuffer is the bytes of a model's text that stand in memory at once.
const modelBuffer = 64 << 10

// writeModel writes the model with the objects' lists in its empty meshes, in their order, below an XML header.
func writeModel(w io.Writer, model []byte, objects []Object) error {
	to := bufio.NewWriterSize(w, modelBuffer)
	_, _ = to.WriteString(xml.Header) // Flush tells of all faults
	for _, o := range objects {
		before, after, _ := bytes.Cut(model, []byte(emptyMesh))
		_, _ = to.Write(before)
		_, _ = to.WriteString(meshStart)
		writeLists(to, o.Mesh)
		_, _ = to.WriteString(meshEnd)
		model = after
	}
	_, _ = to.Write(model)
	return to.Flush()
}

// writeLists writes m's vertices, with as many digits as tell every float32 from its neighbours, and its triangles.
func writeLists(to *bufio.Writer, m *Mesh) {
	_, _ = to.WriteString(verticesStart)
	for i := range m.Vertices {
		line := to.AvailableBuffer()
		for k, x := range m.Vertices[i] {
			line = append(line, vertexParts[k]...)
			line = strconv.AppendFloat(line, float64(x+0), 'f', -1, 32) // +0 makes 0 of -0
		}
		_, _ = to.Write(append(line, elementEnd...))
	}
	_, _ = to.WriteString(verticesEnd + trianglesStart)
	for _, f := range m.Faces {
		line := to.AvailableBuffer()
		for k, v := range f {
			line = append(line, triangleParts[k]...)
			line = strconv.AppendUint(line, uint64(v), 10)
		}
		_, _ = to.Write(append(line, elementEnd...))
	}
	_, _ = to.WriteString(trianglesEnd)
}
