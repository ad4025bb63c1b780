package parts

// This file says which true values a printed number could stand for.

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"tryring/internal/unit"
)

// number is a printed number.
type number struct {
	// value is in millimetres for lengths, plain for threads per inch.
	value float64
	// step is one in the last digit printed, in the same unit; 0 for a fraction or another number that can only be exact.
	step float64
	// slack is how far a value that can only be exact may be off to either side; 0 for float64 noise alone.
	slack float64
	// unit is what one was printed in.
	unit unit.Length
	// zeros is how many zeros a decimal ends with, spare how many of them may be padding: an inch keeps one decimal.
	zeros, spare int
}

// cell returns the true values that print as n by way w: from low up to, but not including, high.
func (n number) cell(w writing) (low, high float64) {
	step := n.step * math.Pow10(min(w.zeros, n.spare))
	switch {
	case n.step == 0 || w.habit == Exact:
		slack := math.Max(n.slack, exactSlack*math.Max(1, n.value))
		return n.value - slack, n.value + slack
	case w.habit == CutsOff:
		return n.value - exactSlack, n.value + step - exactSlack
	}
	return n.value - step/2 - exactSlack, n.value + step/2 - exactSlack
}

// padded reports whether n may stand in a list of that way of writing: it does not show a digit where zeros are put.
func (n number) padded(w writing) bool { return n.step == 0 || w.zeros <= n.zeros }

// exactSlack is float64 noise of inches in millimetres, relative from 1 mm up.
const exactSlack = 1e-9

// holds reports whether x prints as n under h.
func (n number) holds(x float64, h Habit) bool {
	low, high := n.cell(writing{habit: h})
	return x >= low && x < high
}

// counts reports whether x threads per inch print as n in any list.
func (n number) counts(x float64) bool { return n.holds(x, Rounds) || n.holds(x, CutsOff) }

// share returns the part of the range from a to b that prints as n by way w. Measured sizes are never exact: they round.
func (n number) share(a, b float64, w writing) float64 {
	if w.habit == Exact {
		w.habit = Rounds
	}
	if n.step == 0 || b <= a {
		return 0
	}
	low, high := n.cell(w)
	return math.Max(0, math.Min(b, high)-math.Max(a, low)) / (b - a)
}

// span is the widest range of true values in any way of writing.
func (n number) span() (low, high float64) {
	low, high = n.cell(writings[0])
	for _, w := range writings[1:] {
		l, h := n.cell(w)
		low, high = math.Min(low, l), math.Max(high, h)
	}
	return low, high
}

var decimals = regexp.MustCompile(`^[+-]?\d*[.,]?(\d*)`)

// largestBareInches: a bare number up to this is inches, above it millimetres; adapters run from 1/8 in to 6 in, and from
// 8 mm up.
const largestBareInches = 6

// largestInches is the largest size in inches that a column of inches is believed to hold; common practice, no published source.
const largestInches = 12

// readSize reads the size of a thread. In is the unit that the header or the user names, 0 for none.
func readSize(text string, in unit.Length) (number, error) {
	text = unit.Plain(text)
	l, system, err := unit.ParseLengthIn(text)
	if err != nil {
		return number{}, err
	}
	fraction := strings.Contains(text, "/")
	if bare, err := unit.ParseNumber(text); err == nil && !fraction {
		switch {
		case in == unit.Inch && bare > largestInches: // a column of inches with a size in millimetres among them
			system = unit.Millimetre
		case in != 0:
			system = in
		case bare <= largestBareInches:
			system = unit.Inch
		default:
			system = unit.Millimetre
		}
		l = unit.Length(bare) * system
	}
	if !(l > 0) {
		return number{}, fmt.Errorf("size %q must be above 0", text)
	}
	n := number{value: l.MM(), unit: system}
	digits := decimals.FindStringSubmatch(text)[1]
	// A whole number of inches is a size, not a rounded one.
	if !fraction && !(digits == "" && system == unit.Inch) {
		n.step = math.Pow10(-len(digits)) * system.MM()
		n.zeros = len(digits) - len(strings.TrimRight(digits, "0"))
		if n.spare = n.zeros; system == unit.Inch {
			n.spare = min(n.zeros, len(digits)-1)
		}
	}
	return n, nil
}

// readPerInch reads threads per inch, with or without the word.
func readPerInch(text string) (number, error) {
	text = unit.Plain(text)
	x, ok, err := unit.ParsePerInch(text)
	if err == nil && !ok {
		x, err = unit.ParseNumber(text)
	}
	if err != nil {
		return number{}, fmt.Errorf("threads per inch: %w", err)
	}
	if !(x > 0 && x <= maxPerInch) {
		return number{}, fmt.Errorf("threads per inch %q must be above 0 and at most %d", text, maxPerInch)
	}
	n := number{value: x}
	if math.Abs(x-math.Round(x)) < exactSlack && !strings.Contains(text, "/") && !strings.ContainsAny(text, ".,") {
		n.step = 1 // 11 1/2 is printed as 11 or 12 where a list has whole numbers only
	}
	return n, nil
}

// maxPerInch bounds threads per inch; the finest standard thread has 127.
const maxPerInch = 200

// readPitch reads a pitch as threads per inch.
func readPitch(text string, in unit.Length) (number, error) {
	if bare, err := unit.ParseNumber(text); err == nil && in != 0 {
		text = fmt.Sprintf("%smm", unit.Short(bare*in.MM()))
	}
	p, err := unit.ParsePitch(text)
	if err != nil {
		return number{}, err
	}
	x := unit.MMPerInch / p.MM()
	if !(x > 0 && x <= maxPerInch) {
		return number{}, fmt.Errorf("pitch %q must be above %.3f mm", text, unit.MMPerInch/maxPerInch)
	}
	digits := len(decimals.FindStringSubmatch(text)[1])
	n := number{value: x}
	if _, counted, _ := unit.ParsePerInch(text); !counted && !strings.Contains(text, "/") {
		// Half of the last digit, as if in mm; of a pitch in inches people print four digits or a fraction.
		n.slack = x * math.Min(0.5*math.Pow10(-digits)/p.MM(), mostPitchSlack)
	}
	return n, nil
}

// mostPitchSlack bounds how far a printed pitch may be off, relative: half of the step from 11 to 11.5 threads per inch.
const mostPitchSlack = 0.02
