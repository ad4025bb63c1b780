package bench

// This file makes the page once, from its template and what there is to choose from.

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"net/url"
	"slices"
	"strings"

	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/photo"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/ring"
)

// Files are the page's own, in the folder page.
//
//go:embed page
var Files embed.FS

// field is one field of the page: of text, or with fixed choices, of which the first stands for nothing chosen.
type field struct {
	Name, Label, Hint, Example string
	// Unit is "length" or "pitch" for a field whose bare numbers go by the switch, "" for others.
	Unit string
	// Numeric is set for a plain count.
	Numeric bool
	Options []option
}

type option struct{ Value, Text string }

// partFields are the fields of one part.
type partFields struct {
	part
	Name       string
	Main, More []field
	Thread     field
	// Distance is the field beside a picture; nil for a part whose thread no picture shows.
	Distance *field
}

// pageData is what the template shows; all other fields stand in it with their words.
type pageData struct {
	Caution     string
	Instruments field
	Parts       []partFields
	Printers    field
	MaxBytes    int
	MaxPhoto    int
	// Example is the query of an invented job, escaped as one.
	Example template.URL
}

// length is a field for a length, choice one with fixed choices: pairs of what is sent and what is shown.
func length(name, label, hint, example string) field {
	return field{Name: name, Label: label, Hint: hint, Example: example, Unit: "length"}
}

func choice(name, label string, pairs ...string) field {
	f := field{Name: name, Label: label}
	for pair := range slices.Chunk(pairs, 2) {
		f.Options = append(f.Options, option{pair[0], pair[1]})
	}
	return f
}

// Page makes the page from its template.
func Page(printers printer.Profiles) ([]byte, error) {
	var out bytes.Buffer
	words := template.FuncMap{
		"length": length, "choice": choice, "words": func(words ...string) []string { return words },
		"text": func(name, label, hint string) field { return field{Name: name, Label: label, Hint: hint} },
	}
	index, err := template.New("index.html").Funcs(words).ParseFS(Files, "page/index.html")
	if err == nil {
		err = index.Execute(&out, newPageData(printers))
	}
	if err != nil {
		return nil, fmt.Errorf("page: %w", err)
	}
	return out.Bytes(), nil
}

func newPageData(printers printer.Profiles) pageData {
	d := pageData{
		Caution:     strings.TrimPrefix(check.Caution, ring.Engraved+". "),
		Instruments: field{Name: "instrument", Label: "Read with", Options: instruments()},
		Printers:    choice("printer", "Printer", "", "not known"),
		MaxBytes:    job.MaxBytes,
		MaxPhoto:    photo.MaxBytes,
		Example: template.URL(url.Values{
			"stays.bore": {"45.7"}, "stays.count": {"15"}, "stays.over": {"25.4"}, "goes.outside": {"41.2"}, "goes.pitch": {"16 tpi"},
			"inner": {"1 5/8-16 UN"}, "outer": {"1 7/8-14 UNS"}, "printer": {"filament-0.4"},
		}.Encode()),
	}
	for _, name := range printers.Names() {
		d.Printers.Options = append(d.Printers.Options, option{name, name})
	}
	for _, side := range sides {
		d.Parts = append(d.Parts, newPartFields(side))
	}
	return d
}

// instruments are the choices of what something was read with; the usual one needs no name.
func instruments() []option {
	var out []option
	for _, instrument := range reading.Instruments() {
		out = append(out, option{instrument.Name, instrument.Words})
	}
	out[0].Value = ""
	return out
}

// asks are the page's own words for a kind of reading, or for its second half; a kind without any has the command line's.
var asks = map[string]field{
	"bore":    {Label: "Bore", Hint: "inside jaws, crest to crest"},
	"outside": {Label: "Outside", Hint: "outside jaws, over the crests"},
	"count":   {Label: "Crests", Hint: "counted, first and last included", Numeric: true},
	"over":    {Label: "Over", Hint: "from the first to the last"},
	"pitch":   {Label: "Or the pitch", Hint: "when it is known: 1.5 mm, 14 tpi"},
	"throat":  {Label: "Throat", Hint: "the smooth opening"},
	"depth":   {Label: "Depth", Hint: "how far in the other part may go"},
	"length":  {Label: "Threaded", Hint: "how much of it has thread"},
	"ratio":   {Label: "Pitch / outside", Hint: "off a picture: 0.0334+-0.0003"},
	"tpi":     {Label: "To the inch", Hint: "threads in one inch: 14, 11 1/2"},
	"leaf":    {Label: "Leaf that seats", Hint: "of a pitch gauge"},
	"no_leaf": {Label: "Leaf that does not", Hint: "several: put ; between"},
	counted:   {Label: "Counted were", Options: []option{{"", "crests"}, {string(reading.Spaces), "spaces or turns"}}},
	"angle":   {Label: "Flank angle", Options: []option{{"", "not known"}, {"60", "60°"}, {"55", "55°"}}},
	"tapers":  {Label: "Tapers", Options: yesNo},
	"worn":    {Label: "Worn", Options: yesNo},
}

var yesNo = []option{{"", "not looked"}, {"no", "no"}, {"yes", "yes"}}

// ask is the field in which a kind of reading is asked for; words and what are what is said of it elsewhere.
func ask(key, words, what string) field {
	f, own := asks[key]
	if !own {
		f = field{Label: strings.ToUpper(words[:1]) + words[1:], Hint: strings.ReplaceAll(what, "`", "")}
	}
	return f
}

// labelOf is the label of a kind of reading.
func labelOf(k reading.Kind) string { return ask(k.Key, k.Words, k.Ask).Label }

// fields are those of the part's readings: the main ones, and more.
func (p part) fields() (main, more []field) {
	put := func(f field, key, inch string) {
		f.Name = p.prefix + key
		if f.Options == nil {
			f.Unit = map[string]string{"in": "length", "tpi": "pitch"}[inch]
		}
		if slices.Contains([]string{p.across, "count", "over", "pitch"}, key) {
			main = append(main, f)
		} else {
			more = append(more, f)
		}
	}
	for _, k := range p.kinds() {
		put(ask(k.Key, k.Words, k.Ask), k.Key, k.Inch)
		if k.Over != "" {
			put(ask(k.Over, k.Over, k.AskOver), k.Over, "in")
		}
		if k.Key == "count" {
			put(asks[counted], counted, "")
		}
	}
	return main, more
}

func newPartFields(p part) partFields {
	out := partFields{part: p, Name: p.name, Thread: field{Name: p.thread, Label: "Thread", Hint: "pick one above, or write it"}}
	out.Main, out.More = p.fields()
	if p.name == goes.name {
		out.Distance = &field{Name: distanceKey, Label: "Camera to part", Hint: "if known", Unit: "length"}
	}
	return out
}
