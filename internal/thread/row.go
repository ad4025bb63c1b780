package thread

// This file holds one row of a listed family: one thread, or one for each series of the table.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/unit"
)

// row is one thread of a table; lengths in the table's units, nil or zero where left out. A diameter that is left out
// follows from the others by the form.
type row struct {
	// Designation names the thread in full; without one, Size fills the name of its series.
	Designation string `toml:"designation"`
	Size        string `toml:"size"`
	// Also are other sizes or whole names that stand for the same thread.
	Also []string `toml:"also"`
	// Series is the word of the row's series where the table has several and the row is not of all.
	Series string `toml:"series"`
	// Pitch or TPI is given, not both.
	Pitch *float64 `toml:"pitch"`
	TPI   *float64 `toml:"tpi"`
	shape
	Starts int  `toml:"starts"`
	Left   bool `toml:"left"`
	// Side is "external" or "internal" where this thread of its series comes on one side alone.
	Side string `toml:"side"`

	Major    *float64 `toml:"major"`
	PitchDia *float64 `toml:"pitch_dia"`
	Minor    *float64 `toml:"minor"`
	sizeLimits
	// Classes are the limits in which other classes than the usual ones differ.
	Classes map[string]sizeLimits `toml:"classes"`

	// The lengths of a taper thread: from the small end to the gauge plane, how far that may lie to either side of
	// its place on the external and the internal thread (one turn when left out), and the useful length, which
	// straight threads may have too.
	GaugeLength float64 `toml:"gauge_length"`
	ExternalTol float64 `toml:"external_gauge_tol"`
	InternalTol float64 `toml:"internal_gauge_tol"`
	Useful      float64 `toml:"useful"`

	// Measure is what differs from maker to maker, so that no part is made of the row's figures; "" where they hold.
	Measure string `toml:"measure"`
	// Use says what this thread is used for beside the series' use; Basis and Checked stand where the row rests on something
	// else than its table.
	Use     string `toml:"use"`
	Basis   string `toml:"basis"`
	Checked string `toml:"checked"`
	handling
}

// sizeLimits are limits of size as a row says them.
type sizeLimits struct {
	ExternalMajorMax    *float64 `toml:"external_major_max"`
	ExternalMajorMin    *float64 `toml:"external_major_min"`
	ExternalPitchDiaMax *float64 `toml:"external_pitch_dia_max"`
	ExternalPitchDiaMin *float64 `toml:"external_pitch_dia_min"`
	ExternalMinorMax    *float64 `toml:"external_minor_max"`
	ExternalMinorMin    *float64 `toml:"external_minor_min"`
	InternalMajorMax    *float64 `toml:"internal_major_max"`
	InternalMajorMin    *float64 `toml:"internal_major_min"`
	InternalPitchDiaMax *float64 `toml:"internal_pitch_dia_max"`
	InternalPitchDiaMin *float64 `toml:"internal_pitch_dia_min"`
	InternalMinorMax    *float64 `toml:"internal_minor_max"`
	InternalMinorMin    *float64 `toml:"internal_minor_min"`
}

// named is a limit under its key.
type named struct {
	key   string
	value *float64
}

// external and internal list the limits of one side, each of which must lie below the one before it.
func (l sizeLimits) external() []named {
	return []named{
		{"external_major_max", l.ExternalMajorMax},
		{"external_major_min", l.ExternalMajorMin},
		{"external_pitch_dia_max", l.ExternalPitchDiaMax},
		{"external_pitch_dia_min", l.ExternalPitchDiaMin},
		{"external_minor_max", l.ExternalMinorMax},
		{"external_minor_min", l.ExternalMinorMin},
	}
}

func (l sizeLimits) internal() []named {
	return []named{
		{"internal_major_max", l.InternalMajorMax},
		{"internal_major_min", l.InternalMajorMin},
		{"internal_pitch_dia_max", l.InternalPitchDiaMax},
		{"internal_pitch_dia_min", l.InternalPitchDiaMin},
		{"internal_minor_max", l.InternalMinorMax},
		{"internal_minor_min", l.InternalMinorMin},
	}
}

// limits returns the limits of one side; those of class stand in the place of the usual ones where the row has any.
func (r row) limits(h *TableHead, class string, external bool) Limits {
	usual, other := r.internal(), r.Classes[class].internal()
	if external {
		usual, other = r.external(), r.Classes[class].external()
	}
	var at [6]*unit.Length
	for i := range usual {
		at[i] = h.limit(usual[i].value)
		if other[i].value != nil {
			at[i] = h.limit(other[i].value)
		}
	}
	return Limits{at[0], at[1], at[2], at[3], at[4], at[5]}
}

// called is what tells the row from its neighbours: several pitches may share a size.
func (r row) called() string {
	switch {
	case r.Designation != "" || r.Size == "":
		return r.Designation
	case r.TPI != nil:
		return r.Size + "-" + unit.Short(*r.TPI) + r.Series
	case r.Pitch != nil:
		return r.Size + "x" + unit.Short(*r.Pitch) + r.Series
	}
	return r.Size + r.Series
}

// name fills the pattern of s, or is the row's own designation.
func (r row) name(s *Series) string {
	if r.Designation != "" {
		return unit.Plain(r.Designation)
	}
	perInch, pitch := "", ""
	if r.TPI != nil {
		perInch = unit.Short(*r.TPI)
	} else {
		pitch = unit.Short(*r.Pitch)
	}
	return strings.NewReplacer("{size}", r.Size, "{tpi}", perInch, "{pitch}", pitch).Replace(s.Name)
}

// form is the row's own form, or that of its table, or the 60 degree one.
func (r row) form(h *TableHead) (Form, error) {
	switch {
	case r.given():
		return r.shape.form()
	case h.given():
		return h.form()
	}
	return Form60, nil
}

// pitch returns the pitch that the row gives.
func (r row) pitch(h *TableHead) (unit.Length, error) {
	if (r.Pitch == nil) == (r.TPI == nil) {
		return 0, errors.New("give pitch or tpi, one of them")
	}
	var pitch unit.Length
	if r.Pitch != nil {
		pitch = h.length(*r.Pitch)
	} else {
		pitch = perInchPitch(*r.TPI)
	}
	if mm := pitch.MM(); !(mm >= minPitchMM*(1-angleTolDeg) && mm <= maxPitchMM*(1+angleTolDeg)) {
		return 0, fmt.Errorf("pitch of %.3f mm, must be %v to %v mm", mm, minPitchMM, maxPitchMM)
	}
	return pitch, nil
}

// basic returns the basic diameters of the row.
func (r row) basic(h *TableHead, f Form, pitch unit.Length) Diameters {
	var major unit.Length
	if r.Major != nil {
		major = h.length(*r.Major)
	} else if r.PitchDia != nil {
		major = h.length(*r.PitchDia) + 2*unit.Length(f.AddendumPerPitch)*pitch
	}
	d := basicOf(f, major, pitch)
	if r.PitchDia != nil {
		d.Pitch = h.length(*r.PitchDia)
	}
	if r.Minor != nil {
		d.Minor = h.length(*r.Minor)
	}
	return d
}

// check refuses a row that stands for no thread; its limits must fall in order on either side.
func (r row) check(h TableHead) error {
	figures := []figure{}
	all := slices.Concat([]named{{"major", r.Major}, {"pitch_dia", r.PitchDia}, {"minor", r.Minor}}, r.external(), r.internal())
	for class, l := range r.Classes {
		for _, x := range slices.Concat(l.external(), l.internal()) {
			all = append(all, named{"classes." + class + ": " + x.key, x.value})
		}
	}
	for _, l := range all {
		if l.value != nil {
			figures = append(figures, figure{l.key, *l.value})
		}
	}
	if r.Major == nil && r.PitchDia == nil {
		figures = append(figures, figure{"major", 0})
	}
	for _, f := range []figure{{"gauge_length", r.GaugeLength}, {"external_gauge_tol", r.ExternalTol}, {"internal_gauge_tol", r.InternalTol}, {"useful", r.Useful}} {
		if f.value != 0 {
			figures = append(figures, f)
		}
	}
	if err := checkLengths(h, figures...); err != nil {
		return err
	}
	pitch, err := r.pitch(&h)
	if err != nil {
		return err
	}
	if r.Starts < 0 || r.Starts > MaxStarts {
		return fmt.Errorf("starts = %d, must be 1 to %d", r.Starts, MaxStarts)
	}
	f, err := r.form(&h)
	if err != nil {
		return err
	}
	if b := r.basic(&h, f, pitch); !(b.Major > b.Pitch && b.Pitch > b.Minor && b.Minor > 0) {
		return fmt.Errorf("major %.3f, pitch %.3f and minor %.3f mm must fall in this order and stay above 0", b.Major.MM(), b.Pitch.MM(), b.Minor.MM())
	}
	errs := []error{r.handling.check(), checkOrder(r.external()), checkOrder(r.internal())}
	if err := checkSide(r.Side); err != nil {
		errs = append(errs, err)
	}
	if bases := []string{"", Published, FromMemory, CommonPractice}; !slices.Contains(bases, r.Basis) {
		errs = append(errs, fmt.Errorf("basis = %q, must be one of %q or left out", r.Basis, bases[1:]))
	}
	if r.Useful > 0 && !(r.Useful > r.GaugeLength) {
		errs = append(errs, fmt.Errorf("gauge_length = %v must be below useful = %v", r.GaugeLength, r.Useful))
	}
	if r.Designation == "" && len(h.Series) == 0 {
		errs = append(errs, errors.New("has no name: give a designation, or the table a series"))
	}
	if r.Series != "" && h.series(r.Series) == nil {
		errs = append(errs, fmt.Errorf("series = %q is none of its table", r.Series))
	}
	if out, in := r.ExternalPitchDiaMax, r.InternalPitchDiaMin; out != nil && in != nil && *out > *in {
		errs = append(errs, fmt.Errorf("external_pitch_dia_max = %v must not pass internal_pitch_dia_min = %v", *out, *in))
	}
	for class, l := range r.Classes {
		if err := errors.Join(checkOrder(l.external()), checkOrder(l.internal())); err != nil {
			errs = append(errs, fmt.Errorf("classes.%s: %w", class, err))
		}
	}
	return errors.Join(errs...)
}

// checkOrder refuses figures that do not fall from the first to the last; missing ones are passed over.
func checkOrder(limits []named) error {
	last := named{}
	for _, l := range limits {
		if l.value == nil {
			continue
		}
		if last.value != nil && !(*last.value > *l.value) {
			return fmt.Errorf("%s = %v must be below %s = %v", l.key, *l.value, last.key, *last.value)
		}
		last = l
	}
	return nil
}

// sizeTol is how far two numbers that name one size may lie apart: people cut 5/32 to 0.1563.
const sizeTol = 0.0002

// hasSize says whether the row goes by a size.
func (r row) hasSize(size float64) bool {
	for _, s := range append([]string{r.Size}, r.Also...) {
		if x, err := unit.ParseNumber(s); err == nil && math.Abs(x-size) <= sizeTol {
			return true
		}
	}
	return false
}
