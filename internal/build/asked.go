// Package build is the one way from what was asked to files that are proved: planned, meshed, written, read back, measured, and
// only then named.
package build

// This file settles a ring that is asked for.

import (
	"errors"

	"tryring/internal/combs"
	"tryring/internal/draw"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

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

// The bounds of a layer, as those of a printer profile.
const (
	minLayer = 0.005 * unit.Millimetre
	maxLayer = 1.5 * unit.Millimetre
)

// The meshers.
const (
	Helix  = "helix"
	Octree = "octree"
)

// Asked is a ring job with everything settled: what to build, how finely, and where to.
type Asked struct {
	Name   string
	Spec   ring.Spec
	Chord  unit.Length
	Mesher string
	Out    string
	// Paper is what its sheets are for; Goes and Stays is what the last of them shows of the part that goes in and of that which stays.
	Paper       draw.Paper
	Goes, Stays combs.Page
	// Read tells what was read of the two threads, a sentence each.
	Read []string
}

// Resolve settles the ring that is asked for: it looks up threads and printer, fills in the defaults and checks every field. All
// faults are reported at once, each with the key of its field.
func Resolve(r job.Ring, threads *thread.Tables, printers printer.Profiles) (Asked, error) {
	var faults []error
	bad := func(key string, err error) { faults = append(faults, fault.In(key, err)) }
	side := func(key, text string) (t thread.Thread) {
		if text == "" {
			bad(key, errors.New("missing; name the thread, such as 1 3/4-12 UN or M45x1.5"))
			return t
		}
		t, err := threads.Parse(text)
		if err == nil {
			err = t.Makeable()
		}
		bad(key, err)
		return t
	}
	inner, outer := side("inner", r.Inner), side("outer", r.Outer)
	p, err := printers.Find(r.Printer)
	bad("printer", err)

	a := Asked{Name: r.Name, Chord: DefaultChord, Mesher: Helix, Out: DefaultOut}
	length := func(key, text string, apply func(unit.Length)) {
		if text == "" {
			return
		}
		l, err := unit.ParseSigned(text)
		if bad(key, err); err == nil {
			apply(l)
		}
	}
	between := func(key, text string, low, high unit.Length, to *unit.Length) {
		length(key, text, func(l unit.Length) {
			if *to = l; !(l >= low && l <= high) {
				bad(key, fault.At("", text, "it lies between %s mm and %s", unit.Short(low.MM()), high.TextMM()))
			}
		})
	}
	between("layer", r.Layer, minLayer, maxLayer, &p.Layer)
	between("chord", r.Chord, MinChord, maxChord, &a.Chord)

	spec := ring.DefaultSpec(inner, outer).On(p)
	plain := spec
	// set applies one field and lets the spec judge it alone, so that its fault is told with its key.
	set := func(key string, apply func(*ring.Spec)) {
		alone := plain
		apply(&alone)
		apply(&spec)
		bad(key, alone.Validate())
	}
	lengthOf := func(key, text string, apply func(*ring.Spec, unit.Length)) {
		length(key, text, func(l unit.Length) { set(key, func(s *ring.Spec) { apply(s, l) }) })
	}
	lengthOf("height", r.Height, func(s *ring.Spec, l unit.Length) {
		if s.Height = l; l == 0 { // which the spec takes for its default
			bad("height", fault.At("", r.Height, "a ring is higher than 0"))
		}
	})
	lengthOf("clearance", r.Clearance, func(s *ring.Spec, l unit.Length) { s.InnerClearance, s.OuterClearance = l, l })
	lengthOf("inner_clearance", r.InnerClearance, func(s *ring.Spec, l unit.Length) { s.InnerClearance = l })
	lengthOf("outer_clearance", r.OuterClearance, func(s *ring.Spec, l unit.Length) { s.OuterClearance = l })
	if r.Grip != "" {
		set("grip", func(s *ring.Spec) { s.Grip = ring.Grip(r.Grip) })
	}
	if r.Layout != "" {
		set("layout", func(s *ring.Spec) { s.Layout = ring.Layout(r.Layout) })
	}
	if r.Label != "" {
		set("label", func(s *ring.Spec) { s.Label = r.Label })
	}
	a.Spec = spec
	if a.Name == "" {
		a.Name = DefaultName(inner, outer)
	} else if err := whole.CheckFileName(a.Name); err != nil {
		bad("name", err)
	}
	if r.Mesher != "" {
		a.Mesher = r.Mesher
		if a.Mesher != Helix && a.Mesher != Octree {
			bad("mesher", fault.At("", r.Mesher, "it is %s or %s", Helix, Octree))
		}
	}
	if r.Out != "" {
		a.Out = r.Out
	}
	a.Paper, err = draw.PaperNamed(r.Paper)
	faults = append(faults, err)
	if err := errors.Join(faults...); err != nil {
		return Asked{}, err
	}
	if a.Goes, err = combs.Of(threads, true, false, inner); err == nil {
		a.Stays, err = combs.Of(threads, false, true, outer)
	}
	return a, err
}

// DefaultName is what the files are called when nothing else is said.
func DefaultName(inner, outer thread.Thread) string {
	return "in-" + whole.FileName(inner.Designation) + "-out-" + whole.FileName(outer.Designation)
}
