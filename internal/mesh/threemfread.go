package mesh

// Reading 3MF of any program with the library. Its own reading of packages is passed by, since it reads several models in goroutines of
// its own, where its panics could not be caught: the models are taken out of the package here, and the library reads each.
//
// An own reader of the lists was three times as fast, some 15 ms of a ring's 60 to 100; it is gone, since it read our own files alone.

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/production"
	"github.com/klauspost/compress/zip"
)

// Errors of Read3MF, beside ErrNoObjects, ErrSwollen, ErrNotFinite and ErrBadIndex.
var (
	// ErrNot3MF says that a file is no 3MF package.
	ErrNot3MF = errors.New("not a 3MF file")
	// ErrUnread3MF says that a package is lawful and holds something that is not read here.
	ErrUnread3MF = errors.New("3MF file holds what is not read here")
)

// materialsSpace is the name of the materials extension, which changes no shape.
const materialsSpace = "http://schemas.microsoft.com/3dmanufacturing/material/2015/02"

// maxDepth is how deep objects may be made of others.
const maxDepth = 16

// models are the models of a package, by the path of each; root is the one that is built.
type models struct {
	byPath map[string]*go3mf.Model
	root   *go3mf.Model
	// faces are those of the bodies so far.
	faces int
}

// Read3MF reads the size bytes of a 3MF file behind r as Encode3MF writes it, to prove it; Load reads those of all programs. Memory stays in proportion to what the file unpacks to, which is bounded.
func Read3MF(r io.ReaderAt, size int64) ([]Object, Meta, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, Meta{}, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	files, err := lookOver(z, size)
	if err != nil {
		return nil, Meta{}, err
	}
	p, err := readModels(files)
	if err != nil {
		return nil, Meta{}, err
	}
	var meta Meta
	for _, e := range p.root.Metadata {
		switch e.Name.Local {
		case titleEntry:
			meta.Title = e.Value
		case descriptionEntry:
			meta.Description = e.Value
		}
	}
	objects, err := p.objects()
	return objects, meta, err
}

// readModels reads the models of a package.
func readModels(files []*zip.File) (*models, error) {
	p := &models{byPath: map[string]*go3mf.Model{}}
	for _, f := range files {
		text, err := f.Open()
		if err != nil {
			return nil, fmt.Errorf("%s: %w: %w", f.Name, ErrNot3MF, err)
		}
		data, err := io.ReadAll(text)
		if err := errors.Join(err, text.Close()); err != nil {
			return nil, fmt.Errorf("%s: %w: %w", f.Name, ErrNot3MF, err)
		}
		model, err := libraryModel(data)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", f.Name, err)
		}
		p.byPath[partPath(f.Name)] = model
		if len(model.Build.Items) == 0 {
			continue
		}
		if p.root != nil {
			return nil, fmt.Errorf("%w: two of its models are to be built", ErrUnread3MF)
		}
		p.root = model
	}
	switch {
	case len(files) == 0:
		return nil, fmt.Errorf("%w: no model in it", ErrNot3MF)
	case p.root == nil:
		return nil, fmt.Errorf("%w: it tells nothing to build", ErrNoObjects)
	}
	return p, nil
}

// partPath is the name of a part of a package as others are compared with it.
func partPath(name string) string { return strings.ToLower(strings.TrimPrefix(name, "/")) }

// libraryModel has the library read a model.
func libraryModel(data []byte) (model *go3mf.Model, err error) {
	// The library indexes into what it reads without looking everywhere; a panic of its is a bad file.
	defer func() {
		if fault := recover(); fault != nil {
			model, err = nil, fmt.Errorf("%w: %v", ErrNot3MF, fault)
		}
	}()
	model = new(go3mf.Model)
	if err := go3mf.UnmarshalModel(data, model); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNot3MF, err)
	}
	for _, e := range model.Extensions {
		if e.IsRequired && !slices.Contains([]string{go3mf.Namespace, production.Namespace, materialsSpace}, e.Namespace) {
			return nil, fmt.Errorf("%w: it needs the extension %s; export it as plain triangles", ErrUnread3MF, e.Namespace)
		}
	}
	return model, nil
}

// unitsMM are the lengths of the units, in mm.
var unitsMM = map[go3mf.Units]float64{
	go3mf.UnitMillimeter: 1, go3mf.UnitMicrometer: 0.001, go3mf.UnitCentimeter: 10, go3mf.UnitInch: 25.4, go3mf.UnitFoot: 304.8, go3mf.UnitMeter: 1000,
}

func (p *models) unitMM() float64 { return unitsMM[p.root.Units] }

// bodies are the bodies of all that is to be built, where it stands, in the file's own unit.
func (p *models) bodies() (bodies []*Mesh, err error) {
	for i, item := range p.root.Build.Items {
		some, err := p.instance(item.ObjectPath(), item.ObjectID, item.Transform, maxDepth)
		if err != nil {
			return nil, fmt.Errorf("build item %d: %w", i+1, err)
		}
		bodies = append(bodies, some...)
	}
	if len(bodies) == 0 {
		return nil, ErrNoObjects
	}
	return bodies, nil
}

// objects are what is to be built, as Encode3MF writes it: plain meshes in mm, placed along the bed.
func (p *models) objects() (objects []Object, err error) {
	for i, item := range p.root.Build.Items {
		shift := item.Transform
		bodies, err := p.instance(item.ObjectPath(), item.ObjectID, go3mf.Matrix{}, maxDepth)
		switch {
		case err != nil:
			return nil, fmt.Errorf("build item %d: %w", i+1, err)
		case len(bodies) != 1 || p.unitMM() != 1 || item.HasTransform() && shift != go3mf.Identity().Translate(shift[12], shift[13], 0):
			return nil, fmt.Errorf("%w: build item %d is no plain mesh in mm, placed along the bed", ErrUnread3MF, i+1)
		case len(bodies[0].Faces) == 0:
			return nil, fmt.Errorf("build item %d: %w", i+1, ErrNoObjects)
		}
		o := p.find(item.ObjectPath(), item.ObjectID)
		objects = append(objects, Object{Name: o.Name, Mesh: bodies[0], X: float64(shift[12]), Y: float64(shift[13])})
	}
	return objects, nil
}

// find is an object of the model at path, the root's for "", nil for none.
func (p *models) find(path string, id uint32) *go3mf.Object {
	model := p.root
	if path != "" {
		model = p.byPath[partPath(path)]
	}
	if model != nil {
		if o, found := model.Resources.FindObject(id); found {
			return o
		}
	}
	return nil
}

// instance are the bodies of an object, moved as the matrix says, one of its own and those of what it is made of.
func (p *models) instance(path string, id uint32, by go3mf.Matrix, depth int) ([]*Mesh, error) {
	o := p.find(path, id)
	switch {
	case o == nil:
		return nil, fmt.Errorf("%w: object %d is missing", ErrNot3MF, id)
	case depth == 0:
		return nil, fmt.Errorf("%w: objects are made of others more than %d deep", ErrUnread3MF, maxDepth)
	case o.Type == go3mf.ObjectTypeSupport || o.Type == go3mf.ObjectTypeSolidSupport:
		return nil, nil
	}
	var bodies []*Mesh
	if o.Mesh != nil {
		if p.faces += len(o.Mesh.Triangles.Triangle); p.faces > maxTriangles/16 {
			return nil, fmt.Errorf("%w: at most %d are put together of components", ErrTooLarge, maxTriangles/16)
		}
		m := placed(o.Mesh, by)
		if err := m.Check(); err != nil {
			return nil, fmt.Errorf("object %d: %w", id, err)
		}
		bodies = append(bodies, m)
	}
	if o.Components != nil {
		for _, c := range o.Components.Component {
			to := by
			if c.HasTransform() {
				to = c.Transform
				if by != (go3mf.Matrix{}) {
					to = by.Mul(c.Transform)
				}
			}
			some, err := p.instance(c.ObjectPath(path), c.ObjectID, to, depth-1)
			if err != nil {
				return nil, err
			}
			bodies = append(bodies, some...)
		}
	}
	return bodies, nil
}

// placed is the library's mesh as ours, moved; a matrix of zeros moves nothing, and one that mirrors turns the faces, so that they look
// outward still.
func placed(from *go3mf.Mesh, by go3mf.Matrix) *Mesh {
	m := &Mesh{Vertices: make([]Vec, len(from.Vertices.Vertex)), Faces: make([][3]uint32, len(from.Triangles.Triangle))}
	moved := by != go3mf.Matrix{} && by != go3mf.Identity()
	for i, v := range from.Vertices.Vertex {
		m.Vertices[i] = Vec(v)
		if moved {
			for k := range 3 {
				column := [3]float64{float64(by[k]), float64(by[4+k]), float64(by[8+k])}
				m.Vertices[i][k] = float32(dot([3]float64{float64(v[0]), float64(v[1]), float64(v[2])}, column) + float64(by[12+k]))
			}
		}
	}
	row := func(r int) [3]float64 { return [3]float64{float64(by[4*r]), float64(by[4*r+1]), float64(by[4*r+2])} }
	mirrored := moved && dot(row(0), times(row(1), row(2))) < 0
	for i := range from.Triangles.Triangle {
		t := &from.Triangles.Triangle[i]
		m.Faces[i] = [3]uint32{t.V1, t.V2, t.V3}
		if mirrored {
			m.Faces[i] = [3]uint32{t.V1, t.V3, t.V2}
		}
	}
	return m
}
