package reading

// This file holds readings of the pitch: crests counted over a length, threads to the inch, a pitch as such, and the leaves
// of a pitch gauge.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// Counting says what was counted along a length.
type Counting string

// The ways of counting. N crests from the first to the last span N-1 pitches; N spaces, or full turns, span N.
const (
	Crests Counting = "crests"
	Spaces Counting = "spaces"
)

// Count is a number of crests or spaces counted over a length.
type Count struct {
	N    float64
	Over Reading
	Way  Counting
}

// pitches is how many pitches the counted length spans.
func (c Count) pitches() float64 {
	if c.Way == Spaces {
		return c.N
	}
	return c.N - 1
}

// other is the same count taken the other way.
func (c Count) other() Count {
	if c.Way == Spaces {
		c.Way = Crests
	} else {
		c.Way = Spaces
	}
	return c
}

// maxCount bounds a count: nobody counts more crests than that by eye.
const maxCount = 1000

// ParseCount reads a count over a length, such as "15" over "1in".
func ParseCount(count, over string, way Counting, i Instrument) (Count, error) {
	n, err := unit.ParseNumber(count)
	if err != nil {
		return Count{}, fault.At("", count, "a count is a number, such as 15")
	}
	if way == "" {
		way = Crests
	}
	c := Count{N: n, Way: way}
	switch {
	case way != Crests && way != Spaces:
		return Count{}, fault.At("", string(way), "what was counted is %s or %s", Crests, Spaces)
	case way == Crests && !(n >= 2 && n <= maxCount):
		return Count{}, fault.At("", count, "from the first crest to the last there are 2 to %d crests", maxCount)
	case way == Spaces && !(n >= 0.5 && n <= maxCount):
		return Count{}, fault.At("", count, "there are 1 to %d spaces", maxCount)
	case way == Crests && math.Abs(n-math.Round(n)) > halfCount:
		return Count{}, fault.At("", count, "count whole crests")
	case math.Abs(2*n-math.Round(2*n)) > halfCount:
		return Count{}, fault.At("", count, "count whole spaces, or half ones")
	}
	if c.Over, err = ParseReading(over, i); err != nil {
		return Count{}, err
	}
	return c, c.plausible()
}

// halfCount is how far a count may lie from a half one: float64 noise of decimals.
const halfCount = 1e-6

// The pitches that are believed: the finest metric one is 0.2 mm, the coarsest here is one thread to the inch.
const (
	leastPitchMM = 0.1
	mostPitchMM  = 25.4
)

func (c Count) plausible() error {
	return plausiblePitch(c.Over.Value.MM()/c.pitches(), fmt.Sprintf("%s %s over %s", unit.Short(c.N), c.Way, c.Over.Value))
}

func plausiblePitch(mm float64, read string) error {
	if mm >= leastPitchMM && mm <= mostPitchMM {
		return nil
	}
	return fmt.Errorf("%s is a pitch of %s; threads here have %s to %s mm, and threads to the inch are written 14tpi", read, unit.MM(mm), unit.Short(leastPitchMM), unit.Short(mostPitchMM))
}

// pitch is the pitch that c says.
func (c Count) pitch() Estimate { return c.Over.estimate(true).Scaled(1 / c.pitches()) }

// name is c in a few words.
func (c Count) name() string {
	return fmt.Sprintf("%s %s over %s", unit.Short(c.N), c.Way, strings.TrimSpace(c.Over.Text))
}

// Taken says which way of counting was taken, and what the other would have meant.
func (c Count) Taken() string {
	return fmt.Sprintf("%s: taken as %s pitches, a pitch of %s; had it been %s %s, %s", c.name(), unit.Short(c.pitches()), pitchWords(c.pitch().Value),
		unit.Short(c.N), c.other().Way, pitchWords(c.other().pitch().Value))
}

// pitchWords tells a pitch in both systems: "1.814 mm (14 to the inch)".
func pitchWords(mm float64) string {
	return fmt.Sprintf("%.3f mm (%s to the inch)", mm, unit.Short(math.Round(100*unit.MMPerInch/mm)/100))
}

// PitchReading is a pitch, or a number of threads to the inch, given as such.
type PitchReading struct {
	Text  string
	Value Estimate
	// Look is the sitting, picture or scan that it belongs to, as a Reading's.
	Look int
}

// How well a pitch is known that is given as such and without a ±; common practice, no published source.
const (
	// wholePerInch and halfPerInch are the half widths of threads to the inch counted against a rule: a whole number may be
	// half a thread off, one that tells half threads (11.5) a quarter.
	wholePerInch = 0.5
	halfPerInch  = 0.25
	// leafShare is the half width of a pitch read off a gauge leaf, as a share of the pitch: the next pitch that also seems
	// to seat.
	leafShare = 0.03
)

// ParsePerInch reads threads to the inch, "14", "11 1/2", "14 ± 0.5", "14 tpi".
func ParsePerInch(text string) (PitchReading, error) {
	s := strings.NewReplacer("+/-", "±", "+-", "±").Replace(unit.Plain(text))
	left, right, written := strings.Cut(s, "±")
	number := func(part string) (float64, error) {
		if n, ok, err := unit.ParsePerInch(strings.TrimSpace(part)); ok {
			return n, err
		}
		return unit.ParseNumber(part)
	}
	n, err := number(left)
	if err != nil {
		return PitchReading{}, fmt.Errorf("threads to the inch: %w", err)
	}
	if !(n > 0) {
		return PitchReading{}, fmt.Errorf("threads to the inch %q must be above 0", text)
	}
	half, what, source := wholePerInch, "counted over an inch to a whole thread, ± 0.5", commonPractice
	if math.Abs(n-math.Round(n)) > halfCount {
		half, what = halfPerInch, "counted over an inch to half a thread, ± 0.25"
	}
	if written {
		if half, err = number(right); err != nil {
			return PitchReading{}, fmt.Errorf("threads to the inch, after ±: %w", err)
		}
		if !(half > 0 && half < n) {
			return PitchReading{}, fmt.Errorf("threads to the inch %q: the ± must be above 0 and below the number", text)
		}
		what, source = fmt.Sprintf("stated ± %s to the inch", unit.Short(half)), "GUM 4.3.7"
	}
	mm := unit.MMPerInch / n
	// The pitch is 25.4/n, so its sensitivity to n is pitch/n (GUM 5.1.3).
	e := Combine(mm, Part{What: what, Source: source, U: UniformU(half) * mm / n, DOF: math.Inf(1)})
	return PitchReading{Text: text + perInchIfBare(text), Value: e}, plausiblePitch(mm, fmt.Sprintf("%q threads to the inch", text))
}

// perInchIfBare is the word that a bare number lacks in a text.
func perInchIfBare(text string) string {
	if strings.Trim(unit.Plain(text), "0123456789.,/ -+±") == "" {
		return " to the inch"
	}
	return ""
}

// ParsePitch reads a pitch, "1.5mm", "1.81 ± 0.02 mm" or "14 tpi".
func ParsePitch(text string) (PitchReading, error) {
	left, _, _ := strings.Cut(strings.NewReplacer("+/-", "±", "+-", "±").Replace(unit.Plain(text)), "±")
	if _, ok, _ := unit.ParsePerInch(strings.TrimSpace(left)); ok {
		return ParsePerInch(text)
	}
	if _, ok, _ := unit.ParsePerInch(unit.Plain(text)); ok {
		return ParsePerInch(text)
	}
	value, half, err := unit.ParseReading(text)
	if err != nil {
		return PitchReading{}, fmt.Errorf("pitch: %w", err)
	}
	mm := value.MM()
	part := Part{What: "read off a leaf, ± 3 %", Source: commonPractice, U: UniformU(leafShare * mm), DOF: math.Inf(1)}
	if half > 0 {
		part = Part{What: fmt.Sprintf("stated ± %s mm", unit.Short(half.MM())), Source: "GUM 4.3.7", U: UniformU(half.MM()), DOF: math.Inf(1)}
	}
	return PitchReading{Text: text, Value: Combine(mm, part)}, plausiblePitch(mm, fmt.Sprintf("pitch %q", text))
}

// Leaf is one leaf of a pitch gauge laid on the thread.
type Leaf struct {
	Text    string
	Pitch   unit.Length
	Matches bool
	// Look is the sitting, picture or scan that it belongs to, as a Reading's.
	Look int
}

// ParseLeaf reads the pitch of a leaf, "14tpi" or "1.5mm"; matches says whether it seated.
func ParseLeaf(text string, matches bool) (Leaf, error) {
	p, err := unit.ParsePitch(text)
	if err != nil {
		return Leaf{}, fmt.Errorf("leaf: %w", err)
	}
	return Leaf{Text: text, Pitch: p, Matches: matches}, plausiblePitch(p.MM(), fmt.Sprintf("leaf %q", text))
}

// leafMistake is the chance that a leaf is misjudged however far the pitch is off (common practice, no published source).
const leafMistake = 0.02

// seats is the chance that a leaf seems to seat on a thread of the given pitch: it falls off with the difference, of
// which leafShare is the half width.
func (l Leaf) seats(pitchMM float64) float64 {
	z := (pitchMM - l.Pitch.MM()) / UniformU(leafShare*l.Pitch.MM())
	return leafMistake + (1-2*leafMistake)*math.Exp(-z*z/2)
}

// chance is the chance of what was seen, on a thread of the given pitch.
func (l Leaf) chance(pitchMM float64) float64 {
	if l.Matches {
		return l.seats(pitchMM)
	}
	return 1 - l.seats(pitchMM)
}
