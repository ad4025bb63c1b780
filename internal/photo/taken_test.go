package photo_test

// This file reads pictures that .ci/pictures.py rendered by a renderer and from parts that are not ours, with what is true of them beside
// each, and counts what came of them.

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/photo"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// taken is what is true of a picture, as .ci/pictures.py writes it.
type taken struct {
	File      string  `json:"file"`
	Nothing   bool    `json:"nothing"`
	Kind      string  `json:"kind"`
	Material  string  `json:"material"`
	Ground    string  `json:"ground"`
	Behind    string  `json:"behind"`
	Standing  bool    `json:"standing"`
	Light     string  `json:"light"`
	LeanDeg   float64 `json:"lean_deg"`
	TPI       float64 `json:"tpi"`
	Hand      int     `json:"hand"`
	Starts    int     `json:"starts"`
	Read      float64 `json:"read_mm"`
	Told      float64 `json:"told_mm"`
	Cropped   bool    `json:"cropped"`
	HeadShown string  `json:"head"`
}

// classes are the names under which a picture is counted.
func (k taken) classes() []string {
	ground := "ground " + k.Ground
	if k.Standing {
		ground = "before a " + k.Behind
	}
	lean := "lean under 2 degrees"
	switch b := math.Abs(k.LeanDeg); {
	case b >= 5:
		lean = "lean over 5 degrees"
	case b >= 2:
		lean = "lean 2 to 5 degrees"
	}
	starts := "one start"
	if k.Starts > 1 {
		starts = "two starts"
	}
	return []string{starts, k.Material, ground, "light " + k.Light, lean, map[bool]string{true: "cropped", false: "not cropped"}[k.Cropped]}
}

// read has the picture measured by someone who reads the diameter and maybe the distance.
func (k taken) read(t *testing.T, folder string) (*photo.Picture, *photo.Result) {
	t.Helper()
	file, err := os.ReadFile(filepath.Join(folder, k.File))
	require.NoError(t, err)
	p, err := photo.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	outside := reading.Combine(k.Read, reading.Part{What: "caliper", U: 0.03, DOF: math.Inf(1)})
	r, err := photo.Measure(p, photo.Options{Outside: &outside, Distance: unit.MM(k.Told)})
	require.NoError(t, err)
	return p, r
}

// pictures reads what is true of the pictures in a folder.
func pictures(t *testing.T, folder string) (all []taken) {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(folder, "*.json"))
	require.NoError(t, err)
	for _, name := range names {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		var k taken
		require.NoError(t, json.Unmarshal(text, &k))
		if _, err := os.Stat(filepath.Join(folder, k.File)); err == nil {
			all = append(all, k)
		}
	}
	return all
}

// TestTakenPhotos reads the pictures in testdata/photo/taken, or in the folder TRYRING_TAKEN, and prints how many were answered, held and wrong; where
// TRYRING_PHOTOS_OUT names a folder, each of them too.
func TestTakenPhotos(t *testing.T) {
	folder := os.Getenv("TRYRING_TAKEN")
	given := folder != ""
	if !given {
		folder = fixedPath("taken")
	}
	all := pictures(t, folder)
	require.NotEmpty(t, all)
	tallies, nothing, mistaken := map[string]*tally{}, 0, 0
	for _, k := range all {
		p, r := k.read(t, folder)
		if k.Nothing {
			nothing++
			if r.Answered {
				mistaken++
				t.Logf("%s: a %s taken for a thread: %s", k.File, k.Kind, r.Words())
			}
			continue
		}
		s := scene{tpi: k.TPI, hand: k.Hand}
		for _, class := range append([]string{"all"}, k.classes()...) {
			if tallies[class] == nil {
				tallies[class] = &tally{}
			}
			tallies[class].add(s, r)
		}
		tpi, low, high, _ := r.TPI()
		say := fmt.Sprintf("read %.2f (%.2f to %.2f)", tpi, low, high)
		if !r.Answered {
			say += " none: " + r.Refusals[0].Why
		} else if off := math.Abs(tpi - k.TPI); off >= 0.5 {
			say += " WRONG"
		} else if low > k.TPI || high < k.TPI {
			say += " OUTSIDE"
		}
		if given && os.Getenv("TRYRING_PHOTOS_OUT") != "" {
			t.Logf("%s tpi %g lean %.1f %s %s", k.File, k.TPI, k.LeanDeg, strings.Join(k.classes(), ", "), say)
			keep(t, strings.TrimSuffix(k.File, ".jpg"), nil, photo.Overlay(p, r))
		}
	}
	var classes []string
	for class := range tallies {
		classes = append(classes, class)
	}
	slices.Sort(classes)
	for _, class := range classes {
		t.Logf("%-22s %s", class, tallies[class])
	}
	t.Logf("without a thread: %d, taken for one: %d", nothing, mistaken)
	if y := tallies["all"]; y != nil {
		assert.LessOrEqual(t, float64(y.halfOff), math.Max(0.005*float64(y.answered), map[bool]float64{true: 1}[given]))
	}
	assert.LessOrEqual(t, mistaken, 1)
}
