package mesh

// Reading PLY, text or binary, as its header lays it out: the places of its vertices and the corners of its faces.

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// plyKinds are the kinds of numbers, by both of their names: how many bytes, and what they mean.
var plyKinds = map[string]struct {
	size int
	kind byte
}{
	"char": {1, 'i'}, "int8": {1, 'i'}, "uchar": {1, 'u'}, "uint8": {1, 'u'}, "short": {2, 'i'}, "int16": {2, 'i'},
	"ushort": {2, 'u'}, "uint16": {2, 'u'}, "int": {4, 'i'}, "int32": {4, 'i'}, "uint": {4, 'u'}, "uint32": {4, 'u'},
	"float": {4, 'f'}, "float32": {4, 'f'}, "double": {8, 'f'}, "float64": {8, 'f'},
}

// plyProperty is a number of an element, or a list of them.
type plyProperty struct{ name, count, kind string } // count is the kind of the list's length, "" for one number

// plyElement is a kind of element, and how many there are.
type plyElement struct {
	name       string
	n          uint64
	properties []plyProperty
}

// plyReader reads numbers, of text or of bytes.
type plyReader struct {
	*words
	order binary.ByteOrder // nil for text
	bytes [8]byte          // of a number
}

func readPLY(from *bufio.Reader) (*Mesh, error) {
	r := &plyReader{words: newWords(from)}
	elements, err := r.header()
	if err != nil {
		return nil, err
	}
	m := &Mesh{}
	var strips bool
	for _, e := range elements {
		strips = strips || e.name == "tristrips"
		for i := range e.n {
			if err := r.element(m, e); err != nil {
				return nil, fmt.Errorf("%s %d of %d: %w", e.name, i+1, e.n, err)
			}
		}
	}
	if strips && len(m.Faces) == 0 {
		return nil, fmt.Errorf("%w: its faces are strips; export them as triangles", ErrNotPart)
	}
	m.weld()
	return m, nil
}

// header reads what the file holds, to the end of the line end_header.
func (r *plyReader) header() (elements []plyElement, err error) {
	if err := r.expect("ply"); err != nil {
		return nil, err
	}
	for r.endLine() {
		word := string(r.inLine())
		var last *plyElement
		if len(elements) > 0 {
			last = &elements[len(elements)-1]
		}
		switch {
		case word == "format":
			switch string(r.inLine()) {
			case "ascii":
			case "binary_little_endian":
				r.order = binary.LittleEndian
			case "binary_big_endian":
				r.order = binary.BigEndian
			default:
				return nil, r.fault("ascii, binary_little_endian or binary_big_endian")
			}
		case word == "element":
			e := plyElement{name: string(r.inLine())}
			if e.n, err = strconv.ParseUint(string(r.inLine()), 10, 32); err != nil {
				return nil, r.fault("a whole number")
			}
			elements = append(elements, e)
		case word == "property" && last != nil:
			p, err := r.property()
			if err != nil {
				return nil, err
			}
			last.properties = append(last.properties, p)
		case word == "end_header":
			for _, e := range elements {
				if len(e.properties) == 0 && e.n > 0 {
					return nil, fmt.Errorf("%w: line %d: element %s has no property", ErrNotPart, r.line, e.name)
				}
			}
			r.endLine()
			return elements, nil
		case word != "comment" && word != "obj_info" && word != "":
			return nil, r.fault("element, property or end_header")
		}
	}
	r.word = nil
	return nil, r.fault("end_header")
}

// property reads what follows the word property.
func (r *plyReader) property() (p plyProperty, err error) {
	p.kind = string(r.inLine())
	if p.kind == "list" {
		p.count = string(r.inLine())
		p.kind = string(r.inLine())
		if plyKinds[p.count].size == 0 || plyKinds[p.count].kind == 'f' {
			return p, r.fault("a kind of whole number")
		}
	}
	if plyKinds[p.kind].size == 0 {
		return p, r.fault("a kind of number")
	}
	p.name = string(r.inLine())
	return p, nil
}

// element reads one element: a vertex's place, a face's corners, or what is passed over.
func (r *plyReader) element(m *Mesh, e plyElement) error {
	place, found := Vec{}, 0
	for _, p := range e.properties {
		if p.count == "" {
			x, err := r.scalar(p.kind)
			if err != nil {
				return err
			}
			if k := strings.Index("xyz", p.name); e.name == "vertex" && len(p.name) == 1 && k >= 0 {
				place[k] = float32(x)
				found |= 1 << k
			}
			continue
		}
		corners, err := r.list(p)
		if err != nil {
			return err
		}
		if e.name != "face" || p.name != "vertex_indices" && p.name != "vertex_index" {
			continue
		}
		face := make([]uint32, len(corners))
		for k, c := range corners {
			if !(c >= 0 && c < float64(len(m.Vertices))) {
				return fmt.Errorf("corner %g of %d: %w", c, len(m.Vertices), ErrBadIndex)
			}
			face[k] = uint32(c)
		}
		if len(face) > 2 {
			if err := m.addPolygon(face); err != nil {
				return err
			}
		}
	}
	switch {
	case e.name != "vertex":
	case found != 1|2|4:
		return fmt.Errorf("%w: a vertex without x, y and z", ErrNotPart)
	default:
		m.Vertices = append(m.Vertices, place)
	}
	return nil
}

// list reads a list of numbers.
func (r *plyReader) list(p plyProperty) ([]float64, error) {
	n, err := r.scalar(p.count)
	if err != nil {
		return nil, err
	}
	var list []float64
	for range int(n) {
		x, err := r.scalar(p.kind)
		if err != nil {
			return nil, err
		}
		list = append(list, x)
	}
	return list, nil
}

// scalar reads a number.
func (r *plyReader) scalar(kind string) (float64, error) {
	k := plyKinds[kind]
	if r.order == nil {
		r.next()
		x, err := strconv.ParseFloat(string(r.word), 64)
		if err != nil && !errors.Is(err, strconv.ErrRange) {
			return 0, r.fault("a number")
		}
		return x, nil
	}
	if _, err := io.ReadFull(r.from, r.bytes[:k.size]); err != nil {
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			err = ErrTruncated
		}
		return 0, err
	}
	var bits uint64
	switch k.size {
	case 1:
		bits = uint64(r.bytes[0])
	case 2:
		bits = uint64(r.order.Uint16(r.bytes[:]))
	case 4:
		bits = uint64(r.order.Uint32(r.bytes[:]))
	default:
		bits = r.order.Uint64(r.bytes[:])
	}
	unused := 64 - 8*k.size
	switch {
	case k.kind == 'f' && k.size == 4:
		return float64(math.Float32frombits(uint32(bits))), nil
	case k.kind == 'f':
		return math.Float64frombits(bits), nil
	case k.kind == 'i':
		return float64(int64(bits<<unused) >> unused), nil
	}
	return float64(bits), nil
}
