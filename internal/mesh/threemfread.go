package mesh

// Reading 3MF back: objects that stand on the bed, moved along it and not turned.

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/hpinc/go3mf"
)

// Errors of Decode3MF, beside ErrNoObjects, ErrNotFinite, ErrBadIndex and ErrNotAFile.
var (
	// ErrNot3MF says that a file is no 3MF package.
	ErrNot3MF = errors.New("not a 3MF file")
	// ErrSwollen says that a package unpacks to more than is taken.
	ErrSwollen = errors.New("file unpacks to too much")
	// ErrUnread3MF says that a package is lawful and holds something that is not read here.
	ErrUnread3MF = errors.New("3MF file holds what is not read here")
)

// What a package may unpack to: a mesh's text packs to a tenth or so, small parts can pack to less.
const (
	swellFactor = 100
	swellStart  = 1 << 20 // bytes on top
	swellMost   = 1 << 30 // bytes in all
	// maxParts is how many files a package may hold.
	maxParts = 1000
)

// Decode3MF reads the 3MF file at path as Encode3MF writes it: plain meshes in millimetres, placed along the bed.
// Memory stays in proportion to the size of the file. Objects made of other objects, turned ones, other units and
// packages of several models are refused with ErrUnread3MF.
func Decode3MF(path string) ([]Object, Meta, error) {
	objects, meta, err := open3MF(path)
	if err != nil {
		return nil, Meta{}, fmt.Errorf("%s: %w", path, err)
	}
	return objects, meta, nil
}

// open3MF opens the file and reads it.
func open3MF(path string) ([]Object, Meta, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, Meta{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, Meta{}, err
	}
	if !info.Mode().IsRegular() {
		return nil, Meta{}, ErrNotAFile
	}
	return Read3MF(f, info.Size())
}

// Read3MF is Decode3MF for the size bytes behind r.
func Read3MF(r io.ReaderAt, size int64) ([]Object, Meta, error) {
	model, err := load3MF(r, size)
	if err != nil {
		return nil, Meta{}, err
	}
	objects, err := placedObjects(model)
	if err != nil {
		return nil, Meta{}, err
	}
	var meta Meta
	for _, e := range model.Metadata {
		switch e.Name.Local {
		case titleEntry:
			meta.Title = e.Value
		case descriptionEntry:
			meta.Description = e.Value
		}
	}
	return objects, meta, nil
}

// load3MF has the library read a package that has been looked over.
func load3MF(r io.ReaderAt, size int64) (model *go3mf.Model, err error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	if err := lookOver(z, size); err != nil {
		return nil, err
	}
	// The library indexes into what it reads without looking everywhere; a panic of its is a bad file.
	defer func() {
		if fault := recover(); fault != nil {
			model, err = nil, fmt.Errorf("%w: %v", ErrNot3MF, fault)
		}
	}()
	model = new(go3mf.Model)
	if err := go3mf.NewDecoder(r, size).Decode(model); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	return model, nil
}

// lookOver refuses packages that swell and those of several models, which the library reads in goroutines of its
// own, where its panics could not be caught. What a part unpacks to may be believed: the zip reader ends a part at
// the size that its entry tells.
func lookOver(z *zip.Reader, size int64) error {
	most := uint64(min(swellMost, swellStart+swellFactor*size))
	if len(z.File) > maxParts {
		return fmt.Errorf("%w: %d parts, at most %d are taken", ErrSwollen, len(z.File), maxParts)
	}
	models, total := 0, uint64(0)
	for _, f := range z.File {
		if f.UncompressedSize64 > most || total+f.UncompressedSize64 > most {
			return fmt.Errorf("%w: %d bytes of file unpack to more than %d", ErrSwollen, size, most)
		}
		total += f.UncompressedSize64
		if strings.HasSuffix(strings.ToLower(f.Name), ".model") {
			models++
		}
	}
	switch {
	case models == 0:
		return fmt.Errorf("%w: no model in it", ErrNot3MF)
	case models > 1:
		return fmt.Errorf("%w: %d models in one package", ErrUnread3MF, models)
	}
	return nil
}

// placedObjects gives the model's build items as objects.
func placedObjects(model *go3mf.Model) ([]Object, error) {
	if model.Units != go3mf.UnitMillimeter {
		return nil, fmt.Errorf("%w: the unit is %s, not millimeter", ErrUnread3MF, model.Units)
	}
	meshes := map[uint32]*Mesh{}
	var out []Object
	for i, item := range model.Build.Items {
		object, ok := model.FindObject(item.ObjectPath(), item.ObjectID)
		if !ok {
			return nil, fmt.Errorf("%w: build item %d names object %d, which is missing", ErrNot3MF, i+1, item.ObjectID)
		}
		if object.Mesh == nil || len(object.Mesh.Triangles.Triangle) == 0 {
			if object.Components != nil {
				return nil, fmt.Errorf("%w: object %d is made of others", ErrUnread3MF, object.ID)
			}
			return nil, fmt.Errorf("object %d: %w", object.ID, ErrNoObjects)
		}
		placed := Object{Name: object.Name, Mesh: meshes[object.ID]}
		if item.HasTransform() {
			shift := item.Transform
			if shift != go3mf.Identity().Translate(shift[12], shift[13], 0) {
				return nil, fmt.Errorf("%w: build item %d is turned, scaled or lifted", ErrUnread3MF, i+1)
			}
			placed.X, placed.Y = float64(shift[12]), float64(shift[13])
		}
		if placed.Mesh == nil {
			placed.Mesh = plainMesh(object.Mesh)
			if err := checkMesh(placed.Mesh); err != nil {
				return nil, fmt.Errorf("object %d: %w", object.ID, err)
			}
			meshes[object.ID] = placed.Mesh
		}
		out = append(out, placed)
	}
	if len(out) == 0 {
		return nil, ErrNoObjects
	}
	return out, nil
}

// plainMesh copies the library's mesh into ours.
func plainMesh(from *go3mf.Mesh) *Mesh {
	m := &Mesh{
		Vertices: make([]Vec, len(from.Vertices.Vertex)),
		Faces:    make([][3]uint32, len(from.Triangles.Triangle)),
	}
	for i, v := range from.Vertices.Vertex {
		m.Vertices[i] = Vec(v)
	}
	for i := range from.Triangles.Triangle {
		t := &from.Triangles.Triangle[i]
		m.Faces[i] = [3]uint32{t.V1, t.V2, t.V3}
	}
	return m
}
