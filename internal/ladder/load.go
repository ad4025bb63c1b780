package ladder

// This file reads the table of a ladder back.

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"tryring/internal/datafile"
	"tryring/internal/fault"
)

// mostTable is the most bytes of a ladder's JSON file: some times what MaxRungs rungs need, compared for every printer.
const mostTable = 1 << 20

// Load reads the JSON file that a ladder was written to.
func Load(ctx context.Context, path string) (Result, error) {
	text, err := datafile.Text(ctx, path, mostTable)
	if err != nil {
		return Result{}, fault.In("ladder", err)
	}
	return parse(path, text)
}

// parse reads text, the content of the file called name.
func parse(name string, text []byte) (Result, error) {
	var r Result
	var other *json.UnmarshalTypeError
	err := json.Unmarshal(text, &r)
	switch {
	case errors.As(err, &other):
		return Result{}, fault.At("ladder", name, "JSON, but not that of a ladder; name the file of the whole ladder, which lies beside those of its rungs")
	case err != nil:
		return Result{}, fault.At("ladder", name, "it is not the JSON file of a ladder: %v", err)
	case r.Inner == "" || r.Outer == "" || len(r.Rungs) == 0:
		return Result{}, fault.At("ladder", name, "it is not the JSON file of a ladder: it names no threads or no rungs")
	}
	return r, nil
}

// Find is the rung of the given name.
func (r Result) Find(name string) (RungResult, error) {
	wanted, err := parseRung(strings.TrimSpace(name))
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
