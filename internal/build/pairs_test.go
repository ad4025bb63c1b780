package build

// Rings of any two threads that the tables hold: whatever can be planned must come out as planned.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/job"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/whole"
)

// builds plans the ring and makes it in memory, which proves it; planned is false when there can be no such ring.
func builds(t *testing.T, r job.Ring) (planned bool, err error) {
	t.Helper()
	r.Out = "unused"
	a, err := Resolve(r, thread.NewTables(), printers(t))
	if err != nil {
		return false, err
	}
	p, err := ring.New(a.Spec)
	if err != nil {
		return false, err
	}
	_, err = Make(t.Context(), new(whole.Memory), a, p)
	return true, err
}

func TestRingsThatWereHardToProve(t *testing.T) {
	skipInBrief(t)
	for _, r := range []job.Ring{
		{Inner: "3/8-18 NPT", Outer: "M220x4"},     // a wall a hundred millimetres thick beside a taper
		{Inner: "1/8-27 NPT", Outer: "5-8 NPT"},    // between two tapers
		{Inner: "M64x6", Outer: "#10-32 UNF"},      // a bore narrower than the wall around it
		{Inner: "Rc 2", Outer: "3 1/2-8 UN LH"},    // a taper inside the other hand
		{Inner: "5 1/8-12 UN", Outer: "G 1/8"},     // a funnel
		{Inner: "M30x2, 3 starts", Outer: "R 1/4"}, // many starts below a taper
		{Inner: "Tr 40x7", Outer: "S 60x9"},        // a saw's flank of three degrees
		{Inner: "E14", Outer: "E27"},               // flanks that are arcs
		{Inner: "30mm x 6mm 3/30deg 3 starts", Outer: "60mm x 8mm 7/45deg 3 starts LH"},
		{Inner: "Tr 16x4", Outer: "S 32x6", Height: "15mm", Grip: "none"}, // one turn of saw between chamfers
		{Inner: "Tr 8x1.5", Outer: "S 20x4", Height: "12mm", Grip: "none"},
		{Inner: "Rd 16x1/8", Outer: "Rd 36x1/8", Height: "7mm", Grip: "none"},
	} {
		t.Run(r.Inner+" in "+r.Outer, func(t *testing.T) {
			r.Printer = "filament-0.4"
			planned, err := builds(t, r)
			require.True(t, planned, "%v", err)
			require.NoError(t, err)
		})
	}
}

// TestRingsOfAnyTwoThreads draws from the tables, and now and then a free thread of any form. It takes TRYRING_PAIRS pairs (default: 25, and 3 in a brief run, TRYRING_BRIEF), drawn from the seed TRYRING_SEED (default: 1).
func TestRingsOfAnyTwoThreads(t *testing.T) {
	number := func(name string, otherwise int) int {
		n, err := strconv.Atoi(os.Getenv(name))
		if err != nil {
			return otherwise
		}
		return n
	}
	usual := 25
	if brief() {
		usual = 3
	}
	tries, seed := number("TRYRING_PAIRS", usual), number("TRYRING_SEED", 1)
	rng := rand.New(rand.NewPCG(uint64(seed), 7))
	pick := func(words ...string) string { return words[rng.IntN(len(words))] }
	all := thread.NewTables().All()
	one := func() string {
		if rng.IntN(4) == 0 {
			major := 8 * math.Pow(10, rng.Float64())
			return fmt.Sprintf("%.1fmm x %.2fmm %s", major, major/(8+12*rng.Float64()), pick("3/30deg", "30/3deg", "7/45deg", "45/7deg",
				"29deg", "30deg trapezoidal", "47.5deg", "80deg", "30deg round", "60deg round")) + pick("", " LH", " 2 starts")
		}
		at := all[rng.IntN(len(all))]
		for range 3 { // tapers oftener than the tables have them
			if at.Taper == 0 {
				at = all[rng.IntN(len(all))]
			}
		}
		return at.Designation + pick("", "", "", " LH", " 2 starts")
	}
	made := 0
	for n := range tries {
		r := job.Ring{
			Inner: one(), Outer: one(), Printer: pick("none", "filament-0.4", "filament-0.25", "resin"),
			Layout: pick("auto", "auto", "stacked"), Grip: pick("none", "scallop", "flats"),
		}
		planned, err := builds(t, r)
		if !planned {
			t.Logf("%s in %s: %v", r.Inner, r.Outer, err)
			continue
		}
		made++
		assert.NoError(t, err, "pair %d of seed %d: %+v", n, seed, r)
	}
	assert.Greater(t, made, tries/4, "most pairs can be planned")
	t.Log(made, "rings of", tries, "pairs")
}

// brief says that long work is to be left out, as TRYRING_BRIEF asks for under the race detector.
func brief() bool { return os.Getenv("TRYRING_BRIEF") != "" }

// skipInBrief leaves a test of long work in one goroutine out of a brief run.
func skipInBrief(t *testing.T) {
	t.Helper()
	if brief() {
		t.Skip("one goroutine at long work, which a brief run does without")
	}
}
