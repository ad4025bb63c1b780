package thread

// This file reads a person's own thread tables: a folder of TOML files beside the tables that come with the program.
//
// Such a file has the head of every table (TableHead; series and taper stay out) and rows that each name one straight
// thread, for example
//
//	standard = "threads of the boat shop"
//	units = "mm"
//	basis = "from memory"
//	checked = "three old sockets, caliper"
//	rows = [
//	  { designation = "skin fitting 40", major = 39.8, pitch = 2.0, angle_deg = 60 },
//	  { designation = "old galley tap", major = 26.3, tpi = 14, angle_deg = 55, external_pitch_dia_max = 25.2 },
//	]

import (
	"errors"
	"fmt"
	"io/fs"
	"path"

	"tryring/internal/unit"
)

// Own are the threads of one table that a person wrote.
type Own struct {
	table *table[ownRow]
}

var _ Sourced = (*Own)(nil)

// ownRow is a row of such a table; lengths in the table's units, nil where left out.
type ownRow struct {
	Designation string `toml:"designation"`
	// Major is the basic major diameter. Pitch or TPI is given, not both.
	Major float64  `toml:"major"`
	Pitch *float64 `toml:"pitch"`
	TPI   *float64 `toml:"tpi"`
	// AngleDeg is the thread angle, 55 or 60; the table's when left out, and 60 when that is left out too.
	AngleDeg float64 `toml:"angle_deg"`
	// PitchDia and Minor follow from the form when they are left out.
	PitchDia *float64 `toml:"pitch_dia"`
	Minor    *float64 `toml:"minor"`
	Starts   int      `toml:"starts"`

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

func (r ownRow) name() string { return r.Designation }

// thread makes the thread of the row; the row must have passed check for it to be one.
func (r ownRow) thread(h TableHead) (Thread, error) {
	angle := r.AngleDeg
	if angle == 0 {
		angle = h.AngleDeg
	}
	if angle == 0 {
		angle = 60
	}
	form, err := formOf(angle)
	if err != nil {
		return Thread{}, err
	}
	if (r.Pitch == nil) == (r.TPI == nil) {
		return Thread{}, errors.New("give pitch or tpi, one of them")
	}
	var pitch unit.Length
	if r.Pitch != nil {
		pitch = h.length(*r.Pitch)
	} else {
		pitch = perInchPitch(*r.TPI)
	}
	if mm := pitch.MM(); !(mm >= minPitchMM && mm <= maxPitchMM) {
		return Thread{}, fmt.Errorf("pitch of %.3f mm, must be %v to %v mm", mm, minPitchMM, maxPitchMM)
	}
	starts := max(r.Starts, 1)
	if r.Starts < 0 || starts > MaxStarts {
		return Thread{}, fmt.Errorf("starts = %d, must be 1 to %d", r.Starts, MaxStarts)
	}
	basic := basicOf(form, h.length(r.Major), pitch)
	if r.PitchDia != nil {
		basic.Pitch = h.length(*r.PitchDia)
	}
	if r.Minor != nil {
		basic.Minor = h.length(*r.Minor)
	}
	return Thread{
		Designation: unit.Plain(r.Designation), Standard: h.name(), Series: "own", Form: form,
		Pitch: pitch, Starts: starts, Hand: Right, Basic: basic,
	}, nil
}

func (r ownRow) check(h TableHead) error {
	figures := []figure{{"major", r.Major}}
	limits := []struct {
		key   string
		value *float64
	}{
		{"pitch_dia", r.PitchDia},
		{"minor", r.Minor},
		{"external_major_max", r.ExternalMajorMax},
		{"external_major_min", r.ExternalMajorMin},
		{"external_pitch_dia_max", r.ExternalPitchDiaMax},
		{"external_pitch_dia_min", r.ExternalPitchDiaMin},
		{"external_minor_max", r.ExternalMinorMax},
		{"external_minor_min", r.ExternalMinorMin},
		{"internal_major_max", r.InternalMajorMax},
		{"internal_major_min", r.InternalMajorMin},
		{"internal_pitch_dia_max", r.InternalPitchDiaMax},
		{"internal_pitch_dia_min", r.InternalPitchDiaMin},
		{"internal_minor_max", r.InternalMinorMax},
		{"internal_minor_min", r.InternalMinorMin},
	}
	for _, l := range limits {
		if l.value != nil {
			figures = append(figures, figure{l.key, *l.value})
		}
	}
	if err := checkLengths(h, figures...); err != nil {
		return err
	}
	t, err := r.thread(h)
	if err != nil {
		return err
	}
	if b := t.Basic; !(b.Major > b.Pitch && b.Pitch > b.Minor && b.Minor > 0) {
		return fmt.Errorf("major %.3f, pitch %.3f and minor %.3f mm must fall in this order and stay above 0", b.Major.MM(), b.Pitch.MM(), b.Minor.MM())
	}
	return errors.Join(
		checkOrder([]string{"external_major_max", "external_major_min", "external_pitch_dia_max", "external_pitch_dia_min", "external_minor_max", "external_minor_min"},
			r.ExternalMajorMax, r.ExternalMajorMin, r.ExternalPitchDiaMax, r.ExternalPitchDiaMin, r.ExternalMinorMax, r.ExternalMinorMin),
		checkOrder([]string{"internal_major_max", "internal_major_min", "internal_pitch_dia_max", "internal_pitch_dia_min", "internal_minor_max", "internal_minor_min"},
			r.InternalMajorMax, r.InternalMajorMin, r.InternalPitchDiaMax, r.InternalPitchDiaMin, r.InternalMinorMax, r.InternalMinorMin),
	)
}

// ReadOwn reads one table; file is its name in errors, which wrap ErrTable.
func ReadOwn(file string, data []byte) (*Own, error) {
	t, err := readTable[ownRow](file, data)
	if err != nil {
		return nil, err
	}
	return &Own{t}, nil
}

// ReadFolder reads every *.toml of a folder, in the order of their names. A designation may stand in one file only, and
// a standard's name too; errors of all files are told at once.
func ReadFolder(folder fs.FS) ([]*Own, error) {
	files, err := fs.Glob(folder, "*.toml")
	if err != nil {
		return nil, err
	}
	var all []*Own
	var errs []error
	designations, standards := map[string]string{}, map[string]string{}
	for _, file := range files {
		data, err := fs.ReadFile(folder, file)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		own, err := ReadOwn(path.Base(file), data)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		if first, taken := standards[own.Standard()]; taken {
			errs = append(errs, fmt.Errorf("%w: %s: standard %q is that of %s; give it a name of its own", ErrTable, file, own.Standard(), first))
		}
		standards[own.Standard()] = file
		for _, t := range own.Threads() {
			key := plainText(t.Designation)
			if first, taken := designations[key]; taken {
				errs = append(errs, fmt.Errorf("%w: %s: %q stands in %s already", ErrTable, file, t.Designation, first))
			}
			designations[key] = file
		}
		all = append(all, own)
	}
	if len(errs) > 0 {
		return nil, errors.Join(errs...)
	}
	return all, nil
}

// Standard returns what the table calls itself.
func (o *Own) Standard() string { return o.table.TableHead.name() }

// Source says where the figures of t are from.
func (o *Own) Source(Thread) string { return o.table.source("") }

// Series returns "own".
func (*Own) Series() []string { return []string{"own"} }

// Find returns the thread whose designation is n's text, letter case and spacing aside.
func (o *Own) Find(n Name) (Thread, bool, error) {
	for _, t := range o.Threads() {
		if plainText(t.Designation) == plainText(unit.Plain(n.Text)) {
			return t, true, nil
		}
	}
	return Thread{}, false, nil
}

// Threads lists the threads of the table.
func (o *Own) Threads() []Thread {
	var out []Thread
	for _, r := range o.table.Rows {
		if t, err := r.thread(o.table.TableHead); err == nil { // every row passed its check when the table was read
			out = append(out, t)
		}
	}
	return out
}

// Limits returns the limits that the table gives; the others are open. There are no classes.
func (o *Own) Limits(t Thread, class string, external bool) (Limits, error) {
	if class != "" {
		return Limits{}, noClass(Name{Class: class}, t.Designation)
	}
	for i, have := range o.Threads() {
		if plainText(have.Designation) != plainText(t.Designation) {
			continue
		}
		r, in := o.table.Rows[i], o.table.limit
		if external {
			return Limits{
				MajorMax: in(r.ExternalMajorMax), MajorMin: in(r.ExternalMajorMin),
				PitchMax: in(r.ExternalPitchDiaMax), PitchMin: in(r.ExternalPitchDiaMin),
				MinorMax: in(r.ExternalMinorMax), MinorMin: in(r.ExternalMinorMin),
			}, nil
		}
		return Limits{
			MajorMax: in(r.InternalMajorMax), MajorMin: in(r.InternalMajorMin),
			PitchMax: in(r.InternalPitchDiaMax), PitchMin: in(r.InternalPitchDiaMin),
			MinorMax: in(r.InternalMinorMax), MinorMin: in(r.InternalMinorMin),
		}, nil
	}
	return Limits{}, fmt.Errorf("%s is not a thread of %s", t.Designation, o.Standard())
}
