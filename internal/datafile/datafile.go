// Package datafile reads the TOML files that people write (job files, printer profiles, thread tables) strictly:
// every complaint names file and line, and a key that nobody reads is an error.
package datafile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// MaxBytes is the most that a file may hold. What people write by hand stays far below it, and the TOML library needs time with
// the square of the size to name many unknown keys.
const MaxBytes = 64 << 10

// Lines says on which line of a file each key was set, by its dotted name ("name", "sources.layer_mm").
type Lines map[string]int

// Decode reads text, the content of the file called name, into the struct v points to. Syntax errors, wrong types and
// keys that v does not have are errors that begin "name:line: "; all unknown keys are reported at once.
func Decode(name string, text []byte, v any) error {
	if len(text) > MaxBytes {
		return fmt.Errorf("%s: holds %d bytes, more than the %d that are read", name, len(text), MaxBytes)
	}
	dec := toml.NewDecoder(bytes.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(v); err != nil {
		return located(name, err)
	}
	return nil
}

// Valid says whether text, the content of the file called name, is TOML. Errors begin "name:line: ".
func Valid(name string, text []byte) error {
	var all map[string]any
	if err := toml.Unmarshal(text, &all); err != nil {
		return located(name, err)
	}
	return nil
}

// located puts file and line before what the TOML library says.
func located(name string, err error) error {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) {
		var all []error
		for _, e := range unknown.Errors {
			line, _ := e.Position()
			all = append(all, fmt.Errorf("%s:%d: there is no key %q", name, line, strings.Join(e.Key(), ".")))
		}
		return errors.Join(all...)
	}
	var at *toml.DecodeError
	if errors.As(err, &at) {
		line, _ := at.Position()
		return fmt.Errorf("%s:%d: %s", name, line, plainly(strings.Join(at.Key(), "."), strings.TrimPrefix(at.Error(), "toml: ")))
	}
	return fmt.Errorf("%s: %w", name, err)
}

// mismatch is what the TOML library says of a value of another type than the field's.
var mismatch = regexp.MustCompile(`^cannot (?:decode TOML|store an?) (\w+) (?:into|in) (?:.* of type |an? )?([\w.\[\]]+)`)

// plainly says a mismatch in words of the file; what else the library says is left as it is.
func plainly(key, said string) string {
	m := mismatch.FindStringSubmatch(said)
	if m == nil {
		return said
	}
	wanted := "text in quotes"
	switch {
	case strings.HasPrefix(m[2], "[]"):
		wanted = "a list in brackets"
	case strings.HasPrefix(m[2], "int"), strings.HasPrefix(m[2], "float"):
		wanted = "a number without quotes"
	case m[2] == "bool":
		wanted = "true or false"
	case strings.HasPrefix(m[2], "map"):
		wanted = "a table"
	}
	stands := map[string]string{"integer": "a number", "float": "a number", "string": "text", "array": "a list", "table": "a table"}[m[1]]
	if stands == "" {
		stands = m[1]
	}
	return fmt.Sprintf("%s: %s stands here; %s is wanted", key, stands, wanted)
}

// KeyLines walks text, which must be valid TOML, and notes where each key stands.
func KeyLines(text []byte) Lines {
	lines := Lines{}
	var p unstable.Parser
	p.Reset(text)
	table := ""
	for p.NextExpression() {
		e := p.Expression()
		if e.Kind != unstable.Table && e.Kind != unstable.ArrayTable && e.Kind != unstable.KeyValue {
			continue
		}
		var parts []string
		line := 0
		for it := e.Key(); it.Next(); {
			parts = append(parts, string(it.Node().Data))
			line = p.Shape(it.Node().Raw).Start.Line
		}
		key := strings.Join(parts, ".")
		if e.Kind != unstable.KeyValue {
			table = key + "."
		} else {
			key = table + key
		}
		lines[key] = line
	}
	return lines
}
