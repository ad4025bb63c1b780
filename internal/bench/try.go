package bench

// This file takes in what the printed ring did on the real thread, and tells what that means and what to do next.

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tryring/internal/build"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/trial"
)

// mostTries is how many tries one job holds on the page; nobody prints more rings for one thread.
const mostTries = 12

// ringSides are the sides of a ring as a job names them, with the part that each meets.
var ringSides = map[string]part{"outer": sides[0], "inner": sides[1]}

// outcome is one thing that a ring may do.
type outcome struct {
	Value, Text string
	// Turns is set where the turns are told with it.
	Turns bool
}

// outcomes are all that a ring may do, from the tightest to the loosest.
var outcomes = []outcome{
	{"does not start", "Does not start", false},
	{"stops", "Stops after", true},
	{"snug", "Snug, but goes", false},
	{"goes", "Goes all the way", false},
	{"rattles", "Goes and rattles", false},
}

// tryView is what the page shows of the tries of a job.
type tryView struct {
	Faults []fault `json:"faults"`
	// Tries are all tries, as the page keeps them.
	Tries string `json:"tries"`
	// Told are the tries in the order in which they were made.
	Told []toldTry `json:"told"`
}

// toldTry is one try. Only the last of each side has more than its result.
type toldTry struct {
	Side   string `json:"side"`
	Ring   string `json:"ring"`
	Result string `json:"result"`
	// Line is the try as the page keeps it.
	Line string `json:"line"`
	// Meaning says what the result may come from, Weights what the thread could be now, Next the cheapest step.
	Meaning []string            `json:"meaning"`
	Weights []trial.TriedThread `json:"weights"`
	Next    string              `json:"next"`
}

// try answers GET /api/try: what the tries teach; with side=inner|outer and result, those and one more of the ring that
// stands in the fields.
func (s *site) try(w http.ResponseWriter, r *http.Request) {
	f, faults := readForm(r.URL.Query())
	view := tryView{Faults: []fault{}, Told: []toldTry{}, Tries: f["tries"]}
	tries, err := trial.ParseLines(f["tries"], s.tables)
	side, result := r.URL.Query().Get("side"), strings.TrimSpace(r.URL.Query().Get("result"))
	if err == nil && side+result != "" {
		var one job.Try
		if one, faults = s.newTry(f, faults, side, result); len(faults) == 0 {
			tries = append(tries, one)
		}
		view.Faults = append(view.Faults, faults...)
	}
	if err == nil && len(tries) > mostTries {
		err = fmt.Errorf("%d rings tried; the page keeps %d, take one back first", len(tries), mostTries)
	}
	if err != nil {
		view.Faults = append(view.Faults, fault{"tries", err.Error()})
	}
	if len(view.Faults) == 0 {
		view.Tries = trial.Lines(tries)
		view.Told, err = s.tell(f, tries)
		if err != nil {
			view.Faults = append(view.Faults, fault{"tries", err.Error()})
		}
	}
	answer(w, view)
}

// newTry is the ring that stands in the fields, tried on one side.
func (s *site) newTry(f form, faults []fault, side, result string) (job.Try, []fault) {
	if _, known := ringSides[side]; !known {
		return job.Try{}, []fault{{"tries", fmt.Sprintf("side %q; it is inner or outer", side)}}
	}
	a, p, more := s.settle(f)
	if len(faults)+len(more) > 0 {
		return job.Try{}, []fault{{"tries", "there is no ring yet to try; see what is marked above"}}
	}
	if result == "stops" {
		turns := f[side+".turns"]
		if turns == "" {
			return job.Try{}, []fault{{side + ".turns", "how many turns? Count them and write them here"}}
		}
		result = fmt.Sprintf("stops after %s turns", turns)
	}
	one, err := trial.NewTry(build.NewResult(a, p), side, p.Printer, result)
	switch {
	case err != nil && strings.HasPrefix(result, "stops"):
		return one, []fault{{side + ".turns", turnsFault(err)}}
	case err != nil:
		return one, []fault{{"tries", strings.ReplaceAll(err.Error(), "--", "")}}
	}
	return one, nil
}

// turnsFault is err without the words that stand for a flag.
func turnsFault(err error) string { return strings.TrimPrefix(err.Error(), "--result: ") }

// tell says what each try means.
func (s *site) tell(f form, tries []job.Try) ([]toldTry, error) {
	out := []toldTry{}
	for i, t := range tries {
		told := toldTry{Side: t.Side, Ring: t.Thread, Result: t.Result, Line: trial.Line(t), Meaning: []string{}, Weights: []trial.TriedThread{}}
		if later := slices.IndexFunc(tries[i+1:], func(x job.Try) bool { return x.Side == t.Side }); later < 0 {
			if err := s.weigh(f, tries[:i], t, &told); err != nil {
				return out, err
			}
		}
		out = append(out, told)
	}
	return out, nil
}

// shownWeights is how many threads are told beside a try.
const shownWeights = 3

// weigh fills in what the last try of a side means, after those before it.
func (s *site) weigh(f form, before []job.Try, t job.Try, told *toldTry) (err error) {
	if told.Meaning, err = trial.Meaning(t, s.tables); err != nil {
		return err
	}
	side := ringSides[t.Side]
	a, err := s.readingsOf(f, side)
	if err != nil {
		told.Next = fmt.Sprintf("Read %s in step 1; then this says what it is, and what to do.", strings.ToLower(side.Title[:1])+side.Title[1:])
		return nil
	}
	p, err := s.learnt.profiles().Find(t.Printer)
	if err != nil {
		p.Name = t.Printer // known no longer; what it did stands in the try
	}
	old := slices.DeleteFunc(slices.Clone(before), func(x job.Try) bool { return x.Side != t.Side })
	r, err := trial.Weigh(a, old, t, s.tables, p)
	if err != nil {
		return err
	}
	told.Weights = r.Candidates[:min(shownWeights, len(r.Candidates))]
	told.Next = r.Next
	return nil
}

// readingsOf is what the readings of one part alone say.
func (s *site) readingsOf(f form, side part) (reading.Answer, error) {
	records, faults := f.records(side)
	if len(faults) > 0 || !side.read(records) {
		return reading.Answer{}, errors.New("nothing was read")
	}
	d := job.New()
	d.Among, *d.Readings(side.name) = f["among"], records
	found, err := identity.Of(d, side.name, s.tables)
	return found.Answer, err
}
