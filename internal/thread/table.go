package thread

// This file says how a thread table is written in TOML, and reads one strictly.
//
// A table opens with its head (TableHead) and goes on with rows, each an inline table on a line of its own. Unknown
// keys are errors with their line, values out of range are errors with the row's name.

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/unit"
	"tryring/profiles"
)

// ErrTable is wrapped by every error about what a thread table says.
var ErrTable = errors.New("thread table is wrong")

// What the figures of a table rest on.
const (
	Published      = "published"
	FromMemory     = "from memory"
	CommonPractice = "common practice"
)

// Bounds of what a table may say, wide enough for every screw thread that a person can hold.
const (
	maxDiameterMM = 1000
	minPitchMM    = 0.1
	maxPitchMM    = 25.4
)

// TableHead is the part of a table that holds for all its rows.
type TableHead struct {
	// Standard, Edition and Table name the source, e.g. "ISO 228-1", "2000", "table 1".
	Standard string `toml:"standard"`
	Edition  string `toml:"edition"`
	Table    string `toml:"table"`
	// Units of all lengths in the rows: "mm" or "in".
	Units string `toml:"units"`
	// TradeSizes is set where sizes are names in inches and no diameters.
	TradeSizes bool `toml:"trade_sizes"`
	// Series are the series of the rows.
	Series []Series `toml:"series"`
	// The form of the threads; 60 degrees when left out.
	shape
	// Common is, in a table of uses, how many times more common they make a thread than its series says.
	Common float64 `toml:"common"`
	// Basis is what the figures rest on: Published, FromMemory or CommonPractice.
	Basis string `toml:"basis"`
	// Checked says who or what the figures were checked against.
	Checked string `toml:"checked"`
	// Rounding is how far, beyond the last digit, the table rounds its diameters.
	Rounding float64 `toml:"rounding"`
	// NoGoTurns are the turns that a no-go gauge may enter a good part and NoGoSource the standard that says so.
	NoGoTurns  int    `toml:"no_go_turns"`
	NoGoSource string `toml:"no_go_source"`
	// EngagedPitches is how many pitches are usually engaged, EngagedWhy where that is from; 0 where nothing says.
	EngagedPitches float64 `toml:"engaged_pitches"`
	EngagedWhy     string  `toml:"engaged_why"`
}

// name returns standard and edition as the bodies write them: "ISO 228-1:2000", "ASME B1.20.1-2013".
func (h *TableHead) name() string {
	switch {
	case h.Edition == "":
		return h.Standard
	case strings.HasPrefix(h.Standard, "ASME"), strings.HasPrefix(h.Standard, "NFPA"):
		return h.Standard + "-" + h.Edition
	}
	return h.Standard + ":" + h.Edition
}

// source says in a sentence where the figures of a row are from; basis and checked are the row's own, or "" for the
// table's.
func (h *TableHead) source(basis, checked string) string {
	if basis == "" {
		basis = h.Basis
	}
	if checked == "" {
		checked = h.Checked
	}
	s := h.name()
	if h.Table != "" {
		s += ", " + h.Table
	}
	return s + " (" + basis + "; " + checked + ")"
}

// length converts a figure of the table.
func (h *TableHead) length(x float64) unit.Length {
	if h.Units == "in" {
		return unit.Inches(x)
	}
	return unit.MM(x)
}

// limit converts an optional figure of the table; nil stays nil.
func (h *TableHead) limit(x *float64) *unit.Length {
	if x == nil {
		return nil
	}
	return new(h.length(*x))
}

// wrongs gathers what is wrong with a table.
type wrongs []error

// unless adds a complaint where what it tells of is not right.
func (w *wrongs) unless(right bool, complaint string, args ...any) {
	if !right {
		*w = append(*w, fmt.Errorf(complaint, args...))
	}
}

// in adds what is wrong with a part of the table, which the words name.
func (w *wrongs) in(err error, part string, args ...any) {
	if err != nil {
		*w = append(*w, fmt.Errorf("%s: %w", fmt.Sprintf(part, args...), err))
	}
}

// also adds what is wrong with a figure that names itself.
func (w *wrongs) also(err error) {
	if err != nil {
		*w = append(*w, err)
	}
}

func (w wrongs) err() error { return errors.Join(w...) }

// bases are what the figures of a table may rest on.
var bases = []string{Published, FromMemory, CommonPractice}

func (h *TableHead) check() error {
	var w wrongs
	w.unless(plainText(h.Standard) != "", "standard is missing")
	w.unless(plainText(h.Checked) != "", "checked is missing")
	w.unless(h.Units == "mm" || h.Units == "in", `units = %q, must be "mm" or "in"`, h.Units)
	w.unless(slices.Contains(bases, h.Basis), "basis = %q, must be one of %q", h.Basis, bases)
	if h.given() {
		_, err := h.form()
		w.also(err)
	}
	for i := range h.Series {
		w.in(h.Series[i].check(), "series %q", h.Series[i].Word)
	}
	return w.err()
}

// bind tells the series of h whose they are.
func (h *TableHead) bind(f family) {
	for i := range h.Series {
		h.Series[i].table, h.Series[i].family = h, f
	}
}

// series returns the series with that word, nil for none.
func (h *TableHead) series(word string) *Series {
	for i := range h.Series {
		if h.Series[i].Word == word {
			return &h.Series[i]
		}
	}
	return nil
}

// tableRow is what every row of a table can say of itself.
type tableRow interface {
	// called is what tells the row from its neighbours.
	called() string
	check(h *TableHead) error
}

// table is a whole table; R is one row.
type table[R any] struct {
	TableHead
	Rows []R `toml:"rows"`
}

// readTable reads and checks the table in data; file is its name in errors, which wrap ErrTable.
func readTable[R tableRow](file string, data []byte) (*table[R], error) {
	t := new(table[R])
	if err := datafile.Decode(file, data, t); err != nil {
		var faults wrongs
		for _, f := range fault.Each(err) {
			f.Cause = ErrTable
			faults = append(faults, f)
		}
		return nil, faults.err()
	}
	var w wrongs
	w.in(t.TableHead.check(), "%s", file)
	w.unless(len(t.Rows) > 0, "%s: no rows", file)
	seen := map[string]bool{}
	for i, r := range t.Rows {
		var row wrongs
		key := plainText(r.called())
		row.unless(key != "", "has no name")
		row.unless(key == "" || !seen[key], "stands here twice")
		row.also(r.check(&t.TableHead))
		w.in(row.err(), "%s: row %d %q", file, i+1, r.called())
		seen[key] = true
	}
	if len(w) > 0 {
		return nil, fmt.Errorf("%w: %w", ErrTable, w.err())
	}
	return t, nil
}

// embedded reads a table that comes with the program. A fault in one is a fault of the program: what cannot be read
// panics, and TestEmbeddedTables finds the rest, which would take longer at each start than reading.
func embedded[R any](file string) *table[R] {
	data, err := profiles.Threads.ReadFile("threads/" + file)
	if err != nil {
		panic(err)
	}
	t := new(table[R])
	if err := datafile.Decode(file, data, t); err != nil {
		panic(err)
	}
	return t
}

// embeddedIn reads the tables of a folder that come with the program, file by file.
func embeddedIn[R any](folder string) (all []*table[R]) {
	files, err := fs.Glob(profiles.Threads, "threads/"+folder+"/*.toml")
	if err != nil {
		panic(err)
	}
	for _, file := range files {
		all = append(all, embedded[R](strings.TrimPrefix(file, "threads/")))
	}
	return all
}

// formula reads a table that comes with the program and whose limits f computes.
func formula[R any](file string, f family) *table[R] {
	t := embedded[R](file)
	t.bind(f)
	return t
}

// figure is a value under its key, nil where it was left out.
type figure struct {
	key   string
	value *float64
}

func (f figure) String() string { return fmt.Sprintf("%s = %v", f.key, *f.value) }

// checkLengths refuses figures that are given and are not lengths between zero and what a thread can be, in mm.
func checkLengths(h *TableHead, figures ...figure) error {
	var w wrongs
	for _, f := range figures {
		if f.value == nil {
			continue
		}
		mm := h.length(*f.value).MM()
		w.unless(mm > 0 && mm <= maxDiameterMM, "%s = %v %s, must be above 0 and at most %v mm", f.key, *f.value, h.Units, float64(maxDiameterMM))
	}
	return w.err()
}

// perInchPitch returns the pitch of a thread with tpi threads in an inch.
func perInchPitch(tpi float64) unit.Length { return unit.Inches(1 / tpi) }

// plainText brings a text to lower case with single spaces, so that two spellings of one name are one key.
func plainText(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
