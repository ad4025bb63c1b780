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
	"strconv"
	"time"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/spec"
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

// The names under which the 3MF Core Specification keeps a title and a
// description.
const (
	titleEntry       = "Title"
	descriptionEntry = "Description"
)

// entries are what is not empty, in the order of the fields.
func (m Meta) entries() []go3mf.Metadata {
	var out []go3mf.Metadata
	for _, e := range []struct{ name, text string }{{titleEntry, m.Title}, {descriptionEntry, m.Description}} {
		if e.text != "" {
			out = append(out, go3mf.Metadata{Name: xml.Name{Local: e.name}, Value: e.text})
		}
	}
	return out
}

// modelLanguage is the language of names and metadata.
const modelLanguage = "en-US"

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
	model := go3mf.Model{
		Units:    go3mf.UnitMillimeter,
		Language: modelLanguage,
		Metadata: meta.entries(),
	}
	faces := 0
	for i, o := range objects {
		if o.Mesh == nil || len(o.Mesh.Faces) == 0 {
			return fmt.Errorf("object %d %q: %w", i+1, o.Name, ErrNoObjects)
		}
		if err := checkMesh(o.Mesh); err != nil {
			return fmt.Errorf("object %d %q: %w", i+1, o.Name, err)
		}
		if shift := o.X + o.Y; math.IsNaN(shift) || math.IsInf(shift, 0) {
			return fmt.Errorf("object %d %q stands at %g, %g: %w", i+1, o.Name, o.X, o.Y, ErrNotFinite)
		}
		faces += len(o.Mesh.Faces)
		id := uint32(i + 1)
		model.Resources.Assets = append(model.Resources.Assets, &modelObject{id: id, Object: o})
		item := &go3mf.Item{ObjectID: id}
		if math.Abs(o.X) >= shiftStep/2 || math.Abs(o.Y) >= shiftStep/2 {
			item.Transform = go3mf.Identity().Translate(float32(o.X), float32(o.Y), 0)
		}
		model.Build.Items = append(model.Build.Items, item)
	}
	if len(objects) == 0 {
		return ErrNoObjects
	}
	body, err := go3mf.MarshalModel(&model)
	if err != nil {
		return err
	}
	z := zip.NewWriter(w)
	if err := addPlain(z, typesPart, typesText); err != nil {
		return err
	}
	if err := addPlain(z, relationsPart, relationsText); err != nil {
		return err
	}
	if err := addPacked(z, go3mf.DefaultModelPath[1:], packedRoom*faces, func(w io.Writer) error { return writeModel(w, body, objects) }); err != nil {
		return err
	}
	return z.Close()
}

// shiftStep is the digit to which the library writes placements, in mm.
const shiftStep = 0.001

// packageTime is the time of every part: the earliest that a zip file can tell.
var packageTime = time.Date(1980, time.January, 1, 0, 0, 0, 0, time.UTC)

// addPlain adds a small part as it is.
func addPlain(z *zip.Writer, name, text string) error {
	header, size := newHeader(name, zip.Store), uint64(len(text))
	header.CRC32, header.UncompressedSize64, header.CompressedSize64 = crc32.ChecksumIEEE([]byte(text)), size, size
	to, err := z.CreateRaw(header)
	if err != nil {
		return err
	}
	_, err = io.WriteString(to, text)
	return err
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
	header := newHeader(name, zip.Deflate)
	header.CRC32, header.UncompressedSize64, header.CompressedSize64 = sum.Sum32(), uint64(*size), uint64(packed.Len())
	to, err := z.CreateRaw(header)
	if err != nil {
		return err
	}
	_, err = packed.WriteTo(to)
	return err
}

// byteCount counts the bytes that are written to it.
type byteCount uint64

func (c *byteCount) Write(p []byte) (int, error) {
	*c += byteCount(len(p))
	return len(p), nil
}

// newHeader is the entry of a part, but for its sizes and checksum, which stand in front of the data: some readers rely
// on that.
func newHeader(name string, method uint16) *zip.FileHeader {
	header := &zip.FileHeader{Name: name, Method: method}
	//lint:ignore SA1019 CreateRaw writes the header as it is, and only this setter fills the date that it writes
	header.SetModTime(packageTime)
	return header
}

// modelObject writes one object into the model, with an empty mesh that fillMeshes fills.
type modelObject struct {
	Object
	id uint32
}

var (
	_ go3mf.Asset    = (*modelObject)(nil)
	_ spec.Marshaler = (*modelObject)(nil)
)

// XMLName is the element's name.
func (o *modelObject) XMLName() xml.Name { return xml.Name{Space: go3mf.Namespace, Local: "object"} }

// Identify is the object's number.
func (o *modelObject) Identify() uint32 { return o.id }

// Marshal3MF writes the object with its empty mesh.
func (o *modelObject) Marshal3MF(x spec.Encoder, _ *xml.StartElement) error {
	object, mesh := element("object", "id", "name"), element("mesh")
	object.Attr[0].Value = strconv.FormatUint(uint64(o.id), 10)
	object.Attr[1].Value = o.Name
	x.EncodeToken(object)
	x.EncodeToken(mesh)
	x.EncodeToken(mesh.End())
	x.EncodeToken(object.End())
	return nil
}

// element is an XML element with attributes that are still empty.
func element(name string, attributes ...string) xml.StartElement {
	e := xml.StartElement{Name: xml.Name{Local: name}}
	for _, a := range attributes {
		e.Attr = append(e.Attr, xml.Attr{Name: xml.Name{Local: a}})
	}
	return e
}
