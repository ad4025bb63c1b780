package reading

// This file holds small pieces of text and number that several files use to read and tell readings.

import (
	"strings"

	"tryring/internal/unit"
)

// mmText tells millimetres in both systems.
func mmText(mm float64) string { return unit.MM(mm).String() }

// trimDegrees takes the word or sign for degrees off an angle.
func trimDegrees(text string) string {
	s := strings.ToLower(unit.Plain(text))
	for _, word := range []string{"degrees", "degree", "deg", "°"} {
		s = strings.TrimSuffix(s, word)
	}
	return strings.TrimSpace(s)
}
