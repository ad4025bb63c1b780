package printer

// This file reads histories of trials as they were kept before there were journals: one TOML file, closed by [end].

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"tryring/internal/datafile"
)

// historyEnding is what such a history of the printer NAME is called behind NAME.
const historyEnding = ".trials.toml"

// history is such a file. End closes it: one that was cut short does not have it.
type history struct {
	Printer string  `toml:"printer"`
	Trials  []Trial `toml:"trials"`
	End     struct {
		Trials int `toml:"trials"`
	} `toml:"end"`
}

// carriedOver turns the history beside the printer's profile, of which printer is the path without ending, into the text of a
// journal: none for none. The history itself is left as it is.
func carriedOver(printer string) ([]byte, error) {
	path := printer + historyEnding
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	trials, err := parseHistory(path, text)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	to := json.NewEncoder(&out)
	for i, t := range trials {
		if err := to.Encode(Entry{ID: i + 1, Trial: t}); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), nil
}

// parseHistory reads text, the content of the file called name. All faults are reported at once.
func parseHistory(name string, text []byte) ([]Trial, error) {
	var h history
	err := datafile.Decode(name, text, &h)
	ends := bytes.Contains(text, []byte("\n[end]"))
	switch {
	case err != nil && ends:
		return nil, err
	case err == nil && !(ends && h.End.Trials == len(h.Trials)):
		err = fmt.Errorf("it holds %d trials and does not end with that number under [end]", len(h.Trials))
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w: %w. Put a whole copy in its place, or move the file away to begin anew; the printer's profile is untouched", name, ErrCutShort, err)
	}
	var faults []error
	if printer := strings.TrimSuffix(filepath.Base(name), historyEnding); h.Printer != printer {
		faults = append(faults, fmt.Errorf("%s: it is the history of printer %q in a file of another name", name, h.Printer))
	}
	for i, t := range h.Trials {
		if err := t.Validate(); err != nil {
			faults = append(faults, fmt.Errorf("%s: trial %d: %w", name, i+1, err))
		}
	}
	return h.Trials, errors.Join(faults...)
}
