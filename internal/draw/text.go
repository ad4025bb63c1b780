package draw

// This file measures, breaks and formats the words of a drawing.

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"tryring/internal/unit"
)

const (
	// textMM is the font size whose capitals are 2.5 mm high; linePitch is the distance of lines, in font sizes.
	textMM    = 3.55
	linePitch = 1.32
	// letterMM is the font size of the letters that name a detail: half as large again (ISO 128-3:2020, from memory, wants them larger than the dimensions').
	letterMM = 1.5 * textMM
	// descender is how far letters reach below the base line, in font sizes.
	descender = 0.25
)

// advances are the advance widths of DejaVu Sans, the widest plain face in common use, in font sizes; measured on the font
// and rounded up. Runes not named here take otherAdvance.
var advances = map[string]float64{
	"ijl'|":            0.34,
	" .,:;/\\!\u00a0":  0.34,
	"ft()[]-°":         0.40,
	"rI\"J":            0.46,
	"sczvxyk?*":        0.60,
	"abdeghnopqu":      0.64,
	"0123456789$_":     0.64,
	"ABCEFKLPRSTVXYZ&": 0.70,
	"wDGHNOQU+=<>~×⌀":  0.84,
	"mMW@%…—±":         1.0,
}

const (
	otherAdvance = 1.0
	// boldAdvance is how much wider the bold face runs: DejaVu Sans Bold 1.1.
	boldAdvance = 1.11
)

var advanceOf = func() map[rune]float64 {
	m := map[rune]float64{}
	for runes, w := range advances {
		for _, r := range runes {
			m[r] = w
		}
	}
	return m
}()

// textWidth returns how wide text is at most, in font sizes.
func textWidth(text string, bold bool) float64 {
	w := 0.0
	for _, r := range text {
		if a, ok := advanceOf[r]; ok {
			w += a
		} else {
			w += otherAdvance
		}
	}
	if bold {
		w *= boldAdvance
	}
	return w
}

// wrap breaks text into lines of at most width font sizes, at plain spaces where it can.
func wrap(text string, width float64, bold bool) []string {
	return wrapBy(textWidth, text, width, bold)
}

// measure returns how wide text is, in font sizes.
type measure func(text string, bold bool) float64

func wrapBy(textWidth measure, text string, width float64, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(text, " ") {
		for {
			try := word
			if line != "" {
				try = line + " " + word
			}
			if textWidth(try, bold) <= width {
				line = try
				break
			}
			if line != "" {
				lines = append(lines, line)
				line = ""
				continue
			}
			head := fitting(textWidth, word, width, bold)
			lines = append(lines, word[:head])
			if word = word[head:]; word == "" {
				break
			}
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fitting returns how many bytes of a word fit, at least one letter.
func fitting(textWidth measure, word string, width float64, bold bool) int {
	_, fits := utf8.DecodeRuneInString(word)
	for i := range word {
		_, size := utf8.DecodeRuneInString(word[i:])
		end := i + size
		if i > 0 && textWidth(word[:end], bold) > width {
			break
		}
		fits = end
	}
	return fits
}

// mmText and inchText print a length for a dimension: hundredths of a millimetre and thousandths of an inch.
func mmText(l unit.Length) string { return fmt.Sprintf("%.2f", positive(l.MM(), 0.005)) }

func inchText(l unit.Length) string {
	return fmt.Sprintf("[%.3f\u00a0in]", positive(l.Inches(), 0.0005))
}

// noBreak is a space at which lines are not broken.
const noBreak = "\u00a0"

// both prints a length in millimetres with the inches in brackets.
func both(l unit.Length) string { return mmText(l) + noBreak + inchText(l) }

// positive turns what would print as a negative zero into zero.
func positive(x, half float64) float64 {
	if math.Abs(x) < half {
		return 0
	}
	return x
}
