package mesh

// Writing 3MF: a zip package of which one part is the model, as the 3MF Core Specification 1.3 has it.

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"time"

	"github.com/hpinc/go3mf"
	"github.com/klauspost/compress/flate"
	"github.com/klauspost/compress/zip"
)

// ErrNoObjects says that there is nothing to write into a 3MF file, or nothing in one.
var ErrNoObjects = errors.New("no objects with triangles")

// Object is one part on the print bed.
type Object struct {
	// Name is shown to people.
	Name string
	Mesh *Mesh
	// X and Y shift the mesh along the bed, in mm, kept to a thousandth.
	X, Y float64
}

// Meta is what a 3MF file says about itself.
type Meta struct {
	Title string
	// Description carries the caution of use.
	Description string
}

// The names under which the 3MF Core Specification keeps a title and a description.
const (
	titleEntry       = "Title"
	descriptionEntry = "Description"
)

// The package's fixed parts: which files are what, and which one is the model (Open Packaging Conventions, ISO/IEC
// 29500-2).
const (
	typesPart = "[Content_Types].xml"
	typesText = xml.Header + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
		`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
		`<Default Extension="model" ContentType="` + go3mf.ContentType3DModel + `"/></Types>`

	relationsPart = "_rels/.rels"
	relationsText = xml.Header + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
		`<Relationship Target="` + go3mf.DefaultModelPath + `" Id="rel0" Type="` + go3mf.RelType3DModel + `"/></Relationships>`
)

// Encode3MF writes objects as a 3MF package in millimetres. Coordinates are written with as many digits as tell every
// float32 from its neighbours. The bytes depend on the arguments alone: the package's clock stands still.
//
// Errors: ErrNoObjects, ErrTooLarge, ErrNotFinite, ErrBadIndex, and those of w.
func Encode3MF(w io.Writer, objects []Object, meta Meta) error {
	faces := 0
	for i, o := range objects {
		if o.Mesh == nil || len(o.Mesh.Faces) == 0 {
			return fmt.Errorf("object %d %q: %w", i+1, o.Name, ErrNoObjects)
		}
		if err := o.Mesh.Check(); err != nil {
			return fmt.Errorf("object %d %q: %w", i+1, o.Name, err)
		}
		if shift := o.X + o.Y; math.IsNaN(shift) || math.IsInf(shift, 0) {
			return fmt.Errorf("object %d %q stands at %g, %g: %w", i+1, o.Name, o.X, o.Y, ErrNotFinite)
		}
		faces += len(o.Mesh.Faces)
	}
	if len(objects) == 0 {
		return ErrNoObjects
	}
	z := zip.NewWriter(w)
	if err := addPlain(z, typesPart, typesText); err != nil {
		return err
	}
	if err := addPlain(z, relationsPart, relationsText); err != nil {
		return err
	}
	if err := addPacked(z, go3mf.DefaultModelPath[1:], packedRoom*faces, func(w io.Writer) error { return writeModel(w, objects, meta) }); err != nil {
		return err
	}
	return z.Close()
}

// packageTime is the time of every part: the earliest that a zip file can tell.
var packageTime = time.Date(1980, time.January, 1, 0, 0, 0, 0, time.UTC)

// addPlain adds a small part as it is.
func addPlain(z *zip.Writer, name, text string) error {
	return addPart(z, name, zip.Store, []byte(text), crc32.ChecksumIEEE([]byte(text)), uint64(len(text)))
}

// packedRoom is about what a triangle of a thread takes, with its share of vertices, when it is compressed.
const packedRoom = 12

// addPacked adds what write writes as a part, which takes about room bytes when it is compressed. It does so at the
// fastest level: level 6, to which the 3MF library's own writer is bound, takes five times as long to save a quarter of
// the size. The standard library's compressor would take half as long again.
func addPacked(z *zip.Writer, name string, room int, write func(io.Writer) error) error {
	var packed bytes.Buffer
	packed.Grow(room)
	pack, err := flate.NewWriter(&packed, flate.BestSpeed)
	if err != nil {
		return err
	}
	sum, size := crc32.NewIEEE(), new(byteCount)
	if err := write(io.MultiWriter(pack, sum, size)); err != nil {
		return err
	}
	if err := pack.Close(); err != nil {
		return err
	}
	return addPart(z, name, zip.Deflate, packed.Bytes(), sum.Sum32(), uint64(*size))
}

// byteCount counts the bytes that are written to it.
type byteCount uint64

func (c *byteCount) Write(p []byte) (int, error) {
	*c += byteCount(len(p))
	return len(p), nil
}

// addPart adds a part whose sizes and checksum stand in front of the data: some readers rely on that.
func addPart(z *zip.Writer, name string, method uint16, packed []byte, sum uint32, size uint64) error {
	header := &zip.FileHeader{Name: name, Method: method, CRC32: sum, CompressedSize64: uint64(len(packed)), UncompressedSize64: size}
	//lint:ignore SA1019 CreateRaw writes the header as it is, and only this setter fills the date that it writes
	header.SetModTime(packageTime)
	to, err := z.CreateRaw(header)
	if err != nil {
		return err
	}
	_, err = to.Write(packed)
	return err
}
