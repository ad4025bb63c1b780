package thread

// This file holds one row of a listed family: one thread, or one for each series of the table.

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
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

// limitKeys are the keys of the limits of either side without the side.
var limitKeys = [6]string{"major_max", "major_min", "pitch_dia_max", "pitch_dia_min", "minor_max", "minor_min"}

// on lists the limits of one side in the order of limitKeys; each that is given must lie below the one before it.
func (l sizeLimits) on(external bool) [6]*float64 {
	if external {
		return [6]*float64{l.ExternalMajorMax, l.ExternalMajorMin, l.ExternalPitchDiaMax, l.ExternalPitchDiaMin, l.ExternalMinorMax, l.ExternalMinorMin}
	}
	return [6]*float64{l.InternalMajorMax, l.InternalMajorMin, l.InternalPitchDiaMax, l.InternalPitchDiaMin, l.InternalMinorMax, l.InternalMinorMin}
}

// check refuses limits that are no lengths or do not fall in their order.
func (l sizeLimits) check(h *TableHead) error {
	var w wrongs
	for _, side := range []string{externalSide, internalSide} {
		var last figure
		for i, value := range l.on(side == externalSide) {
			f := figure{side + "_" + limitKeys[i], value}
			w.also(checkLengths(h, f))
			if value == nil {
				continue
			}
			w.unless(last.value == nil || *last.value > *value, "%s = %v must be below %s", f.key, *value, last)
			last = f
		}
	}
	return w.err()
}

// limits returns the limits of one side; those of class stand in the place of the usual ones where the row has any.
func (r row) limits(h *TableHead, class string, external bool) Limits {
	var at [6]*unit.Length
	other := r.Classes[class].on(external)
	for i, usual := range r.on(external) {
		at[i] = h.limit(cmp.Or(other[i], usual))
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
	name := strings.ReplaceAll(s.Name, "{size}", r.Size)
	if r.TPI != nil {
		return strings.ReplaceAll(name, "{tpi}", unit.Short(*r.TPI))
	}
	return strings.ReplaceAll(name, "{pitch}", unit.Short(*r.Pitch))
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

// check refuses a row that stands for no thread.
func (r row) check(h *TableHead) error {
	given := func(x float64) *float64 {
		if x == 0 {
			return nil
		}
		return &x
	}
	if err := checkLengths(h, figure{"major", r.Major}, figure{"pitch_dia", r.PitchDia}, figure{"minor", r.Minor},
		figure{"gauge_length", given(r.GaugeLength)}, figure{"external_gauge_tol", given(r.ExternalTol)},
		figure{"internal_gauge_tol", given(r.InternalTol)}, figure{"useful", given(r.Useful)}); err != nil {
		return err
	}
	pitch, err := r.pitch(h)
	if err != nil {
		return err
	}
	f, err := r.form(h)
	if err != nil {
		return err
	}
	var w wrongs
	b := r.basic(h, f, pitch)
	w.unless(r.Major != nil || r.PitchDia != nil, "give major or pitch_dia")
	w.unless(b.Major > b.Pitch && b.Pitch > b.Minor && b.Minor > 0, "major %.3f, pitch %.3f and minor %.3f mm must fall in this order and stay above 0",
		b.Major.MM(), b.Pitch.MM(), b.Minor.MM())
	w.unless(r.Starts >= 0 && r.Starts <= MaxStarts, "starts = %d, must be 1 to %d", r.Starts, MaxStarts)
	w.also(r.handling.check())
	w.also(checkSide(r.Side))
	w.unless(r.Basis == "" || slices.Contains(bases, r.Basis), "basis = %q, must be one of %q or left out", r.Basis, bases)
	w.unless(r.Useful == 0 || r.Useful > r.GaugeLength, "gauge_length = %v must be below useful = %v", r.GaugeLength, r.Useful)
	w.unless(r.Designation != "" || len(h.Series) > 0, "has no name: give a designation, or the table a series")
	w.unless(r.Series == "" || h.series(r.Series) != nil, "series = %q is none of its table", r.Series)
	if out, in := r.ExternalPitchDiaMax, r.InternalPitchDiaMin; out != nil && in != nil {
		w.unless(*out <= *in, "external_pitch_dia_max = %v must not pass internal_pitch_dia_min = %v", *out, *in)
	}
	w.also(r.sizeLimits.check(h))
	for _, class := range slices.Sorted(maps.Keys(r.Classes)) {
		w.in(r.Classes[class].check(h), "classes.%s", class)
	}
	return w.err()
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
