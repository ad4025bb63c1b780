package draw

// This file writes what stands beside and under the fit drawing: both threads, the clearances, where they touch, and the
// title block with the verdict, the reason and the caution.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// notes puts the columns beside the windows.
func (f *fitDrawing) notes() {
	first, last := f.views[0], f.views[len(f.views)-1]
	left := []pointed{{f.threadNote("internal thread", f.data.Internal, f.lies.Internal), at{first.left + 5, f.top + 3}, false}}
	right := f.gapNotes(last)
	place := func(n pointed) {
		if n.target.X < (first.left+last.right)/2 {
			left = append(left, n)
		} else {
			right = append(right, n)
		}
	}
	for _, n := range f.touchNotes() {
		place(n)
	}
	left = append(left, pointed{f.threadNote("external thread", f.data.External, f.lies.External), at{first.left + 5, f.bottom - 3}, false})
	f.column(left, f.field.X0, first.left-pitchEnd-2, +1)
	f.column(right, f.rightColumn(), last.right+pitchEnd+2, -1)
}

// column puts notes into a column and leads each to its target, by way of the near edge of the windows, so that no leader
// crosses what stands over or under them.
func (f *fitDrawing) column(notes []pointed, x, edge, side float64) {
	// Leaders do not cross when the notes stand in the order of their targets.
	slices.SortStableFunc(notes, func(a, b pointed) int { return cmp.Compare(a.target.Y, b.target.Y) })
	tops := stack(notes, f.field.Y0, f.field.Y1)
	for i, n := range notes {
		width := f.put(n.note, at{x, tops[i]})
		from := x - 1
		if side > 0 {
			from = x + width + 1
		}
		level := math.Max(tops[i]+2, math.Min(tops[i]+n.height()-2, n.target.Y))
		points := []at{{from, level}}
		if elbow := math.Max(f.top+1, math.Min(f.bottom-1, level)); math.Abs(elbow-level) > 0.01 {
			points = append(points, at{edge, elbow})
		}
		f.leader(n.onOutline, append(points, n.target)...)
	}
}

// threadNote tells one thread with the diameters that were judged.
func (f *fitDrawing) threadNote(kind string, t thread.Thread, p thread.Profile) note {
	lines := []string{
		kind,
		fmt.Sprintf("%s-hand, %s°", t.Hand, t.Form.AngleWords()),
	}
	if t.Starts > 1 {
		lines = append(lines, fmt.Sprintf("%d starts", t.Starts))
	}
	if t.Taper > 0 {
		where := "at the face:"
		if kind == "external thread" {
			where = "at its small end:"
		}
		lines = append(lines, "taper 1 : "+trimmed(1/t.Taper)+" on ⌀", where)
	}
	lines = append(lines, "major ⌀ "+both(unit.MM(p.MajorMM)), "pitch ⌀ "+both(unit.MM(p.PitchDMM)), "minor ⌀ "+both(unit.MM(p.MinorMM)))
	return newNote(t.Designation, lines...)
}

// gapNotes tell the three clearances, led to the last groove of view v.
func (f *fitDrawing) gapNotes(v fitView) []pointed {
	l := f.lies
	// Where the most is to be seen.
	widest := func(from float64) at {
		best := place{}
		for z := from + math.Ceil((v.from-from)/l.External.PitchMM)*l.External.PitchMM; z <= v.to; z += l.External.PitchMM {
			if p := l.at(z); best.z <= 0 || p.gap() > best.gap()-sameMM {
				best = p
			}
		}
		return at{f.x(v, best.z), f.y((best.external + best.internal) / 2)}
	}
	e, i := f.pitchRadii(v.to + pitchEnd/f.scale.factor)
	// Where the external thread ends; on straight threads, everywhere.
	taken := 2 * l.Internal.Slope * l.DepthMM
	gap := func(where string, internal, external float64) note {
		if l.tapered() {
			where += ", at its end"
		}
		return gapNote(where, unit.MM(internal+taken-external))
	}
	return []pointed{
		{gap("at the external crest", l.Internal.MajorMM, l.External.MajorMM), widest(l.ridge(0)), true},
		{gap("at the pitch line", l.Internal.PitchDMM, l.External.PitchDMM), at{v.right + pitchEnd, f.y((e + i) / 2)}, true},
		{gap("at the external root", l.Internal.MinorMM, l.External.MinorMM), widest(l.ridge(0.5)), true},
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

// touchNotes mark what touches first.
func (f *fitDrawing) touchNotes() []pointed {
	l := f.lies
	if !l.Alike || math.IsInf(l.FreeMM, 1) {
		return nil
	}
	mark := func(v fitView, ridge float64, heading string, lines ...string) pointed {
		p := l.closest(ridge)
		r := (p.external + p.internal) / 2
		lines = append(lines, "at ⌀ "+both(unit.MM(2*r)))
		return pointed{newNote(heading, lines...), at{f.x(v, math.Max(v.from, math.Min(v.to, p.z))), f.y(r)}, true}
	}
	first, last := f.views[0], f.views[len(f.views)-1]
	switch {
	case l.tapered():
		tight := 0.0
		for n := 1.0; l.ridge(n) < first.to; n++ {
			if l.closest(n).gap() < l.closest(tight).gap()-2*fitChordMM {
				tight = n
			}
		}
		return []pointed{mark(first, tight, "Wedges here", f.turnWords())}
	case l.binds():
		return []pointed{mark(last, l.binding(), "Binds here", f.turnWords())}
	case !math.IsInf(l.RidgesFree, 1):
		return nil // some play is left everywhere
	case f.data.Result.Verdict == fit.Binds || l.FreeMM < 0:
		mm, inch := gapWords(unit.MM(math.Max(0, -l.closest(0).gap())))
		return []pointed{mark(first, 0, "Meets here first", "by "+mm+noBreak+inch, "on the radius")}
	}
	return []pointed{mark(first, 0, "Touches here first", "when pushed along its axis")}
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

// titleBlock writes verdict, reason, how it was drawn, the scale and the caution.
func (f *fitDrawing) titleBlock() {
	r := f.data.Result
	f.block(f.data.External.Designation+" in "+f.data.Internal.Designation, ": "+string(r.Verdict), f.scale.factor, 50, []cell{
		{f.frame.X0, []string{sentence(r.Why), fmt.Sprintf("Chance that it goes and holds: %.0f %%. %s", 100*r.Chance, f.sizeWords())}},
		{f.frame.X1 - thirdColumn, []string{"scale " + f.scale.name, "Clearances are on the diameter; on this side of the axis half of each is seen."}},
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
