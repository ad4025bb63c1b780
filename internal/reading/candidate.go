package reading

// This file gathers the threads that readings could stand for, and the limits within which each would read.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// candidate is a thread with what is believed of it beforehand and the limits of the diameter that is read, in mm.
type candidate struct {
	belief
	// low and high are the limits of size of the diameter that is read, basic is its basic size.
	low, high, basic float64
	// pitchLow and pitchHigh are the limits of the pitch diameter; both 0 where none are known.
	pitchLow, pitchHigh float64
	// limitsWords says what low and high are.
	limitsWords string
}

// How far, in turns beyond its gauge plane, a taper thread is read over its crests, and how far the limits of a thread that
// no standard limits may lie from its basic size, in pitches (common practice, no published source).
const (
	turnsBeyondGauge = 3
	freeLimits       = 0.15
)

// candidate is the thread with its limits on that side.
func (b belief) candidate(external bool) candidate {
	c := candidate{belief: b}
	c.limits(external)
	return c
}

// limits fills in the limits.
func (c *candidate) limits(external bool) {
	t := c.thread
	c.basic = c.nominal(external)
	pitch, taper := t.Pitch.MM(), t.Taper
	if taper > 0 {
		// The crests of a taper thread run from its small end to beyond its gauge plane; those of an internal one, whose
		// gauge plane is its face, from the mouth inward.
		beyond := turnsBeyondGauge * pitch * taper
		inside := t.GaugeLength.MM() * taper
		c.low, c.high = c.basic-inside, c.basic+beyond
		if !external {
			c.low, c.high = c.basic-inside, c.basic+pitch*taper
		}
		c.pitchLow, c.pitchHigh = t.Basic.Pitch.MM()-inside, t.Basic.Pitch.MM()+beyond
		c.limitsWords = "what its taper spans"
		return
	}
	l, err := t.Limits("", external)
	low, high := l.MinorMin, l.MinorMax
	if external {
		low, high = l.MajorMin, l.MajorMax
	}
	c.limitsWords = "its limits of size"
	if err != nil || low == nil || high == nil {
		c.limitsWords = "0.15 pitches from its basic size (no limits are published)"
		c.low, c.high = c.basic, c.basic+freeLimits*pitch
		if external {
			c.low, c.high = c.basic-freeLimits*pitch, c.basic
		}
	} else {
		c.low, c.high = low.MM(), high.MM()
	}
	if l.PitchMin != nil && l.PitchMax != nil {
		c.pitchLow, c.pitchHigh = l.PitchMin.MM(), l.PitchMax.MM()
	}
}

// belief is a thread of the tables with what is believed of it beforehand.
type belief struct {
	thread thread.Thread
	prior  float64
	use    *thread.Use
	uses   []thread.Use
	// lookedAt is its share of what a thread of no table may look like.
	lookedAt float64
}

// nominal is the basic size of the diameter that is read, mm.
func (b belief) nominal(external bool) float64 {
	if external {
		return b.thread.Basic.Major.MM()
	}
	return b.thread.Basic.Minor.MM()
}

// Tables are threads, and what people call them.
type Tables interface {
	All() []thread.Thread
	Parse(text string) (thread.Thread, error)
}

// Beliefs are those about all threads of the tables, before anything is read.
type Beliefs struct {
	// Doubtful is by how much small odds of none of these count for more before they are squared, see odds; above 0.
	Doubtful float64

	tables Tables
	among  Among
	// made are combinations outside the tables, by their names as they were asked for.
	made map[string]thread.Thread
	// side are those about external threads (true), and about internal ones; the shares of each sum to tableShare.
	side  map[bool][]belief
	named map[string]bool
	// limited are they with their limits, as far as those have been looked up. So one goroutine at a time may use them.
	limited map[bool][]*candidate
}

// candidate is the thread at a place of a side, with its limits.
func (b Beliefs) candidate(external bool, i int) candidate {
	at := &b.limited[external][i]
	if *at == nil {
		c := b.side[external][i].candidate(external)
		*at = &c
	}
	return **at
}

// Believe returns what is believed of a thread that belongs to among.
func Believe(tables Tables, among Among) Beliefs {
	all := tables.All()
	b := Beliefs{Doubtful: doubtful, tables: tables, among: among, side: map[bool][]belief{true: make([]belief, 0, len(all)), false: make([]belief, 0, len(all))}, named: map[string]bool{}, made: map[string]thread.Thread{}, limited: map[bool][]*candidate{}}
	for _, t := range all {
		one := belief{thread: t, uses: thread.UsesOf(t.Designation)}
		one.prior, one.use = among.common(t, one.uses)
		for _, external := range []bool{true, false} {
			if t.ComesAs(external) {
				b.side[external] = append(b.side[external], one)
			}
		}
		b.named[t.Designation] = true
	}
	for external, side := range b.side {
		b.limited[external] = make([]*candidate, len(side))
		var total, looks float64
		of := map[string]float64{}
		for _, one := range side {
			total += one.prior
			of[one.thread.Series]++
		}
		for _, one := range side {
			looks += looksOf(of[one.thread.Series])
		}
		for i := range side {
			side[i].prior *= tableShare / total
			side[i].lookedAt = looksOf(of[side[i].thread.Series]) / looks
		}
	}
	return b
}

// gather lists the threads whose diameter and pitch are within reach of what was found, with their shares of belief.
func (b Beliefs) gather(s Set, f Found) []candidate {
	near := within(s, f)
	var out []candidate
	for i, one := range b.side[s.External()] {
		if near(one.thread) {
			out = append(out, b.candidate(s.External(), i))
		}
	}
	seen := map[string]bool{}
	for _, special := range specials(f, s.External()) {
		t, known := b.made[special.designation]
		if !known {
			t, _ = b.tables.Parse(special.designation)
			b.made[special.designation] = t
		}
		if t.Designation == "" || b.named[t.Designation] || seen[t.Designation] || !near(t) {
			continue
		}
		seen[t.Designation] = true
		out = append(out, belief{thread: t, prior: special.prior}.candidate(s.External()))
	}
	return out
}

// reach is how many standard uncertainties off a thread may lie and still be weighed; beyond, its weight is nothing.
const reach = 12

// furthestMM is how far, beyond that, limits of size and wear take a diameter off its basic size.
const furthestMM = 2.0

// within returns the rule by which a thread is near enough to be weighed.
func within(s Set, f Found) func(thread.Thread) bool {
	return func(t thread.Thread) bool {
		if d := f.Diameter; d != nil && math.Abs(belief{thread: t}.nominal(s.External())-d.Value) > reach*d.U+furthestMM {
			return false
		}
		if f.Pitch == nil {
			return true
		}
		return math.Abs(t.Pitch.MM()-f.Pitch.Value) <= reach*f.Pitch.U+0.1*f.Pitch.Value
	}
}

// special is a combination outside the tables.
type special struct {
	designation string
	prior       float64
}

// The combinations that are made by formula: inch sizes in sixteenths with the counts of ASME B1.1 and the odd ones that taps are
// sold for (26, 27, 40), whole millimetres with the pitches of ISO 261 and half ones with those up to 1 mm.
var (
	specialPerInch = []float64{4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16, 18, 20, 24, 26, 27, 28, 32, 36, 40}
	specialPitches = []float64{0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4, 5, 6}
)

const (
	specialSizes  = 6 * 16 // inch sizes in sixteenths up to 6 in
	specialMetric = 300    // half millimetres up to 150 mm
	// coarsestHalf is the coarsest pitch, mm, that is cut on half millimetres (common practice, no published source).
	coarsestHalf = 1.0
	// bareSpan is how far, in mm, special sizes are looked for around a diameter that is well known.
	bareSpan = 2.0
	// widestSpan bounds that for a diameter that is not.
	widestSpan = 6.0
)

// specials lists the special combinations around what was found; none without a diameter and a pitch, which would
// be as good as all of them.
func specials(f Found, external bool) []special {
	if f.Diameter == nil || f.Pitch == nil {
		return nil
	}
	span := math.Min(widestSpan, bareSpan+4*f.Diameter.U)
	at := f.Diameter.Value
	if !external {
		at += 2 * thread.Form60.DepthPerPitch * f.Pitch.Value
	}
	tolerance := 6*f.Pitch.U + 0.02*f.Pitch.Value
	fits := func(pitch float64) bool { return math.Abs(pitch-f.Pitch.Value) <= tolerance }
	var out []special
	for n := 4; n <= specialSizes; n++ {
		size := unit.Inches(float64(n) / 16)
		if math.Abs(size.MM()-at) > span {
			continue
		}
		text, _ := size.Fraction()
		for _, perInch := range specialPerInch {
			if fits(unit.MMPerInch / perInch) {
				out = append(out, special{
					fmt.Sprintf("%s-%s UNS", strings.TrimSuffix(text, " in"), unit.Short(perInch)),
					unifiedShare / float64(specialSizes*len(specialPerInch)),
				})
			}
		}
	}
	for half := 6; half <= specialMetric; half++ {
		mm := float64(half) / 2
		if math.Abs(mm-at) > span {
			continue
		}
		for _, pitch := range specialPitches {
			if fits(pitch) && (half%2 == 0 || pitch <= coarsestHalf) {
				out = append(out, special{fmt.Sprintf("M%sx%s", unit.Short(mm), unit.Short(pitch)), metricShare / float64(specialMetric*len(specialPitches))})
			}
		}
	}
	return out
}
