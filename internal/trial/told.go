package trial

// This file updates what a thread could be by the tries of a job, and names the next cheapest step.

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"tryring/internal/check"
	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// TryResult is what a try taught, as it is told to scripts.
type TryResult struct {
	Job    string `json:"job"`
	Side   string `json:"side"`
	Ring   string `json:"ring"`
	Result string `json:"result"`
	// Tries is how many tries of this side the job holds now.
	Tries int `json:"tries"`
	// Meaning says what the result may come from.
	Meaning    []string        `json:"meaning"`
	Candidates []TriedThread   `json:"candidates"`
	Next       string          `json:"next"`
	Answer     *reading.Answer `json:"-"`
	Caution    []string        `json:"caution"`
}

// TriedThread is a thread that the real one could be, with its chance before this try and now.
type TriedThread struct {
	Designation string  `json:"designation"`
	Standard    string  `json:"standard"`
	Before      float64 `json:"before"`
	Weight      float64 `json:"weight"`
}

// settledWeight is the chance from which a thread counts as found.
const settledWeight = 0.9

// Sides of a job: the ring's inner thread meets what goes in, its outer thread what stays.
func jobSideOf(side string) string {
	if side == outerSide {
		return job.Stays
	}
	return job.Goes
}

// triesOf are the tries of one side.
func triesOf(r *job.Document, side string) []job.Try {
	return slices.DeleteFunc(slices.Clone(r.Tries), func(t job.Try) bool { return t.Side != side })
}

// Reweigh updates the candidates of a by tries of one side (Bayes' rule), best first and "none of these" last.
func Reweigh(a reading.Answer, tries []job.Try, tables *thread.Tables) (reading.Answer, error) {
	if len(tries) == 0 {
		return a, nil
	}
	out := a
	out.Candidates = slices.Clone(a.Candidates)
	total := 0.0
	for i := range out.Candidates {
		c := &out.Candidates[i]
		var p float64
		var err error
		if c.Thread == nil {
			p, err = chanceOfNone(tries, tables)
		} else {
			p, err = chanceOf(*c.Thread, tries, tables)
		}
		if err != nil {
			return a, fmt.Errorf("%s: %w", c.Designation, err)
		}
		c.Weight *= p
		total += c.Weight
	}
	for i := range out.Candidates {
		out.Candidates[i].Weight /= total // every result has some chance on every thread
	}
	last := len(out.Candidates) - 1
	slices.SortStableFunc(out.Candidates[:last], func(x, y reading.Candidate) int {
		switch {
		case x.Weight > y.Weight:
			return -1
		case x.Weight < y.Weight:
			return 1
		}
		return strings.Compare(x.Designation, y.Designation)
	})
	return out, nil
}

// Learn says what one more try teaches of a side of the job at path: from its readings, and all its tries so far.
func Learn(d *job.Document, path string, t job.Try, tables *thread.Tables, p printer.Profile) (TryResult, error) {
	side := jobSideOf(t.Side)
	records := *d.Readings(side)
	if len(records) == 0 {
		return TryResult{}, fmt.Errorf("%s holds no readings of what %s, so there is nothing to weigh; read that thread first", path, side)
	}
	set, err := reading.Read(records...)
	if err != nil {
		return TryResult{}, err
	}
	among, err := reading.ParseAmong(d.Among)
	if err != nil {
		return TryResult{}, fault.In("among", err)
	}
	out, err := Weigh(reading.Identify(tables, set, among), triesOf(d, t.Side), t, tables, p)
	out.Job = path
	if err != nil {
		return TryResult{}, fmt.Errorf("%s: %w", path, err)
	}
	return out, nil
}

// Weigh says what the try t teaches after the old ones of its side, where the readings say a.
func Weigh(a reading.Answer, old []job.Try, t job.Try, tables *thread.Tables, p printer.Profile) (TryResult, error) {
	for i, o := range old {
		if err := checkTry(o); err != nil {
			return TryResult{}, fmt.Errorf("try %d: %w", i+1, err)
		}
	}
	before, err := Reweigh(a, old, tables)
	if err != nil {
		return TryResult{}, err
	}
	after, err := Reweigh(a, append(slices.Clone(old), t), tables)
	if err != nil {
		return TryResult{}, err
	}
	out := TryResult{Side: t.Side, Ring: t.Thread, Result: t.Result, Tries: len(old) + 1, Answer: &after, Caution: []string{check.Caution}}
	if out.Meaning, err = Meaning(t, tables); err != nil {
		return TryResult{}, err
	}
	was := map[string]float64{}
	for _, c := range before.Candidates {
		was[c.Designation] = c.Weight
	}
	for _, c := range after.Candidates {
		out.Candidates = append(out.Candidates, TriedThread{c.Designation, c.Standard, unit.Round(was[c.Designation]), unit.Round(c.Weight)})
	}
	out.Next = nextStep(after, t, p)
	return out, nil
}

// nextStep names the cheapest step that is expected to tell: a reading before a print, a print before an order.
func nextStep(a reading.Answer, t job.Try, p printer.Profile) string {
	f, err := parseFelt(t.Result)
	if err != nil {
		return ""
	}
	top := a.Candidates[0]
	if top.Thread == nil {
		return "Nothing of the tables is in reach: read diameter and pitch again."
	}
	if none := a.Candidates[len(a.Candidates)-1]; none.Weight > top.Weight {
		return fmt.Sprintf("A thread of no table is likelier (%.0f %%) than any other: read diameter and pitch again before printing more.", 100*none.Weight)
	}
	if top.Weight >= settledWeight {
		fits := f.kind == feltGoes || f.kind == feltSnug
		switch {
		case top.Designation == t.Thread && fits:
			return fmt.Sprintf("It is %s (%.0f %%), and the ring fits: look for the part with that thread.", top.Designation, 100*top.Weight)
		case top.Designation == t.Thread && f.kind == feltRattles:
			return fmt.Sprintf("It is %s (%.0f %%), and the ring is only loose: look for the part with that thread, or print the ring once more with less clearance to be sure.", top.Designation, 100*top.Weight)
		case top.Designation == t.Thread:
			return fmt.Sprintf("It is still %s by all that is known (%.0f %%); the print is more likely off than the thread. Measure the printed ring beside the table of its report, let printer %s learn from it (trial), and print it again.", top.Designation, 100*top.Weight, p.Name)
		}
		return fmt.Sprintf("Print one ring with %s on that side: it is %.0f %% likely now.", top.Designation, 100*top.Weight)
	}
	if n := a.Next(); n != nil && n.Best != nil {
		return fmt.Sprintf("To tell %s from %s, %s (expected to settle %.0f %% of it).", n.Between[0], n.Between[1], n.Best.What, 100*n.Best.GainBits/n.OpenBits)
	}
	for _, x := range a.TellApart(reading.Printer{Name: p.Name, InsideU: p.InsideU, OutsideU: p.OutsideU, MinPitch: p.MinPitch}) {
		if x.Can {
			return fmt.Sprintf("Print one ring with %s on that side and a clearance of %.2f mm: it tells %s from %s.", x.Print, x.ClearanceMM, x.Between[0], x.Between[1])
		}
	}
	return fmt.Sprintf("No reading and no ring of this printer tells what is left apart: order the part for %s (%.0f %%) where it can be sent back.", top.Designation, 100*top.Weight)
}

// WithTries weighs what a job keeps of rings that were tried on a side (job.Goes or job.Stays) into a, and says how many they were.
func WithTries(d *job.Document, side string, a reading.Answer, tables *thread.Tables) (reading.Answer, int, error) {
	tries := slices.DeleteFunc(slices.Clone(d.Tries), func(t job.Try) bool { return jobSideOf(t.Side) != side })
	for _, t := range tries {
		if err := checkTry(t); err != nil {
			return a, 0, fault.In(strconv.Itoa(t.ID), err)
		}
	}
	a, err := Reweigh(a, tries, tables)
	return a, len(tries), err
}

// shownThreads is how many threads are told to a person.
const shownThreads = 8

// WriteText tells r to a person.
func (r TryResult) WriteText(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Ring with %s, %s side: %s.\n", r.Ring, r.Side, r.Result)
	for _, m := range r.Meaning {
		fmt.Fprintf(&b, "  %s\n", m)
	}
	b.WriteString("\nWhat the thread could be, with all readings and tries of the job\n")
	tab := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	fmt.Fprintln(tab, "  thread\tbefore\tnow")
	for i, c := range r.Candidates {
		if i < shownThreads || i == len(r.Candidates)-1 {
			fmt.Fprintf(tab, "  %s\t%.1f %%\t%.1f %%\n", c.Designation, 100*c.Before, 100*c.Weight)
		}
	}
	_ = tab.Flush() // into a strings.Builder, which cannot fail
	fmt.Fprintf(&b, "\nNext: %s\n\nKept in %s, the %d. try of that side.\n\n%s\n", r.Next, r.Job, r.Tries, check.Caution)
	_, err := io.WriteString(w, b.String())
	return err
}
