package ladder

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"tryring/internal/datafile"
)

// This file reads the table of a ladder back.

// Load reads the JSON file that a ladder was written to.
func Load(path string) (Result, error) {
	f, err := os.Open(path)
	if err != nil {
		return Result{}, fmt.Errorf("ladder: %w", err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, datafile.MaxBytes+1))
	if err != nil {
		return Result{}, fmt.Errorf("ladder: %w", err)
	}
	return parse(path, text)
}

// parseLadder reads text, the content of the file called name.
func parse(name string, text []byte) (Result, error) {
	var r Result
	if len(text) > datafile.MaxBytes {
		return r, fmt.Errorf("%s: more than %d bytes; no ladder's table is that long", name, datafile.MaxBytes)
	}
	var other *json.UnmarshalTypeError
	switch err := json.Unmarshal(text, &r); {
	case errors.As(err, &other):
		return Result{}, fmt.Errorf("%s: JSON, but not that of a ladder; name the file of the whole ladder, which lies beside those of its rungs", name)
	case err != nil:
		return Result{}, fmt.Errorf("%s: not the JSON file of a ladder: %w", name, err)
	}
	if r.Inner == "" || r.Outer == "" || len(r.Rungs) == 0 {
		return Result{}, fmt.Errorf("%s: not the JSON file of a ladder: it names no threads or no rungs", name)
	}
	return r, nil
}

// Find is the rung of the given name.
func (r Result) Find(name string) (RungResult, error) {
	wanted, err := ParseRung(strings.TrimSpace(name))
	if err != nil {
		return RungResult{}, err
	}
	var have []string
	for _, x := range r.Rungs {
		if x.Rung == wanted.String() {
			return x, nil
		}
		have = append(have, x.Rung)
	}
	return RungResult{}, fmt.Errorf("the ladder %s has no rung %s; it has %s", r.Name, wanted, strings.Join(have, ", "))
}
