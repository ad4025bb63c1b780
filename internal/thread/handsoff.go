package thread

// This file holds which threads are met where a wrong joint hurts people, and what is done about it.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// ErrHandsOff is wrapped by every refusal of a thread or a use in which a wrong joint hurts people.
var ErrHandsOff = errors.New("no part is made for it here; leave it to licensed practice")

// Handling says what is done about a thread that has a dangerous use.
type Handling string

// The classes of threads: without a dangerous use; with one beside ordinary ones; with no other.
const (
	Plain  Handling = "plain"
	Shared Handling = "shared"
	Only   Handling = "only"
)

// handling is what a table says of a thread's danger. Left out, that of the series holds, and of a series Plain.
type handling struct {
	// Handle is the class, Why names the dangerous uses in a few words.
	Handle Handling `toml:"handle"`
	Why    string   `toml:"why"`
}

func (h handling) check() error {
	switch h.Handle {
	case "", Plain:
		return nil
	case Shared, Only:
		if plainText(h.Why) == "" {
			return fmt.Errorf("handle = %q needs why: the dangerous use in a few words", h.Handle)
		}
		return nil
	}
	return fmt.Errorf("handle = %q, must be %q, %q or %q", h.Handle, Plain, Shared, Only)
}

// HandsOff says why no part is made for t, nil where parts are made: t is a thread without an ordinary use, by its
// name or as a free thread within the sizes of one. It wraps ErrHandsOff.
func (t Thread) HandsOff() error {
	h, like := t.handled(), ""
	if h.Handle != Only {
		only, ok := t.onlyLike()
		if !ok {
			return nil
		}
		h, like = only.handled(), fmt.Sprintf(" has the sizes of %s, which", only.Designation)
	}
	return fmt.Errorf("%s%s is a thread of %s; %w", t.Designation, like, cmp.Or(h.Why, t.Use()), ErrHandsOff)
}

// SharedWith names the dangerous uses that t has beside ordinary ones, "" where there are none.
func (t Thread) SharedWith() string {
	h := t.handled()
	if h.Handle != Shared {
		return ""
	}
	return h.Why
}

// Danger is SharedWith where a part with t could get there: a dangerous use of this very size, or of a family that is for little else.
// Metric and Unified threads are for everything, so that what is said of them all says nothing of one.
func (t Thread) Danger() string {
	if t.series != nil && t.handled() == t.series.handling {
		switch t.series.family.(type) {
		case Metric, Unified:
			return ""
		}
	}
	return t.SharedWith()
}

// RefusedUse says why no part is made for a use in a person's own words, nil where parts are made. It wraps ErrHandsOff.
func RefusedUse(use string) error {
	if word := dangerousUse.FindString(use); word != "" {
		return fmt.Errorf("use %q says %q: a wrong joint there hurts people; %w", use, strings.ToLower(word), ErrHandsOff)
	}
	return nil
}

var dangerousUse = regexp.MustCompile(`(?i)\b(?:gas|lpg|propane|butane|methane|hydrogen|acetylene|oxygen|medical|medicine|breathing|scuba|an(?:a)?esthetic|` +
	`fuel|petrol|gasoline|diesel|kerosene|brakes?|high[ -]pressure|hydraulics?|refrigerant|steam)\b`)

// onlyThreads are those without an ordinary use.
var onlyThreads = sync.OnceValue(func() []Thread {
	var out []Thread
	for _, t := range builtIn().all() {
		if t.tableRow().Handle == Only || t.tableRow().Handle == "" && t.series.Handle == Only {
			out = append(out, t)
		}
	}
	for _, u := range uses() {
		if u.Handle != Only {
			continue
		}
		if t, err := builtIn().Parse(u.Designation); err == nil {
			out = append(out, t)
		}
	}
	return out
})

// How far a thread that is in no table may lie from one without an ordinary use and be taken for it: major diameter
// below and above the basic one, in pitches, pitch as a part of itself, and angle in degrees, more where none was
// written (common practice, no published source).
const (
	likeBelow, likeAbove = 0.2, 0.05
	likePitch            = 0.01
	likeAngleDeg         = 2
	likeAnyAngleDeg      = 6
)

// onlyLike returns the thread without an ordinary use whose sizes t has, when t is a free thread, a special or a
// person's own.
func (t Thread) onlyLike() (Thread, bool) {
	if t.series != nil && !t.Own() && !strings.HasSuffix(t.Standard, byFormula) {
		return Thread{}, false
	}
	angle := float64(likeAngleDeg)
	if t.series == nil && !strings.Contains(t.Designation, "deg") {
		angle = likeAnyAngleDeg
	}
	for _, o := range onlyThreads() {
		p := o.Pitch.MM()
		over := (t.Basic.Major - o.Basic.Major).MM() / p
		if t.Hand == o.Hand && t.Starts == o.Starts && math.Abs(t.Pitch.MM()-p) <= likePitch*p && over >= -likeBelow && over <= likeAbove &&
			math.Abs(t.Form.AngleDeg()-o.Form.AngleDeg()) <= angle {
			return o, true
		}
	}
	return Thread{}, false
}

// handled is what the tables say of t's danger: the gravest of its own row, its uses and its series.
func (t Thread) handled() handling {
	out := handling{Handle: Plain}
	worse := func(h handling) {
		if rank(h.Handle) > rank(out.Handle) {
			out = h
		}
	}
	worse(t.tableRow().handling)
	for _, u := range UsesOf(t.WithClass("")) {
		worse(u.handling)
	}
	if t.series != nil && t.tableRow().Handle == "" {
		worse(t.series.handling)
	}
	return out
}

// rank orders the classes by their gravity.
func rank(h Handling) int { return slices.Index([]Handling{"", Plain, Shared, Only}, h) }
