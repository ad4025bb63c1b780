package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

func candidateOf(t *testing.T, designation string, external bool) candidate {
	t.Helper()
	tables := thread.NewTables()
	th, err := tables.Parse(designation)
	require.NoError(t, err)
	return belief{thread: th}.candidate(external)
}

// fine and coarse are printers.
var (
	finePrinter   = printer.Profile{Name: "fine", InsideU: 0.03, OutsideU: 0.03, MinPitch: 0.5}
	coarsePrinter = printer.Profile{Name: "coarse", InsideU: 0.4, OutsideU: 0.4, MinPitch: 1}
)

func TestTellApart(t *testing.T) {
	for _, c := range []struct {
		name, x, y string
		external   bool
		printer    printer.Profile
		can        bool
		print      string // "" for either
	}{
		{"11.5 male does not go into a 14 female (common practice)", "1 1/2-11.5 NPSM", "1 7/8-14 UNS", true, finePrinter, true, ""},
		{"half a thread an inch in 12 mm", "1 1/2-11.5 NPSM", "G 1 1/2", true, finePrinter, true, ""},
		{"the same on a coarse printer", "1 1/2-11.5 NPSM", "G 1 1/2", true, coarsePrinter, false, ""},
		{"same pitch, 1/8 in apart: the smaller ring stops on the larger thread", "1 7/8-16 UN", "2-16 UN", true, finePrinter, true, "1 7/8-16 UN"},
		{"the same with internal threads: the larger ring does not enter", "1 7/8-16 UN", "2-16 UN", false, finePrinter, true, "2-16 UN"},
		{"two names of one internal thread", "G 1/2", "Rp 1/2", false, finePrinter, false, ""},
		{"a taper runs full in a straight ring", "1 1/2-11.5 NPSM", "1 1/2-11.5 NPT", true, finePrinter, true, ""},
		{"too fine to print", "1-20 UNEF", "1-12 UNF", true, printer.Profile{Name: "blunt", InsideU: 0.03, OutsideU: 0.03, MinPitch: 2.5}, false, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := Set{Outside: []Reading{{Value: 1}}}
			if !c.external {
				s = Set{Bore: []Reading{{Value: 1}}}
			}
			got := Answer{Set: s}.apart(candidateOf(t, c.x, c.external), candidateOf(t, c.y, c.external), c.printer)
			assert.Equal(t, c.can, got.Can, got.Why)
			if c.print != "" {
				assert.Equal(t, c.print, got.Print, got.Why)
			}
			if c.can {
				assert.Contains(t, got.Why, "Print a ring")
			}
		})
	}
}

// The pitch part against the closed form: axial play is clearance x tan(half angle), so a pitch difference of dp over n turns
// needs a clearance of n dp / tan(half angle).
func TestTooLargeClosedForm(t *testing.T) {
	a, b := candidateOf(t, "1 7/8-14 UNS", true), candidateOf(t, "1 7/8-14 UNS", true)
	b.thread.Pitch = unit.Inches(1.0 / 12)
	turns := 12 / b.thread.Pitch.MM()
	want := turns * (b.thread.Pitch - a.thread.Pitch).MM() / math.Tan(30*math.Pi/180)
	assert.InDelta(t, want, tooLarge(a, b, 12, true), tolMM)
	assert.InDelta(t, 0, tooLarge(a, a, 12, true), tolMM)
}

// The pairs are of the leading threads only, each once.
func TestTellApartPairs(t *testing.T) {
	a := answer(t, Batch{Outside: []string{"20.9"}, TPI: []string{"14"}})
	pairs := a.TellApart(finePrinter)
	seen := map[[2]string]bool{}
	for _, p := range pairs {
		assert.NotContains(t, p.Between, NoneOfThese)
		assert.False(t, seen[p.Between] || seen[[2]string{p.Between[1], p.Between[0]}], "%v stands twice", p.Between)
		seen[p.Between] = true
	}
	assert.NotEmpty(t, pairs)
}
