package world

// This file holds people: how they read a part, what they get wrong, and what they type.

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
)

// entry is one thing that a person types: what it is of, in the words of the job document, and its text.
type entry struct {
	what, text string
	// over is the length of a count.
	over string
	// instrument is what the person says it was read with, "" when nothing is said.
	instrument string
}

// sheet is all that a person typed of one part, and what is true of it.
type sheet struct {
	part    part
	entries []entry
	// diameter is the true size of what was measured, pitch that of the thread, mm.
	diameter, pitch float64
	counted         bool
}

// town is where people of one kind live: their tools, hands and slips. Lengths in mm, slips as shares.
type town struct {
	maker maker
	wrist wrist
	// bias is the error of a tool, within ± so much; scatter that of the hand over crests (a standard deviation), along that
	// from crest to crest; tilt how far a tool held askew reads long outside and short inside, half a normal law; jaws how far
	// inside jaws read small.
	bias, scatter, along, tilt, jaws float64
	// repeats are how often each length is read.
	repeats int
	// write are ways of writing that people of this town have.
	write []style
	// counts, rules and leaves are how many count crests, count against an inch, try leaves of a pitch gauge; angles how many
	// tell the angle by leaf.
	counts, rules, leaves, angles float64
	swap, miscount, bareInch      float64
	transpose                     float64
	// strange is the share of threads that are in no table.
	strange float64
	// worn is the share of worn parts, wear how much at most, tells the share of people who say so.
	worn, wear, tells float64
}

// style is how a length is read and written: to a step of a unit, with its words.
type style struct {
	step       float64
	inch, frac bool
	instrument string
}

// The styles. What people type is common practice, no published source.
var (
	digital = []style{{0.01, false, false, ""}, {0.01, false, false, "caliper"}, {0.0005 * 25.4, true, false, ""}, {0.001 * 25.4, true, false, "caliper"}}
	hasty   = []style{{0.1, false, false, ""}, {0.01, false, false, ""}, {0.01 * 25.4, true, false, ""}}
	rule    = []style{{0.5, false, false, "ruler"}, {1, false, false, "ruler"}, {25.4 / 32, true, true, "ruler"}, {25.4 / 16, true, true, "ruler"}}
	parted  = []style{{25.4 / 16, true, true, ""}, {25.4 / 32, true, true, ""}, {25.4 / 64, true, true, "caliper"}, {25.4 / 16, true, true, "tape"}, {1, false, false, ""}}
)

// usual is a town of people who take care, as far as the figures are theirs to choose. Digital calipers: DIN 862 and ISO 13385-1
// allow 0.02 to 0.03 mm over the lengths here (from memory); all others are unknown.
func usual(rng *rand.Rand) town {
	return town{
		maker: someMaker(rng), wrist: wrist{press: between(rng, 0, 0.03), turns: between(rng, 4, 9), hold: between(rng, 0.3, 0.5)},
		bias: between(rng, 0.01, 0.04), scatter: between(rng, 0.01, 0.04), along: between(rng, 0.04, 0.15), tilt: between(rng, 0, 0.03), jaws: between(rng, 0, 0.04),
		repeats: 1 + rng.IntN(2), write: digital,
		counts: 1, leaves: between(rng, 0, 0.3), angles: between(rng, 0, 0.2),
	}
}

// read has a person of the town read p.
func (w town) read(rng *rand.Rand, p part) sheet {
	s := sheet{part: p, diameter: p.crest, pitch: p.pitchMM}
	if p.taper > 0 {
		s.diameter += p.taperAt(rng)
	}
	said := chance(rng, w.worn)
	if said {
		wear := between(rng, 0, w.wear)
		if !p.external {
			wear = -wear
		}
		s.diameter -= wear
	}
	what := map[bool]string{true: "outside", false: "bore"}
	side := p.external != chance(rng, w.swap)
	how := w.write[rng.IntN(len(w.write))]
	bias := between(rng, -w.bias, w.bias)
	if p.external {
		bias += math.Abs(w.tilt * rng.NormFloat64())
	} else {
		bias -= math.Abs(w.jaws*rng.NormFloat64()) + math.Abs(w.tilt*rng.NormFloat64())
	}
	bare := chance(rng, w.bareInch)
	for range w.repeats {
		text := how.write(rng, s.diameter+bias+w.scatter*rng.NormFloat64())
		if bare && how.inch && !how.frac {
			text = strings.TrimRight(text, `in" `)
		}
		if chance(rng, w.transpose) {
			text = transposed(rng, text)
		}
		s.entries = append(s.entries, entry{what: what[side], text: text, instrument: how.instrument})
	}
	w.readPitch(rng, &s, how)
	if said && chance(rng, w.tells) {
		s.entries = append(s.entries, entry{what: "worn", text: "yes"})
	}
	return s
}

// taperAt is how far the place on a taper thread that a tool comes to lie on is larger than its gauge plane. Outside, jaws lie
// anywhere from the first crest to three turns past the gauge plane; inside, from the mouth three turns in: unknown.
func (p part) taperAt(rng *rand.Rand) float64 {
	if p.external {
		return p.taper * (between(rng, 0, p.gauge+3*p.pitchMM) - p.gauge)
	}
	return -p.taper * between(rng, 0, 3*p.pitchMM)
}

func (w town) readPitch(rng *rand.Rand, s *sheet, how style) {
	p := s.part
	switch x := rng.Float64(); {
	case x < w.counts:
		// As long as the thread of the part is: unknown.
		n := math.Max(2, math.Floor(between(rng, 6, 22)/p.pitchMM))
		over := math.Max(0.5, n*p.pitchMM+w.along*rng.NormFloat64())
		if chance(rng, w.miscount) {
			n += float64(1 - 2*rng.IntN(2))
		}
		if n >= 1 {
			s.entries = append(s.entries, entry{what: "count", text: strconv.Itoa(int(n) + 1), over: how.write(rng, over), instrument: how.instrument})
			s.counted = true
		}
	case x < w.counts+w.rules:
		// Crests between the marks of an inch on a rule, wherever the first one falls.
		s.entries = append(s.entries, entry{what: "tpi", text: strconv.Itoa(int(25.4/p.pitchMM + rng.Float64()))})
	}
	if chance(rng, w.leaves) {
		s.entries = append(s.entries, entry{what: "leaf", text: leafFor(rng, p.pitchMM)})
	}
	if chance(rng, w.angles) {
		read, other := "60", "55"
		if p.angle < 57.5 {
			read, other = other, read
		}
		if chance(rng, 0.08) { // unknown
			read = other
		}
		s.entries = append(s.entries, entry{what: "angle", text: read})
	}
}

// Leaves that sets of pitch gauges have; common practice, no published source.
var (
	inchLeaves   = []float64{4, 5, 6, 7, 8, 9, 10, 11, 11.5, 12, 13, 14, 16, 18, 19, 20, 22, 24, 26, 27, 28, 30, 32, 36, 40, 48}
	metricLeaves = []float64{0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6}
)

// leafFor is the leaf that seems to seat best: a hand sees differences of 1 to 2 percent of the pitch (unknown).
func leafFor(rng *rand.Rand, pitch float64) string {
	text, least := "", math.Inf(1)
	try := func(name string, mm float64) {
		if off := math.Abs(mm/pitch - 1 + 0.012*rng.NormFloat64()); off < least {
			text, least = name, off
		}
	}
	for _, n := range inchLeaves {
		try(strconv.FormatFloat(n, 'g', -1, 64)+"tpi", 25.4/n)
	}
	for _, mm := range metricLeaves {
		try(strconv.FormatFloat(mm, 'g', -1, 64)+"mm", mm)
	}
	return text
}

// write reads mm to the step of the style, and types it.
func (y style) write(rng *rand.Rand, mm float64) string {
	steps := math.Max(1, math.Round(mm/y.step))
	if y.frac {
		return fractionText(rng, int(steps), int(math.Round(25.4/y.step)))
	}
	digits := 2
	if y.step > 0.04 {
		digits = 1
	}
	if y.step > 0.9 {
		digits = 0
	}
	if y.inch {
		digits = 3
		if y.step < 0.02 {
			digits = 4
		}
		if y.step > 0.1 {
			digits = 2
		}
		return strconv.FormatFloat(steps*y.step/25.4, 'f', digits, 64) + []string{"in", `"`, " in"}[rng.IntN(3)]
	}
	text := strconv.FormatFloat(steps*y.step, 'f', digits, 64)
	switch rng.IntN(4) {
	case 0:
		return text + "mm"
	case 1:
		return strings.Replace(text, ".", ",", 1) + " mm"
	}
	return text
}

// fractionText is n parts of an inch as people write it.
func fractionText(rng *rand.Rand, n, parts int) string {
	for n%2 == 0 && parts > 1 {
		n, parts = n/2, parts/2
	}
	whole, rest := n/parts, n%parts
	mark := []string{"", "in", `"`}[rng.IntN(3)]
	switch {
	case rest == 0:
		if mark == "" {
			mark = "in"
		}
		return fmt.Sprintf("%d%s", whole, mark)
	case whole == 0:
		return fmt.Sprintf("%d/%d%s", rest, parts, mark)
	}
	return fmt.Sprintf("%d%s%d/%d%s", whole, []string{" ", "-"}[rng.IntN(2)], rest, parts, mark)
}

// transposed exchanges two neighbouring digits.
func transposed(rng *rand.Rand, text string) string {
	var at []int
	for k := 1; k < len(text); k++ {
		if isDigit(text[k]) && isDigit(text[k-1]) && text[k] != text[k-1] {
			at = append(at, k)
		}
	}
	if len(at) == 0 || strings.Contains(text, "/") {
		return text
	}
	k := at[rng.IntN(len(at))]
	b := []byte(text)
	b[k], b[k-1] = b[k-1], b[k]
	return string(b)
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }
