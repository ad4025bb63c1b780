// Package combs says what a page shows that is laid on a thread at 1 : 1, combs of its crests and circles of its size, and what one
// look at it decides.
package combs

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Candidate is a thread that a part could have, on its outside or its inside; on both where nobody said.
type Candidate struct {
	Thread             thread.Thread
	External, Internal bool
}

// Page is what is shown, for one part or several.
type Page struct {
	// Threads are the candidates' designations.
	Threads []string
	// Combs are in the order of their pitches, the finest first; Circles in that of the candidates, those of outsides first.
	Combs   []Comb
	Circles []Circle
	// Decides says what one look decides, and what none does, a sentence each.
	Decides []string
}

// Comb is the crests of all candidates of one pitch and one form, along their axis.
type Comb struct {
	// Pitch is named as pitch gauges do, Reads is what a record of a leaf that seats says, Angle that between the flanks.
	Pitch, Reads, Angle string
	Names               []string
	Profile             thread.Profile
	LengthMM            float64
	// OffMM are where, from the beginning, the crests of the combs next to it stand half a pitch off.
	OffMM []float64
}

// Circle is the size over the crests: of an external thread's outside, or of an internal one's bore.
type Circle struct {
	Diameter unit.Length
	External bool
	Names    []string
}

const (
	// shortMM is the least length of a comb, longestMM the greatest: what upright paper takes with a quiet border.
	shortMM, longestMM = 40.0, 140.0
	// spareShare is how much longer a comb is than the place that decides.
	spareShare = 1.25
	// seenMM is how far two circles differ in diameter for an eye to tell them apart: half a millimetre on paper.
	// Common practice, no published source.
	seenMM = 0.5
	// sameSizeMM is the difference below which two diameters are one circle.
	sameSizeMM = 0.05
)

// HalfPitchOff is how far along an axis the crests of two pitches that begin together stand half a pitch off each other: where the
// numbers of pitches differ by a half, L/p - L/q = 1/2. It is infinite for equal pitches.
func HalfPitchOff(p, q unit.Length) float64 {
	return 0.5 / math.Abs(1/p.MM()-1/q.MM())
}

// New lays out the page for the candidates, which are told apart as one part's.
func New(candidates []Candidate) (Page, error) {
	var p Page
	for _, c := range candidates {
		if !slices.Contains(p.Threads, c.Thread.Designation) {
			p.Threads = append(p.Threads, c.Thread.Designation)
		}
		if err := p.addComb(c.Thread); err != nil {
			return Page{}, fmt.Errorf("%s: %w", c.Thread.Designation, err)
		}
	}
	slices.SortStableFunc(p.Combs, func(a, b Comb) int { return cmp.Compare(a.Profile.PitchMM, b.Profile.PitchMM) })
	p.stretch()
	p.decide()
	for _, external := range []bool{true, false} {
		p.addCircles(candidates, external)
	}
	return p, nil
}

func (p *Page) addComb(t thread.Thread) error {
	angle := t.Form.AngleWords()
	for i, c := range p.Combs {
		if math.Abs(c.Profile.PitchMM-t.Pitch.MM()) <= reading.SamePitchMM && c.Angle == angle {
			p.Combs[i].Names = with(c.Names, t.Designation)
			return nil
		}
	}
	section := t.Section(t.Basic)
	section.Slope = 0 // a taper's crests lie along its flank, which is as good as straight over a comb
	profile, err := thread.NewProfile(section)
	if err != nil {
		return err
	}
	p.Combs = append(p.Combs, Comb{Pitch: reading.PitchName(t), Reads: reading.PitchText(t), Angle: angle, Names: []string{t.Designation}, Profile: profile, LengthMM: shortMM})
	return nil
}

// addCircles adds the circles of one side, each far enough from all others to be told, and says of which candidates that leaves out.
func (p *Page) addCircles(candidates []Candidate, external bool) {
	var own []Circle
	var left []string
	for _, c := range candidates {
		asked := c.External == c.Internal || c.External == external
		if !asked || !c.Thread.ComesAs(external) {
			continue
		}
		d := c.Thread.Basic.Minor
		if external {
			d = c.Thread.Basic.Major
		}
		near := slices.IndexFunc(own, func(o Circle) bool { return math.Abs((o.Diameter - d).MM()) < seenMM })
		switch name := c.Thread.Designation; {
		case near < 0:
			own = append(own, Circle{d, external, []string{name}})
		case math.Abs((own[near].Diameter - d).MM()) < sameSizeMM:
			own[near].Names = with(own[near].Names, name)
		default:
			left = with(left, name)
		}
	}
	if len(left) > 0 {
		p.say("Too near to another to have a circle, %s: %s.", map[bool]string{true: "outside", false: "bore"}[external], strings.Join(left, ", "))
	}
	p.Circles = append(p.Circles, own...)
}

// with appends a word that is not there yet.
func with(words []string, word string) []string {
	if slices.Contains(words, word) {
		return words
	}
	return append(words, word)
}

// stretch makes each comb long enough to show that it is not its neighbours.
func (p *Page) stretch() {
	for i := range p.Combs {
		c := &p.Combs[i]
		for _, k := range []int{i - 1, i + 1} {
			if k < 0 || k >= len(p.Combs) {
				continue
			}
			other := p.Combs[k]
			off := HalfPitchOff(unit.MM(c.Profile.PitchMM), unit.MM(other.Profile.PitchMM))
			if c.LengthMM = max(c.LengthMM, min(spareShare*off, longestMM)); off < longestMM {
				c.OffMM = append(c.OffMM, off)
			}
		}
	}
}

// decide says what a look decides.
func (p *Page) decide() {
	for i := 1; i < len(p.Combs); i++ {
		fine, coarse := p.Combs[i-1], p.Combs[i]
		off := HalfPitchOff(unit.MM(fine.Profile.PitchMM), unit.MM(coarse.Profile.PitchMM))
		switch {
		case fine.Profile.PitchMM > coarse.Profile.PitchMM-reading.SamePitchMM:
			p.say("%s: %s° and %s° between the flanks are one comb's crests; this page does not tell %s from %s by pitch.", fine.Pitch, fine.Angle, coarse.Angle, named(fine.Names), named(coarse.Names))
		case off > longestMM:
			p.say("%s and %s differ by half a pitch only after %.0f mm; this page does not tell them apart.", fine.Pitch, coarse.Pitch, off)
		default:
			p.say("If the crests fall half a pitch behind the comb of %s after %.0f mm, it is %s: %s.", coarse.Pitch, off, strings.TrimSuffix(fine.Pitch, " to the inch"), named(fine.Names))
		}
	}
	for _, c := range p.Combs {
		if len(c.Names) > 1 {
			p.say("%s have the same crests; only circles can tell them apart.", strings.Join(c.Names, " and "))
		}
	}
}

func (p *Page) say(format string, args ...any) {
	p.Decides = append(p.Decides, fmt.Sprintf(format, args...))
}

func named(names []string) string { return strings.Join(names, " or ") }
