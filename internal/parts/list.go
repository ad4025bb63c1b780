package parts

// This file reads a whole list: rows to parts, and all numbers together to the habit of the list.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// ErrNoPart is wrapped by the error for a list without a usable row.
var ErrNoPart = errors.New("no usable row")

// Options say how a list is to be read. The zero value reads the header and takes units as they come.
type Options struct {
	// Columns names the columns in order, for a file without a header; "-" for one that is not used.
	Columns []string
	// Unit is taken for sizes without a unit where the header names none; 0 takes bare numbers up to 6 for inches and above
	// for millimetres.
	Unit unit.Length
	// Tables are the thread tables; nil for the built-in ones.
	Tables *thread.Tables
}

// ReadOptions reads what a person says of a list: the names of its columns, with commas between them, and the unit of its bare
// sizes, mm or in; "" leaves each to the list. Its fault is one of the field "unit".
func ReadOptions(columns, bare string) (o Options, err error) {
	if columns != "" {
		o.Columns = strings.Split(columns, ",")
	}
	switch strings.ToLower(strings.TrimSpace(bare)) {
	case "":
	case "mm":
		o.Unit = unit.Millimetre
	case "in", "inch", "inches":
		o.Unit = unit.Inch
	default:
		return o, fault.At("unit", bare, "it is mm or in")
	}
	return o, nil
}

// Part is one row of a list.
type Part struct {
	Name string `json:"part"`
	Line int    `json:"line"`
	// spec are what is printed of the inner and the outer thread, text is both for telling parts apart.
	spec [2]*spec
}

// List is a parts list.
type List struct {
	Parts []Part
	// Skipped are the rows that could not be used.
	Skipped []Fault
	// Notes say what else a reader should know: columns that were not used.
	Notes []string
	// Habit is the chance of each habit; they sum to 1.
	Habit [habits]float64
	// Bore is the share of the sizes that are thought to go by the bore without a word, of the inner and the outer threads.
	Bore [2]float64

	tables   *thread.Tables
	guessers [2]guesser
	// guesses are what each spec could be, by side and text.
	guesses [2]map[string]guess
	// ways are the chances of the ways in which it may be written.
	ways ways
}

// Read reads the text of a list. Rows that cannot be used are in Skipped; a list without any usable row is an error that
// wraps ErrNoPart.
func Read(text string, opt Options) (*List, error) {
	l := &List{tables: opt.Tables, Skipped: []Fault{}, Notes: []string{}}
	if l.tables == nil {
		l.tables = thread.BuiltIn()
	}
	if len(text) > MaxBytes {
		return nil, fmt.Errorf("the list has %d bytes; at most %d are read", len(text), MaxBytes)
	}
	rows, faults := Cut(text)
	l.Skipped = append(l.Skipped, faults...)
	columns := opt.Columns
	if len(columns) == 0 {
		if len(rows) == 0 {
			return nil, l.none()
		}
		if titles := titleLines(rows); titles > 0 {
			l.Notes = append(l.Notes, fmt.Sprintf("lines above the names of the columns not used: %d", titles))
			rows = rows[titles:]
		}
		columns, rows = rows[0].Cells, rows[1:]
	} else if len(rows) > 0 && isHeader(rows[0].Cells) {
		rows = rows[1:]
	}
	plan, err := readLayout(columns)
	if err != nil {
		return nil, err
	}
	if names := plan.unusedNames(); len(names) > 0 {
		l.Notes = append(l.Notes, fmt.Sprintf("columns not used: %s", strings.Join(names, ", ")))
	}
	r := newReader(l, plan, opt.Unit)
	l.Parts = make([]Part, 0, len(rows))
	for _, row := range rows {
		p, err := r.part(row)
		if err != nil {
			l.Skipped = append(l.Skipped, Fault{row.Line, err.Error()})
			continue
		}
		l.Parts = append(l.Parts, p)
	}
	sortFaults(l.Skipped)
	if len(l.Parts) == 0 {
		return nil, l.none()
	}
	l.learnHabit()
	l.shareCounts()
	r.fillMissing()
	return l, nil
}

// mostTitles is how many lines of a title may stand above the names of the columns.
const mostTitles = 3

// titleLines counts the lines above the first one that names columns; 0 where none of the first few does.
func titleLines(rows []Row) int {
	for k := range min(mostTitles+1, len(rows)) {
		if isHeader(rows[k].Cells) {
			return k
		}
	}
	return 0
}

// none is the error for a list without a usable row.
func (l *List) none() error {
	const shown = 5
	lines := []string{}
	for k, f := range l.Skipped {
		if k == shown {
			lines = append(lines, fmt.Sprintf("and %d more", len(l.Skipped)-shown))
			break
		}
		lines = append(lines, f.String())
	}
	if len(lines) == 0 {
		lines = []string{"it holds no rows; " + wantedColumns}
	}
	return fmt.Errorf("%w: %s", ErrNoPart, strings.Join(lines, "; "))
}

// learnHabit weighs the habits by all numbers of the list.
func (l *List) learnHabit() {
	var logs [2]belief
	for side := range logs {
		for _, s := range l.distinct(side) {
			logs[side].count(l.guesses[side][s.text].evidence)
		}
	}
	l.ways = learn(logs)
	for side := range logs {
		for k, x := range l.ways.of(side) {
			l.Bore[side] += x * boreShares[k%len(boreShares)]
			if side == inner {
				l.Habit[writings[k/len(boreShares)].habit] += x
			}
		}
	}
}

// distinct are the specs of a column that print different threads: repeats of one number are no new evidence of the list's habit,
// and a size without threads per inch is none beside the same size with them.
func (l *List) distinct(side int) (out []spec) {
	type print struct{ size, perInch number }
	seen := map[print]bool{}
	for _, counted := range []bool{true, false} {
		for _, p := range l.Parts {
			s := p.spec[side]
			if s.size == nil || (s.perInch != nil) != counted {
				continue
			}
			key := print{size: *s.size}
			if counted {
				key.perInch = *s.perInch
			}
			if !seen[key] {
				seen[key], seen[print{size: *s.size}] = true, true
				out = append(out, *s)
			}
		}
	}
	return out
}

// ShowsHabit reports whether the numbers say anything about the list's habit: a list of fractions does not.
func (l *List) ShowsHabit() bool {
	var before [habits]float64
	for w, x := range writingPrior {
		before[writings[w].habit] += x
	}
	for h := range habits {
		if math.Abs(l.Habit[h]-before[h]) > leastShown {
			return true
		}
	}
	return false
}
