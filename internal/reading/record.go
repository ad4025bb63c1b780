package reading

// This file holds readings as they are kept: a record of texts as a person wrote them, and the set they are read into.

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tryring/internal/unit"
)

// Batch is what was read off one thread with one instrument, each text as the person wrote it. It is what the flags of
// `identify` fill and what a job file keeps.
type Batch struct {
	// Instrument names what it was read with (see Instruments), Date tells when in the person's own words; no clock is asked.
	Instrument string `toml:"instrument,omitempty"`
	Date       string `toml:"date,omitempty"`
	// Outside is the diameter over the crests of an external thread, Bore that crest to crest of an internal one.
	Outside []string `toml:"outside,omitempty"`
	Bore    []string `toml:"bore,omitempty"`
	// Throat is the smooth opening behind or through the thread, Length how much of the part is threaded.
	Throat []string `toml:"throat,omitempty"`
	Length []string `toml:"length,omitempty"`
	// Count and Over belong together one by one; Counted says what was counted, "crests" (first to last) or "spaces".
	Count   []string `toml:"count,omitempty"`
	Over    []string `toml:"over,omitempty"`
	Counted string   `toml:"counted,omitempty"`
	// TPI are threads to the inch, Pitch pitches given as such.
	TPI   []string `toml:"tpi,omitempty"`
	Pitch []string `toml:"pitch,omitempty"`
	// Leaf are the leaves of a pitch gauge that seated, NoLeaf those that did not.
	Leaf   []string `toml:"leaf,omitempty"`
	NoLeaf []string `toml:"no_leaf,omitempty"`
	// Angle is the thread angle in degrees, "55" or "60"; "" when it is not known.
	Angle string `toml:"angle,omitempty"`
	// Tapers is "yes" or "no"; "" when nobody looked whether the thread tapers.
	Tapers string `toml:"tapers,omitempty"`
	// OverWires are lengths over three wires, Wire the diameter of the wires.
	OverWires []string `toml:"over_wires,omitempty"`
	Wire      string   `toml:"wire,omitempty"`
	// Worn is set for a thread that is worn, or was cut small for plating or paint.
	Worn bool `toml:"worn,omitempty"`
}

// Set are the readings of one thread.
type Set struct {
	Outside, Bore, Throat []Reading
	// Depth is how far in a part may go, Length how much of the part is threaded.
	Depth, Length []Reading
	Counts        []Count
	Pitches       []PitchReading
	Leaves        []Leaf
	Wires         []Wires
	// AngleDeg is 55 or 60, 0 when it is not known.
	AngleDeg float64
	// Tapers is nil when nobody looked.
	Tapers *bool
	Worn   bool

	// countsSure leaves out the chance that the counts are off by one.
	countsSure bool
}

// External says whether the readings are of an external thread; a set that has no bore is taken for one.
func (s Set) External() bool { return len(s.Bore) == 0 }

// Flag is the flag of identify that stands for a key of a Batch.
func Flag(key string) string { return "--" + strings.ReplaceAll(key, "_", "-") }

// With returns r with the readings of more added to its own; what there is only one of, such as the instrument, is taken
// from more where it is given there.
func (r Batch) With(more Batch) Batch {
	one := func(to *string, from string) {
		if from != "" {
			*to = from
		}
	}
	one(&r.Instrument, more.Instrument)
	one(&r.Date, more.Date)
	one(&r.Counted, more.Counted)
	one(&r.Angle, more.Angle)
	one(&r.Tapers, more.Tapers)
	one(&r.Wire, more.Wire)
	from := more.lists()
	for i, to := range r.lists() {
		*to = append(slices.Clone(*to), *from[i]...)
	}
	r.Worn = r.Worn || more.Worn
	return r
}

// String says what was read in one line, with what and when.
func (r Batch) String() string {
	var parts []string
	say := func(what string, texts ...string) {
		for _, text := range texts {
			if text != "" {
				parts = append(parts, what+" "+text)
			}
		}
	}
	say("outside", r.Outside...)
	say("bore", r.Bore...)
	say("throat", r.Throat...)
	say("threaded", r.Length...)
	for i, n := range r.Count {
		what := r.Counted
		if what == "" {
			what = string(Crests)
		}
		if i < len(r.Over) {
			parts = append(parts, n+" "+what+" over "+r.Over[i])
		}
	}
	say("threads to the inch", r.TPI...)
	say("pitch", r.Pitch...)
	say("seats a leaf of", r.Leaf...)
	say("does not seat a leaf of", r.NoLeaf...)
	say("thread angle", r.Angle)
	say("tapers:", r.Tapers)
	say("over wires", r.OverWires...)
	say("wires of", r.Wire)
	if r.Worn {
		parts = append(parts, "worn")
	}
	say("read with", r.Instrument)
	say("on", r.Date)
	return strings.Join(parts, ", ")
}

// lists are the lists of readings of r, always in the same order.
func (r *Batch) lists() []*[]string {
	return []*[]string{&r.Outside, &r.Bore, &r.Throat, &r.Length, &r.Count, &r.Over, &r.TPI, &r.Pitch, &r.Leaf, &r.NoLeaf, &r.OverWires}
}

// Read reads the records of one thread, each with its own instrument. All faults are told at once, each after the place
// that the person wrote it at: place says it for a key of Batch ("no_leaf"); Flag is one such.
func Read(place func(key string) string, records ...Batch) (Set, error) {
	var s Set
	var faults []error
	fault := func(key string, err error) {
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", place(key), err))
		}
	}
	for _, r := range records {
		instrument, err := FindInstrument(r.Instrument)
		fault("instrument", err)
		for _, list := range []struct {
			flag  string
			texts []string
			to    *[]Reading
		}{{"outside", r.Outside, &s.Outside}, {"bore", r.Bore, &s.Bore}, {"throat", r.Throat, &s.Throat}, {"length", r.Length, &s.Length}} {
			for _, text := range list.texts {
				x, err := ParseReading(text, instrument)
				fault(list.flag, err)
				*list.to = append(*list.to, x)
			}
		}
		s.readPitches(r, instrument, fault)
		if len(r.OverWires) > 0 && r.Wire == "" {
			fault("wire", errors.New("missing; name the diameter of the wires"))
		} else if len(r.OverWires) == 0 && r.Wire != "" {
			fault("over_wires", errors.New("missing; name the length over the wires"))
		} else {
			for _, text := range r.OverWires {
				w, err := ParseWires(text, r.Wire, instrument)
				fault("over_wires", err)
				s.Wires = append(s.Wires, w)
			}
		}
		angle, err := 0.0, error(nil)
		if r.Angle != "" {
			angle, err = parseAngle(r.Angle)
		}
		switch {
		case err != nil:
			fault("angle", err)
		case angle > 0 && s.AngleDeg > 0 && !near(angle, s.AngleDeg):
			fault("angle", fmt.Errorf("%s and %s degrees; a thread has one angle", unit.Short(s.AngleDeg), unit.Short(angle)))
		case angle > 0:
			s.AngleDeg = angle
		}
		switch answer := strings.ToLower(strings.TrimSpace(r.Tapers)); answer {
		case "":
		case "yes", "no":
			tapers := answer == "yes"
			s.Tapers = &tapers
		default:
			fault("tapers", fmt.Errorf("%q; it is yes or no", r.Tapers))
		}
		s.Worn = s.Worn || r.Worn
	}
	if len(faults) > 0 {
		return Set{}, errors.Join(faults...)
	}
	return s, s.check(place)
}

// readPitches reads what r says of the pitch.
func (s *Set) readPitches(r Batch, i Instrument, fault func(string, error)) {
	if len(r.Count) != len(r.Over) {
		fault("count", fmt.Errorf("%d counts with %d lengths; each --count needs its --over", len(r.Count), len(r.Over)))
	} else {
		for k := range r.Count {
			if _, err := ParseReading(r.Over[k], i); err != nil {
				fault("over", err)
				continue
			}
			c, err := ParseCount(r.Count[k], r.Over[k], Counting(r.Counted), i)
			fault("count", err)
			s.Counts = append(s.Counts, c)
		}
	}
	for _, text := range r.TPI {
		p, err := ParsePerInch(text)
		fault("tpi", err)
		s.Pitches = append(s.Pitches, p)
	}
	for _, text := range r.Pitch {
		p, err := ParsePitch(text)
		fault("pitch", err)
		s.Pitches = append(s.Pitches, p)
	}
	for _, text := range r.Leaf {
		l, err := ParseLeaf(text, true)
		fault("leaf", err)
		s.Leaves = append(s.Leaves, l)
	}
	for _, text := range r.NoLeaf {
		l, err := ParseLeaf(text, false)
		fault("no_leaf", err)
		s.Leaves = append(s.Leaves, l)
	}
}

// check says what is missing or cannot be.
func (s Set) check(place func(key string) string) error {
	var faults []error
	fault := func(format string, args ...any) { faults = append(faults, fmt.Errorf(format, args...)) }
	if len(s.Outside) > 0 && len(s.Bore) > 0 {
		fault("%s and %s: a thread is external or internal; give the outside diameter of the one or the bore of the other", place("outside"), place("bore"))
	}
	if len(s.Wires) > 0 && len(s.Bore) > 0 {
		fault("%s and %s: wires lie on an external thread, a bore is of an internal one", place("over_wires"), place("bore"))
	}
	if len(s.Outside)+len(s.Bore)+len(s.Wires)+len(s.Counts)+len(s.Pitches)+len(s.Leaves) == 0 {
		fault("nothing read; give at least %s or %s, and a pitch, such as %s 15 with %s 1in", place("outside"), place("bore"), place("count"), place("over"))
	}
	for _, list := range []struct {
		key string
		rs  []Reading
	}{{"outside", s.Outside}, {"bore", s.Bore}, {"throat", s.Throat}, {"over_wires", s.overWires()}} {
		for _, r := range list.rs {
			if mm := r.Value.MM(); !(mm >= leastDiameterMM && mm <= mostDiameterMM) {
				fault("%s: %q is %s; it must be %s to %s mm", place(list.key), r.Text, r.Value, unit.Short(leastDiameterMM), unit.Short(mostDiameterMM))
			} else if r.Half > r.Value/2 {
				fault("%s: %q is uncertain by more than half of it", place(list.key), r.Text)
			}
		}
	}
	for _, c := range s.Counts {
		if c.Over.Half > c.Over.Value/2 {
			fault("%s: %q is uncertain by more than half of it", place("over"), c.Over.Text)
		}
	}
	return errors.Join(faults...)
}

func (s Set) overWires() []Reading {
	out := make([]Reading, len(s.Wires))
	for i, w := range s.Wires {
		out[i] = w.M
	}
	return out
}

// diameters are the readings over the crests, of the outside or of the bore.
func (s Set) diameters() []Reading {
	if s.External() {
		return s.Outside
	}
	return s.Bore
}
