package thread

// This file holds what the trade uses which thread for. It is common practice with no published source, and tells uses, not
// sizes: each use points at a designation of a family, which says the diameters. So one text never stands for two threads.

import (
	"cmp"
	"slices"
	"sync"

	"tryring/internal/unit"
)

// Use is one thing that a thread is used for, common practice with no published source.
type Use struct {
	// Designation is the thread, in the normal form of its family.
	Designation string `toml:"thread"`
	// What says in plain words where it is met.
	What string `toml:"what"`
	// Throat is the plain opening below an internal thread or through an external one, about; 0 where none is usual.
	Throat unit.Length `toml:"-"`
	// OtherName is what the trade also calls it, by the bore where the designation goes by the outside, or the other
	// way round; "" where there is none.
	OtherName string `toml:"other_name"`

	// Common is how many times more common the use makes its thread than the series says; 1 where the row of a listed family names it:
	// that all of a family have their uses makes none of them a usual one.
	Common float64 `toml:"-"`

	handling
}

// Source says what every use rests on.
func (Use) Source() string { return CommonPractice + ", no published source" }

// useRow is a row of a table of uses, with the throat in the table's units.
type useRow struct {
	Use
	Wide float64 `toml:"throat"`
	// Times is how common the use makes its thread where that differs from the others of the table.
	Times float64 `toml:"common"`
}

// uses are those of the tables of uses, file by file, and then those that the rows of listed families name.
var uses = sync.OnceValue(func() []Use {
	var out []Use
	for _, t := range embeddedIn[useRow]("uses") {
		for _, r := range t.Rows {
			r.Throat, r.Common = t.length(r.Wide), max(1, cmp.Or(r.Times, t.Common))
			out = append(out, r.Use)
		}
	}
	for _, f := range families() {
		l, _ := f.(*Listed)
		if l == nil {
			continue
		}
		for _, t := range l.threads {
			if r := l.rows[t.row]; r.Use != "" {
				out = append(out, Use{Designation: t.Designation, What: r.Use, Common: 1, handling: r.handling})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Use) int { return cmp.Compare(rank(a.Handling()), rank(b.Handling())) }) // ordinary uses come first
	return out
})

// Handling is the class of the use; Plain where nothing says otherwise.
func (u Use) Handling() Handling { return cmp.Or(u.Handle, Plain) }

// Uses lists the uses in the order of the tables, dangerous ones last.
func Uses() []Use { return slices.Clone(uses()) }

var usesByThread = sync.OnceValue(func() map[string][]Use {
	out := map[string][]Use{}
	for _, u := range uses() {
		key := plainText(u.Designation)
		out[key] = append(out[key], u)
	}
	return out
})

// UsesOf lists the uses of the thread with the given designation (letter case and spacing do not matter).
func UsesOf(designation string) []Use { return usesByThread()[plainText(designation)] }

// Use says in a few words what threads like t are used for, "" for a free thread.
func (t Thread) Use() string {
	if t.series == nil {
		return ""
	}
	return t.series.Use
}
