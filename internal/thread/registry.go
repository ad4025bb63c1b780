package thread

// This file holds the families of threads in one place, and finds, lists and limits threads across them.

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// Tables are the families of threads that are known: a person's own first, then the built-in ones in the order in which
// they are asked.
type Tables struct {
	families []family
	// words are what people write for a series, in lower case, and names what the threads of listed families are called.
	words map[string]string
	names map[string]Thread
	// pitched are the series whose threads are written with their pitch.
	pitched map[string]bool
	// all are the tabulated threads, and candidates what may be suggested, both made when first asked for.
	all        func() []Thread
	candidates func() []candidate
}

// families are the built-in ones: Unified and metric threads by their formulas, all others as their tables list them.
var families = sync.OnceValue(func() []family {
	out := []family{Unified{}, Metric{}}
	for _, t := range embeddedIn[row]("listed") {
		out = append(out, listedOf(t, false))
	}
	return out
})

// NewTables returns the built-in families with the tables of a person's own; see ReadFolder.
func NewTables(own ...*Listed) *Tables {
	ts := &Tables{words: map[string]string{}, names: map[string]Thread{}, pitched: map[string]bool{}}
	for _, o := range own {
		ts.families = append(ts.families, o)
	}
	ts.families = append(ts.families, families()...)
	for _, f := range slices.Backward(ts.families) { // a person's own words and names stand before all others
		h := f.tableHead()
		for i := range h.Series {
			ts.pitched[h.Series[i].Word] = strings.Contains(h.Series[i].Name, "x{pitch}") || strings.Contains(h.Series[i].Name, "x1/{tpi}")
			for _, word := range append([]string{h.Series[i].Word}, h.Series[i].Also...) {
				ts.words[strings.ToLower(word)] = h.Series[i].Word
			}
		}
		if l, ok := f.(*Listed); ok {
			for _, t := range slices.Backward(l.threads) {
				ts.names[nameKey(t.Designation)] = t
				for _, name := range l.rows[t.row].Also {
					if _, err := unit.ParseNumber(name); err != nil || l.rows[t.row].Size == "" { // a size says nothing without its series
						ts.names[nameKey(name)] = t
					}
				}
			}
		}
	}
	ts.all = sync.OnceValue(ts.listAll)
	ts.candidates = sync.OnceValue(ts.listCandidates)
	return ts
}

// builtIn are the tables that come with the program, read when they are first asked for something.
var builtIn = sync.OnceValue(func() *Tables { return NewTables() })

// BuiltIn returns the tables that come with the program, always the same.
func BuiltIn() *Tables { return builtIn() }

// Parse reads a thread as people write it. What is wrong is a fault that holds text as it was read.
func (ts *Tables) Parse(text string) (Thread, error) {
	t, err := ts.parse(text)
	if err != nil {
		return Thread{}, fault.Fault{Read: text, Want: err.Error(), Cause: err}
	}
	return t, nil
}

func (ts *Tables) parse(text string) (Thread, error) {
	if t, ok, err := ts.named(text); ok {
		return t, err
	}
	if err := ts.askBack(text); err != nil {
		return Thread{}, err
	}
	n, err := ts.readName(text)
	if err != nil {
		return Thread{}, ts.withSuggestion(err, n)
	}
	t, err := ts.find(n)
	if err != nil {
		return Thread{}, ts.withSuggestion(err, n)
	}
	return ts.finish(n, t)
}

// named looks text up among what the threads of listed families are called, with and without words for hand and starts.
func (ts *Tables) named(text string) (t Thread, ok bool, err error) {
	if t, ok := ts.names[nameKey(text)]; ok {
		return t, true, nil
	}
	n := written{Name: Name{Text: text, Starts: 1, Hand: Right}}
	bare, err := n.takeWords(unit.Plain(text))
	if err != nil {
		return Thread{}, false, nil
	}
	if t, ok = ts.names[nameKey(bare)]; !ok {
		return Thread{}, false, nil
	}
	t, err = ts.finish(n, t)
	return t, true, err
}

// nameKey brings what a thread is called to lower case; spaces count between figures alone ("Tr 40 x 7" is "tr40x7").
func nameKey(text string) string {
	words := strings.Fields(strings.ToLower(unit.Plain(text)))
	figure := func(b byte) bool { return b >= '0' && b <= '9' }
	var b strings.Builder
	for i, w := range words {
		if i > 0 && figure(words[i-1][len(words[i-1])-1]) && figure(w[0]) {
			b.WriteByte(' ')
		}
		b.WriteString(w)
	}
	return b.String()
}

// find asks the families for the thread of n, as a right-hand one with one start.
func (ts *Tables) find(n written) (Thread, error) {
	if n.free {
		return freeThread(n.Name)
	}
	plain := n.Name
	plain.Hand = Right
	var fault error // of the first table that has the series; another may have the size
	for _, f := range ts.families {
		if t, ok, err := f.Find(plain); ok && err == nil {
			return t, nil
		} else if fault == nil {
			fault = err
		}
	}
	switch {
	case fault != nil:
		return Thread{}, fault
	case strings.EqualFold(n.Series, "tpi"):
		return Thread{}, errors.New(`it gives no diameter; write it like "1 3/4-12 UN" or "44.4mm x 12tpi"`)
	case n.Series != "":
		return Thread{}, fmt.Errorf(`unknown series %q; a thread that is in no table is written like "44.4mm x 12tpi"`, n.Series)
	}
	return ts.findBySize(plain)
}

// findBySize settles a size and threads per inch without a series that the Unified tables do not have: one tabulated
// thread of another family with that size and count, or else a Unified special by formula.
func (ts *Tables) findBySize(n Name) (Thread, error) {
	if n.PerInch <= 0 {
		return Thread{}, errors.New(`it gives no pitch; write it like "1 3/4-12 UN", "M45x1.5" or "44.4mm x 12tpi"`)
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
		return Thread{}, fmt.Errorf("it could be %s or %s-%s UNS; %w", listed(same), n.Size, unit.Short(n.PerInch), ErrWhich)
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
func (ts *Tables) finish(n written, t Thread) (Thread, error) {
	if n.AngleDeg > 0 && !nearly(n.AngleDeg, rounded(t.Form.AngleDeg())) {
		return Thread{}, fmt.Errorf("%s has %s degrees between its flanks, not %s", t.Designation,
			unit.Short(t.Form.AngleDeg()), unit.Short(n.AngleDeg))
	}
	if lower, upper := t.Form.Flanks(); n.FlanksDeg[0] > 0 && !(nearly(n.FlanksDeg[0], rounded(lower/degree)) && nearly(n.FlanksDeg[1], rounded(upper/degree))) {
		return Thread{}, fmt.Errorf("%s has flanks of %s degrees, the load flank first", t.Designation, t.Form.AngleWords())
	}
	if (n.Profile != "" || n.Depth > 0) && !n.free {
		return Thread{}, fmt.Errorf("%s has its own profile; only a free thread is written with one", t.Designation)
	}
	if side := n.side; side != "" && !t.ComesAs(side == externalSide) {
		return Thread{}, fmt.Errorf("%s is an %s thread, and %s is written with it", t.name, t.Side(), side)
	}
	if n.Starts > 1 {
		if t.series != nil && t.series.OneStart {
			return Thread{}, fmt.Errorf("%s has one start, not %d", t.name, n.Starts)
		}
		t.Starts = n.Starts
		t.Designation += startsWord(n.Starts)
	}
	if n.Hand == Left {
		t.Hand = Left
		t.Designation += leftWord
	}
	if listed, ok := ts.names[nameKey(t.Designation)]; ok { // a left-hand thread with a row of its own
		return listed, nil
	}
	return t, nil
}

// All lists the tabulated threads of all families, and after them those that the table of uses names and no other has. The list is
// everybody's: whoever wants another order makes a copy.
func (ts *Tables) All() []Thread { return slices.Clip(ts.all()) }

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
		// A name without series would look in this list, and a left-hand thread is not told from the right-hand one by size.
		if n, err := ts.readName(use.Designation); err == nil && n.Series != "" && n.Hand == Right {
			if t, err := ts.find(n); err == nil {
				all = append(all, t)
			}
		}
	}
	return all
}

// Search lists the tabulated threads whose designation, standard, series or uses hold every word of text, in any
// case. Figures and single letters are held only as a whole, so that "8 NPT" does not find 1/8-27 NPT. An empty text
// lists all. A text that reads as one thread gives just that, also outside the tables.
func (ts *Tables) Search(text string) []Thread {
	words := strings.Fields(strings.ToLower(unit.Plain(text)))
	if len(words) > 0 {
		if t, err := ts.Parse(text); err == nil {
			return []Thread{t}
		}
	}
	var found []Thread
	for _, t := range ts.all() {
		line := t.Designation + " " + t.Standard + " " + t.Series + " " + t.Use()
		for _, use := range UsesOf(t.Designation) {
			line += " " + use.What + " " + use.OtherName + " " + use.Why
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
