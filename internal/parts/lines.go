package parts

// This file cuts a CSV file, or lines copied from a page, into rows, so that one bad row costs no other.

import (
	"encoding/csv"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Bounds of a list: far beyond any that somebody typed, and small enough to hold.
const (
	// MaxBytes is the largest file that is read.
	MaxBytes = 64 << 20
	// maxJoined is how many lines one quoted cell may run over.
	maxJoined = 20
)

// Row is one row of cells and the line it starts on.
type Row struct {
	Line  int
	Cells []string
}

// Fault is a row or column that was left out, and why.
type Fault struct {
	Line int    `json:"line"`
	Why  string `json:"why"`
}

func (f Fault) String() string { return fmt.Sprintf("line %d: %s", f.Line, f.Why) }

// Cut cuts text into rows. Blank lines and lines that start with # are passed over.
func Cut(text string) (rows []Row, faults []Fault) {
	text = strings.TrimPrefix(text, "\ufeff")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(text, "\n")
	between := separator(lines)
	rows = make([]Row, 0, len(lines))
	for k := 0; k < len(lines); k++ {
		if passed(lines[k]) {
			continue
		}
		cells, taken, err := cutRow(lines[k:], between)
		if err != nil {
			faults = append(faults, Fault{k + 1, err.Error()})
			continue
		}
		rows = append(rows, Row{k + 1, cells})
		k += taken - 1
	}
	if between == blanks {
		rows, faults = even(rows, faults)
	}
	return rows, faults
}

// passed says that a line holds no row: it is empty, a comment, or the rule below the head of a table that is drawn with pipes.
func passed(line string) bool {
	s := strings.TrimSpace(line)
	return s == "" || strings.HasPrefix(s, "#") || strings.Trim(s, "|-:+= ") == "" && strings.Contains(s, "--")
}

// blanks stands for several blanks between two cells.
const blanks = ' '

// separators are what may stand between cells, and what tells it: a comma may stand within a number, and blanks within a cell.
var separators = []struct {
	between rune
	found   *regexp.Regexp
}{
	{';', regexp.MustCompile(`;`)},
	{'\t', regexp.MustCompile(`\t`)},
	{'|', regexp.MustCompile(`\|`)},
	{',', regexp.MustCompile(`[^\d\s]\s*,|,\s*\D|,$`)},
	{blanks, severalBlanks},
}

// farthestHead is how many lines are looked through for the names of columns.
const farthestHead = 100

var (
	severalBlanks = regexp.MustCompile(`\S {2,}\S`)
	betweenBlanks = regexp.MustCompile(` {2,}`)
)

// separator takes what stands between the names of columns, or else what most lines have, or else a comma.
func separator(lines []string) rune {
	head := slices.DeleteFunc(slices.Clone(lines[:min(len(lines), farthestHead)]), passed)
	for _, s := range separators {
		for _, line := range head[:min(len(head), mostTitles+1)] {
			if cells, _, err := cutRow([]string{line}, s.between); err == nil && len(cells) > 1 && isHeader(cells) {
				return s.between
			}
		}
	}
	for _, s := range separators {
		with, all := 0, 0
		for _, line := range lines {
			if !passed(line) {
				all++
				if s.found.MatchString(line) {
					with++
				}
			}
		}
		if 2*with > all {
			return s.between
		}
	}
	return ','
}

// even leaves out the rows that have not as many cells as most: which cell is missing between blanks cannot be told. Lines above the
// first even one may be titles.
func even(rows []Row, faults []Fault) (kept []Row, all []Fault) {
	count, most := map[int]int{}, 0
	for _, r := range rows {
		if count[len(r.Cells)]++; count[len(r.Cells)] > count[most] {
			most = len(r.Cells)
		}
	}
	seen := false
	for _, r := range rows {
		seen = seen || len(r.Cells) == most
		if seen && len(r.Cells) != most {
			faults = append(faults, Fault{r.Line, fmt.Sprintf("%d cells where most rows have %d; write - for a cell that is empty, or put tabs or semicolons between", len(r.Cells), most)})
			continue
		}
		kept = append(kept, r)
	}
	return kept, faults
}

// cutRow reads the first row of lines and says how many lines it took. A quote inside a cell that does not start with one,
// like 1 3/4", is an inch mark.
func cutRow(lines []string, comma rune) (cells []string, taken int, err error) {
	cells, err = parseRow(lines[0], comma, false)
	switch {
	case err == nil:
		return cells, 1, nil
	case errors.Is(err, csv.ErrBareQuote):
		if cells, err = parseRow(lines[0], comma, true); err == nil {
			return cells, 1, nil
		}
	case errors.Is(err, csv.ErrQuote):
		for n := 2; n <= min(maxJoined, len(lines)); n++ {
			if cells, err := parseRow(strings.Join(lines[:n], "\n"), comma, false); err == nil {
				return cells, n, nil
			}
		}
		return nil, 1, errors.New(`a quoted cell is not closed; write inches in quotes as "1 3/4""", or as 1 3/4 in`)
	}
	return nil, 1, err
}

func parseRow(text string, comma rune, lazy bool) ([]string, error) {
	switch {
	case comma == blanks:
		return betweenBlanks.Split(strings.TrimSpace(text), -1), nil
	case comma == '|' && strings.HasPrefix(strings.TrimSpace(text), "|"): // pipes at both ends as well
		text = strings.TrimSuffix(strings.TrimSpace(text)[1:], "|")
	}
	if !strings.Contains(text, `"`) { // nothing for a CSV reader to do, and ten thousand of them take time
		return strings.Split(text, string(comma)), nil
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = comma, -1, lazy, comma != '\t'
	cells, err := r.Read()
	if err != nil {
		return nil, err
	}
	if _, err := r.Read(); err == nil {
		return nil, csv.ErrQuote // a second row: the first did not end where it seemed to
	}
	return cells, nil
}
