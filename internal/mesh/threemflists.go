package mesh

// Reading the lists of vertices and triangles back out of a 3MF model. The library takes ten times as long for it.

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
)

// elementMost is the most bytes that an element of a list may take; ours take half of it at the utmost.
const elementMost = 512

// elementLeast is about what the text of a vertex takes with the two triangles that go with it in a closed mesh.
const elementLeast = 100

// cutMeshes reads a model of size bytes, takes the lists of all meshes out of it, in their order, and leaves them empty.
// Lists that are not written as writeLists writes them are refused with ErrUnread3MF, words for numbers with ErrNot3MF.
func cutMeshes(model io.Reader, size uint64) (rest string, meshes []*Mesh, err error) {
	from := listReader{bufio.NewReaderSize(model, modelBuffer), make([]Vec, 0, size/elementLeast)}
	var out bytes.Buffer
	for {
		piece, err := from.ReadSlice('>')
		out.Write(piece)
		switch {
		case errors.Is(err, io.EOF):
			return out.String(), meshes, nil
		case err != nil && !errors.Is(err, bufio.ErrBufferFull):
			return "", nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
		case !bytes.HasSuffix(out.Bytes(), []byte(verticesStart)):
			continue
		}
		m, err := from.mesh()
		if err != nil {
			return "", nil, fmt.Errorf("mesh %d: %w", len(meshes)+1, err)
		}
		meshes = append(meshes, m)
		out.WriteString(verticesEnd + trianglesStart + trianglesEnd)
	}
}

// listReader reads the text of lists.
type listReader struct {
	*bufio.Reader
	// vertices is room for one list after the other, since a list does not tell its length.
	vertices []Vec
}

// mesh reads both lists of a mesh, behind the start of the first.
func (l *listReader) mesh() (*Mesh, error) {
	var err error
	if l.vertices, err = readList(l, l.vertices[:0], &vertexParts, verticesEnd, quotedFloat32); err != nil {
		return nil, fmt.Errorf("vertex %d: %w", len(l.vertices)+1, err)
	}
	if window, _ := l.Peek(len(trianglesStart)); string(window) != trianglesStart {
		return nil, unlike(window, trianglesStart)
	}
	_, _ = l.Discard(len(trianglesStart)) // it has been seen
	m := &Mesh{Vertices: slices.Clone(l.vertices)}
	// A closed mesh has twice as many triangles as vertices.
	if m.Faces, err = readList(l, make([][3]uint32, 0, 2*len(m.Vertices)), &triangleParts, trianglesEnd, quotedUint32); err != nil {
		return nil, fmt.Errorf("triangle %d: %w", len(m.Faces)+1, err)
	}
	return m, nil
}

// readList reads elements of three numbers each and adds them to list, until end.
func readList[E ~[3]T, T any](l *listReader, list []E, parts *[3]string, end string, number func([]byte) (T, int, error)) ([]E, error) {
	for {
		window, err := l.Peek(elementMost)
		if err != nil && !errors.Is(err, io.EOF) {
			return list, fmt.Errorf("%w: %w", ErrNot3MF, err)
		}
		if bytes.HasPrefix(window, []byte(end)) {
			_, err := l.Discard(len(end))
			return list, err
		}
		var e E
		rest := window
		for k, part := range parts {
			if !bytes.HasPrefix(rest, []byte(part)) {
				return list, unlike(rest, part)
			}
			x, size, err := number(rest[len(part):])
			if err != nil {
				return list, fmt.Errorf("%w: %w", ErrNot3MF, errors.Unwrap(err))
			}
			e[k], rest = x, rest[len(part)+size:]
		}
		if !bytes.HasPrefix(rest, []byte(elementEnd)) {
			return list, unlike(rest, elementEnd)
		}
		list = append(list, e)
		_, _ = l.Discard(len(window) - len(rest) + len(elementEnd)) // it has been seen
	}
}

// unlike says that text should have begun with wanted.
func unlike(text []byte, wanted string) error {
	return fmt.Errorf("%w: %.40q where %q was looked for", ErrUnread3MF, text, wanted)
}
