package printer_test

// This file asks how often what trials taught holds the truth, in each world of printers.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"sort"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
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

// under is the percentage of intervals narrower than mm.
func (y *tally) under(mm float64) float64 {
	n := 0
	for _, w := range y.widths {
		if w < mm {
			n++
		}
	}
	return 100 * float64(n) / float64(y.all)
}

func (y *tally) String() string {
	return fmt.Sprintf("%.1f %% (width %.2f mm, %.0f %% under 0.20)", y.percent(), y.width(50), y.under(0.20))
}

// firstLadder is the ladder that the help of trial names for a beginning.
func firstLadder() []unit.Length { return []unit.Length{-0.36, -0.18, 0, 0.18, 0.36} }

// rungsOf writes down what a ladder did.
func rungsOf(part printer.Part, u use, fromTop bool, modelled []float64, outcomes []printer.Felt) printer.Trial {
	t := printer.Trial{Parts: []printer.Part{part}, LayerMM: u.layer}
	for k, o := range outcomes {
		t.Rungs = append(t.Rungs, rungOf(part, u, fromTop, modelled[k], o))
	}
	return t
}

// rungOf is one rung. A thread of 60 degrees is felt one layer height tighter.
func rungOf(part printer.Part, u use, fromTop bool, modelled float64, o printer.Felt) printer.SeenRung {
	return printer.SeenRung{
		Side: part.Side, Part: part.Name, Rung: fmt.Sprintf("%.2f", modelled), ModelledMM: modelled, PitchMM: u.pitch, DiameterMM: u.diameter, LayersMM: u.layer, FromTop: fromTop, Outcome: o,
	}
}

// twoLadders tries a first ladder of five rungs on a gauge and a second one as proposed, on a printer of w, and tallies what is then
// said of plain size and of what a mate feels, where that is used, of what is felt on the ladder's own thread, and what the printer's
// profile then says it makes of the thread.
func twoLadders(t *testing.T, w world, printers int, seed uint64) (plain, felt, own, made *tally) {
	rng := rand.New(rand.NewPCG(seed, 2026))
	p := filament(t)
	plain, felt, own, made = &tally{}, &tally{}, &tally{}, &tally{}
	usedOn, err := thread.NewTables().Parse(fmt.Sprintf("M%gx%g", w.used.diameter, w.used.pitch))
	require.NoError(t, err)
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
			return rungsOf(part, w.learned, w.fromTop, modelled, m.ladder(rng, side, w.learned, modelled, room))
		}
		on := func(u use) printer.Use { return printer.Use{DiameterMM: u.diameter, LayersMM: u.layer} }
		first := p.Learn(nil).Felt(side, on(w.learned)).Mean()
		trials := []printer.Trial{tryOut(firstLadder(), first)}
		next := p.Next(rungOf(part, w.learned, w.fromTop, 0, printer.Felt{}), trials, 5)
		trials = append(trials, tryOut(next.Clearances, next.Compensation))
		l := p.Learn(trials)
		low, high := l.Plain(side, w.used.diameter).Interval()
		plain.add(low, high, m.plain(side, w.used))
		low, high = l.Felt(side, on(w.used)).Interval()
		felt.add(low, high, m.felt(side, w.used))
		low, high = l.Felt(side, on(w.learned)).Interval()
		own.add(low, high, m.felt(side, w.learned))
		after := p.After(trials)
		after.Layer = unit.MM(w.used.layer)
		of := after.Makes(usedOn, side).Pitch
		if side == printer.Inside {
			of.By = -of.By
		}
		made.add(of.By-1.96*of.U, of.By+1.96*of.U, m.felt(side, w.used))
	}
	return plain, felt, own, made
}

// What two ladders teach holds in every world as it says, or nearly, whether nobody says from which end rungs were tried or they are
// tried from the end on top; said so, it brings what a mate feels on the ladder's own thread under +-0.10 mm in the plain world.
func TestWorldsOfPrinters(t *testing.T) {
	for _, w := range worlds() {
		for _, w.fromTop = range []bool{false, true} {
			if w.fromTop && w.entry.to > 0 {
				continue // no first layer closes the end on top
			}
			plain, felt, own, made := twoLadders(t, w, simulated(t, 200), 1)
			t.Logf("%s (from the top: %t): plain size held %s, felt on the ladder's thread %s, felt where it is used %s, by the profile %s", w.name, w.fromTop, plain, own, felt, made)
			for what, got := range map[string]*tally{"plain size": plain, "felt where it is used": felt, "felt on the ladder's thread": own, "made": made} {
				assert.Greater(t, got.percent(), least(got.all), "%s (from the top: %t): %s: %s", w.name, w.fromTop, what, got)
			}
			if reached := map[bool]int{false: 65, true: 93}[w.fromTop]; w.name == "plain" && own.all >= 200 {
				assert.Less(t, own.width(reached), 0.20, "what two ladders bring on so many of a hundred printers")
			}
		}
	}
}

// least is the least percentage of intervals that must hold, of n: 90, less three standard deviations of so many draws.
func least(n int) float64 { return 90 - 300*math.Sqrt(0.9*0.1/float64(n)) }
