package reading

// This file holds the kinds of readings: one table, from which flags, form fields and the keys of documents are made.

import (
	"slices"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Kind is a kind of reading.
type Kind struct {
	// Key names it in records, documents and forms.
	Key string
	// Words stand before the text in a sentence: "bore 45.75mm".
	Words string
	// Ask says what is asked for; the word between ` ` stands for the text.
	Ask string
	// Length is set where a length is read, with an instrument.
	Length bool
	// Inch is the word that a bare number gets from a person who reads in inches; "" for none.
	Inch string
	// Over is the key of the second half of a text "15 over 1in" where a form asks for the halves apart, AskOver what it asks for.
	Over, AskOver string
	// Named is the text that stands for a kind that is only named, and not said anything of; "" where that says nothing.
	Named string
	// Of is "external" or "internal" where only such a thread has it.
	Of string
	// Once is set where a thread has one of it: two that differ cannot both be right.
	Once bool

	read func(s *Set, text string, by Source) error
}

// Source says where a reading comes from.
type Source struct {
	Instrument Instrument
	// Look is the sitting, picture or scan; readings of one look share an error. 0 for one of its own.
	Look int
}

// Kinds are all kinds of readings, in the order in which people are asked for them.
func Kinds() []Kind { return slices.Clone(kinds) }

// FindKind returns the kind with the given key.
func FindKind(key string) (Kind, bool) {
	i := slices.IndexFunc(kinds, func(k Kind) bool { return k.Key == key })
	if i < 0 {
		return Kind{}, false
	}
	return kinds[i], true
}

const (
	external = "external"
	internal = "internal"
)

var kinds = []Kind{
	{
		Key: "outside", Length: true, Words: "outside", Ask: "outside diameter `LENGTH` over the crests of an external thread", Inch: "in", Of: external,
		read: diameter(func(s *Set) *[]Reading { return &s.Outside }),
	},
	{
		Key: "bore", Length: true, Words: "bore", Ask: "bore `LENGTH` from crest to crest of an internal thread", Inch: "in", Of: internal,
		read: diameter(func(s *Set) *[]Reading { return &s.Bore }),
	},
	{
		Key: "throat", Length: true, Words: "throat", Ask: "throat `LENGTH`: the smooth opening behind or through the thread", Inch: "in",
		read: diameter(func(s *Set) *[]Reading { return &s.Throat }),
	},
	{
		Key: "depth", Length: true, Words: "depth of the socket", Ask: "depth of the socket: how far in a part may go, a `LENGTH`", Inch: "in",
		read: length(func(s *Set) *[]Reading { return &s.Depth }),
	},
	{
		Key: "length", Length: true, Words: "threaded", Ask: "how much `LENGTH` of the part is threaded", Inch: "in",
		read: length(func(s *Set) *[]Reading { return &s.Length }),
	},
	{
		Key: "count", Length: true, Words: "counted", Ask: "crests counted from the first to the last, both included: `N`; or spaces, \"16 spaces\"",
		Over: "over", AskOver: "`LENGTH` from the first crest counted to the last",
		read: func(s *Set, text string, by Source) error {
			n, over, found := strings.Cut(text, overWord)
			if !found {
				return fault.At("", text, "the length is missing that was counted over; write 15 over 1in")
			}
			n, way := cutCounting(n)
			c, err := ParseCount(n, over, way, by.Instrument)
			c.Over.Look = by.Look
			if err == nil {
				err = c.Over.trusted()
			}
			s.Counts = append(s.Counts, c)
			return err
		},
	},
	{
		Key: "tpi", Words: "threads to the inch", Ask: "threads to the inch, `N`, such as 14 or 11 1/2",
		read: pitch(ParsePerInch),
	},
	{
		Key: "pitch", Words: "pitch", Ask: "pitch, `LENGTH` or threads to the inch (1.5mm, 14tpi)", Inch: "tpi",
		read: pitch(ParsePitch),
	},
	{
		Key: "ratio", Words: "pitch over outside diameter", Ask: "pitch over outside diameter, a `NUMBER` as tryring photo tells it of a picture without a scale", Of: external,
		read: func(s *Set, text string, by Source) error {
			r, err := parseRatio(text)
			r.Look = by.Look
			s.Ratios = append(s.Ratios, r)
			return err
		},
	},
	{
		Key: "leaf", Words: "seats a leaf of", Ask: "pitch-gauge leaf that seats: its `PITCH`", Inch: "tpi",
		read: leaf(true),
	},
	{
		Key: "no_leaf", Words: "does not seat a leaf of", Ask: "pitch-gauge leaf that does not seat: its `PITCH`", Inch: "tpi",
		read: leaf(false),
	},
	{
		Key: "angle", Words: "thread angle", Ask: "angle between the flanks in `DEGREES`, mostly 55 or 60, if it is known", Once: true,
		read: func(s *Set, text string, _ Source) (err error) {
			s.AngleDeg, err = parseAngle(text)
			return err
		},
	},
	{
		Key: "tapers", Words: "tapers:", Ask: "`yes` or no: whether the diameter grows along the thread", Once: true,
		read: func(s *Set, text string, _ Source) error {
			tapers, err := yesNo(text)
			s.Tapers = &tapers
			return err
		},
	},
	{
		Key: "over_wires", Length: true, Words: "over wires", Ask: "`LENGTH` over three wires", Inch: "in", Of: external,
		Over: "wire", AskOver: "diameter `LENGTH` of those wires",
		read: func(s *Set, text string, by Source) error {
			m, wire, found := strings.Cut(text, overWord)
			if !found {
				return fault.At("", text, "the diameter of the wires is missing; write 49.2mm over 1.05mm")
			}
			w, err := ParseWires(m, wire, by.Instrument)
			w.M.Look = by.Look
			if err == nil {
				err = w.M.plausible()
			}
			s.Wires = append(s.Wires, w)
			return err
		},
	},
	{
		Key: "worn", Words: "worn:", Named: "yes", Once: true,
		Ask: "`yes`: the thread is worn, or cut small for plating or paint, and may read under (external) or over (internal) its limits",
		read: func(s *Set, text string, _ Source) (err error) {
			s.Worn, err = yesNo(text)
			return err
		},
	},
}

// overWord stands between the two halves of a text such as "15 over 1in".
const overWord = " over "

// Text puts the two halves of a reading together: "15" and "1in" are "15 over 1in".
func (k Kind) Text(text, over string) string {
	if k.Over == "" || strings.TrimSpace(over) == "" {
		return text
	}
	return strings.TrimSpace(text) + overWord + strings.TrimSpace(over)
}

// Halves takes apart what Text put together.
func (k Kind) Halves(text string) (first, over string) {
	if k.Over == "" {
		return text, ""
	}
	first, over, _ = strings.Cut(text, overWord)
	return first, over
}

// cutCounting takes the word for what was counted off a count: "16 spaces" are 16 and Spaces.
func cutCounting(n string) (number string, way Counting) {
	number = strings.TrimSpace(n)
	for _, way := range []Counting{Crests, Spaces} {
		if left, found := strings.CutSuffix(strings.ToLower(number), string(way)); found {
			return strings.TrimSpace(left), way
		}
	}
	return number, Crests
}

func length(to func(*Set) *[]Reading) func(*Set, string, Source) error {
	return func(s *Set, text string, by Source) error {
		r, err := ParseReading(text, by.Instrument)
		r.Look = by.Look
		*to(s) = append(*to(s), r)
		return err
	}
}

func diameter(to func(*Set) *[]Reading) func(*Set, string, Source) error {
	read := length(to)
	return func(s *Set, text string, by Source) error {
		if err := read(s, text, by); err != nil {
			return err
		}
		rs := *to(s)
		return rs[len(rs)-1].plausible()
	}
}

func pitch(parse func(string) (PitchReading, error)) func(*Set, string, Source) error {
	return func(s *Set, text string, by Source) error {
		p, err := parse(text)
		p.Look = by.Look
		s.Pitches = append(s.Pitches, p)
		return err
	}
}

func leaf(matches bool) func(*Set, string, Source) error {
	return func(s *Set, text string, by Source) error {
		l, err := ParseLeaf(text, matches)
		l.Look = by.Look
		s.Leaves = append(s.Leaves, l)
		return err
	}
}

// The bounds of a diameter that is read: below, nobody counts crests; above, no table reaches.
const (
	leastDiameterMM = 0.5
	mostDiameterMM  = 300
)

// plausible says whether r can be a diameter.
func (r Reading) plausible() error {
	if mm := r.Value.MM(); !(mm >= leastDiameterMM && mm <= mostDiameterMM) {
		return fault.At("", r.Text, "it is %s; it must be %s to %s mm", r.Value, unit.Short(leastDiameterMM), unit.Short(mostDiameterMM))
	}
	return r.trusted()
}

// trusted says whether r says anything at all.
func (r Reading) trusted() error {
	if r.Half > r.Value/2 {
		return fault.At("", r.Text, "it is uncertain by more than half of it")
	}
	return nil
}

func parseAngle(text string) (float64, error) {
	x, err := unit.ParseNumber(trimDegrees(text))
	if err != nil || !(x >= thread.MinAngleDeg && x <= thread.MaxAngleDeg) {
		return 0, fault.At("", text, "the angle between the flanks is %d to %d degrees, on most threads 55 or 60", thread.MinAngleDeg, thread.MaxAngleDeg)
	}
	return x, nil
}

func yesNo(text string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "yes":
		return true, nil
	case "no":
		return false, nil
	}
	return false, fault.At("", text, "it is yes or no")
}
