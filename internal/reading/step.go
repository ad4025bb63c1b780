package reading

// This file says to which step a length was read, as its text shows: whatever the tool in hand, "1 7/8" was read to a sixteenth
// of an inch and "48" to a millimetre.

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"tryring/internal/unit"
)

// coarsestParts are the parts of an inch that a fraction is read to at least: 1 7/8 is as good as 1 14/16 (common practice, no
// published source).
const coarsestParts = 16

var (
	bottom   = regexp.MustCompile(`/ ?(\d+)$`)
	decimals = regexp.MustCompile(`[.,](\d+)$`)
)

// sameUnitMM is float64 noise of a unit.
const sameUnitMM = 1e-6

// stepMM is one in the last place of the text of r; 0 where the text is no plain number with a unit. A whole number of inches is
// a fraction that came out even; as a length that was counted over it is a mark that was gone to, with no step of its own.
func (r Reading) stepMM(along bool) float64 {
	text := strings.TrimRight(strings.ToLower(unit.Plain(r.Text)), `abcdefghijklmnopqrstuvwxyz". `)
	number, err := unit.ParseNumber(text)
	if err != nil || !(number > 0) {
		return 0
	}
	one := r.Value.MM() / number
	inches := math.Abs(one-unit.MMPerInch) < sameUnitMM
	if part := bottom.FindStringSubmatch(text); part != nil {
		parts, _ := strconv.ParseFloat(part[1], 64)
		return one / math.Max(parts, coarsestParts)
	}
	if digits := decimals.FindStringSubmatch(text); digits != nil {
		return one * math.Pow10(-len(digits[1]))
	}
	switch {
	case inches && along:
		return 0
	case inches:
		return one / coarsestParts
	}
	return one
}
