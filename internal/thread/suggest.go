package thread

// This file adds "did you mean" to errors about threads.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/agnivade/levenshtein"

	"tryring/internal/unit"
)

// meantError is an error that knows which thread was probably meant.
type meantError struct {
	error
	thread Thread
}

func (e meantError) Error() string {
	return fmt.Sprintf("%s; did you mean %q?", e.error, e.thread.Designation)
}
func (e meantError) Unwrap() error { return e.error }

func meant(err error, t Thread) error { return meantError{err, t} }

// withSuggestion adds the tabulated thread that is nearest to what was written, when one is near enough.
func (ts *Tables) withSuggestion(err error, n written) error {
	if m := (meantError{}); errors.As(err, &m) || n.free || strings.Contains(err.Error(), "write which") {
		return err
	}
	if t, ok := ts.nearest(n); ok {
		return meant(err, t)
	}
	return err
}

// How letters, size and pitch weigh against each other: 10 % in pitch, or 3 % in size, counts as one edit.
const (
	editsPerPitchNeper = 10
	editsPerSizeNeper  = 30
	// farthestEdits is how many edits, counting size and pitch so, may lie between what was written and a suggestion.
	farthestEdits = 10
)

// nearest finds the tabulated thread whose designation is few edits from what was written, at most a third of its letters
// unless the series is the same, and whose written size and pitch are near.
func (ts *Tables) nearest(n written) (best Thread, ok bool) {
	text := squeezed(n.Text)
	if len(text) < 2 || len(text) > 40 {
		return best, false
	}
	mostEdits, bestScore := (len([]rune(text))+2)/3, math.Inf(1)
	for _, t := range ts.All() {
		edits := levenshtein.ComputeDistance(text, squeezed(t.Designation))
		if edits > mostEdits && (n.Series == "" || n.Series != t.Series) {
			continue
		}
		if score := float64(edits) + n.apart(t); score < bestScore && score <= farthestEdits {
			best, bestScore, ok = t, score, true
		}
	}
	return best, ok
}

// squeezed is text in plain lower case without spaces.
func squeezed(text string) string {
	return strings.ToLower(strings.ReplaceAll(unit.Plain(text), " ", ""))
}

// apart says how far the designation of t is from the size and pitch that were written, in edits. Sizes compare as the
// numbers that name them: a trade size is not a diameter, but two of one trade compare.
func (n written) apart(t Thread) float64 {
	sum := 0.0
	if other, err := readName(t.Designation); err == nil {
		if n.SizeUnit != 0 && (n.SizeUnit == unit.Millimetre) != (other.SizeUnit == unit.Millimetre) {
			return math.Inf(1)
		}
		a, errA := unifiedInches(n.Size)
		b, errB := unifiedInches(other.Size)
		if errA == nil && errB == nil && a > 0 && b > 0 {
			sum += editsPerSizeNeper * math.Abs(math.Log(a/b))
		}
	}
	pitch := n.Pitch
	if n.PerInch > 0 {
		pitch = unit.Inches(1 / n.PerInch)
	}
	if pitch > 0 {
		sum += editsPerPitchNeper * math.Abs(math.Log(float64(pitch/t.Pitch)))
	}
	return sum
}
