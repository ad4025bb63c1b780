package mesh

// Reading OBJ: the vertices and faces of its text. Curves, lines, materials and groups are passed over.

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
)

// objWords are the words with which lines of OBJ begin that some writers put first.
var objWords = []string{"v", "vn", "vt", "vp", "o", "g", "s", "mtllib", "usemtl"}

// isOBJ says whether the first line that is no comment begins as one of OBJ.
func isOBJ(text []byte) bool {
	for len(text) > 0 {
		word := firstWord(text)
		if len(word) > 0 && word[0] != '#' {
			return slices.Contains(objWords, string(word))
		}
		end := bytes.IndexAny(text, "\n\r")
		if end < 0 {
			return len(word) > 0 // one long comment
		}
		text = text[end+1:]
	}
	return false
}

func readOBJ(from *bufio.Reader) (*Mesh, error) {
	m, w := &Mesh{}, newWords(from)
	for {
		var err error
		switch string(w.next()) {
		case "":
			if !errors.Is(w.err, io.EOF) {
				return nil, w.err
			}
			m.weld()
			return m, nil
		case "v":
			err = m.objVertex(w)
		case "f":
			err = m.objFace(w)
		}
		if err != nil {
			return nil, err
		}
		w.endLine()
	}
}

func (m *Mesh) objVertex(w *words) (err error) {
	var v Vec
	for k := range v {
		w.inLine()
		if v[k], err = w.number(); err != nil {
			return err
		}
	}
	m.Vertices = append(m.Vertices, v)
	return nil
}

// objFace reads the corners of a face: numbers of vertices from 1, or from the last one backwards, with those of textures and
// normals behind a stroke.
func (m *Mesh) objFace(w *words) error {
	var corners []uint32
	for len(w.inLine()) > 0 {
		if string(w.word) == `\` { // the line goes on below
			w.endLine()
			continue
		}
		word, _, _ := bytes.Cut(w.word, []byte("/"))
		n, err := strconv.Atoi(string(word))
		if err != nil {
			return w.fault("the number of a vertex")
		}
		if n < 0 {
			n += len(m.Vertices) + 1
		}
		if n < 1 || n > len(m.Vertices) {
			return fmt.Errorf("line %d: a face on vertex %s of %d: %w", w.line, word, len(m.Vertices), ErrBadIndex)
		}
		corners = append(corners, uint32(n-1))
	}
	if len(corners) < 3 {
		return w.fault("a face of three corners or more")
	}
	return m.addPolygon(corners)
}
