package bench

// This file holds the document behind the page: what stands in the fields is laid over it, and whatever the fields do not
// touch stays as the file has it.

import (
	"cmp"
	"fmt"
	"net/url"
	"slices"
	"strings"

	"tryring/internal/draw"
	problem "tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// sheet is the job as the page shows it: the document, with the fields laid over it.
type sheet struct {
	*job.Document
	// typed are the numbers of the readings that stand in the fields alone.
	typed map[int]bool
	// changed are the fields that say something else than the document.
	changed map[string]bool
}

// document is the job that was opened or begun, without the fields; a new one where there is none.
func (f form) document() (*job.Document, error) {
	text, err := unpack(f["job"])
	if err != nil || text == nil {
		return job.New(), err
	}
	return openJob("job", text)
}

// openJob reads a document, which is refused where no part is made for its use.
func openJob(name string, text []byte) (*job.Document, error) {
	d, err := job.Parse(name, text)
	if err == nil {
		err = problem.In("use", thread.RefusedUse(d.Use))
	}
	return d, err
}

// sheet lays the fields over the document.
func (f form) sheet() (sheet, []fault) {
	sh := sheet{typed: map[int]bool{}, changed: map[string]bool{}}
	var err error
	if sh.Document, err = f.document(); err != nil {
		return sheet{}, []fault{{"job", err.Error()}}
	}
	for key, text := range asked(sh.Document) {
		if !f.means(key, *text) {
			*text = f.written(key)
			sh.changed[key] = true
		}
	}
	f.keepList(&sh)
	var faults []fault
	for _, side := range sides {
		if thread := sh.Thread(side.name); !f.means(side.thread, *thread) {
			*thread = f[side.thread]
			sh.Decided = slices.DeleteFunc(sh.Decided, func(one job.Decision) bool { return one.Side == side.name })
			sh.changed[side.thread] = true
		}
		drafts, more := f.drafts(side)
		faults = append(faults, more...)
		_ = sh.AddReadings(side.name, true, drafts...) // the side is one of the two
		all := *sh.Readings(side.name)
		for _, r := range all[len(all)-len(drafts):] {
			sh.typed[r.ID] = true
		}
	}
	return sh, faults
}

// asked are the texts of a document that the page has a field for, by its name, but for both threads.
func asked(d *job.Document) map[string]*string {
	return map[string]*string{
		"among": &d.Among, "name": &d.Name, "height": &d.Height, "clearance": &d.Clearance, "inner_clearance": &d.InnerClearance,
		"outer_clearance": &d.OuterClearance, "printer": &d.Printer, "grip": &d.Grip, "layout": &d.Layout, "label": &d.Label, "chord": &d.Chord, "paper": &d.Paper,
	}
}

// usual are the words for what a choice is when nothing was chosen.
var usual = map[string]string{"among": string(reading.Any), "grip": "scallop", "layout": "auto", "paper": draw.A4.Name}

// lengthKeys are the ring's fields that hold a length.
var lengthKeys = []string{"height", "clearance", "inner_clearance", "outer_clearance", "chord"}

// written is what the field says, each length with its unit.
func (f form) written(key string) string {
	if slices.Contains(lengthKeys, key) {
		return f.withUnit(f[key], " in")
	}
	return f[key]
}

// means says whether the field says what the document says, in these words or others.
func (f form) means(key, text string) bool {
	text = strings.TrimSpace(text)
	if slices.Contains(lengthKeys, key) && text != "" {
		return f.meansLength(key, text)
	}
	return text == f[key] || f[key] == "" && text == usual[key]
}

// meansLength says whether the field holds the length that the document holds, or what is no length in both.
func (f form) meansLength(key, text string) bool {
	there, err := unit.ParseSigned(text)
	here, errHere := f.length(key)
	if err != nil || errHere != nil || here == nil {
		return text == f[key]
	}
	return unit.Short(there.MM()) == unit.Short(here.MM())
}

// show puts what the document asks for into the fields.
func (f form) show(d *job.Document) {
	for key, text := range asked(d) {
		f[key] = strings.TrimSpace(*text)
		if f[key] == usual[key] {
			f[key] = ""
		}
		if slices.Contains(lengthKeys, key) && !f.meansLength(key, f[key]) {
			f[key] += " mm" // which a bare number is in a file
		}
	}
	for _, side := range sides {
		f[side.thread] = strings.TrimSpace(*d.Thread(side.name))
	}
	f.showList(d)
}

// opened is the answer to whatever changes the document: the query that brings the page to it.
type opened struct {
	Faults []fault `json:"faults"`
	Query  string  `json:"query"`
}

// opened is the page with the given document behind it.
func (f form) opened(text []byte) opened {
	f["job"] = pack(text)
	query := url.Values{}
	for _, key := range formKeys() {
		if f[key] != "" {
			query.Set(key, f[key])
		}
	}
	if _, faults := readForm(query); len(faults) > 0 {
		for i, one := range faults {
			faults[i] = fault{"job", one.Field + ": " + one.Text}
		}
		return opened{Faults: faults}
	}
	return opened{Faults: []fault{}, Query: query.Encode()}
}

// openJob answers POST /api/job: the file is the body. The fields become what it asks for.
func (s *site) openJob(r Request) Answer {
	d, err := openJob("job file", r.Body)
	if err != nil {
		return answer(opened{Faults: laid(err, func(string) string { return "job" })})
	}
	f := form{"unit": r.Query.Get("unit")}
	f.show(d)
	return answer(f.opened(r.Body))
}

// saveJob answers GET /file/job.toml: the document with what stands in the fields. A job may be saved before its threads are
// known, and with whatever the file that was opened says already.
func (s *site) saveJob(r Request) Answer {
	f, faults := readForm(r.Query)
	a, _, more := s.settle(f)
	sh, wrong := f.sheet()
	if sh.Document != nil {
		more = slices.DeleteFunc(more, func(x fault) bool { return f[x.Field] == "" || !sh.changed[x.Field] })
	}
	if faults = slices.Concat(faults, more, wrong); len(faults) > 0 {
		return refuse(faults)
	}
	s.decide(f, sh)
	text, err := sh.Text()
	if err != nil {
		return refuse([]fault{{"job", err.Error()}})
	}
	name := cmp.Or(a.Name, sh.Name)
	if whole.CheckFileName(name) != nil {
		name = "job"
	}
	return Answer{Status: okay, Type: "application/toml", File: name + ".toml", Body: text}
}

// decide notes at which chance the threads stand that were written into their fields.
func (s *site) decide(f form, sh sheet) {
	for _, side := range sides {
		if thread := *sh.Thread(side.name); thread != "" && sh.changed[side.thread] {
			found, _ := identity.Of(sh.Document, side.name, s.tables) // where nothing was read, it has no chance
			if one, err := found.Decide(thread, true, f[todayKey], s.tables); err == nil {
				_ = sh.Decide(one) // the side is one of the two
			}
		}
	}
}

// take decides for a thread of one side; one that is not the likely one needs the person to be sure.
func (s *site) take(d *job.Document, f form, query url.Values) []fault {
	for _, side := range sides {
		if side.name != query.Get("side") {
			continue
		}
		sh, faults := f.sheet()
		if len(faults) > 0 {
			return faults
		}
		found, err := identity.Of(sh.Document, side.name, s.tables)
		if err != nil {
			return laid(err, sh.laidOn(side))
		}
		var one job.Decision
		doubts, err := unlessDoubted(query, identity.ErrUnsure, func(sure bool) (err error) {
			one, err = found.Decide(query.Get("thread"), sure, f[todayKey], s.tables)
			return err
		})
		if len(doubts) > 0 {
			return doubts
		}
		if err == nil {
			f[side.thread] = one.Designation
			err = d.Decide(one)
		}
		return laid(err, func(string) string { return side.thread })
	}
	return []fault{{"job", fmt.Sprintf("side %q; it is stays or goes", query.Get("side"))}}
}

// edit answers GET /api/job?do=…: the document, changed.
func (s *site) edit(r Request) Answer {
	query := r.Query
	f, faults := readForm(query)
	do, known := map[string]func(*job.Document, form, url.Values) []fault{
		"keep": keep, "change": change, "drop": drop, "take": s.take, "try": s.addTry, "made": noteMade,
	}[query.Get("do")]
	if !known {
		return says(badRequest, fmt.Sprintf("do %q; the page knows no such edit", query.Get("do")))
	}
	d, err := f.document()
	if err != nil {
		faults = append(faults, fault{"job", err.Error()})
	} else if len(faults) == 0 {
		faults = do(d, f, query)
	}
	var text []byte
	if len(faults) == 0 {
		if text, err = d.Text(); err != nil {
			faults = append(faults, fault{"job", err.Error()})
		}
	}
	if len(faults) > 0 {
		return answer(opened{Faults: faults})
	}
	return answer(f.opened(text))
}
