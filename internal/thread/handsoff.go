package thread

// This file holds which threads are met where a wrong joint hurts people, and what is done about it.

import (
	"fmt"
	"slices"
)

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
