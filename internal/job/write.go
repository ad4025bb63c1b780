package job

// This file writes a document: only the lines of what was changed differ from the file that it was read from.

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
)

// opening stands at the head of a new file.
const opening = "# A job of tryring: what was read, decided, made and tried. `tryring job FILE` says where it stands.\n"

// Text numbers what was added and returns the file: that which d was read from with its changes, each byte of everything else as
// it was. It is read back first: a text that would not give d again is an error, and none is returned.
func (d *Document) Text() ([]byte, error) {
	d.number()
	text := d.edited()
	back, err := Parse(d.source().name, text)
	if err != nil {
		return nil, fmt.Errorf("the change would spoil the file: %w", err)
	}
	if !bytes.Equal(back.plain(), d.plain()) {
		return nil, errors.New("the change would spoil the file: it does not read back as it was said")
	}
	return text, nil
}

// plain is d as a new file would have it.
func (d *Document) plain() []byte {
	alone := *d
	alone.read = nil
	return alone.edited()
}

// source is the file that d was read from, for a new document one that holds nothing.
func (d *Document) source() *source {
	if d.read != nil {
		return d.read
	}
	return &source{name: "the new job", whole: []byte(opening), text: []byte(opening), tables: []table{{}}}
}

// edited makes the changes. Entries that were added come last, in the order of their numbers.
func (d *Document) edited() []byte {
	e := editor{source: d.source(), newline: "\n"}
	if bytes.Contains(e.source.text, []byte("\r\n")) {
		e.newline = "\r\n"
	}
	e.keys(e.source.tables[0], e.source.head, pairs(reflect.ValueOf(d).Elem()))
	now := map[int]written{}
	for _, one := range d.entries() {
		now[*one.id()] = one.write()
	}
	for _, t := range e.source.tables[1:] {
		e.table(t, now)
	}
	entries := d.entries()
	slices.SortStableFunc(entries, func(a, b entry) int { return *a.id() - *b.id() })
	for _, one := range entries { // what is left was added
		if w, added := now[*one.id()]; added {
			e.insert(len(e.source.text), e.tableText(w, true))
		}
	}
	return e.apply()
}

// editor gathers the changes of a file.
type editor struct {
	source  *source
	newline string
	changes []change
	// ended is set once the last line of a file that ends without a newline has got one.
	ended bool
}

// change puts text in the place of bytes.
type change struct {
	span
	text string
}

func (e *editor) line(p pair) string { return p.key + " = " + p.value + e.newline }

func (e *editor) tableText(w written, apart bool) string {
	text := "[[" + w.name + "]]" + e.newline
	if apart {
		text = e.newline + text
	}
	for _, p := range w.pairs {
		text += e.line(p)
	}
	return text
}

func (e *editor) insert(at int, text string) {
	if at == len(e.source.text) && at > 0 && e.source.text[at-1] != '\n' && !e.ended {
		text, e.ended = e.newline+text, true
	}
	e.changes = append(e.changes, change{span{at, at}, text})
}

// table writes what became of the entries of a table, and takes them out of now.
func (e *editor) table(t table, now map[int]written) {
	var left []written
	same := true
	for _, was := range t.was {
		is, held := now[was.id]
		held = held && is.name == was.name
		if held {
			left = append(left, is)
			delete(now, was.id)
		}
		same = same && held && slices.Equal(is.pairs, was.pairs)
	}
	switch {
	case same:
	case len(left) == 1 && len(t.was) == 1 && t.single():
		e.keys(t, t.was[0].pairs, left[0].pairs)
	default:
		text := ""
		for i, w := range left {
			text += e.tableText(w, i > 0)
		}
		e.replaceTable(t, text)
	}
}

// single says whether a table is written as this package writes it: one text a key.
func (t table) single() bool {
	return !slices.ContainsFunc(t.keys, func(k keyed) bool {
		return k.list() && (t.name == Stays || t.name == Goes) || k.name == "over" || k.name == "wire" || k.name == "counted"
	})
}

// keys changes the keys of a table from what they were to what they are.
func (e *editor) keys(t table, was, is []pair) {
	before, now, written := values(was), values(is), map[string]bool{}
	for _, k := range t.keys {
		name := k.name
		if name == "date" {
			name = "when"
		}
		written[name] = true
		switch value, held := now[name]; {
		case !held && before[name] != "":
			e.remove(k.whole)
		case value != before[name]:
			e.changes = append(e.changes, change{span{e.source.lineStart(k.whole.from), e.source.lineStart(k.whole.from)}, e.commentsIn(k.value)}, change{k.value, value})
		}
	}
	at := e.source.afterKeys(t)
	for _, p := range is {
		if !written[p.key] && before[p.key] != p.value {
			e.insert(at, e.line(p))
		}
	}
}

// values are those of pairs by their keys; no value is empty, not even that of an empty text.
func values(all []pair) map[string]string {
	out := map[string]string{}
	for _, p := range all {
		out[p.key] = p.value
	}
	return out
}

// replaceTable puts text in the place of a table; its comments stay before it.
func (e *editor) replaceTable(t table, text string) {
	start := e.source.lineStart(t.header.from)
	e.remove(t.header)
	last := t.header
	for _, k := range t.keys {
		e.remove(k.whole)
		last = k.whole
	}
	if text != "" {
		e.insert(e.source.lineEnd(last.to), text)
		return
	}
	// A line that stood apart from the table goes with it.
	end := e.source.lineEnd(last.to)
	if next := e.source.lineEnd(end); next > end && strings.TrimSpace(string(e.source.text[end:next])) == "" {
		e.changes = append(e.changes, change{span{end, next}, ""})
	} else if before := e.source.lineStart(start - 1); end == len(e.source.text) && start > 0 && strings.TrimSpace(string(e.source.text[before:start])) == "" {
		e.changes = append(e.changes, change{span{before, start}, ""})
	}
}

// remove takes bytes out, and their line where nothing else stands on it. Comments stay.
func (e *editor) remove(s span) {
	text := e.source.text
	from, to := e.source.lineStart(s.from), e.source.lineEnd(s.to)
	if rest := strings.TrimSpace(string(text[s.to:to])); rest != "" { // a comment
		to = s.to + strings.IndexByte(string(text[s.to:to]), '#')
	}
	e.changes = append(e.changes, change{span{from, to}, e.commentsIn(s)})
}

// commentsIn are the comments that stand among bytes, a line each.
func (e *editor) commentsIn(s span) string {
	text := ""
	for _, c := range e.source.comments {
		if c.from >= s.from && c.to <= s.to {
			text += string(e.source.text[c.from:c.to]) + e.newline
		}
	}
	return text
}

// apply makes the changes.
func (e *editor) apply() []byte {
	slices.SortStableFunc(e.changes, func(a, b change) int { return cmp.Or(a.from-b.from, a.to-b.to) })
	out := slices.Clone(e.source.whole[:len(e.source.whole)-len(e.source.text)])
	at := 0
	for _, c := range e.changes {
		out = append(out, e.source.text[at:max(at, c.from)]...)
		out = append(out, c.text...)
		at = max(at, c.to)
	}
	return append(out, e.source.text[at:]...)
}

// lineStart is where the line of a byte begins, lineEnd where the one after begins.
func (s *source) lineStart(at int) int { return bytes.LastIndexByte(s.text[:max(at, 0)], '\n') + 1 }

func (s *source) lineEnd(at int) int {
	if i := bytes.IndexByte(s.text[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(s.text)
}

// afterKeys is where a key of a table is added: after its last one, else after its header; before the first table else, but after
// what the file says of itself.
func (s *source) afterKeys(t table) int {
	switch {
	case len(t.keys) > 0:
		return s.lineEnd(t.keys[len(t.keys)-1].whole.to)
	case t.name != "":
		return s.lineEnd(t.header.to)
	}
	at := 0
	for at < len(s.text) && s.text[at] == '#' {
		at = s.lineEnd(at)
	}
	if at < len(s.text) && strings.TrimSpace(string(s.text[at:s.lineEnd(at)])) != "" {
		return 0 // the comment is the first table's
	}
	return at
}
