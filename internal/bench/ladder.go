package bench

// This file answers what a ladder of rings would show, and hands it out as one archive.

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"

	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// maxRungs is the most rings of one ladder on the page.
const maxRungs = 15

// ladderName is what the files of a ladder from the page begin with: none of a person's words becomes a path.
const ladderName = "ladder"

// ladderView is what the page shows of a ladder.
type ladderView struct {
	Faults []fault    `json:"faults"`
	Rungs  []rungView `json:"rungs"`
	// Taught is how many lines the printer's journal has by now.
	Taught int `json:"taught"`
}

// rungView is one ring, and how both its threads would go.
type rungView struct {
	Rung string `json:"rung"`
	// Gap is the gap to ask for to have this ring.
	Gap string `json:"gap"`
	ladder.MadeRung
}

// ladder answers GET /api/ladder.
func (s *site) ladder(r Request) Answer {
	f, faults := readForm(r.Query)
	view := ladderView{Faults: append([]fault{}, faults...), Rungs: []rungView{}, Taught: s.learnt.lines(f["printer"])}
	f, printers, more := s.asPrinted(f)
	view.Faults = append(view.Faults, more...)
	plan, more := s.planLadder(f, printers)
	if view.Faults = append(view.Faults, more...); len(view.Faults) > 0 {
		return answer(view)
	}
	table, err := plan.Table()
	if err != nil {
		view.Faults = append(view.Faults, fault{"ladder", err.Error()})
	}
	for _, r := range table.Rungs {
		view.Rungs = append(view.Rungs, rungView{r.Rung, r.Rung + " mm", r.Made[0]})
	}
	return answer(view)
}

// asPrinted are the fields and the printers of the ladder that stands on the page: once it is printed, its printer, and what was known of
// it then.
func (s *site) asPrinted(f form) (form, printer.Profiles, []fault) {
	printers := s.learnt.profiles()
	built := f["ladder.printer"]
	if built == "" {
		return f, printers, nil
	}
	f = maps.Clone(f)
	f["printer"] = built
	lines, err := strconv.Atoi(f["ladder.taught"])
	if err != nil { // made before the page kept it
		return f, printers, nil
	}
	p, journal, err := s.learnt.Untried(built)
	if err != nil {
		return f, printers, laid(err, func(string) string { return "ladder" })
	}
	then := slices.Clone(printers)
	for i := range then {
		if then[i].Name == p.Name {
			then[i] = p.After(journal.UpTo(lines))
		}
	}
	return f, then, nil
}

// lines is how many lines the journal of a printer has, 0 where none is kept.
func (l *learnt) lines(name string) int {
	if _, journal, err := l.Untried(name); err == nil {
		return journal.Lines()
	}
	return 0
}

// planLadder settles the ladder that the fields ask for, on printers as they are known.
func (s *site) planLadder(f form, printers printer.Profiles) (ladder.Planned, []fault) {
	sh, _ := f.sheet() // of which the ring is settled
	_, p, faults := s.settle(f)
	if len(faults) > 0 {
		return ladder.Planned{}, faults
	}
	l := ladder.Ladder{}
	l.Ring = sh.Ring
	l.Ring.Clearance, l.Ring.InnerClearance, l.Ring.OuterClearance = "", "", ""
	l.Ring.Name = ladderName
	for key, to := range map[string]**unit.Length{"ladder.from": &l.From, "ladder.to": &l.To, "ladder.step": &l.Step} {
		var err error
		*to, err = f.length(key)
		faults = append(faults, laid(err, func(string) string { return key })...)
	}
	if len(faults) > 0 {
		return ladder.Planned{}, faults
	}
	plan, err := l.Plan(s.tables, printers)
	if err != nil {
		return plan, laid(err, ladderField)
	}
	if n := len(plan.Rungs); n > maxRungs {
		return plan, []fault{{"ladder.step", fmt.Sprintf("%d rings; the page makes at most %d at once", n, maxRungs)}}
	}
	if n := triangles(p, plan.Asked.Chord) * len(plan.Rungs); n > 2*maxTriangles {
		return plan, []fault{{"ladder.step", fmt.Sprintf("these rings would take about %d million triangles together; at most %d million are made at once: fewer rings, or a coarser chord",
			n/1_000_000, 2*maxTriangles/1_000_000)}}
	}
	return plan, nil
}

// ladderField is where the page shows what is wrong with a field of the ladder.
func ladderField(field string) string {
	if slices.Contains([]string{"from", "to", "step"}, field) {
		return "ladder." + field
	}
	return "ladder"
}

// ladderFile answers GET /file/ladder.zip: every rung proved, the plates, the page and the table.
func (s *site) ladderFile(r Request) Answer {
	f, faults := readForm(r.Query)
	taught := s.learnt.lines(f["printer"])
	plan, more := s.planLadder(f, s.learnt.profiles())
	if faults = append(faults, more...); len(faults) > 0 {
		return refuse(faults)
	}
	var archive bytes.Buffer
	if _, err := plan.Make(r.Context, &whole.Zip{To: &archive}, nil); err != nil {
		return says(unprocessable, fmt.Sprintf("the ladder cannot be made: %v", err))
	}
	return Answer{
		Status: okay, Type: "application/zip", File: ladderName + ".zip", Body: archive.Bytes(),
		Own: map[string]string{"Tryring-Taught": strconv.Itoa(taught)},
	}
}
