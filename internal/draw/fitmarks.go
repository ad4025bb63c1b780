package draw

// This file holds what stands about the views of the fit drawing: the turns from the mouth, the circle and the caption of the
// detail, and threads of unlike hand or starts unrolled.

import (
	"fmt"
	"math"

	"tryring/internal/unit"
)

// ruler counts the turns from the mouth under the strip, and marks where it gets tight.
func (f *fitDrawing) ruler() {
	v, l := f.strip, f.lies
	lead := l.Internal.PitchMM * float64(l.Starts)
	y, row := v.Y1+2, linePitch*textMM
	f.open("ruler", thin, at{v.x(0), y}, at{v.x(l.DepthMM), y})
	step := 1.0
	for _, larger := range []float64{2, 5, 10, 20, 50, 100, 200, 500} {
		if step*lead*v.factor < 9 {
			step = larger
		}
	}
	for n := 0.0; n*lead <= l.DepthMM+sameMM; n++ {
		x, tall := v.x(n*lead), 1.0
		if math.Mod(n, step) < 0.5 {
			tall = 2
			f.text(at{x, y + tall + row}, fmt.Sprint(n), style{size: textMM, anchor: "middle"})
		}
		if tall > 1 || lead*v.factor > 1 {
			f.open("tick", thin, at{x, y}, at{x, y + tall})
		}
	}
	for i, words := range []string{"mouth at 0,", "turns from there"} {
		f.text(at{v.x(0) - 4, y + 2 + float64(i+1)*row - row/2}, words, style{size: textMM, anchor: "end"})
	}
	if !l.Alike {
		f.text(at{v.x(0), y + 2 + 2*row}, "cut where crest stands on crest", style{size: textMM, bold: true, anchor: "start"})
		return
	}
	if turns := f.data.Result.Turns; turns != nil && *turns*lead <= l.DepthMM {
		x := v.x(*turns * lead)
		f.area("tight", black, at{x, y}, at{x - 1.2, y - 2}, at{x + 1.2, y - 2})
		st := style{size: textMM, bold: true, anchor: "start"}
		if *turns*lead > l.DepthMM/2 {
			st.anchor = "end"
		}
		f.text(at{x, y + 2 + 2*row}, "tight "+f.turnWords(), st)
	}
}

func (f *fitDrawing) turnWords() string {
	turns := f.data.Result.Turns
	if turns == nil {
		return "when turned in"
	}
	if *turns < 0.05 {
		return "at once"
	}
	return fmt.Sprintf("after %.1f turns", *turns)
}

// enlarged ties the detail to the strip by a circle with its letter over the strip, names it, and draws the axial play over it.
func (f *fitDrawing) enlarged() {
	v, l := f.detail, f.lies
	mid := (v.from + v.to) / 2
	_, i := f.pitchRadii(mid)
	y := f.strip.y(i)
	radius := math.Min(detailHalf*f.pitch()*f.strip.factor, math.Min(y-f.strip.Y0, f.strip.Y1-y))
	f.circle("detail", thin, "", at{f.strip.x(mid), y}, radius)
	f.text(at{f.strip.x(mid) + radius*0.7, f.strip.Y0 - 1.5}, "A", style{size: letterMM, bold: true, anchor: "start"})
	f.text(at{(v.X0 + v.X1) / 2, v.Y1 + 6}, "A  "+v.name, style{size: textMM, bold: true, anchor: "middle"})
	if !f.plays() {
		return
	}
	// Moved by the play the ridge touches its other flank.
	away := l
	away.more = -l.FreeMM
	there, _ := away.touch(0)
	mm, inch := gapWords(unit.MM(l.FreeMM))
	level := v.y(there.internal)
	f.across(dim{
		a: v.x(there.z), b: v.x(there.z + l.FreeMM), line: v.Y0 - 6, mm: "axial play " + mm, inch: inch, fromA: level, fromB: level,
	})
}

// plays reports whether there is one axial play to be drawn: where the pitches differ it changes from turn to turn.
func (f *fitDrawing) plays() bool {
	l := f.lies
	return f.meet && !l.tapered() && l.FreeMM > sameMM && math.IsInf(l.RidgesFree, 1)
}

// gapWords print what needs a decimal more than other dimensions.
func gapWords(l unit.Length) (mm, inch string) {
	return fmt.Sprintf("%.3f", positive(l.MM(), 0.0005)), fmt.Sprintf("[%.4f\u00a0in]", positive(l.Inches(), 0.00005))
}

// unrolledPitches is how much of the axis is shown unrolled.
const unrolledPitches = 5

// unrolled draws one turn of both threads seen from outside and unrolled, the axis across and the turn downward: the crests of the
// external thread and the grooves of the internal one, which must lie on each other for the one to go into the other.
func (f *fitDrawing) unrolled(room box) {
	e, i := f.data.External, f.data.Internal
	long := unrolledPitches * f.pitch()
	k := fittingScale(math.Inf(1), long, 0, room.X1-room.X0, 1)
	left := (room.X0 + room.X1 - long*k.factor) / 2
	b := box{left, room.Y0, left + long*k.factor, room.Y1 - 2*linePitch*textMM}
	f.marks = append(f.marks, mark{class: "turn", line: thin, runs: [][]at{b.corners()}, closed: true})
	// draw draws lines that start as many pitches apart and advance by a signed lead a turn.
	draw := func(class string, l lineKind, start, pitch, lead float64) {
		for n := math.Floor(-math.Abs(lead)/pitch) - 1; n*pitch < long+math.Abs(lead); n++ {
			z := start + n*pitch
			from, to := 0.0, 1.0 // shares of the turn over which the line is in the window
			if lead > 0 {
				from, to = math.Max(0, -z/lead), math.Min(1, (long-z)/lead)
			} else {
				from, to = math.Max(0, (long-z)/lead), math.Min(1, -z/lead)
			}
			if to-from > sameMM {
				on := func(t float64) at {
					return at{b.X0 + (z+t*lead)*k.factor, b.Y0 + t*(b.Y1-b.Y0)}
				}
				f.open(class, l, on(from), on(to))
			}
		}
	}
	draw("unrolled external", wide, e.Pitch.MM()/2, e.Pitch.MM(), e.Lead().MM()*float64(e.Hand))
	draw("unrolled internal", nominalLine, i.Pitch.MM()/2, i.Pitch.MM(), i.Lead().MM()*float64(i.Hand))
	st := style{size: textMM, anchor: "middle"}
	for i, words := range []string{
		"full lines: crests of the external thread; dashed: grooves of the internal one",
		"to go in, they would have to lie on each other all around",
	} {
		f.text(at{(b.X0 + b.X1) / 2, b.Y1 + (float64(i)+1.2)*linePitch*textMM}, words, st)
	}
	st.bold = true
	f.text(at{(b.X0 + b.X1) / 2, b.Y1 + 3.2*linePitch*textMM}, "one turn unrolled, seen from outside; along the axis "+k.name, st)
	f.turn = b
}
