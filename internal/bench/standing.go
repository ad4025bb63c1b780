package bench

// This file answers where the job stands: what both threads are and how sure, what contradicts, the next step as a button, the
// parts of the list, and which of them to order.

import (
	"io/fs"
	"os"
	"path"
	"slices"
	"strconv"
	"strings"

	"tryring/internal/gauge"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/standing"
	"tryring/internal/unit"
)

// standingView is what the page shows of where a job stands.
type standingView struct {
	Faults []fault `json:"faults"`
	// Answer is what matters most, in at most two sentences.
	Answer         []string  `json:"answer"`
	Contradictions []string  `json:"contradictions"`
	Next           *nextView `json:"next"`
	// Order goes with a next step that is the order.
	Order *standing.Order `json:"order"`
	List  listView        `json:"list"`
}

// nextView is the next step.
type nextView struct {
	Text string `json:"text"`
	// Button is what stands on the button; "" where the step is not one of the page. It makes the edit that Do holds, if any, fills
	// the fields of Fill, and leads to the element Focus.
	Button string            `json:"button"`
	Do     map[string]string `json:"do"`
	Fill   map[string]string `json:"fill"`
	Focus  string            `json:"focus"`
}

// standing answers POST /api/standing: the parts list is the body, if there is one.
func (s *site) standing(r Request) Answer {
	f, faults := readForm(r.Query)
	view := standingView{Faults: append([]fault{}, faults...), Answer: []string{}, Contradictions: []string{}, List: noList()}
	if sh, _ := f.sheet(); sh.Document != nil && len(view.Faults) == 0 {
		made, _ := f.made() // where it is spoilt, that is told beside the tries
		s.stand(&view, sh, around{string(r.Body), made, s.drawers()})
	}
	return answer(view)
}

// around is what lies beside the document on the page: the parts list, the ring that was made last, and the drawers at hand.
type around struct {
	list    string
	made    *madeRing
	drawers []string
}

// read reads what lies beside the document, and from a disk the records of drawers alone.
func (a around) read(d *job.Document) func(name string) ([]byte, error) {
	return func(name string) ([]byte, error) {
		switch n := len(d.Parts); {
		case n > 0 && name == d.Parts[n-1].File && a.list != "":
			return []byte(a.list), nil
		case a.made != nil && path.Base(name) == a.made.file():
			return a.made.text, nil
		case slices.Contains(a.drawers, path.Dir(name)) && path.Base(name) == gauge.DrawerRecord:
			return os.ReadFile(name)
		}
		return nil, fs.ErrNotExist
	}
}

// stand fills the view.
func (s *site) stand(view *standingView, sh sheet, beside around) {
	d := *sh.Document
	list, wrong := s.readList(sh, beside.list)
	if view.List = list; len(wrong) > 0 {
		view.Faults = append(view.Faults, wrong...)
		d.Parts = nil // it is told beside its field
	}
	p, err := s.learnt.profiles().Find(sh.Printer)
	if err != nil {
		p = printer.Unnamed()
	}
	stands, err := standing.Of(&d, standing.Around{Tables: s.tables, Printer: p, Drawers: beside.drawers, Read: beside.read(&d)})
	if err != nil { // it is told beside the field that it is of
		view.Faults = append(view.Faults, fault{"standing", "what is marked below keeps this from being said"})
		return
	}
	view.Answer = stands.Answer()
	for _, c := range stands.Contradictions {
		view.Contradictions = append(view.Contradictions, sentence(c.Text))
	}
	view.Next = sh.nextOf(stands.Next)
	if stands.Next.Action == standing.OrderPart {
		view.Order = stands.Order
	}
	view.List.show(stands.Parts)
}

// sentence begins text with a capital letter and ends it.
func sentence(text string) string { return strings.ToUpper(text[:1]) + text[1:] + "." }

// nextOf is a step as the page takes it.
func (sh sheet) nextOf(step standing.Step) *nextView {
	if step.Text == "" {
		return nil
	}
	v := nextView{Text: sentence(step.Text)}
	switch step.Action {
	case standing.TakeBack:
		v.Button, v.Do = "Take it back", map[string]string{"do": "drop", "id": strconv.Itoa(step.Entry)}
		if sh.typed[step.Entry] {
			v.Button, v.Do, v.Focus = "Show it", nil, sh.fieldOf(step.Entry)
		}
	case standing.Read, standing.MakeLeaf, standing.MakeSheet:
		v.Button, v.Fill = "Read it", map[string]string{}
		for i, f := range step.Fields {
			if v.Fill[step.Side+"."+f.Key] = f.Text; i == 0 {
				v.Focus = step.Side + "." + f.Key
			}
		}
	case standing.Decide:
		v.Button, v.Do = "Take it", map[string]string{"do": "take", "side": step.Side, "thread": strconv.Itoa(step.Take)}
	case standing.Shortlist:
		v.Button, v.Focus = "Open a list", "parts"
	case standing.Print:
		v.Button, v.Focus, v.Fill = "To its files", "take-title", map[string]string{"inner": step.Inner, "outer": step.Outer}
		if step.Clearance > 0 {
			v.Fill["clearance"] = unit.Short(step.Clearance.MM()) + " mm"
		}
	case standing.TryGauge:
		v.Button, v.Focus, v.Fill = "Say what it did", "title-"+job.RingSide[step.Side]+".turns", map[string]string{gaugeKey: step.Gauge}
	case standing.Try:
		v.Button, v.Focus = "Say what it did", "title-"+job.RingSide[step.Side]+".turns"
	}
	return &v
}

// fieldOf is the field that a reading stands in.
func (sh sheet) fieldOf(n int) string {
	for _, side := range sides {
		for _, r := range *sh.Readings(side.name) {
			if r.ID == n {
				return side.prefix + r.What
			}
		}
	}
	return ""
}

// keepList lays the list that the page holds over the document's.
func (f form) keepList(sh *sheet) {
	if f[listKey] == "" {
		return
	}
	n := len(sh.Parts)
	if n == 0 || path.Base(sh.Parts[n-1].File) != f[listKey] {
		sh.Parts = append(sh.Parts, job.PartsList{File: f[listKey], Unit: f[listUnitKey], When: f[todayKey]})
	} else if listUnit(sh.Parts[n-1].Unit) != f[listUnitKey] {
		sh.Parts[n-1].Unit = f[listUnitKey]
	}
}

// showList puts the document's list into the fields.
func (f form) showList(d *job.Document) {
	if n := len(d.Parts); n > 0 {
		f[listKey], f[listUnitKey] = path.Base(d.Parts[n-1].File), listUnit(d.Parts[n-1].Unit)
	}
}

// listUnit is the field's word for what bare sizes of a list are in.
func listUnit(text string) string {
	switch text = strings.ToLower(strings.TrimSpace(text)); text {
	case "inch", "inches":
		return "in"
	}
	return text
}

// listKey names the list that the page holds, listUnitKey what its bare sizes are in.
const (
	listKey     = "list"
	listUnitKey = "list.unit"
)
