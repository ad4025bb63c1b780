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

// editsPerNeper weighs size and pitch against letters: a tenth of a neper, 10 % in size or pitch, counts as one edit.
const editsPerNeper = 10

// nearest finds the tabulated thread whose designation is few edits from what was written, at most a third of its letters,
// and whose size and pitch are near.
func (ts *Tables) nearest(n written) (best Thread, ok bool) {
	text := squeezed(n.Text)
	if len(text) < 2 || len(text) > 40 {
		return best, false
	}
	mostEdits, bestScore := (len([]rune(text))+2)/3, math.Inf(1)
	for _, t := range ts.All() {
		edits := levenshtein.ComputeDistance(text, squeezed(t.Designation))
		if edits > mostEdits {
			continue
		}
		if score := float64(edits) + editsPerNeper*n.apart(t); score < bestScore {
			best, bestScore, ok = t, score, true
		}
	}
	return best, ok
}

// squeezed is text in plain lower case without spaces.
func squeezed(text string) string {
	return strings.ToLower(strings.ReplaceAll(unit.Plain(text), " ", ""))
}

// apart says how far t is from the size and pitch that were written, as a sum of relative differences.
func (n written) apart(t Thread) float64 {
	sum := 0.0
	if x, err := unit.ParseNumber(strings.TrimPrefix(n.Size, "#")); err == nil && x > 0 {
		size := unit.Inches(x)
		if n.SizeUnit == unit.Millimetre {
			size = unit.MM(x)
		}
		sum += math.Abs(math.Log(float64(size / t.Basic.Major)))
	}
	pitch := n.Pitch
	if n.PerInch > 0 {
		pitch = unit.Inches(1 / n.PerInch)
	}
	if pitch > 0 {
		sum += math.Abs(math.Log(float64(pitch / t.Pitch)))
	}
	return sum
}
