package mesh

// Reading anybody's STL, binary or ASCII, into a welded mesh.

import (
	"bufio"
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
	// stlReadBuffer is the bytes fetched at once.
	stlReadBuffer = 64 << 10
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
	if _, err := r.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	kind, err := judgeSTL(head, size)
	if err != nil {
		return nil, err
	}
	into := &stlWelder{size: size}
	if kind == asciiSTL {
		err = readASCII(r, into)
	} else {
		err = readBinary(r, size, into)
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
	return &Mesh{Vertices: into.welder.vertices, Faces: into.faces}, nil
}

// stlKind tells the two forms apart.
type stlKind int

const (
	binarySTL stlKind = iota
	asciiSTL
)

// judgeSTL tells binary from ASCII by the first bytes and the size. The size rules: a file that is exactly as long as
// its count demands is binary whatever its header says.
func judgeSTL(head []byte, size int64) (stlKind, error) {
	if size == 0 {
		return 0, ErrEmptyFile
	}
	var count, wanted int64
	if len(head) >= stlStartBytes {
		count = int64(binary.LittleEndian.Uint32(head[stlHeaderBytes:]))
		wanted = stlStartBytes + count*stlTriangleBytes
	}
	isText := bytes.IndexByte(head, 0) < 0
	switch {
	case wanted != 0 && size == wanted:
		if count > maxSTLTriangles {
			return 0, fmt.Errorf("%w: %d, at most %d can be read", ErrTooLarge, count, maxSTLTriangles)
		}
		return binarySTL, nil
	case isText && beginsSolid(head):
		return asciiSTL, nil
	case isText:
		return 0, fmt.Errorf("%w: text that does not begin with \"solid\"", ErrNotSTL)
	case wanted == 0:
		return 0, fmt.Errorf("%w: %d bytes, and a binary STL file has at least %d", ErrNotSTL, size, stlStartBytes)
	case size < wanted:
		return 0, fmt.Errorf("%w: it announces %d triangles, which take %d bytes, and has %d bytes, room for %d",
			ErrTruncated, count, wanted, size, (size-stlStartBytes)/stlTriangleBytes)
	default:
		return 0, fmt.Errorf("%w: it announces %d triangles, which take %d bytes, and has %d bytes",
			ErrTrailing, count, wanted, size)
	}
}

// beginsSolid says whether the first word is "solid", after white space or a byte order mark.
func beginsSolid(head []byte) bool {
	head = bytes.TrimPrefix(head, []byte("\ufeff"))
	first, _, _ := bytes.Cut(bytes.TrimSpace(head), []byte("\n"))
	words := bytes.Fields(first)
	return len(words) > 0 && bytes.EqualFold(words[0], []byte("solid"))
}

// readBinary hands a binary file, whose size is known to fit its count, to the library.
func readBinary(r io.ReadSeeker, size int64, into *stlWelder) error {
	whole := &wholeReads{r: r, buffer: bufio.NewReaderSize(r, int(min(size, stlReadBuffer))), stop: &into.err}
	if err := stl.CopyAll(whole, into); err != nil {
		if whole.err != nil { // the library keeps only the text of it
			return whole.err
		}
		return fmt.Errorf("%w: %w", ErrTruncated, err)
	}
	return nil
}

// wholeReads serves the library, which takes a single Read for granted to fill its header: every Read is filled
// unless the file ends. It keeps the error that the library would turn into text, and ends the reading as soon as the
// receiver has found a fault.
type wholeReads struct {
	r      io.ReadSeeker
	buffer *bufio.Reader
	stop   *error
	err    error
}

func (w *wholeReads) Read(p []byte) (int, error) {
	if *w.stop != nil {
		return 0, *w.stop
	}
	n, err := io.ReadFull(w.buffer, p)
	if errors.Is(err, io.ErrUnexpectedEOF) {
		err = nil // the next call says io.EOF
	}
	if err != nil && !errors.Is(err, io.EOF) {
		w.err = err
	}
	return n, err
}

func (w *wholeReads) Seek(offset int64, whence int) (int64, error) {
	at, err := w.r.Seek(offset, whence)
	w.buffer.Reset(w.r)
	return at, err
}

// stlWelder receives triangles one by one and welds them; it is the library's Writer.
type stlWelder struct {
	size   int64
	seen   int
	welder *welder
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
	room := int(min(int64(n), w.size/stlTriangleBytes))
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
	if w.welder == nil {
		w.welder = newWelder(0)
	}
	if !finite(a) || !finite(b) || !finite(c) {
		w.err = fmt.Errorf("triangle %d has corners %v, %v, %v: %w", w.seen+1, a, b, c, ErrNotFinite)
		return
	}
	if w.seen == maxSTLTriangles {
		w.err = fmt.Errorf("%w: at most %d can be read", ErrTooLarge, maxSTLTriangles)
		return
	}
	w.seen++
	w.faces = append(w.faces, [3]uint32{w.welder.index(a), w.welder.index(b), w.welder.index(c)})
}
