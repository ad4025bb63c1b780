package bench

// This file saves what stands on the page as a job file, and opens one.

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"tryring/internal/build"
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
	tries, err := trial.ParseLines(f["tries"], s.tables)
	if err != nil {
		refuse(w, []fault{{"tries", err.Error()}})
		return
	}
	text, err := f.job(tries)
	if err != nil {
		http.Error(w, err.Error(), http.StatusUnprocessableEntity)
		return
	}
	send(w, name+".toml", "application/toml", text)
}

// lengthKeys are the ring's fields that hold a length.
var lengthKeys = []string{"height", "clearance", "inner_clearance", "outer_clearance", "chord"}

// job writes the fields as a job file: texts as the person wrote them, each length with its unit.
func (f form) job(tries []build.Try) ([]byte, error) {
	var out bytes.Buffer
	out.WriteString("# A job of tryring: tryring ring FILE makes it, and the bench page opens it.\n")
	line := func(v any) error {
		text, err := toml.Marshal(v)
		out.Write(text)
		return err
	}
	var faults []error
	for _, key := range append([]string{"among"}, ringKeys...) {
		text := f[key]
		if slices.Contains(lengthKeys, key) {
			text = f.withUnit(text, " in")
		}
		if text != "" {
			faults = append(faults, line(map[string]string{key: text}))
		}
	}
	for _, side := range sides {
		if r, _ := f.record(side); side.read(r) {
			faults = append(faults, line(map[string][]reading.Batch{side.name: {r}}))
		}
	}
	for _, t := range tries {
		faults = append(faults, line(map[string][]build.Try{"tries": {t}}))
	}
	return out.Bytes(), errors.Join(faults...)
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
	j, err := build.ParseRing("job file", text)
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
func jobQuery(j build.Ring) url.Values {
	query := url.Values{}
	set := func(key, text string) {
		if text != "" {
			query.Set(key, text)
		}
	}
	for key, text := range map[string]string{
		"name": j.Name, "inner": j.Inner, "outer": j.Outer, "printer": j.Printer, "grip": j.Grip, "layout": j.Layout, "label": j.Label,
		"among": j.Among,
	} {
		set(key, text)
	}
	for key, l := range map[string]*unit.Length{
		"height": j.Height, "clearance": j.Clearance, "inner_clearance": j.InnerClearance, "outer_clearance": j.OuterClearance, "chord": j.Chord,
	} {
		if l != nil {
			set(key, unit.Short(l.MM())+" mm")
		}
	}
	set("tries", trial.Lines(j.Tries))
	for k, records := range [][]reading.Batch{j.Stays, j.Goes} {
		var r reading.Batch
		for _, more := range records {
			r = r.With(more)
		}
		set("instrument", r.Instrument)
		pitches := slices.Clone(r.Pitch)
		for _, n := range r.TPI {
			pitches = append(pitches, n+" tpi")
		}
		for key, texts := range map[string][]string{
			"bore": r.Bore, "outside": r.Outside, "throat": r.Throat, "length": r.Length, "count": r.Count, "over": r.Over,
			"pitch": pitches, "leaf": r.Leaf, "no_leaf": r.NoLeaf, "counted": {r.Counted}, "angle": {r.Angle}, "tapers": {r.Tapers},
		} {
			set(sides[k].prefix+key, strings.Join(texts, "; "))
		}
		if r.Worn {
			set(sides[k].prefix+"worn", "yes")
		}
		if inches(r) {
			set("unit", "inch")
		}
	}
	return query
}

// inches says whether the diameters of r were read in inches.
func inches(r reading.Batch) bool {
	for _, text := range slices.Concat(r.Bore, r.Outside) {
		if _, system, err := unit.ParseLengthIn(text); err == nil && system > unit.Millimetre {
			return true
		}
	}
	return false
}
