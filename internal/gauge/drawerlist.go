package gauge

// This file reads the list of a drawer: CSV with a heading in plain words, or TOML.

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/parts"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Listed is one line of a drawer's list.
type Listed struct {
	Gauge
	// Place says where it stands: "LIST.csv:3".
	Place string
}

// maxDrawer is the most lines that a list may have: a slip of a spreadsheet's, beyond. maxListBytes is what so many take at most in a
// CSV list; one in TOML has the bound of all TOML files.
const (
	maxDrawer    = 2000
	maxListBytes = 512 * maxDrawer
)

// LoadDrawer reads the list at path by its ending: .csv or .toml. Faults are reported with file and line, all at once. Columns
// that are not known are left out, and told.
func LoadDrawer(ctx context.Context, path string) (list []Listed, unused []string, err error) {
	text, err := datafile.Text(ctx, path, maxListBytes)
	if err != nil {
		return nil, nil, fmt.Errorf("drawer list: %w", err)
	}
	return parseDrawer(path, text)
}

// parseDrawer is LoadDrawer for text, the content of the file called name.
func parseDrawer(name string, text []byte) (list []Listed, unused []string, err error) {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".toml":
		list, err = parseDrawerTOML(name, text)
	case ".csv":
		list, unused, err = parseDrawerCSV(name, text)
	default:
		return nil, nil, fmt.Errorf("%s: a list ends in .csv or .toml", name)
	}
	switch {
	case err != nil:
		return nil, nil, err
	case len(list) == 0:
		return nil, nil, fmt.Errorf("%s: the list names no thread", name)
	case len(list) > maxDrawer:
		return nil, nil, fmt.Errorf("%s: %d lines; a drawer holds at most %d", name, len(list), maxDrawer)
	}
	return list, unused, nil
}

func parseDrawerTOML(name string, text []byte) ([]Listed, error) {
	var file struct {
		Gauge []Gauge `toml:"gauge"`
	}
	if err := datafile.Decode(name, text, &file); err != nil {
		return nil, err
	}
	var list []Listed
	for i, g := range file.Gauge {
		list = append(list, Listed{Gauge: g, Place: fmt.Sprintf("%s: gauge %d", name, i+1)})
	}
	return list, nil
}

// drawerColumns are the words of a CSV list's heading.
var drawerColumns = []string{"thread", "kind", "limit", "class", "tolerance"}

func parseDrawerCSV(name string, text []byte) (list []Listed, unused []string, err error) {
	rows, uncut := parts.Cut(string(text))
	var faults []error
	bad := func(line int, format string, args ...any) {
		faults = append(faults, fmt.Errorf("%s:%d: "+format, append([]any{name, line}, args...)...))
	}
	for _, f := range uncut {
		bad(f.Line, "%s", f.Why)
	}
	if len(rows) == 0 {
		bad(1, "nothing stands here; the first line names the columns: %s", strings.Join(drawerColumns, ", "))
		return nil, nil, errors.Join(faults...)
	}
	line, heading := rows[0].Line, make([]string, len(rows[0].Cells))
	known := map[string]bool{}
	for i, word := range rows[0].Cells {
		word = strings.TrimSpace(word)
		heading[i] = strings.ToLower(word)
		switch column := slices.Contains(drawerColumns, heading[i]); {
		case column && known[heading[i]]:
			bad(line, "column %q stands twice", word)
		case column:
			known[heading[i]] = true
		case word != "":
			unused = append(unused, word)
		}
	}
	switch {
	case len(known) == 0:
		bad(line, "%q is no heading; the first line names the columns, such as %s", strings.Join(rows[0].Cells, ","), strings.Join(drawerColumns, ","))
		return nil, nil, errors.Join(faults...)
	case !known[drawerColumns[0]]:
		bad(line, "no column %q", drawerColumns[0])
	}
	for _, row := range rows[1:] {
		if len(row.Cells) > len(heading) {
			bad(row.Line, "%d fields under %d columns", len(row.Cells), len(heading))
			continue
		}
		g := Listed{Place: fmt.Sprintf("%s:%d", name, row.Line)}
		for i, field := range row.Cells {
			if err := g.set(heading[i], strings.TrimSpace(field)); err != nil {
				bad(row.Line, "%s: %w", heading[i], err)
			}
		}
		if strings.TrimSpace(strings.Join(row.Cells, "")) != "" {
			list = append(list, g)
		}
	}
	return list, unused, errors.Join(faults...)
}

// set fills in the column called key; one that is not known holds nothing.
func (g *Gauge) set(key, field string) error {
	if field == "" {
		return nil
	}
	if key == "tolerance" {
		l, err := unit.ParseLength(field)
		g.Tolerance = &l
		return err
	}
	if to := map[string]*string{"thread": &g.Thread, "kind": &g.Kind, "limit": &g.Limit, "class": &g.Class}[key]; to != nil {
		*to = field
	}
	return nil
}

// ResolveDrawer decides on every gauge of a list. All faults are reported at once, each with its line.
func ResolveDrawer(list []Listed, threads *thread.Tables, j Job) ([]Asked, error) {
	var all []Asked
	var faults []error
	first := map[string]string{}
	for _, l := range list {
		asked, err := l.Resolve(threads, j)
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", l.Place, err))
			continue
		}
		for _, a := range asked {
			if at, twice := first[strings.ToLower(a.Name)]; twice {
				faults = append(faults, fmt.Errorf("%s: %s stands in the list already, at %s", l.Place, a.Label, at))
				continue
			}
			first[strings.ToLower(a.Name)] = l.Place
			all = append(all, a)
		}
	}
	return all, errors.Join(faults...)
}
