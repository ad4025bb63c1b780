package printer_test

// This file asks how often what trials taught holds the truth, in each world of printers.

import (
	"fmt"
	"math/rand/v2"
	"os"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/unit"
)

// simulated is how many printers of each world are simulated: usual, or TRYRING_PRINTERS, or a few in a brief run.
func simulated(t *testing.T, usual int) int {
	text := os.Getenv("TRYRING_PRINTERS")
	switch {
	case text != "":
	case os.Getenv("TRYRING_BRIEF") != "":
		return min(usual, 40)
	default:
		return usual
	}
	n, err := strconv.Atoi(text)
	require.NoError(t, err, "TRYRING_PRINTERS")
	return max(10, n)
}

// filament is what the shipped profile of a filament printer says.
func filament(t *testing.T) printer.Profile {
	list, err := printer.Load("")
	require.NoError(t, err)
	p, err := list.Find("filament-0.4")
	require.NoError(t, err)
	return p
}

// tally counts what intervals did.
type tally struct {
	all, held int
	widths    []float64
}

func (y *tally) add(low, high unit.Length, truth float64) {
	y.all++
	if low.MM() <= truth && truth <= high.MM() {
		y.held++
	}
	y.widths = append(y.widths, (high - low).MM())
}

func (y *tally) percent() float64 { return 100 * float64(y.held) / float64(y.all) }

func (y *tally) width(percent int) float64 {
	sort.Float64s(y.widths)
	return y.widths[(y.all-1)*percent/100]
}

func (y *tally) String() string {
	return fmt.Sprintf("%5.1f %% held, width %.3f mm (95th %.3f)", y.percent(), y.width(50), y.width(95))
}

// firstLadder is the ladder that the help of trial names for a beginning.
func firstLadder() []unit.Length { return []unit.Length{-0.36, -0.18, 0, 0.18, 0.36} }

// rungsOf writes down what a ladder did.
func rungsOf(part printer.Part, u use, modelled []float64, outcomes []printer.Felt) printer.Trial {
	t := printer.Trial{Parts: []printer.Part{part}}
	for k, o := range outcomes {
		t.Rungs = append(t.Rungs, printer.SeenRung{Side: part.Side, Part: part.Name, Rung: fmt.Sprintf("%.2f", modelled[k]), ModelledMM: modelled[k], PitchMM: u.pitch, Outcome: o})
	}
	return t
}

// twoLadders tries a first ladder of five rungs on a gauge and a second one as proposed, on a printer of w, and tallies what is then
// said of plain size and of what a mate feels.
func twoLadders(t *testing.T, w world, printers int, seed uint64) (plain, felt *tally) {
	rng := rand.New(rand.NewPCG(seed, 2026))
	p := filament(t)
	plain, felt = &tally{}, &tally{}
	for k := range printers {
		m := w.machine(rng)
		side := []printer.Side{printer.Inside, printer.Outside}[k%2]
		part := printer.Part{Name: "gauge", Side: side, UMM: 0.004} // a gauge held to about 0.008 mm (tolerance X of ASME B1.2, from memory)
		room := part.UMM * rng.NormFloat64()
		tryOut := func(clearances []unit.Length, compensation unit.Length) printer.Trial {
			var modelled []float64
			for _, c := range clearances {
				modelled = append(modelled, (c + compensation).MM())
			}
			return rungsOf(part, w.learned, modelled, m.ladder(rng, side, w.learned, modelled, room))
		}
		first := p.InsideTakes
		if side == printer.Outside {
			first = p.OutsideAdds
		}
		trials := []printer.Trial{tryOut(firstLadder(), first)}
		next := p.Next(side, part, trials, 5)
		trials = append(trials, tryOut(next.Clearances, next.Compensation))
		low, high := p.Learn(side, trials).Interval()
		plain.add(low, high, m.plain(side, w.used))
		felt.add(low, high, m.felt(side, w.used))
	}
	return plain, felt
}

// What two ladders teach of what a mate feels holds in the plain world; of the others it is told how often.
func TestWorldsOfPrinters(t *testing.T) {
	for _, w := range worlds() {
		plain, felt := twoLadders(t, w, simulated(t, 200), 1)
		t.Logf("%-18s plain %s; felt %s", w.name, plain, felt)
		if w.name == "plain" {
			assert.Greater(t, felt.percent(), 80.0)
		}
	}
}
