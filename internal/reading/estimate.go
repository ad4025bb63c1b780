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
	// PitchDiameter is from wires.
	PitchDiameter *Estimate
	Throat        *Estimate
	Length        *Estimate
	// Notes say how counts were taken.
	Notes          []string
	Contradictions []Contradiction

	// pitchRead is set when Pitch comes from more than leaves, which are weighed for themselves.
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
	f.Length = quantity("threaded length", s.Length, true)
	f.findPitch(s)
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
func (s Set) flank() float64 {
	if near(s.AngleDeg, 55) {
		return thread.Form55.FlankRad
	}
	return thread.Form60.FlankRad
}

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

// findMajor adds to a bore twice the depth of the thread, 5/8 H as on ISO 68-1, or the Whitworth depth at 55 degrees.
func (f *Found) findMajor(s Set) {
	switch {
	case f.Diameter == nil:
	case s.External():
		f.Major = f.Diameter
	case f.Pitch != nil:
		depth := 2 * thread.Form60.DepthPerPitch
		if near(s.AngleDeg, 55) {
			depth = 2 * thread.Form55.DepthPerPitch
		}
		parts := append([]Part(nil), f.Diameter.Parts...)
		parts = append(parts, Part{What: "pitch, through the depth of the thread", Source: "GUM 5.1.2", U: depth * f.Pitch.U, DOF: f.Pitch.DOF})
		e := Combine(f.Diameter.Value+depth*f.Pitch.Value, parts...)
		f.Major = &e
	}
}

// impossible tells readings of different things that cannot all be right.
func (f *Found) impossible(s Set) {
	if f.Throat == nil || f.Diameter == nil {
		return
	}
	// An external thread stands on its wall, an internal one ends at a throat no wider than its root.
	limit, what := f.Diameter.Value, "outside diameter"
	u := math.Hypot(f.Throat.U, f.Diameter.U)
	if !s.External() {
		if f.Major == nil {
			return
		}
		limit, what = f.Major.Value, "major diameter"
		u = math.Hypot(f.Throat.U, f.Major.U)
	}
	if f.Throat.Value <= limit+2*u {
		return
	}
	again := s.Throat[0].Text
	if f.Diameter.U > f.Throat.U {
		again = s.diameters()[0].Text
	}
	f.Contradictions = append(f.Contradictions, Contradiction{
		Text:  fmt.Sprintf("the throat, %s, is wider than the %s, %s", mmText(f.Throat.Value), what, mmText(limit)),
		Again: again,
	})
}
