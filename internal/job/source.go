package job

// This file takes the text of a file apart into tables and keys, with the bytes and the line of each.

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"tryring/internal/datafile"
	"tryring/internal/fault"
)

// source is a file as it was read.
type source struct {
	name string
	// whole is the file, text what comes after its byte order mark, if it has one.
	whole, text []byte
	// tables are the keys before the first header, and then each [[table]].
	tables   []table
	comments []span
	// head is what stood before the tables.
	head []pair
}

// span are bytes of the text.
type span struct{ from, to int }

// table is one [[name]], or what stands before the first.
type table struct {
	name   string
	line   int
	header span
	keys   []keyed
	// holds is how many entries the table holds, from the first of them in the list of its name, was what they were when it was read.
	holds, from int
	was         []written
}

// keyed is a key with its value: whole are the bytes of both, value those of the value.
type keyed struct {
	name         string
	line         int
	whole, value span
	kind         unstable.Kind
	// texts is the value, without quotes; a list has any number, all else one.
	texts []string
}

// list says whether the value is a list.
func (k keyed) list() bool { return k.kind == unstable.Array }

// at is what is wrong in a line of the file: of a key, "" for none, what was read there, and what would be right.
func (s *source) at(line int, key, read, want string, args ...any) error {
	f := fault.At(key, read, want, args...)
	f.Place = fmt.Sprintf("%s:%d", s.name, line)
	return f
}

// takeApart reads TOML. Errors name file and line.
func takeApart(name string, text []byte) (*source, error) {
	if err := datafile.Valid(name, text); err != nil {
		return nil, err
	}
	s := &source{name: name, text: text, tables: []table{{}}}
	p := unstable.Parser{KeepComments: true}
	p.Reset(text)
	line, counted := 1, 0
	lineAt := func(at int) int { // offsets only grow
		line += bytes.Count(text[counted:at], []byte("\n"))
		counted = at
		return line
	}
	for p.NextExpression() {
		e := p.Expression()
		s.noteComments(e)
		if e.Kind == unstable.Comment {
			continue
		}
		var names []string
		var first, last unstable.Range
		for it := e.Key(); it.Next(); last = it.Node().Raw {
			if names = append(names, string(it.Node().Data)); len(names) == 1 {
				first = it.Node().Raw
			}
		}
		at, end := lineAt(int(first.Offset)), int(last.Offset+last.Length)
		if len(names) > 1 {
			return nil, s.at(at, strings.Join(names, "."), "", datafile.NoSuchKey)
		}
		switch e.Kind {
		case unstable.Table:
			return nil, s.at(at, "", "", "there is no table [%s]; entries stand in double brackets: [[stays]]", names[0])
		case unstable.ArrayTable:
			from, to := bytes.LastIndex(text[:first.Offset], []byte("[[")), end+bytes.Index(text[end:], []byte("]]"))+2
			s.tables = append(s.tables, table{name: names[0], line: at, header: span{from, to}})
		default:
			k := keyed{name: names[0], line: at, whole: span{int(e.Raw.Offset), int(e.Raw.Offset + e.Raw.Length)}, kind: e.Value().Kind}
			k.value = span{end + bytes.IndexByte(text[end:], '=') + 1, k.whole.to}
			for k.value.from < k.value.to && (text[k.value.from] == ' ' || text[k.value.from] == '\t') {
				k.value.from++
			}
			if err := s.readValue(&k, e.Value()); err != nil {
				return nil, err
			}
			t := &s.tables[len(s.tables)-1]
			t.keys = append(t.keys, k)
		}
	}
	return s, p.Error()
}

// noteComments keeps where the comments of an expression stand.
func (s *source) noteComments(n *unstable.Node) {
	for ; n != nil && n.Valid(); n = n.Next() {
		if n.Kind == unstable.Comment {
			s.comments = append(s.comments, span{int(n.Raw.Offset), int(n.Raw.Offset + n.Raw.Length)})
		}
		s.noteComments(n.Child())
	}
}

// readValue takes the texts of a value.
func (s *source) readValue(k *keyed, v *unstable.Node) error {
	nodes := []*unstable.Node{v}
	if k.list() {
		nodes = nil
		for it := v.Children(); it.Next(); {
			if it.Node().Kind != unstable.Comment {
				nodes = append(nodes, it.Node())
			}
		}
	}
	for _, n := range nodes {
		if n.Kind == unstable.Array || n.Kind == unstable.InlineTable {
			return s.at(k.line, k.name, "", "tables and lists in a value are not read here; write a [[%s]] table for each", k.name)
		}
		k.texts = append(k.texts, string(n.Data))
	}
	return nil
}

// Place says where in the file a field stands: "tub.toml:12: bore" for the field "3.bore" of entry 3, "tub.toml:2: inner" for a
// field of the document; "" for one that is not in the file.
func (d *Document) Place(field string) string {
	if d.read == nil {
		return ""
	}
	number, key, numbered := strings.Cut(field, ".")
	if !numbered {
		key = field
	}
	for i, t := range d.read.tables {
		if numbered && !slices.ContainsFunc(t.was, func(w written) bool { return strconv.Itoa(w.id) == number }) || !numbered && i > 0 {
			continue
		}
		line := t.line
		for _, k := range t.keys {
			if k.name == key {
				line = k.line
			}
		}
		if line > 0 {
			return fmt.Sprintf("%s:%d: %s", d.read.name, line, key)
		}
	}
	return ""
}
