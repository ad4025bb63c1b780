package thread

// This file holds families whose threads are listed row by row in a table: those that come with the program and a
// person's own. Such a file has the head of every table (TableHead) and rows of one thread each, for example
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
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"tryring/internal/unit"
)

// Listed is a family whose threads are listed in a table.
type Listed struct {
	head    *TableHead
	rows    []row
	threads []Thread
}

var _ family = (*Listed)(nil)

// listedOf is the family of a table. The rows of a table without series are found by their names alone.
func listedOf(t *table[row], own bool) *Listed {
	if len(t.Series) == 0 {
		t.Series = []Series{{Word: "own"}}
	}
	f := &Listed{head: &t.TableHead, rows: t.Rows}
	f.head.bind(f)
	for i := range f.head.Series {
		f.head.Series[i].own = own
	}
	for at, r := range f.rows {
		for i := range f.head.Series {
			if s := &f.head.Series[i]; r.Series == "" || r.Series == s.Word {
				f.threads = append(f.threads, f.thread(s, at))
			}
		}
	}
	return f
}

func (f *Listed) tableHead() *TableHead { return f.head }

// thread makes the thread of a row, which has passed its check, in series s.
func (f *Listed) thread(s *Series, at int) Thread {
	r := f.rows[at]
	form, _ := r.form(f.head)
	pitch, _ := r.pitch(f.head)
	t := Thread{
		Standard: f.head.name(), Series: s.Word, Form: form, Pitch: pitch, Starts: max(r.Starts, 1), Hand: Right,
		Basic: r.basic(f.head, form, pitch), series: s, row: at,
	}
	if r.Left {
		t.Hand = Left
	}
	if s.Taper > 0 {
		t.Taper, t.GaugeLength = s.Taper, f.head.length(r.GaugeLength)
	}
	return t.called(r.name(s), "")
}

// Threads lists the threads row by row.
func (f *Listed) Threads() []Thread { return slices.Clone(f.threads) }

// Find returns the thread that n names by series and size.
func (f *Listed) Find(n Name) (Thread, bool, error) {
	s := f.head.series(n.Series)
	if s == nil || s.Name == "" {
		return Thread{}, false, nil
	}
	t, err := f.bySize(s, n)
	if err != nil {
		return Thread{}, true, err
	}
	class, err := f.class(t, n.Class)
	return t.called(t.name, class), true, err
}

// bySize returns the thread that n names by its size. Errors say which size, pitch or angle would be right.
func (f *Listed) bySize(s *Series, n Name) (Thread, error) {
	if inches := f.head.TradeSizes || f.head.Units == "in"; n.SizeUnit == unit.Millimetre && inches {
		return Thread{}, fmt.Errorf("%s sizes are trade sizes in inches, not %s mm; write one of %s", s.Word, n.Size, f.sizes(s))
	}
	size, err := unit.ParseNumber(n.Size)
	var same []Thread
	for _, t := range f.threads {
		if err == nil && t.series == s && f.rows[t.row].hasSize(size) {
			same = append(same, t)
		}
	}
	if len(same) == 0 {
		return Thread{}, fmt.Errorf("%s has no size %q; the sizes are %s", s.Word, n.Size, f.sizes(s))
	}
	var faults []error
	var fitting []Thread
	for _, t := range same {
		if err := t.agrees(n); err != nil {
			faults = append(faults, err)
			continue
		}
		fitting = append(fitting, t)
	}
	switch {
	case len(fitting) == 0:
		return Thread{}, faults[0]
	case len(fitting) > 1:
		return Thread{}, fmt.Errorf("size %s of %s has several pitches: %s; %w", n.Size, s.Word, listed(fitting), ErrWhich)
	case s.OneStart && n.Starts > 1:
		return Thread{}, fmt.Errorf("%s has one start, not %d", fitting[0].name, n.Starts)
	}
	return fitting[0], nil
}

const (
	// perInchTol is how far a written count may be off: less than any two counts of one size differ.
	perInchTol = 0.01
	// pitchTolMM is how far a written pitch may be off: people round it to 0.01 mm.
	pitchTolMM = 0.006
)

// agrees says how the pitch or the angle that n gives is not that of t.
func (t Thread) agrees(n Name) error {
	perInch := unit.MMPerInch / t.Pitch.MM()
	has := fmt.Sprintf("%s has %s threads per inch", t.name, unit.Short(rounded(perInch)))
	if math.Abs(perInch-math.Round(2*perInch)/2) > perInchTol {
		has = fmt.Sprintf("%s has a pitch of %s mm", t.name, unit.Short(rounded(t.Pitch.MM())))
	}
	switch {
	case n.PerInch != 0 && math.Abs(n.PerInch-perInch) > perInchTol:
		return fmt.Errorf("%s, not %s", has, unit.Short(n.PerInch))
	case n.Pitch != 0 && math.Abs(float64(n.Pitch-t.Pitch)) > pitchTolMM:
		return fmt.Errorf("%s, a pitch of %.3f mm, not %.3f mm", has, t.Pitch.MM(), n.Pitch.MM())
	case n.AngleDeg != 0 && math.Abs(n.AngleDeg-t.Form.AngleDeg()) > angleTolDeg:
		return fmt.Errorf("%s has a thread angle of %s degrees, not %s", t.name, t.Form.AngleWords(), unit.Short(n.AngleDeg))
	}
	return nil
}

// sizes lists the sizes of a series for an error.
func (f *Listed) sizes(s *Series) string {
	var all []string
	for _, t := range f.threads {
		if size := f.rows[t.row].Size; t.series == s && !slices.Contains(all, size) {
			all = append(all, size)
		}
	}
	return strings.Join(all, ", ")
}

// class returns a class of t in its normal spelling; an error names those there are.
func (f *Listed) class(t Thread, class string) (string, error) {
	if class == "" {
		return "", nil
	}
	s := t.series
	for _, have := range slices.Concat(s.External, s.Internal) {
		if strings.EqualFold(have, class) {
			return have, nil
		}
	}
	orNone := func(classes []string) string {
		if len(classes) == 0 {
			return "none"
		}
		return strings.Join(classes, " or ")
	}
	if len(s.External)+len(s.Internal) == 0 {
		return "", fmt.Errorf("%s has no tolerance classes; leave out %q", t.name, class)
	}
	return "", fmt.Errorf("class %q is not of %s; external threads have %s, internal ones %s", class, f.head.name(), orNone(s.External), orNone(s.Internal))
}

// Limits returns the limits that the table gives at class; the others are open, as are all of a taper thread, whose size is
// told by where its gauge plane lies, and all of a side on which the thread does not come.
func (f *Listed) Limits(t Thread, class string, external bool) (Limits, error) {
	class, err := f.class(t, class)
	if err != nil {
		return Limits{}, err
	}
	if t.Taper > 0 || !t.ComesAs(external) {
		return Limits{}, nil
	}
	return f.rows[t.row].limits(f.head, class, external), nil
}

func (f *Listed) classOf(t Thread, asked string, external bool) string {
	classes := t.series.Internal
	if external {
		classes = t.series.External
	}
	class, _ := f.class(t, asked)
	switch {
	case slices.Contains(classes, class):
		return class
	case len(classes) > 0:
		return classes[0]
	}
	return ""
}

func (f *Listed) sideOf(class string) (external, ok bool) {
	same := func(have string) bool { return strings.EqualFold(have, class) }
	for _, s := range f.head.Series {
		if external := slices.ContainsFunc(s.External, same); external || slices.ContainsFunc(s.Internal, same) {
			return external, true
		}
	}
	return false, false
}

// Source says where the figures of t are from.
func (f *Listed) Source(t Thread) string {
	r := f.rows[t.row]
	return f.head.source(r.Basis, r.Checked)
}

// taper returns the lengths of t, a taper thread.
func (f *Listed) taper(t Thread) TaperLengths {
	r := f.rows[t.row]
	turns := func(tol float64) unit.Length {
		if tol == 0 {
			return t.Pitch
		}
		return f.head.length(tol)
	}
	return TaperLengths{Gauge: t.GaugeLength, ExternalTol: turns(r.ExternalTol), InternalTol: turns(r.InternalTol), Useful: f.head.length(r.Useful)}
}

// engagement is the useful length that the row gives, or so many pitches as the table says, or one diameter.
func (f *Listed) engagement(t Thread) (unit.Length, string) {
	switch r := f.rows[t.row]; {
	case r.Useful > 0:
		return f.head.length(r.Useful), "useful thread of the same size in ISO 7-1"
	case f.head.EngagedPitches > 0:
		return unit.Length(f.head.EngagedPitches) * t.Pitch, f.head.EngagedWhy
	}
	return diameterEngagement(t)
}

// ReadOwn reads a table that a person wrote; file is its name in errors, which wrap ErrTable.
func ReadOwn(file string, data []byte) (*Listed, error) {
	t, err := readTable[row](file, data)
	if err != nil {
		return nil, err
	}
	return listedOf(t, true), nil
}

// ReadFolder reads every *.toml of a folder, in the order of their names. A designation may stand in one file only, and
// a standard's name too; errors of all files are told at once.
func ReadFolder(folder fs.FS) ([]*Listed, error) {
	files, err := fs.Glob(folder, "*.toml")
	if err != nil {
		return nil, err
	}
	var all []*Listed
	var w wrongs
	designations, standards := map[string]string{}, map[string]string{}
	for _, file := range files {
		data, err := fs.ReadFile(folder, file)
		var own *Listed
		if err == nil {
			own, err = ReadOwn(path.Base(file), data)
		}
		if err != nil {
			w.also(err)
			continue
		}
		name := own.head.name()
		first, taken := standards[name]
		w.unless(!taken, "%w: %s: standard %q is that of %s; give it a name of its own", ErrTable, file, name, first)
		standards[name] = file
		for _, t := range own.threads {
			key := plainText(t.Designation)
			first, taken := designations[key]
			w.unless(!taken, "%w: %s: %q stands in %s already", ErrTable, file, t.Designation, first)
			designations[key] = file
		}
		all = append(all, own)
	}
	return all, w.err()
}
