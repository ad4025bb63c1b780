package thread

// This file holds the pipe threads R, Rc and Rp (ISO 7-1), of the Whitworth form, and what taper threads have beside
// their diameters.

import (
	"fmt"
	"sync"

	"tryring/internal/unit"
)

// ISO7 are the pipe threads of ISO 7-1: R (taper, external), Rc (taper, internal) and Rp (parallel, internal).
type ISO7 struct{}

var (
	_ TaperFamily = ISO7{}
	_ Sourced     = ISO7{}
)

// TaperFamily is a family with taper threads. Their size is told by where the gauge plane lies, not by limits of
// diameters, so Limits leaves all of them open.
type TaperFamily interface {
	Family
	// Taper returns the lengths of t; an error when t is not a taper thread of this family.
	Taper(t Thread) (TaperLengths, error)
}

// TaperLengths are the lengths of a taper thread along its axis.
type TaperLengths struct {
	// Gauge runs from the small end of the external thread to its gauge plane.
	Gauge unit.Length
	// ExternalTol and InternalTol are how far the gauge plane may lie to either side of its place.
	ExternalTol, InternalTol unit.Length
	// Useful is the least length of useful (effective) external thread at the basic gauge length.
	Useful unit.Length
}

// iso7Row is a row of ISO 7-1 table 1; its diameters are those of ISO 228-1.
type iso7Row struct {
	Size        string  `toml:"size"`
	TPI         float64 `toml:"tpi"`
	GaugeLength float64 `toml:"gauge_length"`
	GaugeTol    float64 `toml:"gauge_tol"`
	Useful      float64 `toml:"useful"`
	InternalTol float64 `toml:"internal_tol"`
	RpTol       float64 `toml:"rp_tol"`
}

func (r iso7Row) name() string         { return r.Size }
func (r iso7Row) perInch() float64     { return r.TPI }
func (r iso7Row) otherSizes() []string { return nil }

// g returns the row of ISO 228-1 with the same size.
func (r iso7Row) g() iso228Row {
	for _, g := range iso228().Rows {
		if g.Size == r.Size {
			return g
		}
	}
	panic("ISO 228-1 table has no size " + r.Size)
}
func (r iso7Row) basic() Diameters { return r.g().basic() }
func (r iso7Row) check(h TableHead) error {
	if err := checkSize(r.Size, r.TPI); err != nil {
		return err
	}
	if err := checkLengths(h, figure{"gauge_length", r.GaugeLength}, figure{"gauge_tol", r.GaugeTol},
		figure{"useful", r.Useful}, figure{"internal_tol", r.InternalTol}, figure{"rp_tol", r.RpTol}); err != nil {
		return err
	}
	return checkOrder([]string{"useful", "gauge_length", "gauge_tol"}, &r.Useful, &r.GaugeLength, &r.GaugeTol)
}

var iso7 = sync.OnceValue(func() *table[iso7Row] { return embedded[iso7Row]("iso7.toml") })

// Standard returns "ISO 7-1:1994".
func (ISO7) Standard() string { return iso7().TableHead.name() }

// Series lists the series words of the family. It does not read the table.
func (ISO7) Series() []string { return []string{"R", "Rc", "Rp"} }

// Source says where the figures of t are from.
func (ISO7) Source(Thread) string { return iso7().source("") + "; diameters of " + iso228().source("") }

// Find understands "R", "Rc" and "Rp" sizes. They have no classes.
func (f ISO7) Find(n Name) (Thread, bool, error) {
	if n.Series != "R" && n.Series != "Rc" && n.Series != "Rp" {
		return Thread{}, false, nil
	}
	r, err := findSize(n.Series, iso7(), n)
	if err != nil {
		return Thread{}, true, err
	}
	if err := noClass(n, n.Series+" "+r.Size); err != nil {
		return Thread{}, true, err
	}
	return f.thread(n.Series, r).named("", n.Hand), true, nil
}

func (f ISO7) thread(series string, r iso7Row) Thread {
	t := Thread{
		Designation: series + " " + r.Size, Standard: f.Standard(), Series: series, Form: Form55,
		Pitch: perInchPitch(r.TPI), Starts: 1, Hand: Right, Basic: r.basic(),
	}
	if series != "Rp" {
		t.Taper, t.GaugeLength = iso7().TableHead.Taper, unit.MM(r.GaugeLength)
	}
	return t
}

// Threads lists R, Rc and Rp of each size.
func (f ISO7) Threads() []Thread {
	var out []Thread
	for _, r := range iso7().Rows {
		for _, series := range iso7().Series {
			out = append(out, f.thread(series, r))
		}
	}
	return out
}

// Taper returns the lengths of an R or Rc thread (ISO 7-1 table 1).
func (ISO7) Taper(t Thread) (TaperLengths, error) {
	r, err := rowOf(t.Series, iso7().Rows, t)
	if err != nil || (t.Series != "R" && t.Series != "Rc") {
		return TaperLengths{}, fmt.Errorf("%s is not a taper thread of %s", t.Designation, iso7().TableHead.name())
	}
	return TaperLengths{
		Gauge: unit.MM(r.GaugeLength), ExternalTol: unit.MM(r.GaugeTol), InternalTol: unit.MM(r.InternalTol), Useful: unit.MM(r.Useful),
	}, nil
}

// Limits returns the limits of an Rp thread, to 0.001 mm: each diameter of ISO 228-1 give or take the tolerance of
// ISO 7-1 table 1 (the taper over 1 1/4 turns, over 1 1/2 turns from size 2 1/2). The standard leaves the diameters of
// R and Rc open; see Taper. R is external only, Rc and Rp are internal only.
func (ISO7) Limits(t Thread, class string, external bool) (Limits, error) {
	r, err := rowOf(t.Series, iso7().Rows, t)
	if err != nil || (t.Series != "R" && t.Series != "Rc" && t.Series != "Rp") {
		return Limits{}, fmt.Errorf("%s is not a thread of %s", t.Designation, iso7().TableHead.name())
	}
	if class != "" {
		return Limits{}, fmt.Errorf("%s: class %q was asked for, but %s has no classes", t.Designation, class, iso7().TableHead.name())
	}
	if t.Series != "Rp" || external {
		return Limits{}, nil
	}
	g := r.g()
	return Limits{
		MajorMin: mm3(g.Major - r.RpTol),
		PitchMax: mm3(g.PitchDia + r.RpTol), PitchMin: mm3(g.PitchDia - r.RpTol),
		MinorMax: mm3(g.Minor + r.RpTol), MinorMin: mm3(g.Minor - r.RpTol),
	}, nil
}
