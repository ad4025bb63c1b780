package draw

// This file holds the rings that the drawings are tested on, from a 6 mm to a 120 mm thread.

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
	"tryring/internal/thread"
)

// sample is a ring by name.
type sample struct {
	name, inner, outer string
	change             func(*ring.Spec)
}

func grip(g ring.Grip) func(*ring.Spec) { return func(s *ring.Spec) { s.Grip = g } }

func stackedRing(s *ring.Spec) { s.Layout = ring.Stacked }

var samples = []sample{
	{"smallest", "M3x0.5", "M6x1", nil},
	{"smallest without flange", "M3x0.5", "M6x1", grip(ring.NoGrip)},
	{"small stacked", "M5x0.8", "M6x1", nil},
	{"M8 in M16", "M8x1", "M16x1.5", nil},
	{"M8 in M16 without flange", "M8x1", "M16x1.5", grip(ring.NoGrip)},
	{"M8 in M16 flats", "M8x1", "M16x1.5", grip(ring.Flats)},
	{"pipe", "G 1", "G 1 1/2", nil},
	{"drain", "1 5/8-16 UN", "1 7/8-14 UN", nil},
	{"with classes", "1 1/2-12 UNF-2B", "2 1/4-12 UN-2A LH", nil},
	{"tapers", "1/2-14 NPT", "1-11.5 NPT", nil},
	{"tapers stacked", "1/2-14 NPT", "3/4-14 NPT", nil},
	{"stacked 3 inch", "3-8 UN", "3 1/4-8 UN", stackedRing},
	{"stacked wider below", "G 2", "G 1", nil},
	{"left many starts", "20mm x 2mm 3start LH", "32mm x 3mm 4start LH", nil},
	{"hose", "3/4-11.5 NH", "1 1/2-11.5 NPSM", nil},
	{"largest nested", "M100x2", "M120x3", nil},
	{"largest stacked", "M120x4", "M110x4", nil},
	{"largest without flange", "M100x6", "M120x6", grip(ring.NoGrip)},
	{"tall", "M80x2", "M100x4", func(s *ring.Spec) { s.Height = 240 }},
	{"low", "M100x1.5", "M120x1.5", func(s *ring.Spec) { s.Height = 9 }},
	{"round root", "1-8 UNC", "1 3/4-5 UNC", func(s *ring.Spec) { s.RoundRoot = true }},
	{"long label", "M20x1.5", "M36x2", func(s *ring.Spec) { s.Label = "DRAWER 14 NORTH WALL, SPARE FOR THE LONG & <OLD> PUMP, SET 3" }},
	{"free", "44.4mm x 12tpi 2start LH", "2.125in x 2.309mm 55deg", nil},
	{"narrow and tall", "4.5mm x 0.5mm", "6mm x 0.5mm", func(s *ring.Spec) { s.Grip, s.Height = ring.NoGrip, 250 }},
	{"coarse stacked", "30.6mm x 0.5mm", "27.8mm x 4.63mm", func(s *ring.Spec) { s.Height = 16 }},
	{"fine", "20mm x 0.5mm", "30mm x 0.5mm", nil},
}

// plan makes the sample's plan.
func (s sample) plan(t testing.TB) ring.Plan {
	t.Helper()
	inner, err := thread.BuiltIn().Parse(s.inner)
	require.NoError(t, err)
	outer, err := thread.BuiltIn().Parse(s.outer)
	require.NoError(t, err)
	spec := ring.DefaultSpec(inner, outer)
	if s.change != nil {
		s.change(&spec)
	}
	p, err := ring.New(spec)
	require.NoError(t, err)
	return p
}

// keep leaves a picture in the folder TRYRING_PICTURES for people to look at, if that is set.
func keep(t testing.TB, name string, content []byte) {
	t.Helper()
	dir := os.Getenv("TRYRING_PICTURES")
	if dir == "" {
		return
	}
	file := regexp.MustCompile(`[^a-zA-Z0-9.]+`).ReplaceAllString(name, "-")
	require.NoError(t, os.WriteFile(filepath.Join(dir, file), content, 0o644))
}
