package unit

// This file reads lengths, readings and pitches in the ways that people write them.

import (
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"tryring/internal/fault"
)

// MaxLength is the longest length that is read: ten metres, well beyond any part and any printer, so that a
// slipped unit or digit is caught where it was typed.
const MaxLength Length = 10_000

// plain turns the characters that keyboards, phones and word processors put in place of the plain ones into
// those, and vulgar fractions into " n/d".
var plain = strings.NewReplacer(
	"\u00a0", " ", "\u2009", " ", "\u202f", " ", "\u2007", " ", "\t", " ",
	"″", `"`, "”", `"`, "“", `"`, "„", `"`, "''", `"`, "’’", `"`, "′′", `"`,
	"⁄", "/", "∕", "/", "÷", "/", "−", "-", "–", "-", "—", "-", "‐", "-", "‑", "-",
	"×", "x", "✕", "x", "µ", "u", "μ", "u",
	"½", " 1/2", "⅓", " 1/3", "⅔", " 2/3", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	"⅙", " 1/6", "⅚", " 5/6", "⅕", " 1/5", "⅖", " 2/5", "⅗", " 3/5", "⅘", " 4/5",
)

// Plain returns text with typographic quotes, dashes, spaces, multiplication signs and vulgar fractions written in
// plain characters, and single spaces.
func Plain(text string) string { return strings.Join(strings.Fields(plain.Replace(text)), " ") }

var units = map[string]Length{
	"mm": Millimetre, "millimetre": Millimetre, "millimetres": Millimetre, "millimeter": Millimetre, "millimeters": Millimetre,
	"cm": 10, "m": 1000, "um": 0.001, "micron": 0.001, "microns": 0.001,
	"in": Inch, "in.": Inch, "inch": Inch, "inches": Inch, `"`: Inch, "thou": Inch / 1000, "mil": Inch / 1000,
}

const unitWords = `mm, cm, in or "`

var quantity = regexp.MustCompile(`^([+-]?)\s*(?:(\d+)\s*[ -]\s*(\d+)\s*/\s*(\d+)|(\d+)\s*/\s*(\d+)|(\d+(?:[.,]\d*)?(?:[eE][+-]?\d+)?|[.,]\d+(?:[eE][+-]?\d+)?))\s*([^\d\s].*)?$`)

// amount is a number as written, with its unit when one was written.
type amount struct {
	number   float64
	fraction bool
	unit     Length // 0 when none was written
}

// meant is the unit that holds where none was written: a fraction is inches, a decimal number millimetres.
func (a amount) meant() Length {
	if a.fraction {
		return Inch
	}
	return Millimetre
}

func (a amount) length() Length { return Length(a.number) * cmp.Or(a.unit, a.meant()) }

// ParseNumber reads "12", "11.5", "11,5", "11 1/2", "11-1/2" or "1/2": a number not below zero, without a unit.
func ParseNumber(text string) (float64, error) {
	a, err := parseAmount(text)
	switch {
	case err != nil:
		return 0, err
	case a.unit != 0:
		return 0, fault.At("", text, "it has a unit where a plain number should stand")
	case a.number < 0 || math.Signbit(a.number):
		return 0, fault.At("", text, "it is below zero")
	}
	return a.number, nil
}

func parseAmount(text string) (amount, error) {
	s := Plain(text)
	if s == "" {
		return amount{}, fault.At("", "", `empty length; write one like 25.4mm, 1in or 1 3/4"`)
	}
	m := quantity.FindStringSubmatch(s)
	if m == nil {
		return amount{}, fault.At("", text, `it is not a length; write one like 25.4mm, 25,4 mm, 1 3/4in or 3/4"`)
	}
	var a amount
	switch {
	case m[3] != "" || m[5] != "":
		whole, top, bottom := m[2], m[3], m[4]
		if m[5] != "" {
			whole, top, bottom = "0", m[5], m[6]
		}
		w, n, d := atof(whole), atof(top), atof(bottom)
		if d == 0 {
			return amount{}, fault.At("", text, "it divides by zero")
		}
		if m[3] != "" && n >= d {
			return amount{}, fault.At("", text, "the fraction after a whole number must be below one")
		}
		a.number, a.fraction = w+n/d, true
	default:
		a.number = atof(strings.Replace(m[7], ",", ".", 1))
	}
	if math.IsInf(a.number, 0) || math.IsNaN(a.number) {
		return amount{}, fault.At("", text, "it is too large a number for a length")
	}
	if m[1] == "-" {
		a.number = -a.number
	}
	if word := strings.ToLower(strings.TrimSpace(m[8])); word != "" {
		u, known := units[word]
		if !known {
			return amount{}, fault.At("", text, "unknown unit %q; write %s", strings.TrimSpace(m[8]), unitWords)
		}
		a.unit = u
	}
	return a, nil
}

// atof reads digits that the pattern has already proved to be a number; what overflows comes back as infinity.
func atof(s string) float64 {
	x, _ := strconv.ParseFloat(s, 64)
	return x
}

// ParseSigned reads a length that may be below zero, such as an error or an allowance: at most MaxLength either way.
func ParseSigned(text string) (Length, error) {
	a, err := parseAmount(text)
	if err != nil {
		return 0, err
	}
	return a.within(text)
}

func (a amount) within(text string) (Length, error) {
	l := a.length()
	if l > MaxLength || l < -MaxLength {
		return 0, fault.At("", text, "it is %s, more than the %s that is taken for a length", l, MaxLength)
	}
	return l, nil
}

// ParseLength reads a length from 0 to MaxLength: "25.4", "25.4mm", "25,4 mm", "1in", `1"`, "3/4", "1 3/4in",
// `1-3/4"`, "1¾ in". A decimal number without a unit is millimetres, a fraction without a unit is inches.
func ParseLength(text string) (Length, error) {
	l, err := ParseSigned(text)
	if err != nil {
		return 0, err
	}
	if l < 0 || math.Signbit(float64(l)) {
		return 0, fault.At("", text, "it is below zero; a length here is 0 or more")
	}
	return l, nil
}

// ParseLengthIn reads what ParseLength reads and says in which system it was written: Millimetre or Inch.
func ParseLengthIn(text string) (l, system Length, err error) {
	if l, err = ParseLength(text); err != nil {
		return 0, 0, err
	}
	a, err := parseAmount(text)
	if err != nil {
		return 0, 0, err
	}
	if u := cmp.Or(a.unit, a.meant()); u == Inch || u == Inch/1000 {
		return l, Inch, nil
	}
	return l, Millimetre, nil
}

// ParseReading reads a measured length with, if it is written, the half width of the range it surely lies in:
// "47.55mm+-0.05", "47.55 ± 0.05 mm", "1.872in". half is 0 when none is written. A unit written on one side only
// counts for both. value and a written half are above 0.
func ParseReading(text string) (value, half Length, err error) {
	s := strings.NewReplacer("+/-", "±", "+-", "±").Replace(Plain(text))
	left, right, written := strings.Cut(s, "±")
	v, err := parseAmount(left)
	if err != nil {
		return 0, 0, err
	}
	if written {
		h, err := parseAmount(right)
		if err != nil {
			return 0, 0, fmt.Errorf("after ±: %w", err)
		}
		v.unit = cmp.Or(v.unit, h.unit, v.meant())
		h.unit = cmp.Or(h.unit, v.unit)
		if half, err = h.within(right); err != nil {
			return 0, 0, err
		}
		if !(half > 0) {
			return 0, 0, fault.At("", text, "no reading is exact; write an uncertainty above 0, or none to use the instrument's own")
		}
	}
	if value, err = v.within(left); err != nil {
		return 0, 0, err
	}
	if !(value > 0) {
		return 0, 0, fault.At("", text, "it must be above 0")
	}
	return value, half, nil
}

var perInchWord = regexp.MustCompile(`(?i)\s*(?:tpi|t\.p\.i\.?|threads? ?(?:/|per) ?in(?:ch)?\.?)$`)

// ParsePerInch reads a number of threads to the inch, "12tpi", "12 tpi", "11 1/2 tpi"; ok is false when text does not
// end in such a word. The number is above 0 and at most 200.
func ParsePerInch(text string) (perInch float64, ok bool, err error) {
	s := Plain(text)
	at := perInchWord.FindStringIndex(s)
	if at == nil {
		return 0, false, nil
	}
	n, err := ParseNumber(s[:at[0]])
	if err != nil {
		return 0, true, fmt.Errorf("%q: %w", text, err)
	}
	if !(n > 0 && n <= maxPerInch) {
		return 0, true, fault.At("", text, "threads per inch must be above 0 and at most %d", maxPerInch)
	}
	return n, true, nil
}

// maxPerInch bounds threads per inch; the finest standard thread has 127 (0.2 mm).
const maxPerInch = 200

// ParsePitch reads a pitch: "12 tpi", "12tpi", "2.309mm", "1/14in". The pitch is above 0.
func ParsePitch(text string) (Length, error) {
	n, ok, err := ParsePerInch(text)
	if err != nil {
		return 0, err
	}
	if ok {
		return Inches(1 / n), nil
	}
	l, err := ParseLength(text)
	if err != nil {
		return 0, fmt.Errorf("pitch: %w", err)
	}
	if !(l > 0) {
		return 0, fault.At("", text, "a pitch must be above 0; write it like 12tpi or 1.5mm")
	}
	return l, nil
}

// UnmarshalText reads what ParseSigned reads, so that a file may give a text with a unit where it may give a plain number
// of millimetres. A TOML reader takes a plain number as it stands, without this method's bounds: check those where the
// file is read.
func (l *Length) UnmarshalText(text []byte) error {
	x, err := ParseSigned(string(text))
	if err != nil {
		return err
	}
	*l = x
	return nil
}

// MarshalJSON writes l as RoundMM gives it, a number of millimetres.
func (l Length) MarshalJSON() ([]byte, error) { return json.Marshal(RoundMM(l)) }

// UnmarshalJSON reads a JSON number of millimetres, or a string as UnmarshalText does.
func (l *Length) UnmarshalJSON(data []byte) error {
	s := string(data)
	if s == "null" {
		return nil
	}
	if strings.HasPrefix(s, `"`) {
		unquoted, err := strconv.Unquote(s)
		if err != nil {
			return fmt.Errorf("length %s: %w", s, err)
		}
		s = unquoted
	}
	return l.UnmarshalText([]byte(s))
}
