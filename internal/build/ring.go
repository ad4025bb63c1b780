// Package job takes one piece of work from what was asked (a job file, or flags) to files that are proved.
package build

import (
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Ring is a ring as it is asked for: what a job file holds, and what the flags say. Whatever is empty or nil is
// left to its default.
type Ring struct {
	// Name is what the files are called, without their endings.
	Name string `toml:"name"`
	// Inner is the thread inside the ring, Outer the one outside it, as people write threads.
	Inner string `toml:"inner"`
	Outer string `toml:"outer"`
	// Height is the whole height of the part.
	Height *unit.Length `toml:"height"`
	// Clearance is the gap on the diameter for both threads; InnerClearance and OuterClearance are for one of them.
	Clearance      *unit.Length `toml:"clearance"`
	InnerClearance *unit.Length `toml:"inner_clearance"`
	OuterClearance *unit.Length `toml:"outer_clearance"`
	// Printer names a printer profile.
	Printer string `toml:"printer"`
	Grip    string `toml:"grip"`
	Layout  string `toml:"layout"`
	// Label is engraved beside TEST FIT ONLY.
	Label string `toml:"label"`
	// Chord is how far the mesh may lie from the ideal surface.
	Chord *unit.Length `toml:"chord"`
	// Mesher is "helix" or "octree".
	Mesher string `toml:"mesher"`
	// Out is the folder that the files go to, seen from the folder that the program runs in.
	Out string `toml:"out"`
	// Among is what both threads belong to (drain, supply, hose, machine, any).
	Among string `toml:"among"`
	// Goes is what was read off the part that goes into the ring, Stays what was read off the fitting that the ring goes
	// into: a [[goes]] or [[stays]] table for each time. The ring does not depend on them; they are kept for whoever
	// decides again.
	Goes  []reading.Batch `toml:"goes"`
	Stays []reading.Batch `toml:"stays"`
	// Tries is what rings did that were tried on the real threads, a [[tries]] table each.
	Tries []Try `toml:"tries"`

	// origin says where each field was set, by its key: "bath.toml:7: inner" or "--inner".
	origin map[string]string
}

// The defaults of what ring.DefaultSpec does not know.
const (
	DefaultOut = "out"
	// DefaultChord keeps the mesh within a fifth of the finest step of a common printer, 0.025 mm.
	DefaultChord = 0.005 * unit.Millimetre
)

// The bounds of the chord: below the least the vertex grid would show, above the largest no thread is left.
const (
	MinChord = 0.0005 * unit.Millimetre
	maxChord = 0.1 * unit.Millimetre
)

// The meshers.
const (
	Helix  = "helix"
	Octree = "octree"
)

// LoadRing reads the job file at path. Unknown keys, wrong types and lengths that cannot be read are errors with
// file and line. What the fields ask for is judged by Resolve, so that flags may still complete the job.
func LoadRing(path string) (Ring, error) {
	f, err := os.Open(path)
	if err != nil {
		return Ring{}, fmt.Errorf("job file: %w", err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, datafile.MaxBytes+1))
	if err != nil {
		return Ring{}, fmt.Errorf("job file: %w", err)
	}
	return ParseRing(path, text)
}

// ParseRing is LoadRing for text, the content of the file called name.
func ParseRing(name string, text []byte) (Ring, error) {
	var r Ring
	lines, err := datafile.Decode(name, text, &r)
	if err != nil {
		return Ring{}, err
	}
	r.origin = map[string]string{}
	for key, line := range lines {
		r.origin[key] = fmt.Sprintf("%s:%d: %s", name, line, key)
	}
	return r, nil
}

// Override returns r with every field replaced that flags sets. A clearance for both threads in flags also
// replaces r's clearances for one.
func (r Ring) Override(flags Ring) Ring {
	if flags.Clearance != nil {
		r.InnerClearance, r.OuterClearance = nil, nil
	}
	origin := map[string]string{}
	for key, at := range r.origin {
		origin[key] = at
	}
	to, from := reflect.ValueOf(&r).Elem(), reflect.ValueOf(flags)
	for i := range to.NumField() {
		key := to.Type().Field(i).Tag.Get("toml")
		if key == "" || from.Field(i).IsZero() {
			continue
		}
		to.Field(i).Set(from.Field(i))
		origin[key] = "--" + strings.ReplaceAll(key, "_", "-")
	}
	r.origin = origin
	return r
}

// Asked is a ring job with everything settled: what to build, how finely, and where to.
type Asked struct {
	Name   string
	Spec   ring.Spec
	Chord  unit.Length
	Mesher string
	Out    string
	// Read tells what was read of the two threads, a sentence each.
	Read []string
}

// Threads looks threads up by the names people write.
type Threads interface {
	Parse(text string) (thread.Thread, error)
}

// Resolve looks up threads and printer, fills in the defaults and checks every field. All faults are reported at
// once, each with the place where the field was set, what was read and what would be right.
func (r Ring) Resolve(threads Threads, printers printer.Profiles) (Asked, error) {
	var faults []error
	fault := func(key string, err error) {
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", r.place(key), err))
		}
	}
	side := func(key, text string) (t thread.Thread) {
		if text == "" {
			fault(key, fmt.Errorf(`missing; name the thread, such as %s = "1 3/4-12 UN" in the job file or --%s "M45x1.5"`, key, key))
			return t
		}
		t, err := threads.Parse(text)
		fault(key, err)
		return t
	}
	inner, outer := side("inner", r.Inner), side("outer", r.Outer)
	p, err := printers.Find(r.Printer)
	fault("printer", err)

	spec := ring.DefaultSpec(inner, outer)
	spec.Printer = p
	plain := ring.DefaultSpec(inner, outer)
	// set applies one field and lets the spec judge it alone, so that its fault is told with its place.
	set := func(key string, apply func(*ring.Spec)) {
		alone := plain
		apply(&alone)
		apply(&spec)
		fault(key, alone.Validate())
	}
	if r.Height != nil {
		set("height", func(s *ring.Spec) { s.Height = *r.Height })
	}
	if c := r.Clearance; c != nil {
		set("clearance", func(s *ring.Spec) { s.InnerClearance, s.OuterClearance = *c, *c })
	}
	if c := r.InnerClearance; c != nil {
		set("inner_clearance", func(s *ring.Spec) { s.InnerClearance = *c })
	}
	if c := r.OuterClearance; c != nil {
		set("outer_clearance", func(s *ring.Spec) { s.OuterClearance = *c })
	}
	if r.Grip != "" {
		set("grip", func(s *ring.Spec) { s.Grip = ring.Grip(r.Grip) })
	}
	if r.Layout != "" {
		set("layout", func(s *ring.Spec) { s.Layout = ring.Layout(r.Layout) })
	}
	if r.Label != "" {
		set("label", func(s *ring.Spec) { s.Label = r.Label })
	}

	a := Asked{Name: r.Name, Spec: spec, Chord: DefaultChord, Mesher: Helix, Out: DefaultOut}
	if a.Name == "" {
		a.Name = DefaultName(inner, outer)
	} else if !whole.GoodFileName(a.Name) {
		fault("name", fmt.Errorf("%q cannot name files; use 1 to 100 letters, digits, points, hyphens and underscores, a letter or digit first", a.Name))
	}
	if r.Chord != nil {
		a.Chord = *r.Chord
		if !(a.Chord >= MinChord && a.Chord <= maxChord) {
			fault("chord", fmt.Errorf("%v; it lies between %v and %v", a.Chord, MinChord, maxChord))
		}
	}
	if r.Mesher != "" {
		a.Mesher = r.Mesher
		if a.Mesher != Helix && a.Mesher != Octree {
			fault("mesher", fmt.Errorf("%q; it is %s or %s", a.Mesher, Helix, Octree))
		}
	}
	if r.Out != "" {
		a.Out = r.Out
	}
	a.Read = r.told()
	if len(faults) > 0 {
		return Asked{}, errors.Join(faults...)
	}
	return a, nil
}

// place says where the field with the given key was set, or names the field.
func (r Ring) place(key string) string {
	if at := r.origin[key]; at != "" {
		return at
	}
	return key
}

// DefaultName is what the files are called when nothing else is said.
func DefaultName(inner, outer thread.Thread) string {
	return "in-" + whole.FileName(inner.Designation) + "-out-" + whole.FileName(outer.Designation)
}
