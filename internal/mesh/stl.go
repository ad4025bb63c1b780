package mesh

// Writing binary STL: an 80-byte header, a count and 50 bytes a triangle, little-endian.

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
)

// The sizes that make up a binary STL file, in bytes.
const (
	stlHeaderBytes   = 80
	stlStartBytes    = stlHeaderBytes + 4
	stlTriangleBytes = 50
)

// stlChunk is how many triangles go to the writer at once: just under 64 KiB.
const stlChunk = (64 << 10) / stlTriangleBytes

// Errors of EncodeSTL and Encode3MF.
var (
	// ErrHeader says that a text cannot be the header of a binary STL file.
	ErrHeader = errors.New("header does not suit a binary STL file")
	// ErrTooLarge says that a mesh has more triangles or vertices than the format can count.
	ErrTooLarge = errors.New("too many triangles")
	// ErrNotFinite says that a vertex has a coordinate that is infinite or not a number.
	ErrNotFinite = errors.New("vertex is not finite")
	// ErrBadIndex says that a face points at a vertex that is not there.
	ErrBadIndex = errors.New("face points at a missing vertex")
)

// EncodeSTL writes m as binary STL in millimetres, with unit normals by the right-hand rule (zero for a face without
// area). The header is at most 80 bytes and does not begin with "solid", which would make it pass for an ASCII file.
// The bytes depend on m and header alone. Errors: ErrHeader, ErrTooLarge, ErrNotFinite, ErrBadIndex, and those of w.
func EncodeSTL(w io.Writer, m *Mesh, header string) error {
	if err := checkHeader(header); err != nil {
		return err
	}
	if err := m.Check(); err != nil {
		return err
	}
	buffer := make([]byte, 0, stlChunk*stlTriangleBytes)
	buffer = append(buffer, header...)
	buffer = buffer[:stlHeaderBytes] // the rest is zero: the array is new
	buffer = binary.LittleEndian.AppendUint32(buffer, uint32(len(m.Faces)))
	for _, f := range m.Faces {
		if cap(buffer)-len(buffer) < stlTriangleBytes {
			if _, err := w.Write(buffer); err != nil {
				return err
			}
			buffer = buffer[:0]
		}
		buffer = appendSTLTriangle(buffer, &m.Vertices[f[0]], &m.Vertices[f[1]], &m.Vertices[f[2]])
	}
	_, err := w.Write(buffer)
	return err
}

// checkHeader tells why a text cannot be a header.
func checkHeader(header string) error {
	if len(header) > stlHeaderBytes {
		return fmt.Errorf("%w: %d bytes, at most %d fit", ErrHeader, len(header), stlHeaderBytes)
	}
	if strings.HasPrefix(strings.ToLower(strings.TrimSpace(header)), "solid") {
		return fmt.Errorf("%w: %q begins with \"solid\"", ErrHeader, header)
	}
	return nil
}

// Check tells why a mesh can neither be written nor measured: ErrTooLarge, ErrNotFinite or ErrBadIndex.
func (m *Mesh) Check() error {
	if uint64(len(m.Faces)) > math.MaxUint32 || uint64(len(m.Vertices)) > math.MaxUint32 {
		return fmt.Errorf("%w: %d triangles on %d vertices, at most %d each", ErrTooLarge,
			len(m.Faces), len(m.Vertices), uint32(math.MaxUint32))
	}
	for i, v := range m.Vertices {
		if !finite(v) {
			return fmt.Errorf("vertex %d is %v: %w", i, v, ErrNotFinite)
		}
	}
	n := uint32(len(m.Vertices))
	for i, f := range m.Faces {
		if f[0] >= n || f[1] >= n || f[2] >= n {
			return fmt.Errorf("face %d is %v, of %d vertices: %w", i, f, n, ErrBadIndex)
		}
	}
	return nil
}

// appendSTLTriangle appends a triangle's 50 bytes: normal, corners, and an attribute of 0.
func appendSTLTriangle(to []byte, a, b, c *Vec) []byte {
	i := len(to)
	to = to[:i+stlTriangleBytes]
	t := (*[stlTriangleBytes]byte)(to[i:])
	x, y, z := normal(a, b, c)
	for k, v := range [4]Vec{{x, y, z}, *a, *b, *c} {
		for i, x := range v {
			binary.LittleEndian.PutUint32(t[12*k+4*i:], math.Float32bits(x+0)) // + 0 writes -0 as 0
		}
	}
	t[48], t[49] = 0, 0
	return to
}
