package mesh

// Reading anybody's STL, binary or text.

import (
	"bufio"
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"

	"github.com/hschendel/stl"
)

// maxTriangles keeps face and corner numbers in 32 bits.
const maxTriangles = math.MaxInt32 / 3

// stlUnroom is the most triangles for which room is made before they are there.
const stlUnroom = 1 << 16

// announced is the size of the binary STL file that begins with head.
func announced(head []byte) int64 {
	return stlStartBytes + stlTriangleBytes*int64(binary.LittleEndian.Uint32(head[stlHeaderBytes:]))
}

// likeSTL tells why a file of bytes can be no binary STL file: its header is no text, or its size is not what it announces.
func likeSTL(head []byte, size int64) error {
	if len(head) < stlStartBytes {
		return fmt.Errorf("%w: %d bytes, and a binary STL file has at least %d; %s", ErrNotPart, len(head), stlStartBytes, readable)
	}
	for _, b := range bytes.TrimRight(head[:stlHeaderBytes], "\x00") {
		if b < ' ' && !space(b) {
			return fmt.Errorf("%w: it begins with bytes that no known format has; %s", ErrNotPart, readable)
		}
	}
	wanted := announced(head)
	switch {
	case size >= 0 && size < wanted:
		return fmt.Errorf("binary STL: %w: it announces %d triangles, which take %d bytes, and has %d bytes, room for %d",
			ErrTruncated, (wanted-stlStartBytes)/stlTriangleBytes, wanted, size, (size-stlStartBytes)/stlTriangleBytes)
	case size > wanted:
		return fmt.Errorf("binary STL: %w: it announces %d triangles, which take %d bytes, and has %d bytes",
			ErrTrailing, (wanted-stlStartBytes)/stlTriangleBytes, wanted, size)
	}
	return nil
}

// readBinarySTL reads a binary file of the given size, -1 where it is not known.
func readBinarySTL(size int64) func(*bufio.Reader) (*Mesh, error) {
	return func(from *bufio.Reader) (*Mesh, error) {
		var start [stlStartBytes]byte
		if _, err := io.ReadFull(from, start[:]); err != nil {
			return nil, err
		}
		count := int(binary.LittleEndian.Uint32(start[stlHeaderBytes:]))
		if count > maxTriangles {
			return nil, fmt.Errorf("%w: %d, at most %d can be read", ErrTooLarge, count, maxTriangles)
		}
		room := count
		if size < 0 {
			room = min(room, stlUnroom)
		}
		into := newWelding(room)
		buffer := make([]byte, stlChunk*stlTriangleBytes)
		for done := 0; done < count; {
			n := min(count-done, stlChunk)
			if _, err := io.ReadFull(from, buffer[:n*stlTriangleBytes]); err != nil {
				if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
					err = fmt.Errorf("%w: it announces %d triangles and ends behind %d", ErrTruncated, count, done)
				}
				return nil, err
			}
			for i := range n {
				t := buffer[i*stlTriangleBytes:]
				var corners [3]Vec
				for k := range corners {
					for axis := range 3 {
						corners[k][axis] = math.Float32frombits(binary.LittleEndian.Uint32(t[12+12*k+4*axis:]))
					}
				}
				if err := into.add(corners); err != nil {
					return nil, err
				}
			}
			done += n
		}
		if _, err := from.ReadByte(); !errors.Is(err, io.EOF) {
			return nil, fmt.Errorf("%w: more follows the %d that it announces", errors.Join(ErrTrailing, err), count)
		}
		return into.mesh(), nil
	}
}

// welding collects triangles and welds their corners.
type welding struct {
	welder *welder
	faces  [][3]uint32
	last   []Vec // the corners of the last of them: neighbours in a file mostly have two in common
}

// newWelding makes room for n triangles. A closed mesh has half as many vertices.
func newWelding(n int) *welding {
	return &welding{welder: newWelder(n/2 + 2), faces: make([][3]uint32, 0, n)}
}

func (w *welding) mesh() *Mesh { return &Mesh{Vertices: w.welder.vertices, Faces: w.faces} }

// add adds a triangle.
func (w *welding) add(corners [3]Vec) error {
	var f [3]uint32
	for k, v := range corners {
		if !finite(v) {
			return fmt.Errorf("triangle %d has corners %v: %w", len(w.faces)+1, corners, ErrNotFinite)
		}
		if at := slices.Index(w.last, v); at >= 0 {
			f[k] = w.faces[len(w.faces)-1][at]
		} else {
			f[k] = w.welder.index(v)
		}
	}
	w.last = append(w.last[:0], corners[:]...)
	if len(w.faces) == maxTriangles {
		return fmt.Errorf("%w: at most %d can be read", ErrTooLarge, maxTriangles)
	}
	w.faces = append(w.faces, f)
	return nil
}

// readTextSTL reads the solids of a text file one after the other into one mesh. Normals, names and capitals do not matter.
//
// The library's reader of text is not used: it drops every solid after the first, refuses a nameless "solid" line and
// capitals, takes 4 KiB of garbage a line, and collects a message for every fault. The tests hold this reader
// against it on files that both can read.
func readTextSTL(from *bufio.Reader) (*Mesh, error) {
	into, w := newWelding(0), newWords(from)
	for first := true; ; first = false {
		switch word := w.next(); {
		case len(word) == 0 && !first && errors.Is(w.err, io.EOF):
			return into.mesh(), nil
		case !bytes.EqualFold(word, []byte("solid")):
			return nil, w.fault("solid")
		}
		w.endLine() // a name
		for {
			if word := w.next(); bytes.EqualFold(word, []byte("endsolid")) {
				w.endLine() // the name again
				break
			} else if !bytes.EqualFold(word, []byte("facet")) {
				return nil, w.fault("facet or endsolid")
			}
			if err := readFacet(w, into); err != nil {
				return nil, err
			}
		}
	}
}

// readFacet reads what follows the word facet.
func readFacet(w *words, into *welding) (err error) {
	if err := w.expect("normal"); err != nil {
		return err
	}
	for range 3 { // not kept, and some writers put nan there
		if len(w.next()) == 0 {
			return w.fault("a number")
		}
	}
	if err := w.expect("outer", "loop"); err != nil {
		return err
	}
	var corners [3]Vec
	for i := range corners {
		if err := w.expect("vertex"); err != nil {
			return err
		}
		for k := range corners[i] {
			w.next()
			if corners[i][k], err = w.number(); err != nil {
				return err
			}
		}
	}
	if err := w.expect("endloop", "endfacet"); err != nil {
		return err
	}
	return into.add(corners)
}

// expect reads the words given, in capitals or not.
func (w *words) expect(wanted ...string) error {
	for _, want := range wanted {
		if !bytes.EqualFold(w.next(), []byte(want)) {
			return w.fault(want)
		}
	}
	return nil
}

// ReadBack reads a binary STL file with a reader that is not ours, to prove what was written.
func ReadBack(r io.ReadSeeker) (*Mesh, error) {
	into := &theirs{welding: newWelding(0)}
	if err := stl.CopyAll(r, into); err != nil || into.err != nil {
		return nil, errors.Join(err, into.err)
	}
	return into.mesh(), nil
}

// theirs receives triangles from the library, as its Writer.
type theirs struct {
	*welding
	err error
}

// SetName is part of stl.Writer; names are not kept.
func (t *theirs) SetName(string) {}

// SetBinaryHeader is part of stl.Writer; headers are not kept.
func (t *theirs) SetBinaryHeader([]byte) {}

// SetASCII is part of stl.Writer.
func (t *theirs) SetASCII(text bool) {
	if text {
		t.err = ErrNotPart
	}
}

// SetTriangleCount makes room: the library has seen that the file is as long.
func (t *theirs) SetTriangleCount(n uint32) { t.welding = newWelding(int(n)) }

// AppendTriangle adds a triangle, or keeps the first fault.
func (t *theirs) AppendTriangle(u stl.Triangle) {
	if t.err == nil {
		t.err = t.add([3]Vec{Vec(u.Vertices[0]), Vec(u.Vertices[1]), Vec(u.Vertices[2])})
	}
}
