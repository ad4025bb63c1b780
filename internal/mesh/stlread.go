package mesh

// Reading anybody's STL, binary or ASCII, into a welded mesh.

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"

	"tryring/internal/datafile"

	"github.com/hschendel/stl"
)

// Errors of DecodeSTL and LoadSTL, beside ErrNotFinite and ErrTooLarge.
var (
	// ErrEmptyFile says that a file has no bytes.
	ErrEmptyFile = errors.New("file is empty")
	// ErrNoTriangles says that a file is well formed and holds nothing.
	ErrNoTriangles = errors.New("file holds no triangle")
	// ErrNotSTL says that a file is neither binary nor ASCII STL.
	ErrNotSTL = errors.New("not an STL file")
	// ErrTruncated says that a file ends before the triangles that it announces.
	ErrTruncated = errors.New("file is cut short")
	// ErrTrailing says that bytes follow the last triangle that a file announces.
	ErrTrailing = errors.New("file is longer than its triangles")
)

const (
	// sniffBytes is how much of a file is looked at to tell text from bytes.
	sniffBytes = 512
	// maxSTLTriangles keeps face and corner numbers in 32 bits.
	maxSTLTriangles = math.MaxInt32 / 3
)

// LoadSTL reads the STL file at path; see DecodeSTL.
func LoadSTL(path string) (*Mesh, error) {
	f, err := datafile.Regular(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	m, err := DecodeSTL(f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return m, nil
}

// DecodeSTL reads binary or ASCII STL and welds vertices that coincide exactly. Normals, names and attributes in the
// file are ignored: the corners say all. Memory stays in proportion to the bytes that are really there, whatever the
// file announces. A binary file whose size and count disagree is refused with both figures (ErrTruncated,
// ErrTrailing), even when its header begins with "solid".
func DecodeSTL(r io.ReadSeeker) (*Mesh, error) {
	size, err := r.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, err
	}
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	head := make([]byte, min(size, sniffBytes))
	if _, err := io.ReadFull(r, head); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	ascii, err := isASCII(head, size)
	if err != nil {
		return nil, err
	}
	into := &stlWelder{most: size / stlTriangleBytes, welder: newWelder(0)}
	whole := io.MultiReader(bytes.NewReader(head), r)
	if ascii {
		err = readASCII(whole, into)
	} else {
		err = readBinary(whole, size, into)
	}
	if into.err != nil {
		err = into.err
	}
	if err != nil {
		return nil, err
	}
	if len(into.faces) == 0 {
		return nil, ErrNoTriangles
	}
	return &Mesh{Vertices: into.welder.vertices(), Faces: into.faces}, nil
}

// isASCII tells ASCII from binary by the first bytes and the size. The size rules: a file that is exactly as long as
// its count demands is binary whatever its header says.
func isASCII(head []byte, size int64) (bool, error) {
	if size == 0 {
		return false, ErrEmptyFile
	}
	var count, wanted int64
	if size >= stlStartBytes {
		count = int64(binary.LittleEndian.Uint32(head[stlHeaderBytes:]))
		wanted = stlStartBytes + count*stlTriangleBytes
	}
	isText := bytes.IndexByte(head, 0) < 0
	switch {
	case size == wanted && count > maxSTLTriangles:
		return false, fmt.Errorf("%w: %d, at most %d can be read", ErrTooLarge, count, maxSTLTriangles)
	case size == wanted:
		return false, nil
	case isText && beginsSolid(head):
		return true, nil
	case isText:
		return false, fmt.Errorf("%w: text that does not begin with \"solid\"", ErrNotSTL)
	case wanted == 0:
		return false, fmt.Errorf("%w: %d bytes, and a binary STL file has at least %d", ErrNotSTL, size, stlStartBytes)
	case size < wanted:
		return false, fmt.Errorf("%w: it announces %d triangles, which take %d bytes, and has %d bytes, room for %d",
			ErrTruncated, count, wanted, size, (size-stlStartBytes)/stlTriangleBytes)
	}
	return false, fmt.Errorf("%w: it announces %d triangles, which take %d bytes, and has %d bytes",
		ErrTrailing, count, wanted, size)
}

// beginsSolid says whether the first word is "solid", after white space or a byte order mark.
func beginsSolid(head []byte) bool {
	head = bytes.TrimPrefix(head, []byte("\ufeff"))
	first, _, _ := bytes.Cut(bytes.TrimSpace(head), []byte("\n"))
	words := bytes.Fields(first)
	return len(words) > 0 && bytes.EqualFold(words[0], []byte("solid"))
}

// readBinary hands a binary file, whose size is known to fit its count, to the library.
func readBinary(r io.Reader, size int64, into *stlWelder) error {
	data := make([]byte, size)
	if _, err := io.ReadFull(r, data); err != nil {
		return fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	return stl.CopyAll(bytes.NewReader(data), into)
}

// stlWelder receives triangles one by one and welds them; it is the library's Writer.
type stlWelder struct {
	// most is how many triangles a binary file of its size has room for.
	most   int64
	welder welder
	faces  [][3]uint32
	err    error
}

// SetName is part of stl.Writer; names are not kept.
func (w *stlWelder) SetName(string) {}

// SetBinaryHeader is part of stl.Writer; headers are not kept.
func (w *stlWelder) SetBinaryHeader([]byte) {}

// SetASCII is part of stl.Writer.
func (w *stlWelder) SetASCII(bool) {}

// SetTriangleCount makes room for n triangles, as far as the file's size allows for them. A closed mesh has half as
// many vertices as triangles.
func (w *stlWelder) SetTriangleCount(n uint32) {
	room := int(min(int64(n), w.most))
	w.faces = make([][3]uint32, 0, room)
	w.welder = newWelder(room/2 + 2)
}

// AppendTriangle adds a triangle.
func (w *stlWelder) AppendTriangle(t stl.Triangle) {
	w.add(Vec(t.Vertices[0]), Vec(t.Vertices[1]), Vec(t.Vertices[2]))
}

// add adds a triangle, or keeps the first fault.
func (w *stlWelder) add(a, b, c Vec) {
	if w.err != nil {
		return
	}
	if !finite(a) || !finite(b) || !finite(c) {
		w.err = fmt.Errorf("triangle %d has corners %v, %v, %v: %w", len(w.faces)+1, a, b, c, ErrNotFinite)
		return
	}
	if len(w.faces) == maxSTLTriangles {
		w.err = fmt.Errorf("%w: at most %d can be read", ErrTooLarge, maxSTLTriangles)
		return
	}
	w.faces = append(w.faces, [3]uint32{w.welder.index(a), w.welder.index(b), w.welder.index(c)})
}
