package thread

// This file holds the families of threads in one place, and finds, lists and limits threads across them.

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"unicode"

	"tryring/internal/unit"
)

// ErrNoLimits is returned for a thread that no standard limits: a free thread.
var ErrNoLimits = errors.New("no standard gives limits of size")

// Tables are the families of threads that are known: a person's own first, then the built-in ones in the order in which
// they are asked.
type Tables struct {
	own      []*Own
	families []Family
	// all are the tabulated threads, and candidates what may be suggested, both made when first asked for.
	all        func() []Thread
	candidates func() []candidate
}

// families lists the built-in families. Their tables are read when they are first asked for something.
func families() []Family {
	return []Family{Unified{}, Metric{}, ISO228{}, ISO7{}, NPT{}, NPSM{}, NH{}}
}

// NewTables returns the built-in families with the tables of a person's own; see ReadFolder.
func NewTables(own ...*Own) *Tables {
	ts := &Tables{own: own}
	for _, o := range own {
		ts.families = append(ts.families, o)
	}
	ts.families = append(ts.families, families()...)
	ts.all = sync.OnceValue(ts.listAll)
	ts.candidates = sync.OnceValue(ts.listCandidates)
	return ts
}

// current are the tables that Parse, All, Search and the methods of Thread use.
var current atomic.Pointer[Tables]

func init() { current.Store(NewTables()) }

// UseFolder adds the tables *.toml of a person's folder to those that Parse, All, Search and the methods of Thread use,
// in place of any folder added before. Its errors wrap ErrTable where a table is wrong, and change nothing.
func UseFolder(dir string) error {
	if info, err := os.Stat(dir); err != nil {
		return fmt.Errorf("folder of threads: %w", err)
	} else if !info.IsDir() {
		return fmt.Errorf("folder of threads: %s is a file, not a folder", dir)
	}
	own, err := ReadFolder(os.DirFS(dir))
	if err != nil {
		return fmt.Errorf("folder of threads %s: %w", dir, err)
	}
	current.Store(NewTables(own...))
	return nil
}

// Parse reads a thread as people write it and returns what it stands for in the current tables. Parse of the
// Designation that it returns gives the same Thread again.
func Parse(text string) (Thread, error) { return current.Load().Parse(text) }

// All lists the threads of the current tables.
func All() []Thread { return current.Load().All() }

// Search lists threads of the current tables; see Tables.Search.
func Search(text string) []Thread { return current.Load().Search(text) }

// Limits returns the limits of size of t at class (the class of t, or else the usual one, when class is "").
// It fails with ErrNoLimits for a free thread.
func (t Thread) Limits(class string, external bool) (Limits, error) {
	return current.Load().Limits(t, class, external)
}

// Source says where the figures of t are from and what they were checked against.
func (t Thread) Source() string { return current.Load().Source(t) }

// Parse reads a thread as people write it.
func (ts *Tables) Parse(text string) (Thread, error) {
	if t, ok, err := ts.findOwn(text); ok {
		return t, err
	}
	n, err := readName(text)
	if err != nil {
		return Thread{}, ts.withSuggestion(err, n)
	}
	t, err := ts.find(n)
	if err != nil {
		return Thread{}, ts.withSuggestion(err, n)
	}
	return n.finish(t)
}

// findOwn looks text up among a person's own threads, which go by any name.
func (ts *Tables) findOwn(text string) (t Thread, ok bool, err error) {
	if len(ts.own) == 0 {
		return Thread{}, false, nil
	}
	whole := written{Name: Name{Text: unit.Plain(text), Starts: 1, Hand: Right}}
	bare := whole
	if bare.Text, err = bare.takeWords(whole.Text); err != nil {
		return Thread{}, false, nil
	}
	for _, n := range []written{whole, bare} {
		for _, o := range ts.own {
			if t, ok, _ := o.Find(n.Name); ok {
				t, err = n.finish(t)
				return t, true, err
			}
		}
	}
	return Thread{}, false, nil
}

// find asks the families for the thread of n, as a right-hand one with one start.
func (ts *Tables) find(n written) (Thread, error) {
	if n.free {
		return freeThread(n.Name)
	}
	plain := n.Name
	plain.Hand = Right
	for _, f := range ts.families {
		if t, ok, err := f.Find(plain); ok || err != nil {
			return t, err
		}
	}
	switch {
	case strings.EqualFold(n.Series, "tpi"):
		return Thread{}, fmt.Errorf(`thread %q gives no diameter; write it like "1 3/4-12 UN" or "44.4mm x 12tpi"`, n.Text)
	case n.Series != "":
		return Thread{}, fmt.Errorf("thread %q: unknown series %q", n.Text, n.Series)
	}
	return ts.findBySize(plain)
}

// findBySize settles a size and threads per inch without a series that the Unified tables do not have: one tabulated
// thread of another family with that size and count, or else a Unified special by formula.
func (ts *Tables) findBySize(n Name) (Thread, error) {
	if n.PerInch <= 0 {
		return Thread{}, fmt.Errorf(`thread %q gives no pitch; write it like "1 3/4-12 UN", "M45x1.5" or "44.4mm x 12tpi"`, n.Text)
	}
	var same []Thread
	for _, t := range ts.all() {
		if strings.HasPrefix(t.Designation, n.Size+"-"+unit.Short(n.PerInch)+" ") {
			same = append(same, t)
		}
	}
	switch {
	case len(same) == 1:
		return same[0], nil
	case len(same) > 1:
		return Thread{}, fmt.Errorf("thread %q could be %s or %s-%s UNS; write which", n.Text, listed(same), n.Size, unit.Short(n.PerInch))
	}
	n.Series = seriesSpecial
	t, _, err := Unified{}.Find(n)
	return t, err
}

func listed(threads []Thread) string {
	names := make([]string, len(threads))
	for i, t := range threads {
		names[i] = fmt.Sprintf("%q", t.Designation)
	}
	return strings.Join(names, ", ")
}

// The words that follow a designation in its normal form.
const leftWord = " LH"

func startsWord(starts int) string { return fmt.Sprintf(" %dstart", starts) }

// finish gives t the starts and the hand that were written, and checks the angle.
func (n written) finish(t Thread) (Thread, error) {
	if n.AngleDeg > 0 && !nearly(n.AngleDeg, rounded(t.Form.AngleDeg())) {
		return Thread{}, fmt.Errorf("thread %q: %s has %s degrees between its flanks, not %s", n.Text, t.Designation,
			unit.Short(t.Form.AngleDeg()), unit.Short(n.AngleDeg))
	}
	if n.Starts > 1 {
		t.Starts = n.Starts
		t.Designation += startsWord(n.Starts)
	}
	if n.Hand == Left {
		t.Hand = Left
		t.Designation += leftWord
	}
	return t, nil
}

// All lists the tabulated threads of all families, and after them those that the table of uses names and no other has.
func (ts *Tables) All() []Thread { return slices.Clone(ts.all()) }

func (ts *Tables) listAll() []Thread {
	var all []Thread
	seen := map[string]bool{}
	for _, f := range ts.families {
		for _, t := range f.Threads() {
			all = append(all, t)
			seen[t.Designation] = true
		}
	}
	for _, use := range Uses() {
		if seen[use.Designation] {
			continue
		}
		seen[use.Designation] = true
		if n, err := readName(use.Designation); err == nil && n.Series != "" { // a name without series would look in this list
			if t, err := ts.find(n); err == nil {
				all = append(all, t)
			}
		}
	}
	return all
}

// Search lists the tabulated threads whose designation, standard, series or uses hold every word of text, in any case.
// Figures and single letters are held only as a whole, so that "8 NPT" does not find 1/8-27 NPT. An empty text lists all. A text that reads as one thread gives just that, also outside the tables.
func (ts *Tables) Search(text string) []Thread {
	words := strings.Fields(strings.ToLower(unit.Plain(text)))
	if len(words) > 0 {
		if t, err := ts.Parse(text); err == nil {
			return []Thread{t}
		}
	}
	var found []Thread
	for _, t := range ts.all() {
		line := t.Designation + " " + t.Standard + " " + t.Series
		for _, use := range UsesOf(t.Designation) {
			line += " " + use.What + " " + use.OtherName
		}
		line = strings.ToLower(line)
		missing := false
		for _, w := range words {
			missing = missing || !holds(line, w)
		}
		if !missing {
			found = append(found, t)
		}
	}
	return found
}

// holds says whether word stands in line: a figure or a single letter as a whole, anything else wherever it stands.
func holds(line, word string) bool {
	if len(word) > 1 && (word[0] < '0' || word[0] > '9') {
		return strings.Contains(line, word)
	}
	goesOn := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '/' || r == '.' }
	return slices.Contains(strings.FieldsFunc(line, func(r rune) bool { return !goesOn(r) }), word) ||
		slices.Contains(strings.Fields(line), word)
}

// family returns the family that t comes from; ok is false for a free thread.
func (ts *Tables) family(t Thread) (f Family, ok bool) {
	if t.Standard == "" {
		return nil, false
	}
	for _, f := range ts.families {
		if t.Standard != f.Standard() && t.Standard != f.Standard()+byFormula {
			continue
		}
		// Two tables of one standard are told apart by their series.
		if slices.Contains(f.Series(), t.Series) {
			return f, true
		}
	}
	return nil, false
}

// Source says where the figures of t are from and what they were checked against.
func (ts *Tables) Source(t Thread) string {
	f, ok := ts.family(t)
	if !ok {
		return "written by the user: " + t.Designation
	}
	if s, ok := f.(Sourced); ok {
		return s.Source(t)
	}
	return f.Standard()
}

// Limits returns the limits of size of t; see Thread.Limits.
func (ts *Tables) Limits(t Thread, class string, external bool) (Limits, error) {
	f, ok := ts.family(t)
	if !ok {
		return Limits{}, fmt.Errorf("%s: %w", t.Designation, ErrNoLimits)
	}
	if class == "" {
		class = t.Class
	}
	if _, own := f.(*Own); own { // found by its name alone
		if t.Hand == Left {
			t.Designation = strings.TrimSuffix(t.Designation, leftWord)
		}
		t.Designation = strings.TrimSuffix(t.Designation, startsWord(t.Starts))
	}
	return f.Limits(t, class, external)
}
