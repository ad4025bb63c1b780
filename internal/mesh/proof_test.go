package mesh

// This file proves random rings: closed, free of self-intersection, and within their tolerance of the sdfx solid.

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

const (
	// proofSeed and proofRings fix the share of random rings that every run proves; TRYRING_RINGS and TRYRING_SEED prove more.
	proofSeed, proofRings = 20, 16
	// vertexTolMM is how near a vertex, moved back to the wall, must be to the zero set.
	vertexTolMM = 0.001
)

// randomThread draws a thread of 4 to 150 mm and 0.35 to 6 mm pitch.
func randomThread(rng *rand.Rand, major float64) thread.Thread {
	pitch := math.Min(0.35*math.Pow(6/0.35, rng.Float64()), major/4)
	t := thread.Thread{
		Designation: "random", Form: thread.Form60, Pitch: unit.MM(pitch), Starts: 1 + rng.IntN(6), Hand: thread.Right,
	}
	if rng.IntN(2) == 0 {
		t.Hand = thread.Left
	}
	if rng.IntN(3) == 0 {
		t.Form = thread.Form55
	}
	if rng.IntN(4) == 0 {
		t.Taper = 1.0 / 16
		t.GaugeLength = unit.MM(4 * pitch)
		if t.Form.RoundPerPitch == 0 {
			t.Form = thread.FormNPT
		}
	}
	if rng.IntN(3) == 0 && t.Taper == 0 {
		forms := []string{"3/30deg", "30/3deg", "7/45deg", "30deg trapezoidal", "29deg", "80deg", "47.5deg", "30deg round"}
		free, err := thread.BuiltIn().Parse(fmt.Sprintf("%.3fmm x %.3fmm %s", major, pitch, forms[rng.IntN(len(forms))]))
		if err == nil {
			t.Form, t.Basic, t.Pitch, t.Designation = free.Form, free.Basic, free.Pitch, free.Designation
			return t
		}
	}
	h := t.Form.DepthPerPitch * pitch
	t.Basic.Major = unit.MM(major)
	t.Basic.Pitch = unit.MM(major - h)
	t.Basic.Minor = unit.MM(major - 2*h)
	if t.Form == thread.Form60 {
		t.Basic.Pitch = unit.MM(major - 0.649519*pitch) // ASME B1.1, ISO 724
	}
	return t
}

func randomSpec(rng *rand.Rand) ring.Spec {
	major := func() float64 { return 4 * math.Pow(150.0/4, rng.Float64()) }
	s := ring.DefaultSpec(randomThread(rng, major()), randomThread(rng, major()))
	s.InnerClearance, s.OuterClearance = unit.MM(rng.Float64()*0.4), unit.MM(rng.Float64()*0.4)
	s.Grip = []ring.Grip{ring.NoGrip, ring.Scallop, ring.Flats}[rng.IntN(3)]
	s.Layout = []ring.Layout{ring.Auto, ring.Nested, ring.Stacked}[rng.IntN(3)]
	s.RoundRoot = rng.IntN(3) == 0
	s.Label = "RANDOM 8%&*g"
	return s
}

func TestRandomRings(t *testing.T) {
	n, seed := fromEnv(t, "TRYRING_RINGS", proofRings), fromEnv(t, "TRYRING_SEED", proofSeed)
	rng := rand.New(rand.NewPCG(uint64(seed), 0))
	proved, refused := 0, 0
	for i := 0; proved < n; i++ {
		spec := randomSpec(rng)
		p, err := ring.New(spec)
		if err != nil {
			refused++
			require.Less(t, refused, 20*(proved+10), "nearly every ring is refused: %v", err)
			continue
		}
		chord := []float64{0.05, 0.05, 0.03, 0.03, 0.02, 0.02, 0.01, 0.005}[rng.IntN(8)]
		if err := proveRing(p, chord, rng); err != nil {
			t.Errorf("ring %d (seed %d), chord %g mm, %s\n  inner %+v\n  outer %+v\n  grip %s: %v", i, seed, chord, p.LayoutWhy, spec.Inner, spec.Outer, spec.Grip, err)
		}
		proved++
	}
	t.Logf("%d rings proved, %d specs refused", proved, refused)
}

// TestColumnSharedByTwoEvents is a ring that random proofs found: on a steep thread beside a narrow bore, two events share a
// column, and a corner of the first ran past the upper face.
func TestColumnSharedByTwoEvents(t *testing.T) {
	steep := func(major, pitch float64, starts int, hand thread.Hand) thread.Thread {
		return thread.Thread{
			Designation: "steep", Form: thread.Form60, Pitch: unit.MM(pitch), Starts: starts, Hand: hand,
			Basic: thread.Diameters{Major: unit.MM(major), Pitch: unit.MM(major - 0.649519*pitch), Minor: unit.MM(major - 1.0825317547305482*pitch)},
		}
	}
	s := ring.DefaultSpec(steep(19.011036978987867, 3.015, 4, thread.Right), steep(5.221993574328042, 1.3109366857184699, 6, thread.Left))
	s.InnerClearance, s.OuterClearance = unit.MM(0.03585045482951772), unit.MM(0.3341145058544772)
	s.Grip, s.Layout, s.Label = ring.Flats, ring.Stacked, "RANDOM 8%&*g"
	p, err := ring.New(s)
	require.NoError(t, err)
	require.NoError(t, proveRing(p, 0.05, rand.New(rand.NewPCG(1, 1))))
}

// TestSteeperFlankRulesTheTwist: the flank that stands up straighter holds the step, whichever of the two it is.
func TestSteeperFlankRulesTheTwist(t *testing.T) {
	step := func(flanks string) float64 {
		_, _, widest := Helix{ChordMM: 0.02}.walls(plan(t, "16mm x 4mm 3start "+flanks, "60mm x 10mm 6start "+flanks, nil).Shape)
		return widest
	}
	require.InEpsilon(t, step("5/45deg"), step("45/5deg"), 1e-9)
}

// fromEnv is the whole number in an environment variable, or what holds without it.
func fromEnv(t *testing.T, name string, without int) int {
	text := os.Getenv(name)
	if text == "" {
		return without
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err, "%s is a whole number", name)
	return n
}

// proveRing returns what is wrong with the mesh of a plan.
func proveRing(p ring.Plan, chord float64, rng *rand.Rand) error {
	m, err := Helix{ChordMM: chord}.Mesh(p.Shape)
	if err != nil {
		return err
	}
	var faults []error
	if a := Audit(m); !a.Sound() || a.Shells != 1 {
		faults = append(faults, fmt.Errorf("unsound: %+v", a))
	}
	solid, err := p.Solid()
	if err != nil {
		return err
	}
	return errors.Join(append(faults, nearSolid(m, p.Shape, solid, chord, rng)...)...)
}

// nearSolid samples vertices and points inside faces.
func nearSolid(m *Mesh, shape ring.Shape, solid *ring.Solid, chord float64, rng *rand.Rand) []error {
	const samples = 1500
	var faults []error
	grow := growth(shape, chord)
	flangeTop := 0.0
	if shape.Flange != nil {
		flangeTop = shape.Flange.ThicknessMM
	}
	hole, _ := shape.Inner.Ends(0)
	for range samples {
		v := at(m.Vertices[rng.IntN(len(m.Vertices))])
		onFlange := v.Z <= flangeTop && math.Hypot(v.X, v.Y) > hole+0.5
		if !onFlange {
			v.X, v.Y = v.X/grow, v.Y/grow
		}
		limit := vertexTolMM
		if onFlange {
			limit += chord // where the thread's foot is shared with the flange's face
		} else if isRound(shape.Inner) || isRound(shape.Outer) {
			limit += chord / 2 // where a bound cuts the chord of a crest arc
		}
		if d := math.Abs(solid.Evaluate(v)); d > limit {
			faults = append(faults, fmt.Errorf("vertex %v is %.5f mm off the solid", v, d))
		}
	}
	for range samples {
		f := m.Faces[rng.IntN(len(m.Faces))]
		a, b := rng.Float64(), rng.Float64()
		if a+b > 1 {
			a, b = 1-a, 1-b
		}
		x := at(m.Vertices[f[0]]).MulScalar(1 - a - b).Add(at(m.Vertices[f[1]]).MulScalar(a)).Add(at(m.Vertices[f[2]]).MulScalar(b))
		if d := math.Abs(solid.Evaluate(x)); d > chord+vertexTolMM {
			faults = append(faults, fmt.Errorf("face point %v is %.5f mm off the solid", x, d))
		}
	}
	return faults[:min(len(faults), 5)]
}

// growth is the factor by which the mesher moved the walls out.
func growth(shape ring.Shape, chord float64) float64 {
	_, _, d := Helix{ChordMM: chord}.walls(shape)
	return 1 + d*d/16
}
