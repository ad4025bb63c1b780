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
	if m := (meantError{}); errors.As(err, &m) || n.free || errors.Is(err, ErrWhich) {
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

// candidate is a thread that may be suggested, with its designation taken apart.
type candidate struct {
	thread Thread
	text   string
	name   written
	// size is the number that names the size, 0 when there is none.
	size float64
}

func (ts *Tables) listCandidates() []candidate {
	var out []candidate
	for _, t := range ts.all() {
		n, _ := ts.readName(t.Designation) // what a person called a thread of their own need not be a name
		out = append(out, candidate{t, squeezed(t.Designation), n, n.sizeNumber()})
	}
	return out
}

// nearest finds the tabulated thread whose designation is few edits from what was written, at most a third of its letters
// unless the series is the same, and whose written size and pitch are near.
func (ts *Tables) nearest(n written) (best Thread, ok bool) {
	text := squeezed(n.Text)
	length := len([]rune(text))
	if length < 2 || length > 40 {
		return best, false
	}
	size := n.sizeNumber()
	mostEdits, bestScore := (length+2)/3, math.Inf(1)
	for _, c := range ts.candidates() {
		sameSeries := n.Series != "" && n.Series == c.thread.Series
		if apart := length - len(c.text); !sameSeries && max(apart, -apart) > mostEdits {
			continue
		}
		score := n.apart(size, c)
		if score >= bestScore || score > farthestEdits {
			continue
		}
		edits := levenshtein.ComputeDistance(text, c.text)
		if edits > mostEdits && !sameSeries {
			continue
		}
		if score += float64(edits); score < bestScore && score <= farthestEdits {
			best, bestScore, ok = c.thread, score, true
		}
	}
	return best, ok
}

// squeezed is text in plain lower case without spaces.
func squeezed(text string) string {
	return strings.ToLower(strings.ReplaceAll(unit.Plain(text), " ", ""))
}

// apart says how far c is from the size and pitch that were written, in edits. Sizes compare as the numbers that name them:
// a trade size is not a diameter, but two of one trade compare.
func (n written) apart(size float64, c candidate) float64 {
	sum := 0.0
	if n.SizeUnit != 0 && (n.SizeUnit == unit.Millimetre) != (c.name.SizeUnit == unit.Millimetre) {
		return math.Inf(1)
	}
	if size > 0 && c.size > 0 {
		sum += editsPerSizeNeper * math.Abs(math.Log(size/c.size))
	}
	pitch := n.Pitch
	if n.PerInch > 0 {
		pitch = unit.Inches(1 / n.PerInch)
	}
	if pitch > 0 {
		sum += editsPerPitchNeper * math.Abs(math.Log(float64(pitch/c.thread.Pitch)))
	}
	return sum
}

// sizeNumber is the number that names the size, 0 when none was read.
func (n written) sizeNumber() float64 {
	if n.Size == "" {
		return 0
	}
	x, err := unifiedInches(n.Size)
	if err != nil {
		return 0
	}
	return x
}
