// Package datafile reads the TOML files that people write (job files, printer profiles, thread tables) strictly:
// every complaint names file and line, and a key that nobody reads is an error.
package datafile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"tryring/internal/fault"
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
		return located(name, text, err)
	}
	return nil
}

// Valid says whether text, the content of the file called name, is TOML. Errors begin "name:line: ".
func Valid(name string, text []byte) error {
	var all map[string]any
	if err := toml.Unmarshal(text, &all); err != nil {
		return located(name, text, err)
	}
	return nil
}

// located says where in text what the TOML library complains of stands.
func located(name string, text []byte, err error) error {
	var unknown *toml.StrictMissingError
	if errors.As(err, &unknown) {
		var all []error
		for _, e := range unknown.Errors {
			line, _ := e.Position()
			all = append(all, fault.Fault{Place: fmt.Sprintf("%s:%d", name, line), Field: strings.Join(e.Key(), "."), Want: NoSuchKey})
		}
		return errors.Join(all...)
	}
	var at *toml.DecodeError
	if !errors.As(err, &at) {
		return fmt.Errorf("%s: %w", name, err)
	}
	line, column := at.Position()
	f := fault.Fault{Place: fmt.Sprintf("%s:%d", name, line), Field: strings.Join(at.Key(), "."), Want: strings.TrimPrefix(at.Error(), "toml: ")}
	here := strings.Split(string(text), "\n")[line-1]
	if key := keyBefore.FindStringSubmatch(here[:column-1]); key != nil {
		f.Field, f.Read = key[1], strings.Trim(strings.TrimSpace(value.FindString(here[column-1:])), `"'`)
	} else if f.Field == "" && len(here) <= longest {
		f.Read = strings.TrimSpace(here)
	}
	if m := mismatch.FindStringSubmatch(f.Want); m != nil {
		f.Want = wanted(m[1]) + " is wanted"
	}
	f.Want = strings.TrimPrefix(f.Want, strconv.Quote(f.Read)+": ")
	return f
}

// longest is the most bytes of a line that is told as it stands.
const longest = 80

// NoSuchKey is what is said of a key that nobody reads.
const NoSuchKey = "there is no such key"

var (
	// mismatch is what the TOML library says of a value of another type than the field's.
	mismatch = regexp.MustCompile(`^cannot (?:decode TOML|store an?) [\w ]+ (?:into|in) (?:.* of type |an? )?([\w.\[\]]+)`)
	// keyBefore is the key before a value, value the value before what follows it on its line.
	keyBefore = regexp.MustCompile(`([\w-]+)\s*=\s*$`)
	value     = regexp.MustCompile(`^(?:"[^"]*"|'[^']*'|\[.*\]|[^,}\]#]*)`)
)

// wanted names the values of a Go type in words of the file.
func wanted(goType string) string {
	switch {
	case strings.HasPrefix(goType, "[]"):
		return "a list in brackets"
	case strings.HasPrefix(goType, "int"), strings.HasPrefix(goType, "float"):
		return "a number without quotes"
	case goType == "bool":
		return "true or false"
	case strings.HasPrefix(goType, "map"):
		return "a table"
	}
	return "text in quotes"
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
