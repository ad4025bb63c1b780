package bench

// This file saves what stands on the page as a job file, and opens one.

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/trial"
	"tryring/internal/unit"
)

// saveJob answers GET /file/job.toml. A job may be saved before its threads are known.
func (s *site) saveJob(w http.ResponseWriter, r *http.Request) {
	f, faults := readForm(r.URL.Query())
	a, _, more := s.settle(f)
	more = slices.DeleteFunc(more, func(x fault) bool { return f[x.Field] == "" && (x.Field == "inner" || x.Field == "outer") })
	if refuse(w, append(faults, more...)) {
		return
	}
	name := a.Name
	if name == "" {
		name = "job"
	}
	d, err := s.document(f)
	if err != nil {
		refuse(w, []fault{{"tries", err.Error()}})
		return
	}
	for _, side := range sides {
		if records, _ := f.records(side); side.read(records) {
			*d.Readings(side.name) = records
		}
	}
	text, err := d.Text()
	if err != nil {
		http.Error(w, err.Error(), http.StatusUnprocessableEntity)
		return
	}
	send(w, name+".toml", "application/toml", text)
}

// opened is the answer to a job file: the query that brings its bench back.
type opened struct {
	Faults []fault `json:"faults"`
	Query  string  `json:"query"`
}

// openJob answers POST /api/job; the file is the body.
func (s *site) openJob(w http.ResponseWriter, r *http.Request) {
	text, err := io.ReadAll(r.Body)
	if err != nil {
		refuseBody(w, err)
		return
	}
	j, err := job.Parse("job file", text)
	if err != nil {
		answer(w, opened{Faults: []fault{{"job", err.Error()}}})
		return
	}
	for i, t := range j.Tries {
		if err := trial.Check(t, s.tables); err != nil {
			answer(w, opened{Faults: []fault{{"job", fmt.Sprintf("job file: try %d: %v", i+1, err)}}})
			return
		}
	}
	query := jobQuery(j)
	if _, faults := readForm(query); len(faults) > 0 {
		for i := range faults {
			faults[i] = fault{"job", "job file: " + faults[i].Field + ": " + faults[i].Text}
		}
		answer(w, opened{Faults: faults})
		return
	}
	answer(w, opened{Faults: []fault{}, Query: query.Encode()})
}

// jobQuery puts a job into the fields of the page.
func jobQuery(d *job.Document) url.Values {
	query := url.Values{}
	add := func(key, text string) {
		if old := query.Get(key); old != "" {
			text = old + "; " + text
		}
		if text != "" {
			query.Set(key, text)
		}
	}
	for key, text := range map[string]string{
		"name": d.Name, "inner": d.Inner, "outer": d.Outer, "printer": d.Printer, "grip": d.Grip, "layout": d.Layout, "label": d.Label, "among": d.Among,
		"height": d.Height, "clearance": d.Clearance, "inner_clearance": d.InnerClearance, "outer_clearance": d.OuterClearance, "chord": d.Chord,
		"tries": trial.Lines(d.Tries),
	} {
		add(key, text)
	}
	for _, side := range sides {
		for _, r := range *d.Readings(side.name) {
			k, _ := reading.FindKind(r.What)
			first, over := k.Halves(r.Text)
			switch {
			case r.What == "tpi":
				add(side.prefix+"pitch", first+" tpi")
			case k.Over != "":
				add(side.prefix+k.Over, over)
				if left, spaces := strings.CutSuffix(first, " "+string(reading.Spaces)); spaces {
					first = left
					query.Set(side.prefix+"counted", string(reading.Spaces))
				}
				add(side.prefix+k.Key, first)
			default:
				add(side.prefix+k.Key, first)
			}
			if r.Instrument != "" {
				query.Set("instrument", r.Instrument)
			}
			if _, system, err := unit.ParseLengthIn(r.Text); err == nil && system > unit.Millimetre && k.Of != "" {
				query.Set("unit", "inch")
			}
		}
	}
	return query
}
