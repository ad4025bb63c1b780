package bench

// This file takes in what the rungs of a ladder did, and tells what that teaches of the printer.

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"tryring/internal/ladder"
	"tryring/internal/printer"
	"tryring/internal/trial"
)

// learnt are the printers with what trials taught of them.
type learnt struct {
	printer.Shelf

	lock     sync.Mutex
	printers printer.Profiles
}

// profiles are the printers as they are known now.
func (l *learnt) profiles() printer.Profiles {
	l.lock.Lock()
	defer l.lock.Unlock()
	return l.printers
}

// trialView is what the page shows of a trial.
type trialView struct {
	Faults []fault `json:"faults"`
	// Taught says what is believed of the printer now, a line each side.
	Taught []string `json:"taught"`
	// Doubts tells why the trial is kept only anyway.
	Doubts []string `json:"doubts"`
	// Kept says that the trial is in the printer's journal, Trials are those that count there, CanKeep says that one may be kept at all.
	Kept    bool        `json:"kept"`
	Trials  []keptTrial `json:"trials"`
	CanKeep bool        `json:"can_keep"`
}

// keptTrial is one trial of the journal, by the number that takes it back.
type keptTrial struct {
	ID   int    `json:"id"`
	Text string `json:"text"`
}

// trial answers GET /api/trial, which only tells, and POST /api/trial?do=keep|anyway|drop&id=NUMBER.
func (s *site) trial(r Request) Answer {
	f, faults := readForm(r.Query)
	do, id := r.Query.Get("do"), r.Query.Get("id")
	if r.Method == "POST" && do != "keep" && do != "anyway" && do != "drop" {
		return says(badRequest, fmt.Sprintf("do %q; it is keep, anyway or drop", do))
	}
	if r.Method != "POST" {
		do = ""
	}
	view := trialView{Faults: append([]fault{}, faults...), Taught: []string{}, Doubts: []string{}, Trials: []keptTrial{}}
	if len(view.Faults) == 0 {
		view.Faults = append(view.Faults, s.teach(r.Context, f, do, id, &view)...)
	}
	return answer(view)
}

// teach works a trial out, and keeps it, or takes back the one with the number id.
func (s *site) teach(ctx context.Context, f form, do, id string, view *trialView) []fault {
	wrong := func(err error) []fault { return laid(err, func(string) string { return "tried" }) }
	if f["printer"] == "" {
		return []fault{{"tried", "name the printer first, above; what fitted tells of one printer"}}
	}
	base, journal, err := s.learnt.Untried(f["printer"])
	if err != nil {
		return wrong(err)
	}
	view.CanKeep = s.learnt.Shelf != printer.Folder("")
	defer func() { view.show(journal) }()
	if do == "drop" {
		n, err := strconv.Atoi(id)
		if err == nil {
			_, err = journal.Drop(ctx, n, f[todayKey])
		}
		if err != nil {
			return wrong(err)
		}
		return s.learnt.again(wrong)
	}
	t, ladder, faults := s.readTrial(f)
	if len(faults) > 0 {
		return faults
	}
	told, doubts := trial.Weigh(base, journal, t, &ladder)
	view.Taught, view.Doubts = taught(told), append(view.Doubts, doubts...)
	if do == "" {
		return nil
	}
	if !view.CanKeep {
		return wrong(errors.New("there is no folder of printers to keep it in; name one where the page is started"))
	}
	_, err = trial.Keep(ctx, base, journal, t, &ladder, do == "anyway", func(trial.Result) error { return nil })
	if err != nil {
		return wrong(err)
	}
	view.Kept = true
	return s.learnt.again(wrong)
}

// show lists the trials that count.
func (v *trialView) show(j *printer.Journal) {
	for _, e := range j.Entries {
		if !e.Dropped {
			v.Trials = append(v.Trials, keptTrial{e.ID, trial.Words(e.Trial)})
		}
	}
}

// again reads the printers again, with what they were taught.
func (l *learnt) again(wrong func(error) []fault) []fault {
	printers, err := l.Load()
	if err != nil {
		return wrong(err)
	}
	l.lock.Lock()
	defer l.lock.Unlock()
	l.printers = printers
	return nil
}

// readTrial reads what the rungs of the ladder that stands on the page did, "inner:0.20=goes, outer:0.10=snug".
func (s *site) readTrial(f form) (printer.Trial, ladder.Result, []fault) {
	f, printers, faults := s.asPrinted(f)
	plan, more := s.planLadder(f, printers)
	if faults = append(faults, more...); len(faults) > 0 {
		return printer.Trial{}, ladder.Result{}, faults
	}
	ladder, err := plan.Table()
	if err != nil {
		return printer.Trial{}, ladder, []fault{{"ladder", err.Error()}}
	}
	tried := trial.Tried{Printed: &ladder, FromTop: f["tried.end"] == "top", Note: "from the bench page"}
	for text := range strings.SplitSeq(f["tried"], ",") {
		if text = strings.TrimSpace(text); text != "" {
			tried.Rungs = append(tried.Rungs, text)
		}
	}
	t, err := tried.Trial(s.tables)
	return t, ladder, laid(err, func(string) string { return "tried" })
}

// taught puts into words what is believed of both sides of the printer.
func taught(r trial.Result) []string {
	var out []string
	for _, side := range r.Sides {
		what, small := "Outsides come out", "larger"
		if side.Side == string(printer.Inside) {
			what, small = "Bores come out", "smaller"
		}
		half := func(o trial.Offset) float64 { return (o.RangeMM[1] - o.RangeMM[0]) / 2 }
		line := fmt.Sprintf("%s %.2f ± %.2f mm %s (before: %.2f ± %.2f mm).", what, side.After.ValueMM, half(side.After), small, side.Before.ValueMM, half(side.Before))
		if side.Next != nil && len(side.Next.Clearances) > 0 {
			var gaps []string
			for _, c := range side.Next.Clearances {
				gaps = append(gaps, fmt.Sprintf("%.2f", c.MM()))
			}
			line += fmt.Sprintf(" To know it better, print gaps of %s mm.", strings.Join(gaps, ", "))
		}
		out = append(out, line)
	}
	return out
}
