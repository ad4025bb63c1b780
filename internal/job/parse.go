package job

// This file reads the text of a job file into a document.

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"tryring/internal/datafile"
	"tryring/internal/fault"
	"tryring/internal/reading"
)

// MaxBytes is the most that a job file may hold: some thousands of readings.
const MaxBytes = 1 << 20

// byteOrderMark is what some editors put before UTF-8.
var byteOrderMark = []byte("\ufeff")

// Parse reads text, the content of the file called name. Whatever is not understood is an error with file and line; all such are
// told at once. What fields ask for is not judged here, so that a doubtful reading can still be taken back.
func Parse(name string, text []byte) (*Document, error) {
	if len(text) > MaxBytes {
		return nil, fmt.Errorf("%s: holds %d bytes, more than the %d that are read", name, len(text), MaxBytes)
	}
	plain := bytes.TrimPrefix(text, byteOrderMark)
	s, err := takeApart(name, plain)
	if err != nil {
		return nil, err
	}
	s.whole = text
	d := &Document{read: s}
	var faults []error
	for i := range s.tables {
		t := &s.tables[i]
		switch {
		case i == 0:
			faults = append(faults, s.fill(t.keys, reflect.ValueOf(d).Elem()))
		case t.name == Stays || t.name == Goes:
			records, err := s.records(*t)
			to := d.Readings(t.name)
			t.from, t.holds = len(*to), len(records)
			*to = append(*to, records...)
			faults = append(faults, err)
		default:
			if !slices.Contains(tableNames, t.name) {
				faults = append(faults, s.at(t.line, "", "", "there is no table [[%s]]", t.name))
				continue
			}
			list := d.list(t.name)
			one := reflect.New(list.Type().Elem()).Elem()
			faults = append(faults, s.fill(t.keys, one), s.side(*t, one))
			t.from, t.holds = list.Len(), 1
			list.Set(reflect.Append(list, one))
		}
	}
	if d.Version > Version {
		faults = []error{fault.Fault{Place: name, Field: "version", Read: strconv.Itoa(d.Version), Want: fmt.Sprintf("it was written by a newer tryring; this one knows versions up to %d: use the newer one, or start a new file", Version)}}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	s.head = pairs(reflect.ValueOf(d).Elem())
	return d, d.settle()
}

// fill sets the fields of a struct, by their toml names, from keys.
func (s *source) fill(keys []keyed, to reflect.Value) error {
	fields := map[string]reflect.Value{}
	tagged(to, func(key string, field reflect.Value) { fields[key] = field })
	if when, has := fields["when"]; has {
		fields["date"] = when // as it was called in files without a version
	}
	var faults []error
	for _, k := range keys {
		field, known := fields[k.name]
		if !known {
			faults = append(faults, s.at(k.line, k.name, "", datafile.NoSuchKey))
		} else if want := k.into(field); want != "" {
			faults = append(faults, s.at(k.line, k.name, strings.Join(k.texts, ", "), "%s", want))
		}
	}
	return errors.Join(faults...)
}

// side reports an entry whose side is none: of a job, or of the ring that was tried.
func (s *source) side(t table, one reflect.Value) error {
	side, known, want := one.FieldByName("Side"), []string{Stays, Goes}, "it is stays or goes"
	if t.name == "tries" {
		known, want = []string{"inner", "outer"}, "it is inner or outer, the side of the ring"
	}
	if !side.IsValid() || slices.Contains(known, side.String()) {
		return nil
	}
	return s.at(t.line, "side", side.String(), want)
}

// tagged walks the fields that have a key, those of embedded structs among them.
func tagged(v reflect.Value, visit func(key string, field reflect.Value)) {
	for i := range v.NumField() {
		switch f := v.Type().Field(i); {
		case f.Anonymous:
			tagged(v.Field(i), visit)
		case f.Tag.Get("toml") != "" && f.Tag.Get("toml") != "-":
			visit(f.Tag.Get("toml"), v.Field(i))
		}
	}
}

// into sets a field to the value of k, or else says what is wanted. A number or a day without quotes is text where text is wanted.
func (k keyed) into(field reflect.Value) (want string) {
	if field.Kind() == reflect.Slice {
		if !k.list() {
			return "it is a list, such as [1, 2]"
		}
		field.Set(reflect.MakeSlice(field.Type(), len(k.texts), len(k.texts)))
		for i := range k.texts {
			if want := (keyed{texts: k.texts[i : i+1]}).into(field.Index(i)); want != "" {
				return want
			}
		}
		return ""
	}
	if k.list() {
		return "it is one value, not a list"
	}
	text := k.texts[0]
	switch field.Kind() {
	case reflect.String:
		if k.kind == unstable.Bool {
			return inQuotes
		}
		field.SetString(text)
	case reflect.Int:
		n, err := strconv.ParseInt(text, 10, 32)
		if err != nil || n < 0 {
			return "it is a whole number from 0 up"
		}
		field.SetInt(n)
	case reflect.Float64:
		x, err := strconv.ParseFloat(text, 64)
		if err != nil || x-x != 0 {
			return "it is a number"
		}
		field.SetFloat(x)
	case reflect.Bool:
		if k.kind != unstable.Bool {
			return "it is true or false"
		}
		field.SetBool(text == "true")
	}
	return ""
}

// inQuotes is what is wanted where true or false stands for a text.
const inQuotes = "it is text, in quotes"

// records reads a table of one reading, `bore = "45.75mm"`, or of several from one look, each key with one text or a list.
func (s *source) records(t table) ([]reading.Record, error) {
	var shared struct {
		ID         int    `toml:"id"`
		Instrument string `toml:"instrument"`
		When       string `toml:"when"`
		Note       string `toml:"note"`
		Look       int    `toml:"look"`
		// Over, Counted and Wire go with lists of counts and of lengths over wires.
		Over    []string `toml:"over"`
		Counted string   `toml:"counted"`
		Wire    string   `toml:"wire"`
	}
	var kept, others []keyed
	for _, k := range t.keys {
		if _, is := reading.FindKind(k.name); is {
			kept = append(kept, k)
		} else {
			others = append(others, k)
		}
	}
	if err := s.fill(others, reflect.ValueOf(&shared).Elem()); err != nil {
		return nil, err
	}
	var out []reading.Record
	for _, k := range kept {
		kind, _ := reading.FindKind(k.name)
		texts := k.texts
		switch {
		case k.kind == unstable.Bool && kind.Named == "":
			return nil, s.at(k.line, k.name, texts[0], inQuotes)
		case k.kind == unstable.Bool:
			texts = []string{map[string]string{"true": kind.Named, "false": "no"}[texts[0]]}
		case kind.Over == "over" && len(shared.Over) > 0:
			if len(shared.Over) != len(texts) {
				return nil, s.at(k.line, k.name, "", "%d counts with %d lengths; each has its own", len(texts), len(shared.Over))
			}
		}
		for i, text := range texts {
			switch {
			case kind.Over == "over" && len(shared.Over) > 0:
				if shared.Counted != "" && shared.Counted != string(reading.Crests) {
					text += " " + shared.Counted
				}
				text = kind.Text(text, shared.Over[i])
			case kind.Over == "wire":
				text = kind.Text(text, shared.Wire)
			}
			out = append(out, reading.Record{What: k.name, Text: text, Instrument: shared.Instrument, When: shared.When, Note: shared.Note, Look: shared.Look})
		}
	}
	if len(out) == 0 {
		return nil, s.at(t.line, "", "", "nothing was read here; write a reading, such as bore = \"45.75mm\"")
	}
	if shared.ID != 0 && len(out) > 1 {
		return nil, s.at(t.line, "id", strconv.Itoa(shared.ID), "%d readings with one number; write a table for each, or leave the number out", len(out))
	}
	out[0].ID = shared.ID
	return out, nil
}
