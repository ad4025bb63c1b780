package mesh

// The one way in for part files: what a file is by its content, unpacked where it is packed, and its faces welded.

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"tryring/internal/datafile"
	"tryring/internal/fault"

	"github.com/klauspost/compress/gzip"
)

// Errors of Load, beside ErrNotFinite, ErrTooLarge, ErrBadIndex, and those of datafile.Regular.
var (
	// ErrEmptyFile says that a file has no bytes.
	ErrEmptyFile = errors.New("file is empty")
	// ErrNoTriangles says that a file is well formed and holds nothing.
	ErrNoTriangles = errors.New("file holds no triangle")
	// ErrNotPart says that a file is none of those that are read.
	ErrNotPart = errors.New("not a part file that is read here")
	// ErrTruncated says that a file ends before what it announces.
	ErrTruncated = errors.New("file is cut short")
	// ErrTrailing says that bytes follow the last triangle that a file announces.
	ErrTrailing = errors.New("file is longer than its triangles")
	// ErrSwollen says that a packed file unpacks to more than is taken.
	ErrSwollen = errors.New("file unpacks to too much")
	// ErrManyParts says that an archive holds several files, of which one is to be named.
	ErrManyParts = errors.New("archive holds more than one part file")
)

// readable is what a person should hand in, in the words of faults.
const readable = "STL, 3MF, OBJ or PLY is read"

// Options tell Load what is known of a file beforehand.
type Options struct {
	// UnitMM is the length of the file's unit in mm; 0 takes the one that the file states, else a millimetre.
	UnitMM float64
}

// Part is a part file as it was read: a mesh in mm on the grid of its size (see settle).
type Part struct {
	*Mesh
	// Format says what the file is, such as "binary STL".
	Format string
	// StatedMM is the length of the unit that the file states, in mm; 0 where its format states none.
	StatedMM float64
	// Welded is how many corners of open edges were taken for a neighbour's, and WeldedMM how far apart they lay at most.
	Welded   int
	WeldedMM float64
	// Shrunk is how many faces were left out because two of their corners are one.
	Shrunk int
}

// Load reads the part file at path: STL (binary or text), 3MF, OBJ or PLY (text or binary), or one of these packed by gzip or zip. What it
// is, its content says, not its name. Vertices that coincide are welded; see settle. Memory goes with the triangles that are really
// there. Reading ends with ctx's error when ctx ends. What is no regular file is refused before it is opened.
func Load(ctx context.Context, path string, opt Options) (*Part, error) {
	f, err := datafile.Regular(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	part, err := Decode(heeding{ctx, f}, info.Size(), opt)
	if err != nil {
		return nil, fault.Fault{Read: path, Want: err.Error(), Cause: err}
	}
	return part, nil
}

// heeding reads for as long as ctx lasts.
type heeding struct {
	ctx context.Context
	io.ReaderAt
}

func (h heeding) ReadAt(p []byte, at int64) (int, error) {
	if err := h.ctx.Err(); err != nil {
		return 0, err
	}
	return h.ReaderAt.ReadAt(p, at)
}

// Decode is Load for the size bytes behind r.
func Decode(r io.ReaderAt, size int64, opt Options) (*Part, error) {
	part := &Part{}
	bodies, err := part.decode(r, size)
	if err != nil {
		return nil, err
	}
	unit := opt.UnitMM
	if unit == 0 && part.StatedMM > 0 {
		unit = part.StatedMM
	}
	if err := part.settle(bodies, max(unit, 0)); err != nil {
		return nil, err
	}
	if len(part.Faces) == 0 {
		return nil, ErrNoTriangles
	}
	return part, nil
}

// The first bytes of packed files.
var (
	gzipStart = []byte{0x1f, 0x8b}
	zipStart  = []byte("PK\x03\x04")
)

// decode reads the bodies of a file in its own unit. Corners of different bodies stay apart.
func (p *Part) decode(r io.ReaderAt, size int64) ([]*Mesh, error) {
	head := make([]byte, min(size, 4))
	if _, err := r.ReadAt(head, 0); err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	plain := io.NewSectionReader(r, 0, size)
	switch {
	case bytes.HasPrefix(head, gzipStart):
		unpacked, err := gzip.NewReader(bufio.NewReader(plain))
		if err != nil {
			return nil, fmt.Errorf("%w: gzip: %w", ErrTruncated, err)
		}
		return p.decodePacked(unpacked, size, "gzip")
	case bytes.HasPrefix(head, zipStart):
		return p.decodeZip(r, size)
	}
	return p.decodePlain(plain, size)
}

// sniffBytes is how much of a file is looked at to tell what it is.
const sniffBytes = 512

// decodePlain reads a file that is not packed; size is -1 where it is not known beforehand.
func (p *Part) decodePlain(r io.Reader, size int64) ([]*Mesh, error) {
	from := bufio.NewReaderSize(r, 64<<10)
	head, err := from.Peek(sniffBytes)
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return nil, err
	case len(head) == 0:
		return nil, ErrEmptyFile
	case bytes.HasPrefix(head, gzipStart) || bytes.HasPrefix(head, zipStart):
		return nil, fmt.Errorf("%w: it is packed twice; unpack it once", ErrNotPart)
	}
	read, format := readBinarySTL(size), "binary STL"
	switch text := textOf(head); {
	case size >= stlStartBytes && size == announced(head):
	case bytes.HasPrefix(head, []byte("ply")) && len(bytes.Fields(head[:min(len(head), 5)])[0]) == 3:
		read, format = readPLY, "PLY"
	case foreign(head) != "":
		return nil, fmt.Errorf("%w: it is %s; %s", ErrNotPart, foreign(head), readable)
	case text == nil:
		if err := likeSTL(head, size); err != nil {
			return nil, err
		}
	case bytes.EqualFold(firstWord(text), []byte("solid")):
		read, format = readTextSTL, "text STL"
	case isOBJ(text):
		read, format = readOBJ, "OBJ"
	default:
		return nil, fmt.Errorf("%w: text that begins with %.20q; %s", ErrNotPart, firstWord(text), readable)
	}
	p.Format = format
	m, err := read(from)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", format, err)
	}
	return []*Mesh{m}, nil
}

// byteOrderMark is what some editors put before UTF-8.
var byteOrderMark = []byte("\ufeff")

// textOf is the head of a text without its byte order mark, nil where it is none.
func textOf(head []byte) []byte {
	if slices.ContainsFunc(head, func(b byte) bool { return b < ' ' && !space(b) }) {
		return nil
	}
	return bytes.TrimPrefix(head, byteOrderMark)
}

func firstWord(text []byte) []byte {
	text = bytes.TrimLeft(text, " \t\n\v\f\r")
	for i, b := range text {
		if space(b) {
			return text[:i]
		}
	}
	return text
}
