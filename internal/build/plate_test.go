package build

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"tryring/internal/mesh"
	"tryring/internal/printer"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestShelves(t *testing.T) {
	p := printer.Profile{Name: "p", BedX: 100, BedY: 80}
	rapid.Check(t, func(t *rapid.T) {
		diameters := rapid.SliceOfN(rapid.Float64Range(1, 70), 1, 40).Draw(t, "diameters")
		plates, err := Shelves(diameters, p)
		if err != nil {
			t.Fatal(err)
		}
		seen := 0
		for _, plate := range plates {
			if len(plate) == 0 {
				t.Fatal("empty plate")
			}
			for i, a := range plate {
				if a.Part != seen {
					t.Fatalf("part %d stands where %d was due", a.Part, seen)
				}
				seen++
				r := diameters[a.Part] / 2
				if a.X-r < BedMarginMM-1e-9 || a.Y-r < BedMarginMM-1e-9 || a.X+r > 100-BedMarginMM+1e-9 || a.Y+r > 80-BedMarginMM+1e-9 {
					t.Fatalf("part %d at %g, %g with radius %g leaves the bed", a.Part, a.X, a.Y, r)
				}
				for _, b := range plate[:i] {
					if gap := math.Hypot(a.X-b.X, a.Y-b.Y) - r - diameters[b.Part]/2; gap < partGapMM-1e-9 {
						t.Fatalf("parts %d and %d leave %g mm", a.Part, b.Part, gap)
					}
				}
			}
		}
		if seen != len(diameters) {
			t.Fatalf("%d of %d parts placed", seen, len(diameters))
		}
	})
	_, err := Shelves([]float64{20, 71}, p)
	require.ErrorContains(t, err, "part 2 is 71.0 mm across")
}

// A plate that does not hold what it should is refused.
func TestProvePlate(t *testing.T) {
	asked, plan := planned(t, small)
	a, err := build(asked, plan)
	require.NoError(t, err)
	bed := printer.Unnamed()
	two := func(x float64) []mesh.Object {
		return []mesh.Object{{Name: "a", Mesh: a, X: 40, Y: 40}, {Name: "b", Mesh: a, X: x, Y: 40}}
	}
	for _, tt := range []struct {
		name, fails string
		made        []mesh.Object
		wanted      []mesh.Object
	}{
		{"as wanted", "", two(100), two(100)},
		{"overlap", "a and b overlap", two(50), two(50)},
		{"over the edge", "over the edge", two(175), two(175)},
		{"one missing", "1 parts, not 2", two(100)[:1], two(100)},
		{"other name", "differs from", []mesh.Object{{Name: "x", Mesh: a, X: 40, Y: 40}}, two(100)[:1]},
	} {
		t.Run(tt.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "p.3mf")
			f, err := os.Create(path)
			require.NoError(t, err)
			require.NoError(t, mesh.Encode3MF(f, tt.made, mesh.Meta{}))
			require.NoError(t, f.Close())
			err = ProvePlate(path, tt.wanted, bed)
			if tt.fails == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, ErrNotProved)
			require.ErrorContains(t, err, tt.fails)
		})
	}
}
