package thread

// This file holds what a table says of all the threads under one series word, and what threads answer from it.

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tryring/internal/unit"
)

// Series is what a table says of the threads under one series word.
type Series struct {
	// Word is the normal spelling ("G"), Also are other words that people write for it ("BSPP", "PF").
	Word string   `toml:"word"`
	Also []string `toml:"also"`
	// Name is how a thread is called, with {size}, {tpi} and {pitch} in it: "G {size}", "{size}-{tpi} NPT", "Tr
	// {size}x{pitch}".
	Name string `toml:"name"`
	// Side is "external" or "internal" where the threads come on one side alone, else "".
	Side string `toml:"side"`
	// Taper is the change of diameter per length along the axis, 0 for straight threads.
	Taper float64 `toml:"taper"`
	// External and Internal are the tolerance classes of either side, the usual one first. ClassAfter stands between name
	// and class, "-" when left out.
	External   []string `toml:"external"`
	Internal   []string `toml:"internal"`
	ClassAfter string   `toml:"class_after"`
	// OneStart is set where the standard knows single starts alone.
	OneStart bool `toml:"one_start"`
	// Use says in a few words what the threads are used for.
	Use string `toml:"use"`
	// Common says how many times as common as a thread of no account the threads are, by the set of things that a
	// person says the part belongs to ("any", "drain", "supply", "hose", "machine"); common practice, no published
	// source.
	Common map[string]float64 `toml:"common"`
	handling

	table  *TableHead
	family family
	own    bool
}

// The sides of Series.Side.
const (
	externalSide = "external"
	internalSide = "internal"
)

func (s *Series) check() error {
	var w wrongs
	w.also(s.handling.check())
	w.also(checkSide(s.Side))
	w.unless(plainText(s.Word) != "", "word is missing")
	w.unless(s.Taper >= 0 && s.Taper <= 0.5, "taper = %v, must be 0 to 0.5", s.Taper)
	for _, set := range slices.Sorted(maps.Keys(s.Common)) {
		times := s.Common[set]
		w.unless(times > 0 && times <= 1000, "common.%s = %v, must be above 0 and at most 1000", set, times)
	}
	return w.err()
}

func checkSide(side string) error {
	if !slices.Contains([]string{"", externalSide, internalSide}, side) {
		return fmt.Errorf("side = %q, must be %q, %q or left out", side, externalSide, internalSide)
	}
	return nil
}

// classAfter is what stands between a name and a class.
func (s *Series) classAfter() string {
	if s == nil || s.ClassAfter == "" {
		return "-"
	}
	return s.ClassAfter
}

// called returns t with its name, and with class in its designation.
func (t Thread) called(name, class string) Thread {
	t.name, t.Class = name, class
	t.Designation = name
	if class != "" {
		t.Designation += t.series.classAfter() + class
	}
	return t
}

// WithClass is the designation of t at class, in the place of its own class; "" for none.
func (t Thread) WithClass(class string) string {
	handAndStarts := strings.TrimPrefix(t.Designation, t.called(t.name, t.Class).Designation)
	return t.called(t.name, class).Designation + handAndStarts
}

// Side is "external" or "internal" for a thread that comes on one side alone, else "".
func (t Thread) Side() string {
	if t.series == nil {
		return ""
	}
	return cmp.Or(t.tableRow().Side, t.series.Side)
}

// tableRow is the row of a listed thread; empty for others.
func (t Thread) tableRow() row {
	if t.series != nil {
		if f, ok := t.series.family.(*Listed); ok {
			return f.rows[t.row]
		}
	}
	return row{}
}

// ComesAs says whether there are external (or internal) threads of this kind.
func (t Thread) ComesAs(external bool) bool {
	return t.Side() == "" || (t.Side() == externalSide) == external
}

// coarseFactor is how many times as common as a fine metric thread the coarse one of its diameter is (common
// practice, no published source).
const coarseFactor = 8

// Common says how many times as common as a thread of no account t is in a set of things; see Series.Common. A set that the
// series does not name is as "any", but no more than 1.
func (t Thread) Common(set string) float64 {
	times := 1.0
	if t.series != nil {
		if usual, said := t.series.Common["any"]; said {
			times = min(1, usual)
		}
		if said, named := t.series.Common[set]; named {
			times = said
		}
	}
	if t.coarse {
		times *= coarseFactor
	}
	return times
}

// Own says whether t is of a table that the person wrote.
func (t Thread) Own() bool { return t.series != nil && t.series.own }

// Metric says whether the size of t is spoken of in millimetres.
func (t Thread) Metric() bool {
	if t.series == nil {
		return strings.Contains(t.Designation, "mm x")
	}
	return t.series.table.Units == "mm" && !t.series.table.TradeSizes
}

// TradeSize is the size in inches by which the trade calls t, where that is no diameter of it; ok is false elsewhere.
func (t Thread) TradeSize() (size unit.Length, ok bool) {
	if t.series == nil || !t.series.table.TradeSizes {
		return 0, false
	}
	x, err := unit.ParseNumber(t.tableRow().Size)
	return unit.Inches(x), err == nil
}

// Makeable says why no part can be made by the name of t; nil where one can. It wraps ErrHandsOff where none is made
// at all, and says what to measure where makers differ.
func (t Thread) Makeable() error {
	if err := t.HandsOff(); err != nil {
		return err
	}
	if differs := t.tableRow().Measure; differs != "" {
		return fmt.Errorf(`%s: %s; read or scan the part and write it free, like "%smm x %smm 10/40deg 2.5mm deep", load flank first`,
			t.Designation, differs, unit.Short(t.Basic.Major.MM()), unit.Short(t.Pitch.MM()))
	}
	return nil
}

// UsualClass is the class that limits of t hold for when asked for class, "" for the thread's own; "" where there are
// no classes.
func (t Thread) UsualClass(asked string, external bool) string {
	if t.series == nil {
		return ""
	}
	if asked == "" {
		asked = t.Class
	}
	return t.series.family.classOf(t, asked, external)
}

// SideOfClass says which side's threads a class of t's series is for; ok is false where that does not follow.
func (t Thread) SideOfClass(class string) (external, ok bool) {
	if t.series == nil || class == "" {
		return false, false
	}
	return t.series.family.sideOf(class)
}

// NoGo is how many turns a no-go gauge may enter a good part, and the standard that says so.
func (t Thread) NoGo() (turns int, source string) {
	if t.series == nil || t.series.table.NoGoTurns == 0 {
		return 2, "ISO 1502 (from memory)"
	}
	return t.series.table.NoGoTurns, t.series.table.NoGoSource
}

// ErrNoLimits is returned for a thread that no standard limits: a free thread.
var ErrNoLimits = errors.New("no standard gives limits of size")

// Source says where the figures of t are from and what they were checked against.
func (t Thread) Source() string {
	if t.series == nil {
		return "written by the user: " + t.Designation
	}
	return t.series.family.Source(t)
}

// Limits returns the limits of size of t at class (the class of t, or else the usual one, when class is "").
// It fails with ErrNoLimits for a free thread.
func (t Thread) Limits(class string, external bool) (Limits, error) {
	if t.series == nil {
		return Limits{}, fmt.Errorf("%s: %w", t.Designation, ErrNoLimits)
	}
	if class == "" {
		class = t.Class
	}
	l, err := t.series.family.Limits(t, class, external)
	if err != nil {
		return Limits{}, fmt.Errorf("%s: %w", t.Designation, err)
	}
	return l, nil
}
