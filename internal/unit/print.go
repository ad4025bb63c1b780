package unit

// This file prints lengths, in one system or both.

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// String returns the length in both systems: "44.450 mm (1.7500 in)".
func (l Length) String() string { return l.TextMM() + " (" + l.TextInch() + ")" }

// TextMM returns the length in millimetres to the micrometre: "44.450 mm".
func (l Length) TextMM() string { return fixed(l.MM(), 3) + " mm" }

// TextInch returns the length in inches to a ten-thousandth: "1.7500 in".
func (l Length) TextInch() string { return fixed(l.Inches(), 4) + " in" }

// fixed prints x with the given number of decimals and never a negative zero.
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// Short prints x with as many decimals as it needs, at most six: "11.5", "12", "0.907".
func Short(x float64) string {
	s := fixed(x, 6)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// fractionTolerance is how far, in inches, a length may lie from a 64th and still count as that: a half of the last
// decimal of sizes that are written to a hundred-thousandth.
const fractionTolerance = 0.000005

// Fraction returns the nearest 64th of an inch in lowest terms, "1 3/4 in", "3/4 in", "2 in", and whether the length is
// that exactly (to 0.000005 in).
func (l Length) Fraction() (text string, exact bool) {
	in := l.Inches()
	n := math.Round(in * 64)
	exact = math.Abs(in-n/64) <= fractionTolerance
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	return sign + mixed(int64(n), 64) + " in", exact
}

// mixed writes n/d as a mixed number in lowest terms.
func mixed(n, d int64) string {
	whole, top, bottom := n/d, n%d, d
	for top != 0 && top%2 == 0 && bottom%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	switch {
	case top == 0:
		return strconv.FormatInt(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%d/%d", top, bottom)
	}
	return fmt.Sprintf("%d %d/%d", whole, top, bottom)
}

// roundPlaces is to how many parts of a millimetre results are rounded: a nanometre, far below what can be made or measured,
// and far above what sums of float64 leave behind.
const roundPlaces = 1e6

// RoundMM is l in mm, rounded to the nanometre.
func RoundMM(l Length) float64 { return Round(l.MM()) }

// Round rounds x mm to the nanometre.
func Round(x float64) float64 {
	return math.Round(x*roundPlaces)/roundPlaces + 0 // + 0 turns -0 into 0
}

// Counted says how many there are of a thing: "1 rung", "3 rungs".
func Counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}
