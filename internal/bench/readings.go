package bench

// This file holds the readings of one part: those that stand in its fields, those of the document, and how they are changed.

import (
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	problem "tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// part is one of the two parts: the one that stays, with the hole, and the one that goes in.
type part struct {
	// name stands in requests, prefix before its fields.
	name, prefix string
	// of is the kind of its thread, as reading.Kind says it; across the kind of reading of its diameter.
	of, across string
	// thread is the ring's thread that meets it.
	thread string
	// Title and Hint are what the page shows.
	Title, Hint string
}

// sides are the two parts in the order in which the page asks for them.
var sides = []part{
	{
		name: job.Stays, prefix: "stays.", of: "internal", across: "bore", thread: "outer", Title: "The fitting that stays",
		Hint: "It has the hole. The ring's outside screws into it.",
	},
	{
		name: job.Goes, prefix: "goes.", of: "external", across: "outside", thread: "inner", Title: "The part that goes in",
		Hint: "Its thread is outside. It screws into the ring.",
	},
}

// kinds are the kinds of readings that the part's thread can have.
func (p part) kinds() []reading.Kind {
	return slices.DeleteFunc(reading.Kinds(), func(k reading.Kind) bool {
		return k.Of != "" && k.Of != p.of || k.Key == "depth" && p.of == "external" // a plug has no socket
	})
}

// counted is the field that says what a count counted.
const counted = "counted"

// keys are the fields of the part's readings.
func (p part) keys() []string {
	keys := []string{p.prefix + counted}
	for _, k := range p.kinds() {
		keys = append(keys, p.prefix+k.Key)
		if k.Over != "" {
			keys = append(keys, p.prefix+k.Over)
		}
	}
	return keys
}

// inchWord is what the switch puts behind a bare number of the kind.
func inchWord(k reading.Kind) string {
	if k.Inch == "" {
		return ""
	}
	return " " + k.Inch
}

// drafts are the readings that stand in the fields of one part. A field may hold several with semicolons between.
func (f form) drafts(side part) (records []reading.Record, faults []fault) {
	for _, k := range side.kinds() {
		texts := f.list(side.prefix+k.Key, inchWord(k))
		if k.Over != "" {
			var more []fault
			texts, more = f.halves(side, k, texts)
			faults = append(faults, more...)
		}
		for _, text := range texts {
			records = append(records, reading.Record{What: k.Key, Text: text, Instrument: f["instrument"], When: f[todayKey]})
		}
	}
	return records, faults
}

// halves puts the two fields of a kind together: "15" and "1 in" are "15 over 1 in".
func (f form) halves(side part, k reading.Kind, texts []string) ([]string, []fault) {
	over := f.list(side.prefix+k.Over, " in")
	for _, text := range over {
		if _, _, err := unit.ParseReading(text); err != nil {
			return nil, laid(err, func(string) string { return side.prefix + k.Over })
		}
	}
	switch n, m := len(texts), len(over); {
	case n > m:
		return nil, []fault{{side.prefix + k.Over, "missing: each of what stands before it has one"}}
	case n < m:
		return nil, []fault{{side.prefix + k.Key, "missing: the length is there, what was read along it is not"}}
	}
	way := f[side.prefix+counted]
	if k.Key != "count" || way == string(reading.Crests) {
		way = ""
	} else if way != "" && way != string(reading.Spaces) {
		return nil, []fault{{side.prefix + counted, fmt.Sprintf("%q; it is crests or spaces", way)}}
	}
	for i, text := range texts {
		texts[i] = k.Text(strings.TrimSpace(text+" "+way), over[i])
	}
	return texts, nil
}

// list takes a field with several readings apart, each with its unit.
func (f form) list(key, inchWord string) []string {
	var out []string
	for text := range strings.SplitSeq(f[key], ";") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		if inchWord != "" {
			text = f.withUnit(text, inchWord)
		}
		out = append(out, text)
	}
	return out
}

// laidOn lays a fault of the part's readings to its place: the row of one that is kept, the field of one that is typed.
func (sh sheet) laidOn(side part) func(field string) string {
	return func(field string) string {
		number, key, _ := strings.Cut(field, ".")
		switch n, err := strconv.Atoi(number); {
		case err != nil:
			return field
		case key == "":
			return "tries"
		case sh.typed[n] && key == "instrument":
			return key
		case sh.typed[n]:
			return side.prefix + key
		default:
			return row(n)
		}
	}
}

// row is the field of a reading that is kept.
func row(n int) string { return "reading-" + strconv.Itoa(n) }

// readingView is one reading of the document.
type readingView struct {
	ID   int    `json:"id"`
	Row  string `json:"row"`
	What string `json:"what"`
	Text string `json:"text"`
	// Instrument is "" for the usual one; Measured is false for what no instrument reads.
	Instrument string `json:"instrument"`
	Measured   bool   `json:"measured"`
	// Says is when and beside what it was read.
	Says string `json:"says"`
}

// kept shows the readings of the document, but those that stand in the fields.
func (sh sheet) kept(side part) []readingView {
	out := []readingView{}
	for _, r := range *sh.Readings(side.name) {
		if sh.typed[r.ID] {
			continue
		}
		k, _ := reading.FindKind(r.What)
		says := []string{fmt.Sprintf("number %d", r.ID)}
		if r.When != "" {
			says = append(says, r.When)
		}
		if r.Look != 0 && r.Look != r.ID {
			says = append(says, fmt.Sprintf("with number %d", r.Look))
		}
		if r.Note != "" {
			says = append(says, r.Note)
		}
		instrument := r.Instrument
		if found, err := reading.FindInstrument(instrument); err == nil {
			if instrument = found.Name; instrument == reading.Instruments()[0].Name {
				instrument = ""
			}
		}
		out = append(out, readingView{
			ID: r.ID, Row: row(r.ID), What: labelOf(k), Text: r.Text, Instrument: instrument,
			Measured: k.Over != "" || k.Inch == "in", Says: strings.Join(says, ", "),
		})
	}
	return out
}

// keep writes the readings of the fields into the document and empties their fields.
func keep(d *job.Document, f form, query url.Values) (faults []fault) {
	for _, side := range sides {
		drafts, more := f.drafts(side)
		faults = append(faults, more...)
		for _, r := range drafts {
			faults = append(faults, judge(r, side.prefix+r.What)...)
		}
		doubts, err := unlessDoubted(query, job.ErrAgain, func(sure bool) error { return d.AddReadings(side.name, sure, drafts...) })
		faults = append(faults, doubts...)
		faults = append(faults, laid(err, func(key string) string { return side.prefix + key })...)
	}
	if len(faults) == 0 {
		for _, side := range sides {
			for _, key := range side.keys() {
				delete(f, key)
			}
		}
	}
	return faults
}

// doubt is the field of a fault that a person may overrule, by sending its text back as sure.
const doubt = "doubt"

// unlessDoubted does what may be doubted, with an error of that cause: then it is a doubt, unless the person overrules it.
func unlessDoubted(query url.Values, cause error, do func(sure bool) error) ([]fault, error) {
	err := do(false)
	if !errors.Is(err, cause) {
		return nil, err
	}
	if doubts := laid(err, func(string) string { return doubt }); !overruled(query, doubts) {
		return doubts, nil
	}
	return nil, do(true)
}

// overruled says whether the person overrules all doubts.
func overruled(query url.Values, doubts []fault) bool {
	return !slices.ContainsFunc(doubts, func(f fault) bool { return !slices.Contains(query["sure"], f.Text) })
}

// judge lays what is wrong with a reading by itself to a field.
func judge(r reading.Record, field string) (faults []fault) {
	r.ID = 0
	_, err := reading.Read(r)
	for _, one := range problem.Each(err) {
		if !errors.Is(one, reading.ErrNothing) { // r by itself need not tell a thread
			faults = append(faults, laid(one, func(string) string { return field })...)
		}
	}
	return faults
}

// change gives a reading of the document other words or another instrument.
func change(d *job.Document, f form, query url.Values) []fault {
	for _, side := range sides {
		for i := range *d.Readings(side.name) {
			r := &(*d.Readings(side.name))[i]
			if strconv.Itoa(r.ID) != query.Get("id") {
				continue
			}
			if text := strings.TrimSpace(query.Get("text")); text != strings.TrimSpace(r.Text) {
				k, _ := reading.FindKind(r.What)
				r.Text = f.withUnit(text, inchWord(k))
			}
			if query.Has("by") {
				r.Instrument = cmp.Or(query.Get("by"), reading.Instruments()[0].Name)
			}
			return judge(*r, row(r.ID))
		}
	}
	return []fault{{"job", fmt.Sprintf("no reading has the number %q", query.Get("id"))}}
}

// drop takes an entry of the document back.
func drop(d *job.Document, _ form, query url.Values) []fault {
	n, err := strconv.Atoi(query.Get("id"))
	if err == nil {
		err = d.Drop(n)
	}
	return laid(err, func(string) string { return "job" })
}
