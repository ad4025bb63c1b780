package bench

// This file ranks a parts list that the page posts as text.

import (
	"fmt"
	"net/http"
	"strings"

	"tryring/internal/fit"
	"tryring/internal/parts"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// The bounds of a list on the page.
const (
	maxRows    = 2000
	shownParts = 100
)

// partsView is what the page shows of a list.
type partsView struct {
	Faults []fault    `json:"faults"`
	Parts  []partView `json:"parts"`
	// More is how many parts are not shown.
	More    int      `json:"more"`
	Skipped []string `json:"skipped"`
	Notes   []string `json:"notes"`
}

type partView struct {
	Part    string      `json:"part"`
	Chance  float64     `json:"chance"`
	Verdict fit.Verdict `json:"verdict"`
	Inner   partSide    `json:"inner"`
	Outer   partSide    `json:"outer"`
	Ask     string      `json:"ask"`
	Alike   []string    `json:"alike"`
}

type partSide struct {
	Thread  string      `json:"thread"`
	Verdict fit.Verdict `json:"verdict"`
	Why     string      `json:"why"`
}

// parts answers POST /api/parts: the list is the body, the threads stand in the query.
func (s *site) parts(w http.ResponseWriter, r *http.Request) {
	view := partsView{Faults: []fault{}, Parts: []partView{}, Skipped: []string{}, Notes: []string{}}
	text, ok := body(w, r)
	if !ok {
		return
	}
	f, faults := readForm(r.URL.Query())
	view.Faults = append(view.Faults, faults...)
	if n := strings.Count(string(text), "\n"); n > maxRows {
		view.Faults = append(view.Faults, fault{"parts", fmt.Sprintf("%d rows; the page takes %d. tryring shortlist takes larger lists", n, maxRows)})
	}
	var mates [2]thread.Thread
	for k, key := range []string{"inner", "outer"} {
		if f[key] == "" {
			view.Faults = append(view.Faults, fault{"parts", "the list needs both threads; pick them first"})
			break
		}
		var err error
		if mates[k], err = s.tables.Parse(f[key]); err != nil {
			view.Faults = append(view.Faults, fault{key, err.Error()})
		}
	}
	if len(view.Faults) == 0 {
		view.rank(string(text), mates, parts.Options{Tables: s.tables, Unit: listUnit(r.URL.Query().Get("list_unit"))})
	}
	answer(w, view)
}

// listUnit is what a list's bare sizes are in; 0 lets the list tell.
func listUnit(name string) unit.Length {
	switch name {
	case "mm":
		return unit.Millimetre
	case "inch":
		return unit.Inch
	}
	return 0
}

// rank reads the list and fills the view.
func (v *partsView) rank(text string, mates [2]thread.Thread, o parts.Options) {
	list, err := parts.Read(text, o)
	if err != nil {
		v.Faults = append(v.Faults, fault{"parts", err.Error()})
		return
	}
	ranked, err := list.Shortlist(parts.Sure(mates[0]), parts.Sure(mates[1]))
	if err != nil {
		v.Faults = append(v.Faults, fault{"parts", err.Error()})
		return
	}
	v.Notes = append(v.Notes, list.Notes...)
	for _, skipped := range list.Skipped {
		v.Skipped = append(v.Skipped, skipped.String())
	}
	if n := len(ranked); n > shownParts {
		v.More, ranked = n-shownParts, ranked[:shownParts]
	}
	side := func(s parts.Side) partSide { return partSide{s.Thread, s.Verdict, s.Why} }
	for _, r := range ranked {
		alike := r.Alike
		if alike == nil {
			alike = []string{}
		}
		v.Parts = append(v.Parts, partView{r.Name, r.Chance, r.Verdict, side(r.Inner), side(r.Outer), r.Ask, alike})
	}
}
