package thread

// This file says how a thread table is written in TOML, and reads one strictly.
//
// A table opens with its head (TableHead) and goes on with rows, each an inline table on a line of its own. What a row
// holds differs from standard to standard; each family's file says it. Unknown keys are errors with their line, values
// out of range are errors with the row's name.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/unit"
	"tryring/profiles"
)

// ErrTable is wrapped by every error about what a thread table says.
var ErrTable = errors.New("thread table is wrong")

// What the figures of a table rest on.
const (
	Published      = "published"
	FromMemory     = "from memory"
	CommonPractice = "common practice"
)

// Bounds of what a table may say, wide enough for every screw thread that a person can hold.
const (
	maxDiameterMM = 1000
	minPitchMM    = 0.1
	maxPitchMM    = 25.4
)

// TableHead is the part of a table that names its figures.
type TableHead struct {
	// Standard, Edition and Table name the source, e.g. "ISO 228-1", "2000", "table 1".
	Standard string `toml:"standard"`
	Edition  string `toml:"edition"`
	Table    string `toml:"table"`
	// Units of all lengths in the rows: "mm" or "in".
	Units string `toml:"units"`
	// Series are the series words of the rows.
	Series []string `toml:"series"`
	// AngleDeg is the thread angle, 55 or 60; 0 where the rows say it.
	AngleDeg float64 `toml:"angle_deg"`
	// Taper is the change of diameter per length along the axis, 0 for straight threads.
	Taper float64 `toml:"taper"`
	// Basis is what the figures rest on: Published, FromMemory or CommonPractice.
	Basis string `toml:"basis"`
	// Checked says who or what the figures were checked against.
	Checked string `toml:"checked"`
}

// name returns standard and edition as the bodies write them: "ISO 228-1:2000", "ASME B1.20.1-2013".
func (h TableHead) name() string {
	switch {
	case h.Edition == "":
		return h.Standard
	case strings.HasPrefix(h.Standard, "ISO"):
		return h.Standard + ":" + h.Edition
	}
	return h.Standard + "-" + h.Edition
}

// source says in a sentence where the figures of a row are from; basis is the row's own, or "" for the table's.
func (h TableHead) source(basis string) string {
	if basis == "" {
		basis = h.Basis
	}
	s := h.name()
	if h.Table != "" {
		s += ", " + h.Table
	}
	return s + " (" + basis + "; " + h.Checked + ")"
}

// length converts a figure of the table.
func (h TableHead) length(x float64) unit.Length {
	if h.Units == "in" {
		return unit.Inches(x)
	}
	return unit.MM(x)
}

// limit converts an optional figure of the table; nil stays nil.
func (h TableHead) limit(x *float64) *unit.Length {
	if x == nil {
		return nil
	}
	return new(h.length(*x))
}

func (h TableHead) check() error {
	var errs []error
	for _, f := range []struct{ key, value string }{{"standard", h.Standard}, {"checked", h.Checked}} {
		if strings.TrimSpace(f.value) == "" {
			errs = append(errs, fmt.Errorf("%s is missing", f.key))
		}
	}
	if h.Units != "mm" && h.Units != "in" {
		errs = append(errs, fmt.Errorf(`units = %q, must be "mm" or "in"`, h.Units))
	}
	if bases := []string{Published, FromMemory, CommonPractice}; !slices.Contains(bases, h.Basis) {
		errs = append(errs, fmt.Errorf("basis = %q, must be one of %q", h.Basis, bases))
	}
	if h.AngleDeg != 0 {
		if _, err := formOf(h.AngleDeg); err != nil {
			errs = append(errs, err)
		}
	}
	if !(h.Taper >= 0 && h.Taper <= 0.5) {
		errs = append(errs, fmt.Errorf("taper = %v, must be 0 to 0.5", h.Taper))
	}
	return errors.Join(errs...)
}

// Sourced is a family that can say where a thread's figures are from and what they were checked against.
type Sourced interface {
	Family
	Source(t Thread) string
}

// row is what every row of a table can say of itself.
type row interface {
	// name is what tells the row from its neighbours.
	name() string
	check(h TableHead) error
}

// table is a whole table; R is one row.
type table[R row] struct {
	TableHead
	Rows []R `toml:"rows"`
}

// readTable reads the table in data; file is its name in errors, which wrap ErrTable.
func readTable[R row](file string, data []byte) (*table[R], error) {
	t := new(table[R])
	if _, err := datafile.Decode(file, data, t); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrTable, err)
	}
	var errs []error
	if err := t.TableHead.check(); err != nil {
		errs = append(errs, fmt.Errorf("%s: %w", file, err))
	}
	if len(t.Rows) == 0 {
		errs = append(errs, fmt.Errorf("%s: no rows", file))
	}
	seen := map[string]bool{}
	for i, r := range t.Rows {
		at := fmt.Sprintf("%s: row %d %q", file, i+1, r.name())
		key := plainText(r.name())
		if key == "" {
			errs = append(errs, fmt.Errorf("%s: has no name", at))
		} else if seen[key] {
			errs = append(errs, fmt.Errorf("%s: stands here twice", at))
		}
		seen[key] = true
		if err := r.check(t.TableHead); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", at, err))
		}
	}
	if len(errs) > 0 {
		return nil, fmt.Errorf("%w: %w", ErrTable, errors.Join(errs...))
	}
	return t, nil
}

// embedded reads a table that comes with the program. A fault in one is a fault of the program, so it panics.
func embedded[R row](file string) *table[R] {
	data, err := profiles.Threads.ReadFile("threads/" + file)
	if err != nil {
		panic(err)
	}
	t, err := readTable[R](file, data)
	if err != nil {
		panic(err)
	}
	return t
}

// formOf returns the form with the given thread angle in degrees.
func formOf(angleDeg float64) (Form, error) {
	for _, f := range []Form{Form60, Form55} {
		if math.Abs(f.AngleDeg()-angleDeg) < angleTolDeg {
			return f, nil
		}
	}
	return Form{}, fmt.Errorf("angle_deg = %v, must be 55 or 60", angleDeg)
}

// angleTolDeg is how far two thread angles may differ and be the same: rounding alone.
const angleTolDeg = 1e-6

// checkLengths refuses figures that are not lengths between zero and what a thread can be, in mm.
func checkLengths(h TableHead, figures ...figure) error {
	var errs []error
	for _, f := range figures {
		if mm := h.length(f.value).MM(); !(mm > 0 && mm <= maxDiameterMM) {
			errs = append(errs, fmt.Errorf("%s = %v %s, must be above 0 and at most %v mm", f.key, f.value, h.Units, float64(maxDiameterMM)))
		}
	}
	return errors.Join(errs...)
}

// figure is a value under its key.
type figure struct {
	key   string
	value float64
}

// checkOrder refuses figures that do not fall from the first to the last; missing ones (nil) are passed over.
func checkOrder(keys []string, values ...*float64) error {
	last := -1
	for i, v := range values {
		if v == nil {
			continue
		}
		if last >= 0 && !(*values[last] > *v) {
			return fmt.Errorf("%s = %v must be below %s = %v", keys[i], *v, keys[last], *values[last])
		}
		last = i
	}
	return nil
}

// checkPerInch refuses a count of threads in an inch that gives no sane pitch.
func checkPerInch(tpi float64) error {
	if p := unit.MMPerInch / tpi; !(p >= minPitchMM && p <= maxPitchMM) {
		return fmt.Errorf("tpi = %v, must be 1 to %v", tpi, unit.MMPerInch/minPitchMM)
	}
	return nil
}

// plainText brings a text to lower case with single spaces, so that two spellings of one name are one key.
func plainText(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
