package photo

// This file holds the cylinder on the sheet to what it was made of, crests under blur to a slow sum, and pictures by another renderer to what was
// modelled for them.

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"tryring/internal/pose"
	"tryring/internal/reading"
)

// touching are rays from eye that touch a cylinder above and below at s along it, and the places where they do.
func touching(c cylinder, eye Vec, s float64) (rays, places [2]Vec) {
	cut := c.cut(eye)
	for i, side := range []float64{-1, 1} {
		places[i] = cut.place(s, side*cut.half)
		rays[i] = places[i].Plus(-1, eye).Unit()
	}
	return rays, places
}

func TestCylinderFromItsOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		r, turn, tilt, uTilt := draw("radius", 6, 30), draw("turn", -0.25, 0.25), 0.0, usualTilt
		if rapid.Bool().Draw(t, "free") {
			tilt, uTilt = draw("tilt", -0.05, 0.05), 1e3
		}
		true3 := cylinder{Vec{draw("x", -10, 10), draw("y", -30, 10), r}, Vec{math.Cos(turn) * math.Cos(tilt), math.Sin(turn) * math.Cos(tilt), math.Sin(tilt)}, r}
		rise := draw("rise", 0.4, 1.2)
		eye := Vec{draw("aside", -40, 40), -300 * math.Cos(rise), 300 * math.Sin(rise)}
		a, onA := touching(true3, eye, -20)
		b, _ := touching(true3, eye, 20)
		touches := []touch{{eye, a[0], false, 0.1}, {eye, b[0], false, 0.1}, {eye, a[1], true, 0.1}, {eye, b[1], true, 0.1}}
		if rapid.Bool().Draw(t, "two pictures") { // the lower edges lie in shadow, and the upper ones are seen from both sides
			other := Vec{draw("aside too", -40, 40), 300 * math.Cos(rise), 300 * math.Sin(rise)}
			c, onC := touching(true3, other, -20)
			d, _ := touching(true3, other, 20)
			up := 0
			if onC[1][2] > onC[0][2] {
				up = 1
			}
			touches = append(touches[:2], touch{other, c[up], false, 0.1}, touch{other, d[up], false, 0.1})
		}
		for i, p := range onA { // the way to the axis is the radius, and square to the ray
			d := p.Plus(-1, true3.at)
			d = d.Plus(-pose.Dot(d, true3.along), true3.along)
			assert.InDelta(t, r, math.Sqrt(pose.Dot(d, d)), 1e-9)
			assert.InDelta(t, 0, pose.Dot(d, a[i]), 1e-9)
		}
		start := cylinder{true3.at.Plus(draw("off", -2, 2), Vec{-math.Sin(turn), math.Cos(turn), 0}), Vec{1, 0, 0}, r * draw("guess", 0.9, 1.1)}
		found, leans, ok := lies(touches, nil, start, 0, uTilt)
		require.True(t, ok)
		assert.InDelta(t, r, found.radius, 0.02)
		assert.InDelta(t, tilt, leans, 0.002)
		assert.InDelta(t, turn, math.Atan2(found.along[1], found.along[0]), 0.002)
	})
}

// TestFormOfCrests holds the table of a crest under blur, seen square to the axis, to the slow sum, and a slanting view to what it fills.
func TestFormOfCrests(t *testing.T) {
	const period, blur = 16.0, 1.5
	m := newForm(period, blur, 0, 200)
	for _, y := range []float64{-8, -4, -1, 0, 1, 3} {
		for b := range bins {
			want := covered(math.Remainder(float64(b)/bins, 1), y/period, blur/period, blur/period)
			assert.InDelta(t, want, m.at(y)[b], 0.025, "%g px past the crest at bin %d", y, b)
		}
	}
	slanting := newForm(period, blur, 60, 200) // from 17 degrees
	assert.Greater(t, slanting.at(-4)[bins/2], m.at(-4)[bins/2]+0.3)
	assert.InDelta(t, 0.5, slanting.at(0)[0], 0.06) // all but a straight edge
}

// opened is a picture of the test data.
func opened(t *testing.T, name string) *Picture {
	f, err := os.Open(filepath.Join("..", "..", "testdata", "photo", name))
	require.NoError(t, err)
	defer f.Close()
	p, err := Decode(f)
	require.NoError(t, err)
	return p
}

// TestLyingOnTheSheet reads pictures by Blender (.ci/sheets/sheet.py, numbers 5 and 103), whose threads were modelled there.
func TestLyingOnTheSheet(t *testing.T) {
	for _, c := range []struct {
		name            string
		scaled, pitchMM float64
		hand            string
	}{
		{name: "lying-lit.jpg", scaled: 150.5, pitchMM: 1.5875, hand: "left"},
		{name: "lying-shaded.jpg", scaled: 150.5, pitchMM: 2.54},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := opened(t, c.name)
			line := reading.Combine(c.scaled, reading.Part{What: "ruler", U: 0.1, DOF: math.Inf(1)})
			r, err := Measure(p, Options{Line: &line})
			require.NoError(t, err)
			require.True(t, r.Answered, "%v", r.Refusals)
			require.NotNil(t, r.Sheet)
			low, high := r.Pitch.Interval()
			assert.True(t, low < c.pitchMM && c.pitchMM < high, "%g to %g", low, high)
			assert.InEpsilon(t, c.pitchMM, r.Pitch.Value, 0.008)
			if c.hand != "" {
				assert.Equal(t, c.hand, r.Hand)
			}
			assert.Nil(t, r.Diameter)
			assert.Contains(t, r.Move(), "light")
		})
	}
	// A lamp lays the crests' sharp shadow beside a black part, and one picture does not tell it from the part; two from both sides do (number 209).
	near, far := opened(t, "lying-near.jpg"), opened(t, "lying-far.jpg")
	line := reading.Combine(150.25, reading.Part{What: "ruler", U: 0.1, DOF: math.Inf(1)})
	r, err := Measure(near, Options{Line: &line})
	require.NoError(t, err)
	assert.Nil(t, r.Diameter)
	assert.Contains(t, r.Move(), "other side")
	r, err = Measure(near, Options{Line: &line, Other: far})
	require.NoError(t, err)
	require.NotNil(t, r.Diameter)
	assert.InDelta(t, 30.717, r.Diameter.Value, 0.3)
	assert.InEpsilon(t, 2.1167, r.Pitch.Value, 0.004)
	low, high := r.Diameter.Interval()
	assert.True(t, low < 30.717 && 30.717 < high, "%g to %g", low, high)
	// Nobody measured the print: its scale is said to be open.
	r, err = Measure(near, Options{Other: far})
	require.NoError(t, err)
	require.NotNil(t, r.Diameter)
	low, high = r.Diameter.Interval()
	assert.Greater(t, high-low, 0.07*r.Diameter.Value)
	_, err = Measure(near, Options{Other: opened(t, "thread.jpg")})
	require.Error(t, err)

	_, err = Measure(&Picture{}, Options{Line: &reading.Estimate{Value: 40, U: 1}})
	require.ErrorContains(t, err, "the line on the sheet reads 40.0 mm")
}
