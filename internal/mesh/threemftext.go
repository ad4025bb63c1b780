package mesh

// The lists of vertices and triangles in a 3MF model, as text (3MF Core Specification 1.3, chapter 4). The library's
// own mesh writing is passed by for two reasons: it rounds to so many digits, where neighbours on the grid want as many
// as tell them apart, and it takes five times as long. Its reading takes ten times as long.

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// emptyMesh is how the library writes a mesh without lists. Names and other texts cannot hold it: in them "<" is
// escaped.
const emptyMesh = "<mesh></mesh>"

// The elements of the lists.
const (
	verticesStart, verticesEnd   = "<vertices>", "</vertices>"
	trianglesStart, trianglesEnd = "<triangles>", "</triangles>"
	elementEnd                   = "/>"
)

// The texts before the three values of an element.
var (
	vertexParts   = [3]string{`<vertex x="`, ` y="`, ` z="`}
	triangleParts = [3]string{`<triangle v1="`, ` v2="`, ` v3="`}
)

// Room for the text of an element, on the large side, so that it is seldom moved.
const (
	vertexRoom   = 64
	triangleRoom = 52
)

// fillMeshes puts the objects' lists into the empty meshes of a model, in their order, below an XML header.
func fillMeshes(model []byte, objects []Object) []byte {
	room := len(xml.Header) + len(model)
	for _, o := range objects {
		room += len(o.Mesh.Vertices)*vertexRoom + len(o.Mesh.Faces)*triangleRoom + 100
	}
	to := append(make([]byte, 0, room), xml.Header...)
	for _, o := range objects {
		before, after, _ := bytes.Cut(model, []byte(emptyMesh))
		to = append(append(to, before...), "<mesh>"...)
		to = append(appendLists(to, o.Mesh), "</mesh>"...)
		model = after
	}
	return append(to, model...)
}

// appendLists appends the text of m's vertices, with as many digits as tell every float32 from its neighbours, and of
// its triangles.
func appendLists(to []byte, m *Mesh) []byte {
	to = append(to, verticesStart...)
	for i := range m.Vertices {
		for k, x := range m.Vertices[i] {
			to = append(to, vertexParts[k]...)
			to = strconv.AppendFloat(to, float64(x+0), 'f', -1, 32) // +0 makes 0 of -0
			to = append(to, '"')
		}
		to = append(to, elementEnd...)
	}
	to = append(append(to, verticesEnd...), trianglesStart...)
	for _, f := range m.Faces {
		for k, v := range f {
			to = append(to, triangleParts[k]...)
			to = strconv.AppendUint(to, uint64(v), 10)
			to = append(to, '"')
		}
		to = append(to, elementEnd...)
	}
	return append(to, trianglesEnd...)
}

// cutMeshes takes the lists of all meshes out of a model's text, in their order, and leaves them empty. Lists that are
// not written as appendLists writes them are refused with ErrUnread3MF, words for numbers with ErrNot3MF.
func cutMeshes(model string) (rest string, meshes []*Mesh, err error) {
	var out strings.Builder
	for {
		at := strings.Index(model, verticesStart)
		if at < 0 {
			out.WriteString(model)
			return out.String(), meshes, nil
		}
		out.WriteString(model[:at] + verticesStart + verticesEnd + trianglesStart + trianglesEnd)
		lists := listReader{rest: model[at:]}
		m, err := lists.mesh()
		if err != nil {
			return "", nil, fmt.Errorf("mesh %d: %w", len(meshes)+1, err)
		}
		meshes = append(meshes, m)
		model = lists.rest
	}
}

// listReader reads the text of lists from its start.
type listReader struct{ rest string }

// mesh reads both lists of a mesh.
func (l *listReader) mesh() (*Mesh, error) {
	m := new(Mesh)
	size := strings.Index(l.rest, trianglesEnd)
	if size < 0 {
		return nil, fmt.Errorf("%w: the list of triangles has no end", ErrNot3MF)
	}
	m.Vertices = make([]Vec, 0, size/2/vertexRoom)
	m.Faces = make([][3]uint32, 0, size/2/triangleRoom)
	if err := l.list(verticesStart, vertexParts, verticesEnd, func(values *[3]string) error {
		var v Vec
		for k, text := range values {
			x, err := strconv.ParseFloat(text, 32)
			if err != nil {
				return err
			}
			v[k] = float32(x)
		}
		m.Vertices = append(m.Vertices, v)
		return nil
	}); err != nil {
		return nil, fmt.Errorf("vertex %d: %w", len(m.Vertices), err)
	}
	if err := l.list(trianglesStart, triangleParts, trianglesEnd, func(values *[3]string) error {
		var f [3]uint32
		for k, text := range values {
			i, err := strconv.ParseUint(text, 10, 32)
			if err != nil {
				return err
			}
			f[k] = uint32(i)
		}
		m.Faces = append(m.Faces, f)
		return nil
	}); err != nil {
		return nil, fmt.Errorf("triangle %d: %w", len(m.Faces), err)
	}
	return m, nil
}

// list reads one list and hands on the three values of each element.
func (l *listReader) list(start string, parts [3]string, end string, take func(*[3]string) error) error {
	if !l.skip(start) {
		return l.unlike(start)
	}
	var values [3]string
	for !l.skip(end) {
		for k, part := range parts {
			if !l.skip(part) {
				return l.unlike(part)
			}
			size := strings.IndexByte(l.rest, '"')
			if size < 0 {
				return l.unlike(`"`)
			}
			values[k], l.rest = l.rest[:size], l.rest[size+1:]
		}
		if !l.skip(elementEnd) {
			return l.unlike(elementEnd)
		}
		if err := take(&values); err != nil {
			return fmt.Errorf("%w: %w", ErrNot3MF, errors.Unwrap(err))
		}
	}
	return nil
}

// skip passes by text, if it comes next.
func (l *listReader) skip(text string) bool {
	if !strings.HasPrefix(l.rest, text) {
		return false
	}
	l.rest = l.rest[len(text):]
	return true
}

// unlike says that text should have come next.
func (l *listReader) unlike(text string) error {
	return fmt.Errorf("%w: %.40q where %q was looked for", ErrUnread3MF, l.rest, text)
}
