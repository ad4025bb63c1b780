package mesh

// Reading the lists of vertices and triangles back out of a 3MF model. The library takes ten times as long for it.

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// cutMeshes takes the lists of all meshes out of a model's text, in their order, and leaves them empty. Lists that are not
// written as writeLists writes them are refused with ErrUnread3MF, words for numbers with ErrNot3MF.
func cutMeshes(model string) (rest string, meshes []*Mesh, err error) {
	var out strings.Builder
	for {
		before, lists, found := strings.Cut(model, verticesStart)
		out.WriteString(before)
		if !found {
			return out.String(), meshes, nil
		}
		m := new(Mesh)
		if model, err = m.readLists(lists); err != nil {
			return "", nil, fmt.Errorf("mesh %d: %w", len(meshes)+1, err)
		}
		meshes = append(meshes, m)
		out.WriteString(verticesStart + verticesEnd + trianglesStart + trianglesEnd)
	}
}

// readLists reads both lists of a mesh, behind the start of the first, and returns what stands behind them.
func (m *Mesh) readLists(text string) (rest string, err error) {
	if m.Vertices, text, err = readList[Vec](text, &vertexParts, verticesEnd, parseFloat32); err != nil {
		return "", fmt.Errorf("vertex %d: %w", len(m.Vertices)+1, err)
	}
	text, found := strings.CutPrefix(text, trianglesStart)
	if !found {
		return "", unlike(text, trianglesStart)
	}
	if m.Faces, text, err = readList[[3]uint32](text, &triangleParts, trianglesEnd, parseUint32); err != nil {
		return "", fmt.Errorf("triangle %d: %w", len(m.Faces)+1, err)
	}
	return text, nil
}

// readList reads elements of three numbers each, until end, and returns what stands behind it.
func readList[E ~[3]T, T any](text string, parts *[3]string, end string, parse func(string) (T, error)) (list []E, rest string, err error) {
	list = make([]E, 0, strings.Count(text[:max(0, strings.Index(text, end))], elementStart))
	for {
		if rest, found := strings.CutPrefix(text, end); found {
			return list, rest, nil
		}
		var e E
		for k, part := range parts {
			after, found := strings.CutPrefix(text, part)
			if !found {
				return list, "", unlike(text, part)
			}
			number, _, _ := strings.Cut(after, `"`)
			if e[k], err = parse(number); err != nil {
				return list, "", fmt.Errorf("%w: %w", ErrNot3MF, errors.Unwrap(err))
			}
			text = after[len(number):]
		}
		after, found := strings.CutPrefix(text, elementEnd)
		if !found {
			return list, "", unlike(text, elementEnd)
		}
		list, text = append(list, e), after
	}
}

func parseFloat32(text string) (float32, error) {
	x, err := strconv.ParseFloat(text, 32)
	return float32(x), err
}

func parseUint32(text string) (uint32, error) {
	x, err := strconv.ParseUint(text, 10, 32)
	return uint32(x), err
}

// unlike says that text should have begun with wanted.
func unlike(text, wanted string) error {
	return fmt.Errorf("%w: %.40q where %q was looked for", ErrUnread3MF, text, wanted)
}
