package bench

// This file reads the fields of the page from a request's query, as the person typed them.

import (
	"fmt"
	"net/url"
	"strings"
	"unicode/utf8"

	"tryring/internal/build"
	"tryring/internal/check"
	problem "tryring/internal/fault"
	"tryring/internal/mesh"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// fault is something wrong with one field: what was read and what would be right. Field "" is the job as a whole.
type fault struct {
	Field string `json:"field"`
	Text  string `json:"text"`
}

const (
	// maxField is the most bytes of one field.
	maxField = 200
	// maxTried is that of the field that says what every rung of a ladder did.
	maxTried = 1000
)

// todayKey is the day as the person's own clock says it; the page sends it where it counts, and has no field for it.
const todayKey = "today"

// formKeys lists every field of the page.
func formKeys() []string {
	keys := []string{
		"unit", "instrument", "among", "job", // shared by all readings, and the document behind the page
		"name", "inner", "outer", "height", "clearance", "inner_clearance", "outer_clearance", "printer", "grip", "layout", "label", "chord", "paper", // as in a job file
		distanceKey, lineKey, listKey, listUnitKey,
		"ladder.from", "ladder.to", "ladder.step", "ladder.printer", "ladder.taught", "tried", "tried.end",
		"inner.turns", "outer.turns", madeKey, gaugeKey,
	}
	for _, side := range sides {
		keys = append(keys, side.keys()...)
	}
	return keys
}

// form is what stands in the fields; empty ones are missing.
type form map[string]string

// readForm takes the known fields of a query and leaves the rest.
func readForm(query url.Values) (form, []fault) {
	f := form{}
	var faults []fault
	for _, key := range append(formKeys(), todayKey) {
		text := strings.TrimSpace(query.Get(key))
		switch {
		case text == "":
		case len(text) > maxOf(key):
			faults = append(faults, fault{key, fmt.Sprintf("%d characters; at most %d are read", utf8.RuneCountInString(text), maxOf(key))})
		case !utf8.ValidString(text) || strings.ContainsFunc(text, func(r rune) bool { return r < ' ' }):
			faults = append(faults, fault{key, fmt.Sprintf("%q holds characters that are no text", text)})
		default:
			f[key] = text
		}
	}
	if u := f["unit"]; u != "" && u != "mm" && u != "inch" {
		faults = append(faults, fault{"unit", fmt.Sprintf("%q; it is mm or inch", u)})
	}
	return f, faults
}

func maxOf(key string) int {
	switch key {
	case "tried":
		return maxTried
	case "job":
		return maxPacked
	case madeKey:
		return maxMade
	}
	return maxField
}

// bareWords is what a number without a unit may hold beside digits.
const bareWords = " .,/±+-–½⅓⅔¼¾⅛⅜⅝⅞"

// withUnit gives a bare number the word that the switch stands for: the word for inches when the switch is on inch.
func (f form) withUnit(text, inchWord string) string {
	if f["unit"] != "inch" || text == "" {
		return text
	}
	for _, r := range text {
		if (r < '0' || r > '9') && !strings.ContainsRune(bareWords, r) {
			return text
		}
	}
	return text + inchWord
}

// length reads the field as a length in the unit of the switch; nil when it is empty.
func (f form) length(key string) (*unit.Length, error) {
	text := f[key]
	if text == "" {
		return nil, nil
	}
	l, err := unit.ParseSigned(f.withUnit(text, " in"))
	if err != nil {
		return nil, err
	}
	return &l, nil
}

// settle resolves the ring that the fields ask for and plans it. Faults tell what keeps it from being.
func (s *site) settle(f form) (a build.Asked, p ring.Plan, faults []fault) {
	sh, faults := f.sheet()
	if sh.Document == nil {
		return a, p, faults
	}
	// What is wrong with its readings is told beside them.
	a, err := build.Resolve(sh.Ring, s.tables, s.learnt.profiles())
	if err != nil {
		return a, p, laid(err, sameField)
	}
	if p, err = check.Plan(a.Spec); err != nil {
		return a, p, laid(err, sameField)
	}
	if n := triangles(p, a.Chord); n > maxTriangles {
		return a, p, []fault{{"chord", fmt.Sprintf("this ring would take about %d million triangles, more than the %d million that a page and a slicer can take; a coarser chord (now %s) or a lower ring needs fewer",
			n/1_000_000, maxTriangles/1_000_000, a.Chord.TextMM())}}
	}
	return a, p, nil
}

// maxTriangles is the most triangles of a ring: an STL file of 100 MB.
const maxTriangles = 2_000_000

// triangles is about how many triangles a ring will have.
func triangles(p ring.Plan, chord unit.Length) int {
	return mesh.Helix{ChordMM: chord.MM()}.Triangles(p.Shape)
}

// laid lays each fault of err to the field of the page that at names for its field.
func laid(err error, at func(field string) string) []fault {
	var out []fault
	for _, f := range problem.Each(err) {
		field := at(f.Field)
		if f.Place == "" {
			f.Field = ""
		}
		out = append(out, fault{field, f.Error()})
	}
	return out
}

// sameField is the name of fields that the page calls what documents call them.
func sameField(field string) string { return field }
