package parts

// This file says which true values a printed number could stand for.

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"tryring/internal/unit"
)

// Habit is how a list prints its numbers.
type Habit int

// The habits.
const (
	Rounds Habit = iota
	CutsOff
	Exact
	habits
)

// String names the habit as people would.
func (h Habit) String() string { return [...]string{"rounds", "cuts off", "exact"}[h] }

// habitPrior is how common the habits are before any number is seen: common practice, no published source.
var habitPrior = [habits]float64{Rounds: 0.5, CutsOff: 0.25, Exact: 0.25}

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
}

// cell returns the true values that print as n under habit h: from low up to, but not including, high.
func (n number) cell(h Habit) (low, high float64) {
	switch {
	case n.step == 0 || h == Exact:
		slack := math.Max(n.slack, exactSlack*math.Max(1, n.value))
		return n.value - slack, n.value + slack
	case h == CutsOff:
		return n.value - exactSlack, n.value + n.step - exactSlack
	}
	return n.value - n.step/2 - exactSlack, n.value + n.step/2 - exactSlack
}

// exactSlack is float64 noise of inches in millimetres, relative from 1 mm up.
const exactSlack = 1e-9

// holds reports whether x prints as n under h.
func (n number) holds(x float64, h Habit) bool {
	low, high := n.cell(h)
	return x >= low && x < high
}

// share returns the part of the range from a to b that prints as n under h. Measured sizes are never exact: they round.
func (n number) share(a, b float64, h Habit) float64 {
	if h == Exact {
		h = Rounds
	}
	if n.step == 0 || b <= a {
		return 0
	}
	low, high := n.cell(h)
	return math.Max(0, math.Min(b, high)-math.Max(a, low)) / (b - a)
}

// span is the widest range of true values under any habit.
func (n number) span() (low, high float64) {
	low, high = n.cell(Exact)
	return math.Min(low, n.value-n.step/2), math.Max(high, n.value+n.step)
}

var decimals = regexp.MustCompile(`^[+-]?\d*[.,]?(\d*)`)

// largestBareInches: a bare number up to this is inches, above it millimetres; adapters run from 1/8 in to 6 in, and from
// 8 mm up.
const largestBareInches = 6

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
		case in != 0:
			system = in
		case bare <= largestBareInches:
			system = unit.Inch
		default:
			system = unit.Millimetre
		}
		l = unit.Length(bare) * system
	} else if err == nil && in != 0 {
		system = in
		l = unit.Length(bare) * in
	}
	if !(l > 0) {
		return number{}, fmt.Errorf("size %q must be above 0", text)
	}
	n := number{value: l.MM(), unit: system}
	digits := len(decimals.FindStringSubmatch(text)[1])
	// A whole number of inches is a size, not a rounded one.
	if !fraction && !(digits == 0 && system == unit.Inch) {
		n.step = math.Pow10(-digits) * system.MM()
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
