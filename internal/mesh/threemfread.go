package mesh

// Reading 3MF back: objects that stand on the bed, moved along it and not turned.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/hpinc/go3mf"
	"github.com/klauspost/compress/zip"
)

// Errors of Read3MF, beside ErrNoObjects, ErrNotFinite and ErrBadIndex.
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

// Read3MF reads the size bytes of a 3MF file behind r as Encode3MF writes it: plain meshes in millimetres, placed along the bed.
// Memory stays in proportion to the size of the file. Objects made of other objects, turned ones, other units and packages of
// several models are refused with ErrUnread3MF.
func Read3MF(r io.ReaderAt, size int64) ([]Object, Meta, error) {
	model, meshes, err := load3MF(r, size)
	if err != nil {
		return nil, Meta{}, err
	}
	objects, err := placedObjects(model, meshes)
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

// load3MF reads the lists of the meshes here and has the library read all else.
func load3MF(r io.ReaderAt, size int64) (*go3mf.Model, []*Mesh, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	part, err := lookOver(z, size)
	if err != nil {
		return nil, nil, err
	}
	text, err := part.Open()
	if err != nil {
		return nil, nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	defer text.Close()
	var whole strings.Builder
	whole.Grow(int(part.UncompressedSize64)) // room that is not touched before there is text for it
	if _, err := io.Copy(&whole, text); err != nil {
		return nil, nil, fmt.Errorf("%s: %w: %w", part.Name, ErrNot3MF, err)
	}
	rest, meshes, err := cutMeshes(whole.String())
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", part.Name, err)
	}
	slim, err := withPart(z, part.Name, rest)
	if err != nil {
		return nil, nil, err
	}
	model, err := libraryModel(slim)
	return model, meshes, err
}

// withPart is a package like z but for the text of one part.
func withPart(z *zip.Reader, name, text string) ([]byte, error) {
	var out bytes.Buffer
	to := zip.NewWriter(&out)
	for _, f := range z.File {
		if f.Name == name {
			continue
		}
		if err := to.Copy(f); err != nil {
			return nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
		}
	}
	if err := addPlain(to, name, text); err != nil {
		return nil, err
	}
	err := to.Close()
	return out.Bytes(), err
}

// libraryModel has the library read a package that has been looked over.
func libraryModel(data []byte) (model *go3mf.Model, err error) {
	// The library indexes into what it reads without looking everywhere; a panic of its is a bad file.
	defer func() {
		if fault := recover(); fault != nil {
			model, err = nil, fmt.Errorf("%w: %v", ErrNot3MF, fault)
		}
	}()
	model = new(go3mf.Model)
	if err := go3mf.NewDecoder(bytes.NewReader(data), int64(len(data))).Decode(model); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	return model, nil
}

// lookOver finds a package's model. It refuses packages that swell and those of several models, which the library reads in goroutines of its
// own, where its panics could not be caught. What a part unpacks to may be believed: the zip reader ends a part at
// the size that its entry tells.
func lookOver(z *zip.Reader, size int64) (*zip.File, error) {
	most := uint64(min(swellMost, swellStart+swellFactor*size))
	if len(z.File) > maxParts {
		return nil, fmt.Errorf("%w: %d parts, at most %d are taken", ErrSwollen, len(z.File), maxParts)
	}
	var models []*zip.File
	total := uint64(0)
	for _, f := range z.File {
		if f.UncompressedSize64 > most || total+f.UncompressedSize64 > most {
			return nil, fmt.Errorf("%w: %d bytes of file unpack to more than %d", ErrSwollen, size, most)
		}
		total += f.UncompressedSize64
		if strings.HasSuffix(strings.ToLower(f.Name), ".model") {
			models = append(models, f)
		}
	}
	switch len(models) {
	case 0:
		return nil, fmt.Errorf("%w: no model in it", ErrNot3MF)
	case 1:
		return models[0], nil
	}
	return nil, fmt.Errorf("%w: %d models in one package", ErrUnread3MF, len(models))
}

// placedObjects gives the model's build items as objects, with the meshes of its objects in their order.
func placedObjects(model *go3mf.Model, meshes []*Mesh) ([]Object, error) {
	if model.Units != go3mf.UnitMillimeter {
		return nil, fmt.Errorf("%w: the unit is %s, not millimeter", ErrUnread3MF, model.Units)
	}
	meshOf, err := assign(meshes, model.Resources.Objects)
	if err != nil {
		return nil, err
	}
	var out []Object
	for i, item := range model.Build.Items {
		object, ok := model.FindObject(item.ObjectPath(), item.ObjectID)
		if !ok {
			return nil, fmt.Errorf("%w: build item %d names object %d, which is missing", ErrNot3MF, i+1, item.ObjectID)
		}
		placed := Object{Name: object.Name, Mesh: meshOf[object.ID]}
		switch {
		case object.Components != nil:
			return nil, fmt.Errorf("%w: object %d is made of others", ErrUnread3MF, object.ID)
		case placed.Mesh == nil || len(placed.Mesh.Faces) == 0:
			return nil, fmt.Errorf("object %d: %w", object.ID, ErrNoObjects)
		}
		if item.HasTransform() {
			shift := item.Transform
			if shift != go3mf.Identity().Translate(shift[12], shift[13], 0) {
				return nil, fmt.Errorf("%w: build item %d is turned, scaled or lifted", ErrUnread3MF, i+1)
			}
			placed.X, placed.Y = float64(shift[12]), float64(shift[13])
		}
		out = append(out, placed)
	}
	if len(out) == 0 {
		return nil, ErrNoObjects
	}
	return out, nil
}

// assign gives each object with a mesh its lists.
func assign(meshes []*Mesh, objects []*go3mf.Object) (map[uint32]*Mesh, error) {
	out := map[uint32]*Mesh{}
	for _, o := range objects {
		if o.Mesh == nil {
			continue
		}
		if len(out) == len(meshes) {
			return nil, fmt.Errorf("object %d: %w", o.ID, ErrNoObjects)
		}
		m := meshes[len(out)]
		if err := m.Check(); err != nil {
			return nil, fmt.Errorf("object %d: %w", o.ID, err)
		}
		out[o.ID] = m
	}
	if len(out) < len(meshes) {
		return nil, fmt.Errorf("%w: %d meshes in %d objects", ErrUnread3MF, len(meshes), len(out))
	}
	return out, nil
}
