package draw

// This file writes what stands beside and under the fit drawing: both threads, the clearances, where they touch, and the
// title block with the verdict, the reason and the caution.

import (
	"fmt"
	"math"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// notes puts the columns beside the detail.
func (f *fitDrawing) notes() {
	v := f.detail
	left := []pointed{
		{threadWords("internal", "mouth", f.data.Internal, f.lies.Internal), at{math.Max(v.X0, v.x(0)) + 4, v.Y0 + 3}, false},
		{threadWords("external", "end", f.data.External, f.lies.External), at{v.X0 + 4, v.Y1 - 3}, false},
	}
	right := f.gapNotes()
	if !f.lies.Alike {
		i, e := f.data.Internal, f.data.External
		left[0].target, left[1].target = f.onTurn(i, 0.2), f.onTurn(e, 0.8)
		if a, b := f.onTurn(i, 0.8), f.onTurn(e, 0.2); a.X+b.X < left[0].target.X+left[1].target.X {
			left[0].target, left[1].target = a, b
		}
		left[0].onOutline, left[1].onOutline = true, true
	}
	if f.meet {
		m := f.meets
		right = append(right, pointed{
			newNote(m.heading, f.meetWords(), "at ⌀ "+both(unit.MM(m.external+m.internal))), at{v.x(m.z), v.y((m.external + m.internal) / 2)}, true,
		})
	}
	top := f.strip.Y1 + rulerHigh
	all := f.column(left, f.field.X0, top, f.field.Y1, +1)
	f.lead(append(all, f.column(right, f.rightColumn(), top, f.field.Y1, -1)...))
}

// onTurn is a place on the leftmost line of a thread that is unrolled, that share of the turn down.
func (f *fitDrawing) onTurn(t thread.Thread, down float64) at {
	pitches := math.Mod(0.5+float64(int(t.Hand)*t.Starts)*down, 1)
	if pitches < 0 {
		pitches++
	}
	long := unrolledPitches * f.pitch()
	return at{f.turn.X0 + pitches*t.Pitch.MM()/long*(f.turn.X1-f.turn.X0), f.turn.Y0 + down*(f.turn.Y1-f.turn.Y0)}
}

// threadWords tell one thread with the diameters that were judged; of a taper those at one end.
func threadWords(kind, end string, t thread.Thread, p thread.Profile) note {
	lines := []string{fmt.Sprintf("%s, %s-hand, %s°", kind, t.Hand, t.Form.AngleWords()), "pitch " + fine(t.Pitch)}
	if t.Starts > 1 {
		lines[0] = fmt.Sprintf("%s, %s, %d-start, %s°", kind, t.Hand, t.Starts, t.Form.AngleWords())
		lines = append(lines, "lead "+fine(t.Lead()))
	}
	if t.Taper > 0 {
		lines = append(lines, fmt.Sprintf("taper 1 : %s; at its %s:", trimmed(1/t.Taper), end))
	}
	lines = append(lines, "major ⌀ "+both(unit.MM(p.MajorMM)), "pitch ⌀ "+both(unit.MM(p.PitchDMM)), "minor ⌀ "+both(unit.MM(p.MinorMM)))
	return newNote(t.Designation, lines...)
}

// gapNotes tell the three clearances, led to the ridge of the detail; of threads that never meet, in words alone.
func (f *fitDrawing) gapNotes() []pointed {
	l, v := f.lies, f.detail
	if !l.Alike {
		return nil
	}
	// In the detail's last ridge, and in the root before or behind it.
	last := math.Floor((v.to - l.ridge(0)) / l.External.PitchMM)
	between := func(n float64) at {
		p := l.at(math.Max(v.from, math.Min(v.to, (l.ridge(n)+l.groove(n))/2)))
		return at{v.x(p.z), v.y((p.external + p.internal) / 2)}
	}
	root := last + 0.5
	if l.ridge(root) > v.to {
		root--
	}
	e, i := f.pitchRadii(v.to + pitchEnd/v.factor)
	// Where the external thread ends; on straight threads, everywhere.
	taken := 2 * l.Internal.Slope * l.DepthMM
	gap := func(where string, internal, external float64) note {
		if l.tapered() {
			where += ", at its end"
		}
		return gapNote(where, unit.MM(internal+taken-external))
	}
	return []pointed{
		{gap("at the external crest", l.Internal.MajorMM, l.External.MajorMM), between(last), true},
		{gap("at the pitch line", l.Internal.PitchDMM, l.External.PitchDMM), at{v.X1 + pitchEnd, v.y((e + i) / 2)}, true},
		{gap("at the external root", l.Internal.MinorMM, l.External.MinorMM), between(root), true},
	}
}

func gapNote(where string, c unit.Length) note {
	word := "Clearance "
	if c < -0.0005 { // less would print as none
		word, c = "Overlap ", -c
	}
	mm, inch := gapWords(c)
	return newNote(word+where, "⌀ "+mm+noBreak+inch)
}

// meetWords say when what meets first does.
func (f *fitDrawing) meetWords() string {
	if f.data.Result.Turns == nil {
		return "when pushed along its axis"
	}
	return f.turnWords()
}

// titleBlock writes verdict, reason, how it was drawn, the scale and the caution.
func (f *fitDrawing) titleBlock() {
	r := f.data.Result
	f.block(f.data.External.Designation+" in "+f.data.Internal.Designation, ": "+string(r.Verdict), f.strip.scale, 50, []cell{
		{f.frame.X0, []string{sentence(r.Why), fmt.Sprintf("Chance that it goes and holds: %.0f %%. %s", 100*r.Chance, f.sizeWords())}},
		{f.frame.X1 - thirdColumn, []string{"Clearances are on the diameter; on this side of the axis half of each is seen."}},
	})
}

// sizeWords tells which sizes are drawn.
func (f *fitDrawing) sizeWords() string {
	words := func(name string, s fit.Side) string {
		switch {
		case s.Given != nil:
			return name + " as measured"
		case s.At > 0:
			return name + " with most material"
		case s.At < 0:
			return name + " with least material"
		}
		return name + " in the middle of its limits"
	}
	return "Drawn: " + words("external", f.data.Options.External) + ", " + words("internal", f.data.Options.Internal) + "."
}
