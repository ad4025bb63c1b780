package parts

// This file turns what is printed of one thread of a part into the threads it could be, with their weights.

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// spec is what a row prints of one thread.
type spec struct {
	// text tells specs apart: equal texts are equal specs.
	text string
	// named is the thread when it is named in full.
	named *thread.Thread
	// size is nil when missing; kind says what number it is, threadText where it stands with its count like a name.
	size *number
	kind kind
	// perInch is nil when missing.
	perInch *number
}

func (s spec) empty() bool { return s.sizeless() && s.perInch == nil }

// sizeless says that no size is printed; the threads per inch may be.
func (s spec) sizeless() bool { return s.named == nil && s.size == nil }

// candidate is a thread that a spec could be, with its weight in each way of writing; they sum to 1 for each.
type candidate struct {
	*known
	weight belief
}

// guess is all that a spec could be.
type guess struct {
	candidates []candidate
	// evidence is the chance of what is printed in each way of writing.
	evidence belief
}

// sizeAndCount matches "1 5/8-16", "1.6 x 16 tpi", "44.4mm x 12tpi", "42x1.5".
var sizeAndCount = regexp.MustCompile(`(?i)^(\d+[ -]\d+/\d+|\d+/\d+|\d*[.,]?\d+)\s*(mm|inch(?:es)?|in\.?|")?\s*([-x])\s*(\d+[ -]\d+/\d+|\d+[.,]\d+|\d+)\s*(tpi|mm)?$`)

// coarsestPitchMM is the coarsest pitch of ISO 261: what follows an x, has no unit and is no more than this is a pitch in mm.
const coarsestPitchMM = 8

// readThreadText reads a cell that holds a thread in full, or its size with or without threads per inch.
func readThreadText(tables *thread.Tables, text string, in unit.Length) (spec, error) {
	text = unit.Plain(text)
	s := spec{kind: sizeNumber}
	if n, err := readSize(text, in); err == nil {
		s.size = &n
		return s, nil
	}
	if m := sizeAndCount.FindStringSubmatch(text); m != nil {
		n, err := readSize(m[1]+m[2], in)
		if err != nil {
			return s, err
		}
		count, err := readPerInch(m[4])
		if err == nil && (strings.EqualFold(m[5], "mm") || m[5] == "" && strings.EqualFold(m[3], "x") && count.value <= coarsestPitchMM) {
			count, err = readPitch(m[4]+"mm", 0)
		}
		if err != nil {
			return s, err
		}
		s.size, s.perInch, s.kind = &n, &count, threadText
		return s, nil
	}
	t, err := tables.Parse(text)
	if err != nil {
		return s, err
	}
	s.named = &t
	return s, nil
}

// Two threads of nearly one size and count are one thread: to the last digit of a size in mm, and of a count with one decimal.
const (
	sameSizeMM = 0.005
	sameCount  = 0.05
)

// guess lists what s could be; empty when nothing known has these numbers.
func (g guesser) guess(s spec) guess {
	if s.named != nil {
		return guess{[]candidate{{&known{Thread: *s.named, perInch: unit.MMPerInch / s.named.Pitch.MM()}, each(1)}}, each(1)}
	}
	if s.size == nil {
		return guess{}
	}
	var out guess
	low, high := s.size.span()
	consider := func(k *known, prior float64) {
		if k.near(low, high) {
			out.add(candidate{k, k.likelihood(&s)}, prior/g.total)
		}
	}
	for n := range g.library {
		consider(&g.library[n], g.library[n].prior)
	}
	special := map[string]bool{}
	for _, k := range g.specials(s) {
		if !g.listed[k.Designation] && !special[k.Designation] {
			special[k.Designation] = true
			consider(&k, k.prior)
		}
	}
	out.normalise()
	return out
}

// add adds a candidate of which times says how common it is, if anything speaks for it.
func (g *guess) add(c candidate, times float64) {
	if c.weight == (belief{}) {
		return
	}
	for k := range c.weight {
		c.weight[k] *= times
		g.evidence[k] += c.weight[k]
	}
	g.candidates = append(g.candidates, c)
}

// normalise makes the weights of each way of writing sum to 1, and leaves out what is unlikely in all of them.
func (g *guess) normalise() {
	var sums belief
	likely := g.candidates[:0]
	for _, c := range g.candidates {
		some := false
		for k, x := range c.weight {
			some = some || x > leastWeight*g.evidence[k]
		}
		if !some {
			continue
		}
		likely = append(likely, c)
		for k, x := range c.weight {
			sums[k] += x
		}
	}
	g.candidates = likely
	for n := range likely {
		for k := range sums {
			if sums[k] > 0 {
				likely[n].weight[k] /= sums[k]
			}
		}
	}
}

// leastWeight is the weight below which a candidate is not looked at.
const leastWeight = 1e-3

// specials lists combinations outside the tables that s could be: standard fractions with the printed threads per inch, and
// the very numbers that are printed.
func (g guesser) specials(s spec) []known {
	if s.perInch == nil {
		return nil
	}
	counts := []float64{s.perInch.value}
	if half := 11.5; s.perInch.step > 0 && s.perInch.counts(half) {
		counts = append(counts, half) // the one broken count of the inch tables
	}
	var out []known
	add := func(text string, prior float64) {
		if t, err := g.tables.Parse(text); err == nil {
			k := g.describe(t)
			k.prior = prior
			out = append(out, k)
		}
	}
	low, high := s.size.span()
	for _, count := range counts {
		for n := math.Ceil(low / unit.MMPerInch * 16); n <= high/unit.MMPerInch*16 && n < 16*largestBareInches; n++ {
			prior := sixteenPrior
			if math.Mod(n, 2) == 0 {
				prior = eighthPrior
			}
			size, _ := unit.Inches(n / 16).Fraction()
			add(strings.TrimSuffix(size, " in")+"-"+unit.Short(count)+" UNS", prior)
		}
	}
	for _, have := range [][]known{out, g.library} {
		for n := range have {
			if k := &have[n]; math.Abs(k.major-s.size.value) < sameSizeMM && math.Abs(k.perInch-s.perInch.value) < sameCount {
				return out // the printed size is that of a standard thread
			}
		}
	}
	prior := printedPrior
	if s.kind <= sizeNumber && s.size.step > 0 && s.size.step <= s.size.unit.MM()/999 {
		prior = decimalPrior
	}
	size := unit.Short(s.size.value/s.size.unit.MM()) + "mm"
	if s.size.unit == unit.Inch {
		size = unit.Short(s.size.value/unit.MMPerInch) + "in"
	}
	add(fmt.Sprintf("%s x %stpi", size, unit.Short(s.perInch.value)), prior)
	return out
}
