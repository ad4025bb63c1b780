package photo

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

// handRow is a part as a pinhole camera sees it, by the formulas of the package's comment.
type handRow struct {
	ratio, focal, apart float64 // P/D, focal length in pixels, camera to axis in diameters
	beside              float64 // of the part, radians
	turned              float64 // of the axis on the picture, radians
	crests              int
}

// marks are the crests of both edges; on a part of one start those of one edge stand halfway between those of the other.
func (h handRow) marks(width, height int) []HandMark {
	a := math.Asin(0.5 / h.apart)
	t0, t1 := h.focal*math.Tan(h.beside-a), h.focal*math.Tan(h.beside+a)
	p := h.focal * h.ratio * math.Cos(h.beside) / (h.apart * math.Cos(h.beside+a) * math.Cos(h.beside-a))
	sin, cos := math.Sincos(h.turned)
	var out []HandMark
	for k, t := range []float64{t0, t1} {
		for i := range h.crests {
			s := (float64(i) - float64(h.crests-1)/2 + 0.5*float64(k)) * p
			out = append(out, HandMark{Mark: Mark{float64(width)/2 + t*cos - s*sin, float64(height)/2 + t*sin + s*cos}})
		}
	}
	return out
}

// markedOf puts every mark as well as two pixels.
func markedOf(marks []HandMark) Marked {
	m := Marked{Width: 4000, Height: 3000, Crests: slices.Clone(marks)}
	for i := range m.Crests {
		m.Crests[i].UHand = 2
	}
	return m
}

// outsideOf is a diameter that is known well.
func outsideOf(mm float64) *reading.Estimate {
	e := reading.Combine(mm, reading.Part{What: "given", Source: "the test", U: 0.02, DOF: math.Inf(1)})
	return &e
}

var straightOn = handRow{ratio: 0.04, focal: 4000, apart: 12, crests: 14}

func TestRecount(t *testing.T) {
	m := markedOf(straightOn.marks(4000, 3000))
	m.Outside = outsideOf(40)
	r, places, err := Recount(m)
	require.NoError(t, err)
	assert.InDelta(t, 1.6, r.Pitch.Value, 0.016)
	low, high := r.Pitch.Interval()
	assert.True(t, low < 1.6 && 1.6 < high, "%v to %v", low, high)
	assert.Equal(t, 14, r.Crests())
	assert.Equal(t, "no", r.Tapers)
	assert.Equal(t, "left", r.Outlines[0].Side)
	for i, p := range places { // drawn from the top down, numbered from below
		assert.Equal(t, Place{i / 14, 14 - i%14}, p)
	}
}

func TestRecountOnALyingPart(t *testing.T) {
	h := straightOn
	h.turned = math.Pi / 2
	r, places, err := Recount(markedOf(h.marks(4000, 3000)))
	require.NoError(t, err)
	assert.Equal(t, []string{"upper", "lower"}, []string{r.Outlines[0].Side, r.Outlines[1].Side})
	assert.Nil(t, r.Pitch, "nothing tells the scale")
	assert.InDelta(t, 0.04, r.Ratio.Value, 0.0004)
	assert.Equal(t, Place{1, 1}, places[27], "from the left")
}

// TestRecountWithoutSome strikes crests out and mixes the rest: the pitch stays, and numbers are left out.
func TestRecountWithoutSome(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		h := handRow{
			ratio: rapid.Float64Range(0.015, 0.12).Draw(t, "ratio"), focal: 4000, apart: 12, crests: rapid.IntRange(8, 20).Draw(t, "crests"),
			beside: rapid.Float64Range(-0.1, 0.1).Draw(t, "beside"), turned: rapid.Float64Range(-1.5, 1.5).Draw(t, "turned"),
		}
		all := h.marks(4000, 3000)
		whole, _, err := Recount(markedOf(all))
		require.NoError(t, err)
		struck := rapid.SliceOfNDistinct(rapid.IntRange(1, h.crests-2), 1, 3, rapid.ID).Draw(t, "struck")
		var kept []HandMark
		for i, m := range all {
			if !slices.Contains(struck, i) {
				kept = append(kept, m)
			}
		}
		some, places, err := Recount(markedOf(rapid.Permutation(kept).Draw(t, "order")))
		require.NoError(t, err)
		assert.InDelta(t, whole.Ratio.Value, some.Ratio.Value, 1e-6*whole.Ratio.Value)
		assert.GreaterOrEqual(t, some.Ratio.U, whole.Ratio.U*0.999, "less evidence, no more certainty")
		largest := 0
		for _, p := range places {
			largest = max(largest, p.Number)
		}
		assert.Equal(t, h.crests, largest)
		assert.Empty(t, some.Notes, "a thread of one start")
		seen++
	})
	assert.Positive(t, seen)
}

// TestRecountCoverage puts marks as a hand does, on parts that lie as unevenly and are seen by cameras as various as the
// interval of 95 % allows for, and sees how often it holds the truth.
func TestRecountCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	const parts, side = 3000, 8000
	held := 0
	for range parts {
		focal35 := shortestFocal + rng.Float64()*60
		h := handRow{
			ratio: 0.02 + 0.08*rng.Float64(), focal: focal35 / filmDiagonal * side * math.Sqrt2, crests: 6 + rng.IntN(8),
			beside: 0.05 * rng.NormFloat64(), turned: rng.Float64() * 3,
		}
		h.apart = h.focal / (900 + 900*rng.Float64())
		lean := math.Cos(usualLean * rng.NormFloat64())
		lens := 1 + uLens*rng.NormFloat64()
		worn := 1 - uRounded*h.ratio*(rng.Float64()+rng.Float64()-1)*2 // marks lie lower than crests, or higher
		seen := h
		seen.ratio *= lean * lens / worn
		marks := seen.marks(side, side)
		u := 0.04 * math.Hypot(marks[1].X-marks[0].X, marks[1].Y-marks[0].Y) // a twenty-fifth of a pitch
		for i := range marks {
			marks[i].X, marks[i].Y, marks[i].UHand = marks[i].X+u*rng.NormFloat64(), marks[i].Y+u*rng.NormFloat64(), u
		}
		m := Marked{Width: side, Height: side, Crests: marks}
		if rng.IntN(2) == 0 {
			m.Focal35 = math.Round(focal35)
		}
		r, _, err := Recount(m)
		require.NoError(t, err)
		if low, high := r.Ratio.Interval(); low < h.ratio && h.ratio < high {
			held++
		}
	}
	share := float64(held) / parts
	t.Logf("%.1f %% of the intervals hold the truth", 100*share)
	assert.Greater(t, share, 0.93)
	assert.Less(t, share, 0.99)
}

// TestRecountOfWhatWasFound gives the marks of measured pictures back: they say the same.
func TestRecountOfWhatWasFound(t *testing.T) {
	for _, name := range []string{"thread.jpg", "taper.jpg", "left.jpg"} {
		t.Run(name, func(t *testing.T) {
			f, err := os.Open("../../testdata/photo/" + name)
			require.NoError(t, err)
			defer f.Close()
			p, err := Decode(f)
			require.NoError(t, err)
			found, err := Measure(p, Options{Outside: outsideOf(30)})
			require.NoError(t, err)
			require.True(t, found.Answered)
			m := MarkedOn(p, found)
			m.Outside = outsideOf(30)
			r, _, err := Recount(m)
			require.NoError(t, err)
			assert.InDelta(t, 1, r.Pitch.Value/found.Pitch.Value, 0.01)
			assert.GreaterOrEqual(t, r.Pitch.U, found.Pitch.U, "marks alone tell less than the picture")
			assert.Empty(t, r.Notes)
			assert.Equal(t, found.Tapers, r.Tapers)
			assert.Equal(t, found.Crests(), r.Crests())
		})
	}
}

func TestRecountRefuses(t *testing.T) {
	good := straightOn.marks(4000, 3000)
	changed := func(change func(m *Marked)) Marked {
		m := markedOf(slices.Clone(good))
		change(&m)
		return m
	}
	for name, c := range map[string]struct {
		m    Marked
		says string
	}{
		"no marks":        {changed(func(m *Marked) { m.Crests = nil }), "0 crests are marked"},
		"one edge only":   {changed(func(m *Marked) { m.Crests = m.Crests[:10] }), "both edges"},
		"three on both":   {changed(func(m *Marked) { m.Crests = append(m.Crests[:3:3], m.Crests[14:17]...) }), "3 crests stand along one edge and 3 along the other"},
		"not a number":    {changed(func(m *Marked) { m.Crests[3].X = math.NaN() }), "beside the picture"},
		"infinite":        {changed(func(m *Marked) { m.Crests[3].Y = math.Inf(1) }), "beside the picture"},
		"off the picture": {changed(func(m *Marked) { m.Crests[3].Y = -50 }), "beside the picture"},
		"out of step":     {changed(func(m *Marked) { m.Crests[5].Y += 0.4 * (m.Crests[1].Y - m.Crests[0].Y) }), "move it or strike it out"},
		"two on one":      {changed(func(m *Marked) { m.Crests = append(m.Crests, m.Crests[5]) }), "strike it out"},
		"far too many":    {changed(func(m *Marked) { m.Crests = slices.Repeat(m.Crests, 20) }), "at most 400"},
		"no picture":      {changed(func(m *Marked) { m.Width = 0 }), "0 by 3000"},
		"a wild hand":     {changed(func(m *Marked) { m.Crests[2].UHand = 5000 }), "put as well as 5000"},
		"no hand's":       {changed(func(m *Marked) { m.Crests[2].UHand = math.NaN() }), "put as well as NaN"},
		"wild focal":      {changed(func(m *Marked) { m.Focal35 = math.NaN() }), "focal length"},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := Recount(c.m)
			require.ErrorIs(t, err, ErrMarks)
			assert.ErrorContains(t, err, c.says)
		})
	}
	_, _, err := Recount(changed(func(m *Marked) { m.Distance = -unit.Millimetre }))
	require.ErrorContains(t, err, "distance")
}

func TestRecountTellsTheOddMark(t *testing.T) {
	m := markedOf(straightOn.marks(4000, 3000))
	pitch := m.Crests[1].Y - m.Crests[0].Y
	m.Crests[20].Y += 0.4 * pitch
	_, _, err := Recount(m)
	var odd *OddMark
	require.ErrorAs(t, err, &odd)
	assert.Contains(t, []int{19, 20}, odd.Index, "the mark, or the next one above it, is out of step")
}

// TestRecountTellsRings moves the crests of one edge beside those of the other. A part that stands askew stays a thread.
func TestRecountTellsRings(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		h := straightOn
		h.focal = 12_000 // finer rows, put no better than that, tell nothing
		h.ratio = rapid.Float64Range(0.04, 0.1).Draw(t, "ratio")
		h.turned = rapid.Float64Range(-1.5, 1.5).Draw(t, "turned")
		marks := h.marks(4000, 3000)
		half := (marks[1].X - marks[0].X) / 2
		halfY := (marks[1].Y - marks[0].Y) / 2
		for i := h.crests; i < len(marks); i++ {
			marks[i].X, marks[i].Y = marks[i].X-half, marks[i].Y-halfY
		}
		rings, _, err := Recount(markedOf(marks))
		require.NoError(t, err)
		require.Len(t, rings.Notes, 1)
		assert.Contains(t, rings.Notes[0], "rings")
		seen++
	})
	assert.Positive(t, seen)
}

// TestRecountTrustsRoughMarksLess widens the interval with how badly the marks are put and with how unevenly they stand.
func TestRecountTrustsRoughMarksLess(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		m := markedOf(straightOn.marks(4000, 3000))
		u := rapid.Float64Range(0.5, 8).Draw(t, "u")
		for i := range m.Crests {
			m.Crests[i].UHand = u
		}
		even, _, err := Recount(m)
		require.NoError(t, err)
		i := rapid.IntRange(0, len(m.Crests)-1).Draw(t, "which")
		m.Crests[i].UHand = u * rapid.Float64Range(1, 5).Draw(t, "times")
		worse, _, err := Recount(m)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, worse.Ratio.U, even.Ratio.U*(1-1e-9))
		m.Crests[i].UHand = u
		for j := range m.Crests {
			m.Crests[j].Y += rapid.Float64Range(-0.1, 0.1).Draw(t, "strays") * straightOn.ratio * 340
		}
		uneven, _, err := Recount(m)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, uneven.Ratio.U/uneven.Ratio.Value, even.Ratio.U/even.Ratio.Value*0.98)
		seen++
	})
	assert.Positive(t, seen)
}

func FuzzRecount(f *testing.F) {
	f.Add(uint64(1), 12, 2.0)
	f.Fuzz(func(t *testing.T, seed uint64, n int, u float64) {
		rng := rand.New(rand.NewPCG(seed, 1))
		m := Marked{Width: 1000, Height: 1000}
		for range min(max(n, 0), 60) {
			x, y := rng.Float64()*1000, rng.Float64()*1000
			if rng.IntN(2) == 0 { // often on one line, and on the same spot
				x, y = math.Round(x/500)*500, math.Round(y/40)*40
			}
			m.Crests = append(m.Crests, HandMark{Mark: Mark{x, y}, UHand: u * float64(rng.IntN(2))})
		}
		r, places, err := Recount(m)
		if err != nil {
			return
		}
		require.Len(t, places, len(m.Crests))
		require.False(t, math.IsNaN(r.Ratio.Value) || math.IsNaN(r.Ratio.U) || r.Ratio.U <= 0)
	})
}
