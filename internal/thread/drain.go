package thread

// This file holds what the trade uses which thread for: drains, wastes and fixtures. It is common practice with no
// published source, and tells uses, not sizes: each use points at a designation of another family, which says the
// diameters. So one text never stands for two threads.

import (
	"errors"
	"fmt"
	"sync"

	"tryring/internal/unit"
)

// Use is one thing that a thread is used for, common practice with no published source.
type Use struct {
	// Designation is the thread, in the normal form of its family.
	Designation string
	// What says in plain words where it is met.
	What string
	// Throat is the plain opening below an internal thread or through an external one, about; 0 where none is usual.
	Throat unit.Length
	// OtherName is what the trade also calls it, by the bore where the designation goes by the outside, or the other
	// way round; "" where there is none.
	OtherName string
}

// Source says what every use rests on.
func (Use) Source() string { return CommonPractice + ", no published source" }

// useRow is a row of the table of uses.
type useRow struct {
	Thread    string  `toml:"thread"`
	What      string  `toml:"what"`
	Throat    float64 `toml:"throat"`
	OtherName string  `toml:"other_name"`
}

// name is thread and use together: one thread may have several uses.
func (r useRow) name() string { return r.Thread + ": " + r.What }

func (r useRow) check(h TableHead) error {
	var errs []error
	if plainText(r.Thread) == "" {
		errs = append(errs, errors.New("thread is missing"))
	}
	if plainText(r.What) == "" {
		errs = append(errs, errors.New("what is missing"))
	}
	if mm := h.length(r.Throat).MM(); !(mm >= 0 && mm <= maxDiameterMM) {
		errs = append(errs, fmt.Errorf("throat = %v %s, must be at most %v mm", r.Throat, h.Units, float64(maxDiameterMM)))
	}
	return errors.Join(errs...)
}

var drain = sync.OnceValue(func() *table[useRow] { return embedded[useRow]("drain.toml") })

// Uses lists the uses in the order of the table.
func Uses() []Use {
	var out []Use
	for _, r := range drain().Rows {
		out = append(out, Use{Designation: r.Thread, What: r.What, Throat: drain().length(r.Throat), OtherName: r.OtherName})
	}
	return out
}

// UsesOf lists the uses of the thread with the given designation (letter case and spacing do not matter).
func UsesOf(designation string) []Use {
	var out []Use
	for _, u := range Uses() {
		if plainText(u.Designation) == plainText(designation) {
			out = append(out, u)
		}
	}
	return out
}
