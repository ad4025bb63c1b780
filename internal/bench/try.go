package bench

// This file takes in what the printed ring did on the real thread, and tells what that means and what to do next.

import (
	"context"
	"fmt"
	"net/url"
	"path"
	"slices"
	"strings"

	"tryring/internal/build"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/trial"
)

// ringSides are the sides of a ring as a job names them, with the part that each meets.
var ringSides = map[string]part{"outer": sides[0], "inner": sides[1]}

// tryView is what the page shows of the tries of a job.
type tryView struct {
	Faults []fault `json:"faults"`
	// Ring tells which ring was made last, or which gauge is tried; "" for none.
	Ring string `json:"ring"`
	// Told are the tries in the order in which they were made. Only the last of each side has more than its result.
	Told []trial.TryResult `json:"told"`
}

// tries answers GET /api/try: what the tries of the document teach.
func (s *site) tries(r Request) Answer {
	f, faults := readForm(r.Query)
	view := tryView{Faults: append([]fault{}, faults...), Told: []trial.TryResult{}}
	if m, err := f.made(); err == nil && m != nil {
		view.Ring = "The ring that was made: " + m.words()
	}
	if g := f[gaugeKey]; g != "" {
		view.Ring = "The gauge that is tried: " + path.Base(g)
	}
	if sh, more := f.sheet(); sh.Document == nil {
		view.Faults = append(view.Faults, more...)
	} else if told, err := s.tell(sh); err != nil { // the readings' faults stand beside them
		view.Faults = append(view.Faults, laid(err, func(string) string { return "tries" })...)
	} else {
		view.Told = told
	}
	return answer(view)
}

// addTry notes what the ring that was made last did on one side.
func (s *site) addTry(d *job.Document, f form, query url.Values) []fault {
	side, result := query.Get("side"), strings.TrimSpace(query.Get("result"))
	if _, known := ringSides[side]; !known {
		return []fault{{"tries", fmt.Sprintf("side %q; it is inner or outer", side)}}
	}
	at := "tries"
	if turns := side + ".turns"; result == "stops" {
		if at = turns; f[turns] == "" {
			return []fault{{turns, "how many turns? Count them and write them here"}}
		}
		result = fmt.Sprintf("stops after %s turns", f[turns])
	}
	ring, p, faults := s.triedRing(f, side, query)
	if len(faults) > 0 {
		return faults
	}
	one, err := trial.NewTry(ring.Result, side, p, s.tables, result)
	if err != nil {
		return laid(err, func(string) string { return at })
	}
	one.When, one.Digest = f[todayKey], ring.digest
	sh, _ := f.sheet() // what it asks for tells whether the ring is its own
	doubts, err := unlessDoubted(query, trial.ErrDoubted, func(sure bool) error {
		return trial.AddTry(sh.Document, ring.Result, one, s.tables, sure)
	})
	if err == nil && len(doubts) == 0 {
		d.Tries = sh.Tries
		delete(f, side+".turns")
		delete(f, gaugeKey)
	}
	return append(doubts, laid(err, func(string) string { return at })...)
}

// triedRing is the ring that is tried on a side: a gauge for it from a drawer, the one that was made last, or, where the person is sure,
// the one that stands in the fields.
func (s *site) triedRing(f form, side string, query url.Values) (*madeRing, printer.Profile, []fault) {
	there := func(string) string { return "tries" }
	if g := f[gaugeKey]; g != "" && slices.Contains(s.drawers(), path.Dir(g)) {
		r, meets, p, err := trial.LoadGauge(context.Background(), g) // a small file
		if err != nil || meets == side {
			return &madeRing{Result: r}, p, laid(err, there)
		}
	}
	m, err := f.made()
	if err != nil {
		return nil, printer.Profile{}, laid(err, there)
	}
	if m != nil {
		p, err := s.learnt.profiles().Find(m.Printer)
		return m, p, laid(err, there)
	}
	a, plan, faults := s.settle(f)
	if len(faults) > 0 {
		return nil, plan.Printer, []fault{{"tries", "there is no ring yet to try; see what is marked above"}}
	}
	untaken := []fault{{doubt, fmt.Sprintf("no ring was taken from this page; this counts for one that was printed as it stands in the fields now, for printer %s", plan.Printer.Name)}}
	if !overruled(query, untaken) {
		return nil, plan.Printer, untaken
	}
	return &madeRing{Result: build.NewResult(a, plan)}, plan.Printer, nil
}

// tell says what each try means.
func (s *site) tell(sh sheet) ([]trial.TryResult, error) {
	out := []trial.TryResult{}
	for _, t := range sh.Tries {
		if err := trial.Check(t, s.tables); err != nil {
			return nil, fmt.Errorf("number %d: %w", t.ID, err)
		}
	}
	for i, t := range sh.Tries {
		told := trial.TryResult{Try: t.ID, Side: t.Side, Ring: t.Thread, Result: t.Result, Doubts: []string{}, Meaning: []string{}, Candidates: []trial.TriedThread{}}
		if later := slices.IndexFunc(sh.Tries[i+1:], func(x job.Try) bool { return x.Side == t.Side }); later < 0 {
			if err := s.meaning(sh, t, &told); err != nil {
				return out, err
			}
		}
		out = append(out, told)
	}
	return out, nil
}

// shownWeights is how many threads are told beside a try.
const shownWeights = 3

// meaning fills in what the try t means, the last of its side.
func (s *site) meaning(sh sheet, t job.Try, told *trial.TryResult) (err error) {
	if told.Meaning, err = trial.Meaning(t, s.tables); err != nil {
		return err
	}
	side := ringSides[t.Side]
	without := *sh.Document
	without.Tries = slices.DeleteFunc(slices.Clone(sh.Tries), func(x job.Try) bool { return x.ID == t.ID })
	before, err := identity.Of(&without, side.name, s.tables)
	if err != nil {
		return nil // nothing was read, or what is wrong with it stands beside it
	}
	after, err := identity.Of(sh.Document, side.name, s.tables)
	if err != nil {
		return err
	}
	r, err := trial.Tell(trial.Of(side.name, sh.Tries), before.Answer, after.Answer, s.tables)
	if err != nil {
		return err
	}
	told.Doubts, told.Candidates = r.Doubts, r.Candidates[:min(shownWeights, len(r.Candidates))]
	return nil
}
