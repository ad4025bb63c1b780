package job

// This file walks the entries of a document, whatever they are, numbers them and takes them back.

import (
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/reading"
)

// entry is one entry of a document, in the list that tables of its name fill.
type entry struct {
	name  string
	list  reflect.Value
	index int
}

func (e entry) value() reflect.Value { return e.list.Index(e.index) }

func (e entry) id() *int { return e.value().FieldByName("ID").Addr().Interface().(*int) }

// list is the list of entries that tables of the given name fill; not valid for none.
func (d *Document) list(name string) reflect.Value {
	lists := map[string]any{
		Stays: &d.Stays, Goes: &d.Goes, "questions": &d.Questions, "decided": &d.Decided, "parts": &d.Parts, "files": &d.Files,
		"tries": &d.Tries, "notes": &d.Notes,
	}
	return reflect.ValueOf(lists[name]).Elem()
}

// tableNames are the names of the tables, in the order in which a new file has them.
var tableNames = []string{Stays, Goes, "questions", "decided", "parts", "files", "tries", "notes"}

// entries are all entries: the readings, and then everything else.
func (d *Document) entries() []entry {
	var out []entry
	for _, name := range tableNames {
		list := d.list(name)
		for i := range list.Len() {
			out = append(out, entry{name, list, i})
		}
	}
	return out
}

// pair is a key with its value as TOML writes it.
type pair struct{ key, value string }

// written is an entry as it is written.
type written struct {
	name  string
	id    int
	pairs []pair
}

// write returns e as it is written.
func (e entry) write() written {
	w := written{name: e.name, id: *e.id()}
	r, is := e.value().Interface().(reading.Record)
	if !is {
		w.pairs = pairs(e.value())
		return w
	}
	look := r.Look
	if look == r.ID {
		look = 0 // of itself
	}
	for _, p := range []struct {
		key   string
		value any
	}{{"id", r.ID}, {r.What, r.Text}, {"instrument", r.Instrument}, {"when", r.When}, {"look", look}, {"note", r.Note}} {
		if p.key == r.What || !reflect.ValueOf(p.value).IsZero() {
			w.pairs = append(w.pairs, pair{p.key, literal(p.value)})
		}
	}
	return w
}

// pairs are the fields of a struct that have a key and are not empty.
func pairs(v reflect.Value) []pair {
	var out []pair
	tagged(v, func(key string, field reflect.Value) {
		if !field.IsZero() && !(field.Kind() == reflect.Slice && field.Len() == 0) {
			out = append(out, pair{key, literal(field.Interface())})
		}
	})
	return out
}

// literal writes a text, a number, a truth or a list of them in TOML, whose single values JSON's are but for one character.
func literal(v any) string {
	if list := reflect.ValueOf(v); list.Kind() == reflect.Slice {
		var all []string
		for i := range list.Len() {
			all = append(all, literal(list.Index(i).Interface()))
		}
		return "[" + strings.Join(all, ", ") + "]"
	}
	if x, is := v.(float64); is { // also one that is no number, which no file is read back with
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		panic(err) // texts, whole numbers and truths cannot fail
	}
	return strings.ReplaceAll(strings.TrimSuffix(b.String(), "\n"), "\x7f", `\u007f`)
}

// held are the entries that a table of the file holds.
func (d *Document) held(t table) []entry {
	var out []entry
	for k := range t.holds {
		out = append(out, entry{t.name, d.list(t.name), t.from + k})
	}
	return out
}

// settle gives the entries of a file that have no number theirs: the least that are free, in the order of the file, so that they
// are the same at each reading. Numbers once taken back are not free. Readings of one table are one look.
func (d *Document) settle() error {
	line := map[int]int{} // of the entry that has a number; -1 for one that is taken by nobody
	tables := d.read.tables[1:]
	for _, t := range tables {
		for _, e := range d.held(t) {
			n := *e.id()
			if first, twice := line[n]; n != 0 && twice {
				return d.read.at(t.line, "id", strconv.Itoa(n), "it is the number of the entry in line %d; leave it out, and a free one is given", first)
			}
			line[n] = t.line
		}
	}
	for _, n := range d.Dropped {
		if line[n] == 0 {
			line[n] = -1
		}
	}
	next := 1
	for i := range tables {
		t := &tables[i]
		of := d.held(*t)
		for _, e := range of {
			if *e.id() == 0 {
				for line[next] != 0 {
					next++
				}
				*e.id(), line[next] = next, t.line
			}
			if r, is := e.value().Addr().Interface().(*reading.Record); is && r.Look == 0 {
				r.Look = *of[0].id()
			}
			t.was = append(t.was, e.write())
		}
	}
	return nil
}

// last is the highest number that was given, 0 for none.
func (d *Document) last() int {
	last := 0
	for _, e := range d.entries() {
		last = max(last, *e.id())
	}
	for _, n := range d.Dropped {
		last = max(last, n)
	}
	return last
}

// number gives the entries that were added theirs, and keeps the numbers of those that are gone.
func (d *Document) number() {
	held := map[int]bool{}
	for _, e := range d.entries() {
		held[*e.id()] = true
	}
	if d.read != nil {
		for _, t := range d.read.tables {
			for _, w := range t.was {
				if !held[w.id] && !slices.Contains(d.Dropped, w.id) {
					d.Dropped = append(d.Dropped, w.id)
				}
			}
		}
	}
	last := d.last()
	for _, e := range d.entries() {
		if *e.id() == 0 {
			last++
			*e.id() = last
		}
		if r, is := e.value().Addr().Interface().(*reading.Record); is && r.Look == 0 {
			r.Look = r.ID
		}
	}
}

// Drop takes the entry of the given number back. A decision takes the ring's thread with it where that is the one decided.
func (d *Document) Drop(n int) error {
	for _, e := range d.entries() {
		if *e.id() != n {
			continue
		}
		if one, is := e.value().Interface().(Decision); is && CheckSide(one.Side) == nil && *d.Thread(one.Side) == one.Designation {
			*d.Thread(one.Side) = ""
		}
		left := reflect.AppendSlice(reflect.MakeSlice(e.list.Type(), 0, e.list.Len()), e.list.Slice(0, e.index))
		e.list.Set(reflect.AppendSlice(left, e.list.Slice(e.index+1, e.list.Len())))
		d.Dropped = append(d.Dropped, n)
		return nil
	}
	return fault.Fault{Field: "drop", Read: strconv.Itoa(n), Want: "no entry has this number", Cause: ErrNoEntry}
}
