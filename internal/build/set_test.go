package build

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/whole"
)

// block is a block of 20 x 20 x 20 mm about the z axis on the bed, whose top has a dent in its middle that is so deep.
func block(dentMM float32) *mesh.Mesh {
	m := &mesh.Mesh{Vertices: []mesh.Vec{
		{-10, -10, 0}, {10, -10, 0}, {10, 10, 0}, {-10, 10, 0}, {-10, -10, 20}, {10, -10, 20}, {10, 10, 20}, {-10, 10, 20}, {0, 0, 20 - dentMM},
	}}
	m.Faces = [][3]uint32{{0, 2, 1}, {0, 3, 2}}
	for i := range uint32(4) {
		j := (i + 1) % 4
		m.Faces = append(m.Faces, [3]uint32{i, j, 4 + j}, [3]uint32{i, 4 + j, 4 + i}, [3]uint32{4 + i, 4 + j, 8})
	}
	return m
}

// blockPart is a block that is as planned when it measures so.
func blockPart(name string, m *mesh.Mesh) Part {
	return Part{
		Name: name, Title: "block " + name,
		Mesh:  func(context.Context) (*mesh.Mesh, error) { return m, nil },
		Judge: func(s Solid) error { return s.Measures([3]float64{20, 20, 20}) },
	}
}

// told is what the manifest of a test's set tells.
type told struct{ Files }

// blockSet is two blocks, a plate of them, and a sheet.
func blockSet() Set {
	return Set{
		Name: "set", Bed: printer.Unnamed(), Parts: []Part{blockPart("a", block(0)), blockPart("b", block(5))},
		Plates:   []Plate{{Name: "plate", Title: "both", Places: []Placed{{Part: 1, X: 30, Y: 30}, {Part: 0, X: 60, Y: 30}}}},
		Sheets:   []Sheet{{Name: "sheet.txt", Write: func(w io.Writer) error { _, err := io.WriteString(w, "read me"); return err }}},
		Manifest: func(f Files) any { return told{f} },
	}
}

func TestSetTellsAllItsFiles(t *testing.T) {
	var store whole.Memory
	var steps []int
	made, err := blockSet().Make(t.Context(), &store, func(done, all int) {
		assert.Equal(t, 3, all)
		steps = append(steps, done)
	})
	require.NoError(t, err)
	assert.Equal(t, []int{1, 2, 3}, steps)
	assert.Equal(t, []string{"a.stl", "a.3mf", "b.stl", "b.3mf", "plate.3mf", "sheet.txt", "set.json"}, made.Paths)
	assert.Equal(t, 7, made.New)
	assert.Zero(t, made.Kept)
	var manifest told
	require.NoError(t, json.Unmarshal(store.Bytes("set.json"), &manifest))
	assert.Equal(t, made.Paths, manifest.Paths)
	assert.Len(t, manifest.Digests, 6, "of all files but the manifest itself")
	for name, digest := range manifest.Digests {
		sum := sha256.Sum256(store.Bytes(name))
		assert.Equal(t, hex.EncodeToString(sum[:]), digest, name)
	}
	plate := store.Bytes("plate.3mf")
	objects, _, err := mesh.Read3MF(bytes.NewReader(plate), int64(len(plate)))
	require.NoError(t, err)
	require.Len(t, objects, 2)
	assert.Equal(t, "b", objects[0].Name)
	assert.InDelta(t, 60, objects[1].X, 1e-9)
}

// spoilt is a store on whose way one file becomes another.
type spoilt struct {
	whole.Memory
	name  string
	spoil func(io.Writer) error
}

func (s *spoilt) Add(name string, encode func(io.Writer) error) error {
	if name != s.name {
		return s.Memory.Add(name, encode)
	}
	return errors.Join(encode(io.Discard), s.Memory.Add(name, s.spoil))
}

// Whatever is wrong with a file of a set, the set is refused, and no file is made.
func TestSetIsProved(t *testing.T) {
	stl := func(m *mesh.Mesh) func(io.Writer) error {
		return func(w io.Writer) error { return mesh.EncodeSTL(w, m, "x") }
	}
	threeMF := func(objects ...mesh.Object) func(io.Writer) error {
		return func(w io.Writer) error { return mesh.Encode3MF(w, objects, mesh.Meta{}) }
	}
	turned := block(0)
	turned.Faces[3] = [3]uint32{turned.Faces[3][1], turned.Faces[3][2], turned.Faces[3][0]}
	plain, moved := block(0), block(0)
	moved.Vertices[0][0] -= 1.0 / 65536
	for _, tt := range []struct {
		name, file string
		spoil      func(io.Writer) error
		says       string
	}{
		{"STL of another mesh", "a.stl", stl(block(5)), "faces differ"},
		{"STL off by a grid step", "a.stl", stl(moved), "faces differ"},
		{"STL with one face fewer", "a.stl", stl(&mesh.Mesh{Vertices: plain.Vertices, Faces: plain.Faces[1:]}), "faces differ"},
		{"STL with a face begun elsewhere", "a.stl", stl(turned), "faces differ"},
		{"STL cut short", "a.stl", func(w io.Writer) error { _, err := w.Write(make([]byte, 90)); return err }, "reading back"},
		{"3MF of another mesh", "b.3mf", threeMF(mesh.Object{Name: "b", Mesh: plain}), "differs from b"},
		{"3MF off by a grid step", "a.3mf", threeMF(mesh.Object{Name: "a", Mesh: moved}), "differs from a"},
		{"3MF of another name", "a.3mf", threeMF(mesh.Object{Name: "x", Mesh: plain}), "differs from a"},
		{"3MF elsewhere", "a.3mf", threeMF(mesh.Object{Name: "a", Mesh: plain, X: 0.01}), "differs from a"},
		{"3MF that is none", "a.3mf", func(w io.Writer) error { _, err := io.WriteString(w, "zip"); return err }, "reading back"},
		{"plate with one missing", "plate.3mf", threeMF(mesh.Object{Name: "b", Mesh: block(5), X: 30, Y: 30}), "holds 1 parts"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			store := &spoilt{name: tt.file, spoil: tt.spoil}
			_, err := blockSet().Make(t.Context(), store, nil)
			require.ErrorContains(t, err, tt.file)
			require.ErrorContains(t, err, tt.says)
			if tt.says != "reading back" {
				require.ErrorIs(t, err, ErrNotProved)
			}
			assert.Nil(t, store.Bytes("set.json"))
			assert.Nil(t, store.Bytes("b.stl"))
		})
	}
}

// A solid that is not one, or not as planned, is refused, and no file is made.
func TestSolidsAreProved(t *testing.T) {
	open, turned, two, low := block(0), block(0), block(0), block(0)
	open.Faces = open.Faces[1:]
	for i, f := range turned.Faces {
		turned.Faces[i] = [3]uint32{f[0], f[2], f[1]}
	}
	for _, v := range block(0).Vertices {
		two.Vertices = append(two.Vertices, mesh.Vec{v[0]/4 + 50, v[1] / 4, v[2] / 4})
	}
	inside := copyOf(two) // a second shell, small and inside out, leaves the volume above nothing
	for _, f := range block(0).Faces {
		two.Faces = append(two.Faces, [3]uint32{f[0] + 9, f[1] + 9, f[2] + 9})
		inside.Faces = append(inside.Faces, [3]uint32{f[0] + 9, f[2] + 9, f[1] + 9})
	}
	for i := 4; i < 9; i++ {
		low.Vertices[i][2] -= 1.0 / 32
	}
	for _, tt := range []struct {
		name, says string
		mesh       *mesh.Mesh
	}{
		{"open", "not sound", open},
		{"inside out", "not sound", turned},
		{"two parts", "holds 2 parts", two},
		{"a shell that faces inward", "inside out", inside},
		{"a face that touches another", "cross", block(20)},
		{"too low", "measures 19.969 mm", low},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var store whole.Memory
			_, err := Set{Parts: []Part{blockPart("a", tt.mesh)}}.Make(t.Context(), &store, nil)
			require.ErrorIs(t, err, ErrNotProved)
			require.ErrorContains(t, err, "a.stl")
			require.ErrorContains(t, err, tt.says)
			assert.Nil(t, store.Bytes("a.stl"))
		})
	}
}

func copyOf(m *mesh.Mesh) *mesh.Mesh {
	return &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Faces: slices.Clone(m.Faces)}
}

// What stands on a plate stands on the bed, and clear of all else.
func TestPlateIsOnTheBed(t *testing.T) {
	for _, tt := range []struct {
		name, says string
		places     []Placed
	}{
		{"beside each other", "", []Placed{{0, 20, 20}, {1, 45, 20}}},
		{"overlapping", "a and b overlap", []Placed{{0, 20, 20}, {1, 35, 30}}},
		{"past the left edge", "a reaches past the bed", []Placed{{0, 9, 20}}},
		{"past the near edge", "a reaches past the bed", []Placed{{0, 20, 9}}},
		{"past the right edge", "b reaches past the bed", []Placed{{0, 20, 20}, {1, 175, 20}}},
		{"past the far edge", "a reaches past the bed", []Placed{{0, 20, 175}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			set := blockSet()
			set.Bed.BedX, set.Bed.BedY = 180, 180
			set.Plates[0].Places = tt.places
			_, err := set.Make(t.Context(), new(whole.Memory), nil)
			if tt.says == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, ErrNotProved)
			require.ErrorContains(t, err, tt.says)
		})
	}
	up, high := block(0), block(0)
	for i := range up.Vertices {
		up.Vertices[i][2] += 0.5
	}
	require.ErrorContains(t, onBed([]mesh.Object{{Name: "a", Mesh: up, X: 20, Y: 20}}, printer.Unnamed()), "floats")
	flat := printer.Unnamed()
	flat.BedZ = 19
	require.ErrorContains(t, onBed([]mesh.Object{{Name: "a", Mesh: high, X: 20, Y: 20}}, flat), "past the bed")
}

// The errors of everything that a set is made of come out, and with them no file.
func TestSetFails(t *testing.T) {
	errOurs := errors.New("ours")
	for name, spoil := range map[string]func(*Set){
		"mesh":     func(s *Set) { s.Parts[0].Mesh = func(context.Context) (*mesh.Mesh, error) { return nil, errOurs } },
		"judge":    func(s *Set) { s.Parts[1].Judge = func(Solid) error { return errOurs } },
		"a part's": func(s *Set) { s.Parts[1].Sheets = []Sheet{{"b.txt", func(io.Writer) error { return errOurs }}} },
		"sheet":    func(s *Set) { s.Sheets[0].Write = func(io.Writer) error { return errOurs } },
	} {
		t.Run(name, func(t *testing.T) {
			set := blockSet()
			spoil(&set)
			var store whole.Memory
			_, err := set.Make(t.Context(), &store, nil)
			require.ErrorIs(t, err, errOurs)
			assert.Nil(t, store.Bytes("a.stl"))
		})
	}
	ctx, cancel := context.WithCancel(t.Context())
	set := blockSet()
	set.Sheets[0].Write = func(io.Writer) error { cancel(); return nil }
	_, err := set.Make(ctx, new(whole.Memory), nil)
	require.ErrorIs(t, err, context.Canceled)
	require.ErrorContains(t, err, "no file was made")
}
