package parts

// This file cuts a CSV file into rows, so that one bad row costs no other.

import (
	"encoding/csv"
	"errors"
	"fmt"
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
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	lines := strings.Split(text, "\n")
	comma := delimiter(lines)
	for k := 0; k < len(lines); k++ {
		if s := strings.TrimSpace(lines[k]); s == "" || strings.HasPrefix(s, "#") {
			continue
		}
		cells, taken, err := cutRow(lines[k:], comma)
		if err != nil {
			faults = append(faults, Fault{k + 1, err.Error()})
			continue
		}
		rows = append(rows, Row{k + 1, cells})
		k += taken - 1
	}
	return rows, faults
}

// delimiter takes the separator from the first row: semicolon or tab where there is one, else comma.
func delimiter(lines []string) rune {
	for _, line := range lines {
		s := strings.TrimSpace(line)
		switch {
		case s == "" || strings.HasPrefix(s, "#"):
			continue
		case strings.Contains(s, ";"):
			return ';'
		case strings.Contains(s, "\t"):
			return '\t'
		}
		break
	}
	return ','
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
