package bench

// This file answers what the readings of one part could stand for.

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/trial"
	"tryring/internal/unit"
)

// part is one of the two parts: the one that stays, with the hole, and the one that goes in.
type part struct {
	// name stands in requests, prefix before its fields.
	name, prefix string
	// thread is the ring's thread that meets it, across the field of its diameter.
	thread, across string
	// Title and the rest are what the page shows.
	Title, Hint, Across, AcrossHint string
}

// sides are the two parts in the order in which the page asks for them.
var sides = []part{
	{
		name: "stays", prefix: "stays.", thread: "outer", across: "bore", Title: "The part that stays",
		Hint: "It has the hole. The ring's outside screws into it.", Across: "Bore", AcrossHint: "inside jaws, crest to crest",
	},
	{
		name: "goes", prefix: "goes.", thread: "inner", across: "outside", Title: "The part that goes in",
		Hint: "Its thread is outside. It screws into the ring.", Across: "Outside", AcrossHint: "outside jaws, over the crests",
	},
}

// mostCandidates is how many threads are shown; the rest are summed up.
const mostCandidates = 5

// identified is the answer for one part.
type identified struct {
	Faults []fault `json:"faults"`
	// Read says what was read, in words; "" when nothing was.
	Read           string          `json:"read"`
	Candidates     []candidateView `json:"candidates"`
	Notes          []string        `json:"notes"`
	Contradictions []string        `json:"contradictions"`
	// Next is the reading that would tell most.
	Next string `json:"next"`
}

type candidateView struct {
	Designation string  `json:"designation"`
	Standard    string  `json:"standard"`
	Weight      float64 `json:"weight"`
	Why         string  `json:"why"`
	// Pick is false for what stands for no single thread.
	Pick bool `json:"pick"`
}

// identify answers GET /api/identify?part=stays|goes.
func (s *site) identify(w http.ResponseWriter, r *http.Request) {
	query := r.URL.Query()
	for _, side := range sides {
		if side.name == query.Get("part") {
			f, faults := readForm(query)
			answer(w, s.identifyPart(f, faults, side))
			return
		}
	}
	http.Error(w, fmt.Sprintf("part %q; it is stays or goes", query.Get("part")), http.StatusBadRequest)
}

// identifyPart weighs what the fields say of one part.
func (s *site) identifyPart(f form, faults []fault, side part) identified {
	out := identified{Faults: []fault{}, Candidates: []candidateView{}, Notes: []string{}, Contradictions: []string{}}
	records, missing := f.records(side)
	out.Faults = append(append(out.Faults, side.own(faults)...), missing...)
	if !side.read(records) || len(out.Faults) > 0 {
		return out
	}
	d, err := s.document(f)
	if err != nil {
		out.Faults = append(out.Faults, fault{"tries", err.Error()})
		return out
	}
	*d.Readings(side.name) = records
	found, err := identity.Of(d, side.name, s.tables)
	if err != nil {
		for _, one := range faultsOf(err, side.field) {
			one.Text = onceRead(one.Text)
			out.Faults = append(out.Faults, one)
		}
		return out
	}
	out.Read = readWords(found.Answer)
	switch {
	case found.Tries == 1:
		out.Read += "; 1 ring tried"
	case found.Tries > 1:
		out.Read += fmt.Sprintf("; %d rings tried", found.Tries)
	}
	out.Notes = append(out.Notes, found.Found.Notes...)
	for _, c := range found.Found.Contradictions {
		out.Contradictions = append(out.Contradictions, fmt.Sprintf("%s. Take %s again.", c.Text, c.Again))
	}
	last := len(found.Candidates) - 1
	rest := 0.0
	for i, c := range found.Candidates {
		if i != last && i >= mostCandidates {
			rest += c.Weight
			continue
		}
		if i == last && rest > 0 {
			out.Candidates = append(out.Candidates, candidateView{Designation: fmt.Sprintf("%d others together", last-mostCandidates), Weight: rest})
		}
		out.Candidates = append(out.Candidates, candidateView{c.Designation, c.Standard, c.Weight, c.Why, c.Thread != nil})
	}
	if next := found.Next; next != nil && next.Best != nil {
		out.Next = fmt.Sprintf("To tell %s from %s: %s.", next.Between[0], next.Between[1], next.Best.What)
	}
	return out
}

// onceRead leaves out the first of two tellings of what was read: `reading "x": "x" is not a length`.
func onceRead(text string) string {
	if _, rest, found := strings.Cut(text, `": "`); found && strings.HasPrefix(text, `reading "`) {
		return `"` + rest
	}
	return text
}

// own keeps the faults that concern the side.
func (p part) own(faults []fault) []fault {
	var out []fault
	for _, f := range faults {
		if strings.HasPrefix(f.Field, p.prefix) || !strings.Contains(f.Field, ".") {
			out = append(out, f)
		}
	}
	return out
}

// field is where the page shows what is wrong with a field of the side's readings.
func (p part) field(key string) string {
	if key == "" || key == "instrument" || key == "among" || key == "tries" {
		return key
	}
	return p.prefix + key
}

// read says whether anything was read that a thread can be told from.
func (p part) read(records []reading.Record) bool {
	return slices.ContainsFunc(records, func(r reading.Record) bool {
		switch r.What {
		case "outside", "bore", "count", "pitch", "leaf", "no_leaf":
			return true
		}
		return false
	})
}

// document is the job that stands in the fields, but for the readings.
func (s *site) document(f form) (*job.Document, error) {
	d := job.New()
	d.Among, d.Ring = f["among"], f.ring()
	var err error
	d.Tries, err = trial.ParseLines(f["tries"], s.tables)
	return d, err
}

// records puts the readings of one part together. A field may hold several readings with semicolons between.
func (f form) records(side part) (out []reading.Record, faults []fault) {
	for _, k := range reading.Kinds() {
		if k.Key != side.across && (k.Key == "bore" || k.Key == "outside") {
			continue
		}
		texts, overs := f.list(side.prefix+k.Key, inchWord(k.Inch)), f.list(side.prefix+k.Over, " in")
		if k.Over != "" && len(texts) != len(overs) {
			field, what := k.Over, "from the first crest counted to the last: its length is missing"
			if len(texts) < len(overs) {
				field, what = k.Key, "the length is there, the number of crests along it is missing"
			}
			faults = append(faults, fault{side.prefix + field, what})
			continue
		}
		for i, text := range texts {
			if k.Key == "count" {
				if _, _, err := unit.ParseReading(overs[i]); err != nil { // told at its own field
					faults = append(faults, fault{side.prefix + "over", onceRead(err.Error())})
					continue
				}
				text += " " + f[side.prefix+"counted"]
			}
			if k.Over != "" {
				text = k.Text(text, overs[i])
			}
			out = append(out, reading.Record{What: k.Key, Text: text, Instrument: f["instrument"]})
		}
	}
	if way := f[side.prefix+"counted"]; way != "" && way != string(reading.Crests) && way != string(reading.Spaces) {
		faults = append(faults, fault{side.prefix + "counted", fmt.Sprintf("%q; it is crests or spaces", way)})
	}
	return out, faults
}

// inchWord is the word that goes behind a bare number.
func inchWord(word string) string {
	if word == "" {
		return ""
	}
	return " " + word
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

// readWords says what was read with its uncertainty.
func readWords(a reading.Answer) string {
	var out []string
	if d := a.Found.Diameter; d != nil {
		what := "bore"
		if a.Set.External() {
			what = "outside"
		}
		low, high := d.Interval()
		half := (high - low) / 2
		out = append(out, fmt.Sprintf("%s %.2f ± %.2f mm (%.4f ± %.4f in)", what, d.Value, half, unit.MM(d.Value).Inches(), unit.MM(half).Inches()))
	}
	if p := a.Found.Pitch; p != nil {
		low, high := p.Interval()
		half := (high - low) / 2
		out = append(out, fmt.Sprintf("pitch %.3f ± %.3f mm (%.2f ± %.2f to the inch)", p.Value, half, unit.MMPerInch/p.Value, unit.MMPerInch/p.Value*half/p.Value))
	}
	return strings.Join(out, ", ")
}

// mostSuggested is how many threads are offered while a name is typed.
const mostSuggested = 12

// threads answers GET /api/threads?text=…: names to offer while one is typed.
func (s *site) threads(w http.ResponseWriter, r *http.Request) {
	text := r.URL.Query().Get("text")
	names := []string{}
	if text = strings.TrimSpace(text); text != "" && len(text) <= maxField {
		for _, t := range s.tables.Search(text) {
			if names = append(names, t.Designation); len(names) == mostSuggested {
				break
			}
		}
	}
	answer(w, names)
}
