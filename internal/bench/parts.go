package bench

// This file shows the parts of a list, best first.

import (
	"fmt"
	"strings"

	"tryring/internal/parts"
)

// The bounds of a list on the page.
const (
	maxRows    = 2000
	shownParts = 100
)

// listView is what the page shows of a list.
type listView struct {
	Parts []parts.Ranked `json:"parts"`
	// More is how many parts are not shown.
	More    int      `json:"more"`
	Skipped []string `json:"skipped"`
	Notes   []string `json:"notes"`
}

func noList() listView {
	return listView{Parts: []parts.Ranked{}, Skipped: []string{}, Notes: []string{}}
}

// readList tells what of the list that the page holds cannot be used.
func (s *site) readList(sh sheet, text string) (listView, []fault) {
	v := noList()
	if text == "" || len(sh.Parts) == 0 {
		return v, nil
	}
	if n := strings.Count(text, "\n"); n > maxRows {
		return v, []fault{{"parts", fmt.Sprintf("%d rows; the page takes %d: leave those of about the right size", n, maxRows)}}
	}
	last := sh.Parts[len(sh.Parts)-1]
	options, err := parts.ReadOptions(last.Columns, last.Unit)
	if err != nil {
		return v, laid(err, func(string) string { return listUnitKey })
	}
	options.Tables = s.tables
	list, err := parts.Read(text, options)
	if err != nil {
		return v, laid(err, func(string) string { return "parts" })
	}
	v.Notes = append(v.Notes, list.Notes...)
	for _, skipped := range list.Skipped {
		v.Skipped = append(v.Skipped, skipped.String())
	}
	return v, nil
}

// show shows the parts.
func (v *listView) show(ranked []parts.Ranked) {
	if n := len(ranked); n > shownParts {
		v.More, ranked = n-shownParts, ranked[:shownParts]
	}
	v.Parts = append(v.Parts, ranked...)
}
