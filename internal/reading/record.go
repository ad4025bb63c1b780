package reading

// This file holds readings as they are kept, each as a person wrote it, and the set that they are read into.

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tryring/internal/fault"
)

// Record is one reading as it was typed.
type Record struct {
	// ID is its number in the job's document; 0 when it stands in none.
	ID int `json:"id"`
	// What is the key of its kind: "bore", "count".
	What string `json:"what"`
	// Text is what was read, in the person's own words: "45.75mm", "15 over 1in", "16 spaces over 1in".
	Text string `json:"text"`
	// Instrument names what it was read with (see Instruments), When tells the day in the person's own words; no clock is asked.
	Instrument string `json:"instrument"`
	When       string `json:"when"`
	Note       string `json:"note,omitempty"`
	// Look is the sitting, picture or scan that it belongs to, by the number of the first reading of it: readings of one look
	// share an error. 0 for a look of its own.
	Look int `json:"look,omitempty"`
}

// String tells r: "bore 45.75mm".
func (r Record) String() string {
	k, known := FindKind(r.What)
	if !known {
		return r.What + " " + r.Text
	}
	return k.Words + " " + r.Text
}

// Told tells records in sentences, those of one look in one: "bore 45.75mm, 14 threads to the inch, read with caliper, on 2026-03-01".
func Told(records []Record) []string {
	var out []string
	for i := 0; i < len(records); {
		first, end := records[i], i+1
		same := func(r Record) bool {
			return r.Instrument == first.Instrument && r.When == first.When && r.Look == first.Look && r.Look != 0
		}
		for end < len(records) && same(records[end]) {
			end++
		}
		var parts []string
		for _, r := range records[i:end] {
			parts = append(parts, r.String())
		}
		if first.Instrument != "" {
			parts = append(parts, "read with "+first.Instrument)
		}
		if first.When != "" {
			parts = append(parts, "on "+first.When)
		}
		out = append(out, strings.Join(parts, ", "))
		i = end
	}
	return out
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
	// Ratios are pitches over the outside diameter.
	Ratios []PitchReading
	// AngleDeg is the angle between the flanks, 0 when it is not known.
	AngleDeg float64
	// Tapers is nil when nobody looked.
	Tapers *bool
	Worn   bool
	// coated is set where something is on the crests, so that there seems to be more metal.
	coated bool
}

// External says whether the readings are of an external thread; a set that has no bore is taken for one.
func (s Set) External() bool { return len(s.Bore) == 0 }

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

// ErrNothing is the cause of the fault that nothing was read of a thread.
var ErrNothing = errors.New("nothing read")

// field is where a fault of r is laid: its key, below its number where it has one ("3.bore").
func (r Record) field() string {
	if r.ID == 0 {
		return r.What
	}
	return strconv.Itoa(r.ID) + "." + r.What
}

// Read reads the records of one thread, each with its own instrument. Faults are told all at once, each with its field:
// the key of the kind, below the number of a record that has one ("3.bore").
func Read(records ...Record) (Set, error) {
	var s Set
	var faults []error
	for i, r := range records {
		k, known := FindKind(r.What)
		if !known {
			faults = append(faults, fault.At(r.field(), r.Text, "there is no reading %q", r.What))
			continue
		}
		instrument, err := FindInstrument(r.Instrument)
		if err != nil {
			faults = append(faults, fault.In(Record{ID: r.ID, What: "instrument"}.field(), err))
			continue
		}
		faults = append(faults, fault.In(r.field(), k.read(&s, r.Text, Source{instrument, r.Look})))
		for _, earlier := range records[:i] {
			faults = append(faults, against(k, r, earlier))
		}
	}
	if err := errors.Join(once(faults)...); err != nil {
		return Set{}, err
	}
	if len(s.Outside)+len(s.Bore)+len(s.Wires)+len(s.Counts)+len(s.Pitches)+len(s.Leaves)+len(s.Ratios) == 0 {
		return Set{}, fault.Fault{Want: "nothing read that tells a thread; give an outside diameter or a bore, and a pitch, such as 15 crests counted over 1in", Cause: ErrNothing}
	}
	return s, nil
}

// once leaves out faults that say what another has said: one instrument is named for many readings.
func once(faults []error) []error {
	said := map[string]bool{}
	return slices.DeleteFunc(faults, func(err error) bool {
		if err == nil || said[err.Error()] {
			return true
		}
		said[err.Error()] = true
		return false
	})
}

// against tells of two readings that cannot both be of one thread, a fault for each of the two.
func against(k Kind, r, earlier Record) error {
	other, _ := FindKind(earlier.What)
	var why string
	switch {
	case k.Of != "" && other.Of != "" && k.Of != other.Of:
		why = "it is of an %s thread, %s of an %s one; a thread is external or internal"
		return errors.Join(
			fault.At(r.field(), r.Text, why, k.Of, earlier, other.Of),
			fault.At(earlier.field(), earlier.Text, why, other.Of, r, k.Of))
	case k.Once && k.Key == other.Key && !sameText(r.Text, earlier.Text):
		why = fmt.Sprintf("%s and %s cannot both be right", earlier, r)
		return errors.Join(fault.At(r.field(), r.Text, "%s", why), fault.At(earlier.field(), earlier.Text, "%s", why))
	}
	return nil
}

// sameText says whether two texts say the same but for case and spaces.
func sameText(a, b string) bool {
	return slices.Equal(strings.Fields(strings.ToLower(trimDegrees(a))), strings.Fields(strings.ToLower(trimDegrees(b))))
}

// Same says whether two records are one reading noted twice: the same words of the same thing with the same instrument on the same day.
func (r Record) Same(other Record) bool {
	a, errA := FindInstrument(r.Instrument)
	b, errB := FindInstrument(other.Instrument)
	return r.What == other.What && sameText(r.Text, other.Text) && r.When == other.When && errA == nil && errB == nil && a.Name == b.Name
}

// Repeated are readings of one kind with one instrument.
func Repeated(what, instrument string, texts ...string) []Record {
	var out []Record
	for _, text := range texts {
		out = append(out, Record{What: what, Text: text, Instrument: instrument})
	}
	return out
}
