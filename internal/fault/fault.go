// Package fault holds what is wrong with an input as data: which field, what was read there, and what would be right. The
// words for a field (a flag, a form field, a key and its line) are made at the edge, where the person is known.
package fault

import (
	"errors"
	"fmt"
	"strings"
)

// Fault is one thing that is wrong with an input. Whatever does not apply is empty.
type Fault struct {
	// Field is the key of the field, as documents write it: "inner_clearance"; a side of a job stands before its own fields,
	// "stays.bore".
	Field string
	// Place is where in a file it stands, "tub.toml:3"; "" where the field alone says.
	Place string
	// Read is what stood there, as it was written.
	Read string
	// Want says what would be right, or what is wrong where Read alone does not show it: "it lies between 0.5 mm and 300 mm".
	Want string
	// Cause is the error that Want tells of, for errors.Is; nil for none.
	Cause error
}

// At is a fault of a field: what was read there, and what would be right.
func At(field, read, want string, args ...any) Fault {
	if len(args) > 0 {
		want = fmt.Sprintf(want, args...)
	}
	return Fault{Field: field, Read: read, Want: want}
}

// Error tells f with the field's own key.
func (f Fault) Error() string { return f.Words(func(field string) string { return field }) }

// Words tells f with the words that field gives for its field, or with its own key where it stands in a file.
func (f Fault) Words(field func(string) string) string {
	var parts []string
	switch {
	case f.Place != "" && f.Field != "":
		parts = append(parts, f.Place+":", f.Field+":")
	case f.Place != "":
		parts = append(parts, f.Place+":")
	case f.Field != "":
		parts = append(parts, field(f.Field)+":")
	}
	if f.Read != "" {
		parts = append(parts, fmt.Sprintf("%q:", f.Read))
	}
	return strings.Join(append(parts, f.Want), " ")
}

// Unwrap returns the cause.
func (f Fault) Unwrap() error { return f.Cause }

// In lays err to a field: each fault in it that names none gets it, and an error that is no fault becomes one. A fault that
// names a field stands below the given one: "bore" in "stays" is "stays.bore". One that stands in a file stays what it is. It is
// nil for nil.
func In(field string, err error) error {
	if err == nil {
		return nil
	}
	var out []error
	for _, f := range Each(err) {
		switch {
		case f.Place != "":
		case f.Field == "":
			f.Field = field
		case field != "":
			f.Field = field + "." + f.Field
		}
		out = append(out, f)
	}
	return errors.Join(out...)
}

// Each takes joined errors apart, in their order; one that is no fault becomes one without a field.
func Each(err error) []Fault {
	if err == nil {
		return nil
	}
	if f, is := err.(Fault); is {
		return []Fault{f}
	}
	if many, is := err.(interface{ Unwrap() []error }); is {
		var out []Fault
		for _, one := range many.Unwrap() {
			out = append(out, Each(one)...)
		}
		return out
	}
	return []Fault{{Want: err.Error(), Cause: err}}
}

// Words tells all faults of err, a line each, with the words that field gives for their fields.
func Words(err error, field func(string) string) string {
	var lines []string
	for _, f := range Each(err) {
		lines = append(lines, f.Words(field))
	}
	return strings.Join(lines, "\n")
}
