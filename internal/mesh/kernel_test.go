package mesh

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestVerdictsForTheKernel writes what an exact kernel is to judge into the folder that TRYRING_KERNEL names: part files of the folders that
// TRYRING_PARTS lists, once welded, and broken meshes of our own, each as NAME.off on whole numbers and as
// NAME.stl, beside our verdict as NAME.json.
// .ci/sound.cpp judges them and .ci/verdicts.py compares.
func TestVerdictsForTheKernel(t *testing.T) {
	to := os.Getenv("TRYRING_KERNEL")
	if to == "" && os.Getenv("TRYRING_BRIEF") != "" {
		t.Skip("long work, which a brief run does without")
	}
	if to == "" {
		to = t.TempDir()
	}
	n := 0
	give := func(name string, m *Mesh) {
		s := Audit(m)
		f, err := os.Create(filepath.Join(to, name+".off"))
		require.NoError(t, err)
		w := bufio.NewWriter(f)
		fmt.Fprintf(w, "OFF\n%d %d 0\n", len(m.Vertices), len(m.Faces))
		for _, p := range m.toGrid() {
			fmt.Fprintf(w, "%d %d %d\n", p[0], p[1], p[2])
		}
		for _, f := range m.Faces {
			fmt.Fprintf(w, "3 %d %d %d\n", f[0], f[1], f[2])
		}
		require.NoError(t, w.Flush())
		require.NoError(t, f.Close())
		stl, err := os.Create(filepath.Join(to, name+".stl"))
		require.NoError(t, err)
		require.NoError(t, EncodeSTL(stl, m, ""))
		require.NoError(t, stl.Close())
		told, err := json.Marshal(struct {
			Sound bool `json:"sound"`
			Soundness
		}{s.Sound(), s})
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(to, name+".json"), told, 0o600))
		n++
	}
	for _, m := range brokenMeshes() {
		give(fmt.Sprintf("own-%03d", n), m)
	}
	for k, from := range filepath.SplitList(os.Getenv("TRYRING_PARTS")) {
		files, err := os.ReadDir(from)
		require.NoError(t, err)
		for _, f := range files {
			if !slices.Contains([]string{".stl", ".3mf", ".obj", ".ply", ".gz"}, filepath.Ext(f.Name())) {
				continue
			}
			part, err := Load(t.Context(), filepath.Join(from, f.Name()), Options{})
			require.NoError(t, err)
			give(fmt.Sprintf("%d-%s", k, f.Name()), part.Mesh)
		}
	}
	require.GreaterOrEqual(t, n, 300)
}

// brokenMeshes are shapes, whole and with wounds of every kind: faces turned, missing, twice, moved corners, bodies in bodies.
func brokenMeshes() (all []*Mesh) {
	random := rand.New(rand.NewPCG(7, 8))
	moved := func(m *Mesh, by Vec) *Mesh {
		m = copyMesh(m)
		for i := range m.Vertices {
			for k := range by {
				m.Vertices[i][k] += by[k]
			}
		}
		return m
	}
	shapes := []*Mesh{box(Vec{}, Vec{4, 4, 4}), torus(20, 5, 12, 9), torus(4, 10, 20, 10), box(Vec{1, 1, 1}, Vec{2, 2, 2})}
	for range 320 {
		m := copyMesh(shapes[random.IntN(len(shapes))])
		for range random.IntN(3) {
			other := shapes[random.IntN(len(shapes))]
			if random.IntN(2) == 0 {
				other = turnedOver(other)
			}
			by := Vec{}
			for k := range by {
				by[k] = float32(random.IntN(9) - 4)
			}
			if random.IntN(3) == 0 {
				by[0] += 100
			}
			m = join(m, moved(other, by))
		}
		for range max(0, random.IntN(5)-2) {
			i := random.IntN(len(m.Faces))
			switch random.IntN(5) {
			case 0:
				m.Faces[i][0], m.Faces[i][1] = m.Faces[i][1], m.Faces[i][0]
			case 1:
				m.Faces = append(m.Faces[:i], m.Faces[i+1:]...)
			case 2:
				m.Faces = append(m.Faces, m.Faces[i])
			case 3:
				m.Vertices[m.Faces[i][0]][1] += float32(random.IntN(7)) - 3
			case 4:
				m.Faces = append(m.Faces, m.Faces[i])
				last := &m.Faces[len(m.Faces)-1]
				last[0], last[1] = last[1], last[0]
			}
		}
		part := &Part{}
		if part.settle([]*Mesh{m}, 0) == nil {
			all = append(all, part.Mesh)
		}
	}
	return all
}
