package draw

// This file measures, breaks and formats the words of a drawing.

import (
	"fmt"
	"math"
	"strings"
	"unicode/utf8"

	"tryring/internal/unit"
)

// capHeight is the height of capitals per font size in the plain sans-serif faces (Liberation Sans 0.73, DejaVu Sans 0.73, Noto Sans 0.71).
const capHeight = 0.71

const (
	// textMM is the font size whose capitals are 2.5 mm high; linePitch is the distance of lines, in font sizes.
	textMM    = 3.55
	linePitch = 1.32
	// descender is how far letters reach below the base line, in font sizes.
	descender = 0.25
)

// textWidth returns how wide text is at most, in the font sizes of any plain sans-serif face, by the advance widths of DejaVu
// Sans, which is the widest in common use.
func textWidth(text string, bold bool) float64 {
	w := 0.0
	for _, r := range text {
		switch {
		case strings.ContainsRune(" .,:;'|!iljI()[]", r):
			w += 0.40
		case strings.ContainsRune("mwMW@%", r):
			w += 1.0
		case r >= 'A' && r <= 'Z', r == '⌀', r == '°':
			w += 0.78
		case r < utf8.RuneSelf:
			w += 0.64
		default:
			w += 1.0
		}
	}
	if bold {
		w *= 1.1
	}
	return w
}

// wrap breaks text into lines of at most width font sizes, between words where it can.
func wrap(text string, width float64, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
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
			head := fitting(word, width, bold)
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
func fitting(word string, width float64, bold bool) int {
	for i := range word {
		if i > 0 && textWidth(word[:i], bold) > width {
			_, last := utf8.DecodeLastRuneInString(word[:i])
			return max(i-last, last)
		}
	}
	return len(word)
}

// mmText and inchText print a length for a dimension: hundredths of a millimetre and thousandths of an inch.
func mmText(l unit.Length) string   { return fmt.Sprintf("%.2f", positive(l.MM(), 0.005)) }
func inchText(l unit.Length) string { return fmt.Sprintf("[%.3f in]", positive(l.Inches(), 0.0005)) }

// both prints a length in millimetres with the inches in brackets.
func both(l unit.Length) string { return mmText(l) + " " + inchText(l) }

// positive turns what would print as a negative zero into zero.
func positive(x, half float64) float64 {
	if math.Abs(x) < half {
		return 0
	}
	return x
}
