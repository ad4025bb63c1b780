package reading

// This file says what a set of readings amounts to, before any thread is looked up.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
)

// Found is what the readings say of a thread; nil where nothing was read.
type Found struct {
	// Diameter is the major diameter of an external thread, the minor of an internal one, as read.
	Diameter *Estimate
	// Major is the major diameter: as read, or from the bore and the pitch.
	Major *Estimate
	Pitch *Estimate
	// Ratio is pitch over outside diameter; Pitch is from it and the diameter where nothing else tells it.
	Ratio *Estimate
	// PitchDiameter is from wires.
	PitchDiameter *Estimate
	Throat        *Estimate
	// Depth is that of the socket, Length how much of the part is threaded.
	Depth, Length *Estimate
	// Notes say how counts were taken.
	Notes          []string
	Contradictions []Contradiction

	// pitchRead is set when Pitch comes from more than leaves and the ratio, which are weighed for themselves.
	pitchRead bool
}

// Find evaluates the readings.
func (s Set) Find() Found {
	var f Found
	quantity := func(what string, rs []Reading, along bool) *Estimate {
		if len(rs) == 0 {
			return nil
		}
		e, bad := repeats(what, rs, along)
		f.Contradictions = append(f.Contradictions, bad...)
		return &e
	}
	what := "outside diameter"
	if !s.External() {
		what = "bore"
	}
	f.Diameter = quantity(what, s.diameters(), false)
	f.Throat = quantity("throat", s.Throat, false)
	f.Depth = quantity("depth of the socket", s.Depth, true)
	f.Length = quantity("threaded length", s.Length, true)
	f.findPitch(s)
	f.findRatio(s)
	f.findMajor(s)
	f.findPitchDiameter(s)
	f.impossible(s)
	return f
}

func (f *Found) findPitchDiameter(s Set) {
	var names []string
	var values []Estimate
	for _, g := range s.wireGroups() {
		f.Contradictions = append(f.Contradictions, g.bad...)
		if f.Pitch != nil {
			names = append(names, "over wires of "+mmText(g.wire))
			values = append(values, g.pitchDiameter(*f.Pitch, s.flank()))
		}
	}
	if len(values) == 0 {
		return
	}
	e, bad := independent("pitch diameter", names, values)
	f.PitchDiameter = &e
	f.Contradictions = append(f.Contradictions, bad...)
}

// flank is the half angle that was read, 30 degrees when it was not.
func (s Set) flank() float64 { return thread.FormOfAngle(s.AngleDeg).FlankRad }

func (f *Found) findPitch(s Set) {
	var names []string
	var values []Estimate
	for _, c := range s.Counts {
		names, values = append(names, c.name()), append(values, c.pitch())
		f.Notes = append(f.Notes, c.Taken())
	}
	for _, p := range s.Pitches {
		names, values = append(names, p.Text), append(values, p.Value)
	}
	f.pitchRead = len(values) > 0
	if !f.pitchRead {
		for _, l := range s.Leaves {
			if l.Matches {
				names = append(names, "leaf "+l.Text)
				values = append(values, Combine(l.Pitch.MM(), Part{What: "leaf that seats, ± 3 %", Source: commonPractice, U: UniformU(leafShare * l.Pitch.MM()), DOF: math.Inf(1)}))
			}
		}
		if len(values) > 1 {
			names, values = names[:1], values[:1]
		}
	}
	if len(values) == 0 {
		return
	}
	e, bad := independent("pitch", names, values)
	f.Pitch = &e
	f.Contradictions = append(f.Contradictions, bad...)
	for _, l := range s.Leaves {
		if l.Matches && math.Abs(l.Pitch.MM()-e.Value) > 3*math.Hypot(e.U, UniformU(leafShare*l.Pitch.MM())) {
			f.Contradictions = append(f.Contradictions, Contradiction{
				Text:  fmt.Sprintf("pitch: the leaf %s seats, but %s say %s", l.Text, strings.Join(names, ", "), pitchWords(e.Value)),
				Again: names[0],
			})
		}
	}
}

// findMajor adds to a bore twice the depth of the thread, 5/8 H as on ISO 68-1, or that of most threads with the angle that was read.
func (f *Found) findMajor(s Set) {
	switch {
	case f.Diameter == nil:
	case s.External():
		f.Major = f.Diameter
	case f.Pitch != nil:
		depth := 2 * thread.FormOfAngle(s.AngleDeg).DepthPerPitch
		parts := append([]Part(nil), f.Diameter.Parts...)
		parts = append(parts, Part{What: "pitch, through the depth of the thread", Source: "GUM 5.1.2", U: depth * f.Pitch.U, DOF: f.Pitch.DOF})
		e := Combine(f.Diameter.Value+depth*f.Pitch.Value, parts...)
		f.Major = &e
	}
}

// impossible tells readings of different things that cannot all be right.
func (f *Found) impossible(s Set) {
	if f.Throat != nil {
		// An external thread stands on its wall, an internal one ends at a throat no wider than its root.
		if s.External() {
			f.tooLarge("throat", f.Throat, s.Throat, "outside diameter", f.Diameter, s.Outside)
		} else {
			f.tooLarge("throat", f.Throat, s.Throat, "major diameter", f.Major, s.Bore)
		}
	}
	if len(s.Wires) > 0 && s.External() {
		f.tooLarge("pitch diameter over wires", f.PitchDiameter, s.overWires(), "outside diameter", f.Diameter, s.Outside)
	}
	if d, p := f.Diameter, f.Pitch; d != nil && p != nil && d.Value+beyond*d.U < leastPitches*(p.Value-beyond*p.U) {
		f.Contradictions = append(f.Contradictions, Contradiction{
			Text:  fmt.Sprintf("a diameter of %s is less than %d times the pitch, %s; a bare number is mm, inches are written 1in and threads to the inch 14tpi", mmText(d.Value), leastPitches, pitchWords(p.Value)),
			Again: s.diameters()[0].Text,
		})
	}
	for _, c := range s.Counts {
		over := c.Over.estimate(true)
		f.tooLarge("length counted over", &over, []Reading{c.Over}, "threaded length", f.Length, s.Length)
	}
}

// leastPitches is how many pitches every diameter has at least: M1x0.25, the smallest of ISO 261, has 2.9 in its bore.
const leastPitches = 2

// beyond is how many standard uncertainties what cannot be larger must seem larger before it is called a contradiction: an
// interval of 95 %.
const beyond = 2

// tooLarge notes that the small thing seems larger than the large one; the less certain of both is to be taken again.
func (f *Found) tooLarge(small string, a *Estimate, as []Reading, large string, b *Estimate, bs []Reading) {
	if a == nil || b == nil || a.Value <= b.Value+beyond*math.Hypot(a.U, b.U) {
		return
	}
	again := as[0].Text
	if b.U > a.U {
		again = bs[0].Text
	}
	f.Contradictions = append(f.Contradictions, Contradiction{
		Text:  fmt.Sprintf("the %s, %s, is larger than the %s, %s", small, mmText(a.Value), large, mmText(b.Value)),
		Again: again,
	})
}
