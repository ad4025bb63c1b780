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

func markedOf(marks []HandMark) Marked {
	return Marked{Width: 4000, Height: 3000, Crests: marks, UHand: 2}
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
		kept := slices.DeleteFunc(slices.Clone(all), func(m HandMark) bool {
			i := slices.Index(all, m)
			return i < h.crests && slices.Contains(struck, i)
		})
		some, places, err := Recount(markedOf(rapid.Permutation(kept).Draw(t, "order")))
		require.NoError(t, err)
		assert.InDelta(t, whole.Ratio.Value, some.Ratio.Value, 1e-6*whole.Ratio.Value)
		assert.GreaterOrEqual(t, some.Ratio.U, whole.Ratio.U*0.999, "less evidence, no more certainty")
		largest := 0
		for _, p := range places {
			largest = max(largest, p.Number)
		}
		assert.Equal(t, h.crests, largest)
		seen++
	})
	assert.Positive(t, seen)
}

// TestRecountCoverage puts marks as a hand does on parts seen by cameras of all kinds, and sees how often the interval of
// 95 % holds the truth. It is wider than it need be: the lean of the part and the camera's lens are not known to it.
func TestRecountCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	const parts, side = 1500, 8000
	held := 0
	for range parts {
		focal35 := 23 + rng.Float64()*60
		h := handRow{
			ratio: 0.02 + 0.08*rng.Float64(), focal: focal35 / filmDiagonal * side * math.Sqrt2, crests: 6 + rng.IntN(8),
			beside: 0.05 * rng.NormFloat64(), turned: rng.Float64() * 3,
		}
		h.apart = h.focal / (900 + 900*rng.Float64())
		lean := math.Cos(2.5 * math.Pi / 180 * rng.NormFloat64())
		seen := h
		seen.ratio *= lean
		marks := seen.marks(side, side)
		u := 0.04 * math.Hypot(marks[1].X-marks[0].X, marks[1].Y-marks[0].Y) // a twenty-fifth of a pitch
		for i := range marks {
			marks[i].X, marks[i].Y, marks[i].ByHand = marks[i].X+u*rng.NormFloat64(), marks[i].Y+u*rng.NormFloat64(), true
		}
		m := Marked{Width: side, Height: side, Crests: marks, UHand: u}
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
		"no hand":         {changed(func(m *Marked) { m.UHand = 0 }), "put as well as 0"},
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

func FuzzRecount(f *testing.F) {
	f.Add(uint64(1), 12, 2.0)
	f.Fuzz(func(t *testing.T, seed uint64, n int, u float64) {
		rng := rand.New(rand.NewPCG(seed, 1))
		m := Marked{Width: 1000, Height: 1000, UHand: u}
		for range min(max(n, 0), 60) {
			x, y := rng.Float64()*1000, rng.Float64()*1000
			if rng.IntN(2) == 0 { // often on one line, and on the same spot
				x, y = math.Round(x/500)*500, math.Round(y/40)*40
			}
			m.Crests = append(m.Crests, HandMark{Mark: Mark{x, y}, ByHand: rng.IntN(2) == 0})
		}
		r, places, err := Recount(m)
		if err != nil {
			return
		}
		require.Len(t, places, len(m.Crests))
		require.False(t, math.IsNaN(r.Ratio.Value) || math.IsNaN(r.Ratio.U) || r.Ratio.U <= 0)
	})
}
