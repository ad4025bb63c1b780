package photo

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/pose"
	"tryring/internal/reading"
)

// TestFaceOfRingsIsNoThread reads faces whose crests climb by so many pitches a turn: level ones are rings, twice as steep ones those of two
// starts, and no edges, however good, make one thread of one start of them.
func TestFaceOfRingsIsNoThread(t *testing.T) {
	const pitch, step, length = 2.0, 0.1, 40.0
	for _, c := range []struct {
		climb float64
		says  string
	}{{0, "as rings do"}, {1, ""}, {-1, ""}, {2, "two starts"}, {-2, "two starts"}} {
		u := unrolled{s0: -length / 2, step: step}
		for i := range faceLines {
			angle := faceAngle * (2*float64(i)/(faceLines-1) - 1)
			line := make([]float64, int(length/step)+1)
			for k := range line {
				line[k] = 128 + 40*math.Cos(2*math.Pi*(u.s0+float64(k)*step)/pitch-c.climb*angle)
			}
			u.lines, u.angle = append(u.lines, line), append(u.angle, angle)
		}
		f, ok := u.read(0, false)
		require.True(t, ok)
		assert.InDelta(t, pitch, f.pitch, 0.005)
		assert.InDelta(t, c.climb, f.turns, 0.1)

		known := func(v float64) reading.Estimate {
			return reading.Combine(v, reading.Part{What: "all", U: v / 1000, DOF: math.Inf(1)})
		}
		r := &Result{Answered: true}
		l := lying{onSheet: onSheet{view: &pose.View{}}, face: f, drawn: drawn{k: 10}}
		l.judge(r, sized{diameter: known(40), pitch: known(pitch), uTilt: 0.01})
		assert.Equal(t, c.says == "", r.Answered, "%g: %v", c.climb, r.Refusals)
		var why []string
		for _, one := range r.Refusals {
			why = append(why, one.Why)
		}
		assert.Contains(t, strings.Join(why, "\n"), c.says)
	}
}
