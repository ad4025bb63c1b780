package gauge

// This file reads the list of a drawer: CSV with a heading in plain words, or TOML.

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Listed is one line of a drawer's list.
type Listed struct {
	Gauge
	// Place says where it stands: "LIST.csv:3".
	Place string
}

// MaxDrawer is the most lines that a list may have: a slip of a spreadsheet's, beyond.
const MaxDrawer = 2000

// LoadDrawer reads the list at path by its ending: .csv or .toml. Faults are reported with file and line, all at once. Columns
// that are not known are left out, and told.
func LoadDrawer(ctx context.Context, path string) (list []Listed, unused []string, err error) {
	text, err := datafile.Text(ctx, path, datafile.MaxBytes)
	if err != nil {
		return nil, nil, fmt.Errorf("drawer list: %w", err)
	}
	return ParseDrawer(path, text)
}

// ParseDrawer is LoadDrawer for text, the content of the file called name.
func ParseDrawer(name string, text []byte) (list []Listed, unused []string, err error) {
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
	case len(list) > MaxDrawer:
		return nil, nil, fmt.Errorf("%s: %d lines; a drawer holds at most %d", name, len(list), MaxDrawer)
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
	text = bytes.TrimPrefix(text, []byte("\ufeff")) // some spreadsheets begin a file with it
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.TrimLeadingSpace, r.Comment = -1, true, '#'
	if first, _, _ := bytes.Cut(text, []byte("\n")); !bytes.ContainsRune(first, ',') {
		switch {
		case bytes.ContainsRune(first, ';'):
			r.Comma = ';' // where the comma is the decimal point
		case bytes.ContainsRune(first, '\t'):
			r.Comma, r.TrimLeadingSpace = '\t', false // as copied out of a spreadsheet; a tab is a space, too
		}
	}
	heading, err := r.Read()
	if err != nil {
		if errors.Is(err, io.EOF) {
			return nil, nil, fmt.Errorf("%s: the file is empty; its first line names the columns: %s", name, strings.Join(drawerColumns, ", "))
		}
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	var faults []error
	if !slices.ContainsFunc(heading, func(word string) bool {
		return slices.Contains(drawerColumns, strings.ToLower(strings.TrimSpace(word)))
	}) {
		return nil, nil, fmt.Errorf("%s:1: %q is no heading; the first line names the columns, such as %s", name, strings.Join(heading, ","), strings.Join(drawerColumns, ","))
	}
	for i, word := range heading {
		heading[i] = strings.ToLower(strings.TrimSpace(word))
		line, _ := r.FieldPos(i)
		switch known := slices.Contains(drawerColumns, heading[i]); {
		case known && slices.Contains(heading[:i], heading[i]):
			faults = append(faults, fmt.Errorf("%s:%d: column %q stands twice", name, line, word))
		case !known && heading[i] != "":
			unused = append(unused, strings.TrimSpace(word))
		}
	}
	if !slices.Contains(heading, drawerColumns[0]) {
		faults = append(faults, fmt.Errorf("%s:1: no column %q", name, drawerColumns[0]))
	}
	if len(faults) > 0 {
		return nil, nil, errors.Join(faults...)
	}
	for {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, fmt.Errorf("%s: %w", name, err))
			break
		}
		line, _ := r.FieldPos(0)
		g := Listed{Place: fmt.Sprintf("%s:%d", name, line)}
		if len(fields) > len(heading) {
			faults = append(faults, fmt.Errorf("%s: %d fields under %d columns", g.Place, len(fields), len(heading)))
			continue
		}
		blank := true
		for i, field := range fields {
			field = strings.TrimSpace(field)
			blank = blank && field == ""
			if err := g.set(heading[i], field); err != nil {
				faults = append(faults, fmt.Errorf("%s: %s: %w", g.Place, heading[i], err))
			}
		}
		if !blank {
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
