package thread

// This file holds the Whitworth-form pipe threads: G (ISO 228-1) and R, Rc, Rp (ISO 7-1), and how a pipe or hose thread
// is found by its trade size.

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// ISO228 are the parallel pipe threads G of ISO 228-1.
type ISO228 struct{}

// ISO7 are the pipe threads of ISO 7-1: R (taper, external), Rc (taper, internal) and Rp (parallel, internal).
type ISO7 struct{}

var (
	_ Family      = ISO228{}
	_ Sourced     = ISO228{}
	_ TaperFamily = ISO7{}
	_ Sourced     = ISO7{}
)

// Sourced is a family that can say where a thread's figures are from and what they were checked against.
type Sourced interface {
	Family
	Source(t Thread) string
}

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
func (f ISO228) Threads() []Thread {
	var out []Thread
	for _, r := range iso228().Rows {
		out = append(out, f.thread(r))
	}
	return out
}

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

// sizedRow is a row that is named by a trade size and its threads in an inch.
type sizedRow interface {
	row
	perInch() float64
	// otherSizes are further trade sizes that carry the same thread.
	otherSizes() []string
	basic() Diameters
}

// findSize returns the row that n names by its size. Errors say which size, count or angle would be right.
func findSize[R sizedRow](series string, t *table[R], n Name) (R, error) {
	var none R
	if n.SizeUnit == unit.Millimetre {
		return none, fmt.Errorf("thread %q: %s sizes are trade sizes in inches, not %s mm; write one of %s", n.Text, series, n.Size, sizes(t))
	}
	want, ok := sixtyFourths(n.Size)
	if !ok {
		return none, fmt.Errorf("thread %q: %s has no size %q; the sizes are %s", n.Text, series, n.Size, sizes(t))
	}
	for _, r := range t.Rows {
		match := false
		for _, s := range append([]string{r.name()}, r.otherSizes()...) {
			have, _ := sixtyFourths(s)
			match = match || have == want
		}
		if !match {
			continue
		}
		thread := series + " " + r.name()
		if n.PerInch != 0 && math.Abs(n.PerInch-r.perInch()) > perInchTol {
			return none, fmt.Errorf("thread %q: %s has %s threads per inch, not %s", n.Text, thread, unit.Short(r.perInch()), unit.Short(n.PerInch))
		}
		if p := perInchPitch(r.perInch()); n.Pitch != 0 && math.Abs(float64(n.Pitch-p)) > pitchTolMM {
			return none, fmt.Errorf("thread %q: %s has %s threads per inch, a pitch of %.3f mm, not %.3f mm", n.Text, thread, unit.Short(r.perInch()), p.MM(), n.Pitch.MM())
		}
		if n.AngleDeg != 0 && math.Abs(n.AngleDeg-t.AngleDeg) > angleTolDeg {
			return none, fmt.Errorf("thread %q: %s has a thread angle of %s degrees, not %s", n.Text, thread, unit.Short(t.AngleDeg), unit.Short(n.AngleDeg))
		}
		if n.Starts > 1 {
			return none, fmt.Errorf("thread %q: %s has one start, not %d", n.Text, thread, n.Starts)
		}
		return r, nil
	}
	return none, fmt.Errorf("thread %q: %s has no size %q; the sizes are %s", n.Text, series, n.Size, sizes(t))
}

const (
	// perInchTol is how far a written count may be off: less than any two counts of one size differ.
	perInchTol = 0.01
	// pitchTolMM is how far a written pitch may be off: people round it to 0.01 mm.
	pitchTolMM = 0.006
	// sameDiameterMM is how far two diameters of one row may differ: rounding alone.
	sameDiameterMM = 1e-6
)

// rowOf returns the row that t was made from.
func rowOf[R sizedRow](series string, rows []R, t Thread) (R, error) {
	for _, r := range rows {
		if t.Series == series && math.Abs(float64(t.Basic.Pitch-r.basic().Pitch)) < sameDiameterMM {
			return r, nil
		}
	}
	var none R
	return none, fmt.Errorf("%s is not a tabulated %s thread", t.Designation, series)
}

// named returns t with its class and hand, both also in its designation.
func (t Thread) named(class string, hand Hand) Thread {
	if class != "" {
		t.Class = class
		t.Designation += " " + class
	}
	if hand == Left {
		t.Hand = Left
		t.Designation += " LH"
	}
	return t
}

// noClass refuses a class for threads that have none.
func noClass(n Name, thread string) error {
	if n.Class == "" {
		return nil
	}
	if n.Text != "" {
		return fmt.Errorf("thread %q: %s has no tolerance classes; leave out %q", n.Text, thread, n.Class)
	}
	return fmt.Errorf("%s has no tolerance classes; leave out %q", thread, n.Class)
}

// sizes lists the sizes of a table for an error.
func sizes[R sizedRow](t *table[R]) string {
	var all []string
	for _, r := range t.Rows {
		all = append(all, r.name())
	}
	return strings.Join(all, ", ")
}

// checkSize refuses a size that is no number of inches, or a count that gives no pitch.
func checkSize(size string, tpi float64) error {
	if _, ok := sixtyFourths(size); !ok {
		return fmt.Errorf(`size = %q, must be inches such as "1 1/2"`, size)
	}
	return checkPerInch(tpi)
}

// sixtyFourths reads a trade size ("1 1/2", "3/4", "1.5") as a whole number of 1/64 in.
func sixtyFourths(size string) (int, bool) {
	x, err := unit.ParseNumber(size)
	n := math.Round(64 * x)
	// A size is written exactly; 0.01 of 1/64 in covers decimals such as 0.1563.
	if err != nil || !(n >= 1 && n <= 64*maxDiameterMM/unit.MMPerInch) || math.Abs(64*x-n) > 0.01 {
		return 0, false
	}
	return int(n), true
}

// perInchPitch returns the pitch of a thread with tpi threads in an inch.
func perInchPitch(tpi float64) unit.Length { return unit.Inches(1 / tpi) }

// diametersMM puts three diameters in mm together.
func diametersMM(major, pitch, minor float64) Diameters {
	return Diameters{unit.MM(major), unit.MM(pitch), unit.MM(minor)}
}

// mm3 rounds x mm to the three decimals that the ISO pipe tables publish.
func mm3(x float64) *unit.Length { return new(unit.MM(math.Round(x*1000) / 1000)) }
