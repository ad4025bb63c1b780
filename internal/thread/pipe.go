package thread

// This file holds the parallel pipe threads G (ISO 228-1), of the Whitworth form.

import (
	"fmt"
	"strings"
	"sync"
)

// ISO228 are the parallel pipe threads G of ISO 228-1.
type ISO228 struct{}

var _ Sourced = ISO228{}

// iso228Row is a row of ISO 228-1 table 1.
type iso228Row struct {
	Size           string  `toml:"size"`
	TPI            float64 `toml:"tpi"`
	Pitch          float64 `toml:"pitch"`
	Major          float64 `toml:"major"`
	PitchDia       float64 `toml:"pitch_dia"`
	Minor          float64 `toml:"minor"`
	TPitchInternal float64 `toml:"t_pitch_internal"`
	TPitchA        float64 `toml:"t_pitch_a"`
	TPitchB        float64 `toml:"t_pitch_b"`
	TMinorInternal float64 `toml:"t_minor_internal"`
	TMajorExternal float64 `toml:"t_major_external"`
}

func (r iso228Row) name() string         { return r.Size }
func (r iso228Row) perInch() float64     { return r.TPI }
func (r iso228Row) otherSizes() []string { return nil }
func (r iso228Row) basic() Diameters     { return diametersMM(r.Major, r.PitchDia, r.Minor) }
func (r iso228Row) check(h TableHead) error {
	if err := checkSize(r.Size, r.TPI); err != nil {
		return err
	}
	if err := checkLengths(h, figure{"major", r.Major}, figure{"pitch_dia", r.PitchDia}, figure{"minor", r.Minor},
		figure{"t_pitch_internal", r.TPitchInternal}, figure{"t_pitch_a", r.TPitchA}, figure{"t_pitch_b", r.TPitchB},
		figure{"t_minor_internal", r.TMinorInternal}, figure{"t_major_external", r.TMajorExternal}); err != nil {
		return err
	}
	return checkOrder([]string{"major", "pitch_dia", "minor"}, &r.Major, &r.PitchDia, &r.Minor)
}

var iso228 = sync.OnceValue(func() *table[iso228Row] { return embedded[iso228Row]("iso228.toml") })

// Standard returns "ISO 228-1:2000".
func (ISO228) Standard() string { return iso228().TableHead.name() }

// Series lists the series words of the family. It does not read the table.
func (ISO228) Series() []string { return []string{"G"} }

// Source says where the figures of t are from.
func (ISO228) Source(Thread) string { return iso228().source("") }

// Find understands "G" sizes, with class A or B for external threads; the class stays "" when none was written.
func (f ISO228) Find(n Name) (Thread, bool, error) {
	if n.Series != "G" {
		return Thread{}, false, nil
	}
	r, err := findSize("G", iso228(), n)
	if err != nil {
		return Thread{}, true, err
	}
	class := strings.ToUpper(n.Class)
	if class != "" && class != "A" && class != "B" {
		return Thread{}, true, fmt.Errorf("thread %q: class %q is not of ISO 228-1; external threads have A or B, internal ones none", n.Text, n.Class)
	}
	return f.thread(r).named(class, n.Hand), true, nil
}

func (f ISO228) thread(r iso228Row) Thread {
	return Thread{
		Designation: "G " + r.Size, Standard: f.Standard(), Series: "G", Form: Form55,
		Pitch: perInchPitch(r.TPI), Starts: 1, Hand: Right, Basic: r.basic(),
	}
}

// Threads lists the sizes of table 1.
func (f ISO228) Threads() []Thread { return threadsOf(iso228().Rows, f.thread) }

// Limits returns the limits of size of ISO 228-1 table 1, to 0.001 mm. External threads have class A (the usual one) or
// B; internal threads have one class, whatever class says. The roots have no tolerance: the basic form is their bound.
func (ISO228) Limits(t Thread, class string, external bool) (Limits, error) {
	r, err := rowOf("G", iso228().Rows, t)
	if err != nil {
		return Limits{}, err
	}
	if !external {
		return Limits{
			MajorMin: mm3(r.Major),
			PitchMax: mm3(r.PitchDia + r.TPitchInternal), PitchMin: mm3(r.PitchDia),
			MinorMax: mm3(r.Minor + r.TMinorInternal), MinorMin: mm3(r.Minor),
		}, nil
	}
	if class == "" {
		class = t.Class
	}
	tol := r.TPitchA
	switch strings.ToUpper(class) {
	case "", "A":
	case "B":
		tol = r.TPitchB
	default:
		return Limits{}, fmt.Errorf("%s: class %q is not of ISO 228-1; external threads have A or B", t.Designation, class)
	}
	return Limits{
		MajorMax: mm3(r.Major), MajorMin: mm3(r.Major - r.TMajorExternal),
		PitchMax: mm3(r.PitchDia), PitchMin: mm3(r.PitchDia - tol),
		MinorMax: mm3(r.Minor),
	}, nil
}
