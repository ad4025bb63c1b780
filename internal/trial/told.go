package trial

// This file tells what a ring that was tried on the real thread teaches.

import (
	"tryring/internal/check"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// TryResult is what a try taught, as it is told to scripts.
type TryResult struct {
	Job string `json:"job"`
	// Try is the number of the try, by which it can be dropped; 0 where none was kept.
	Try    int    `json:"try"`
	Side   string `json:"side"`
	Ring   string `json:"ring"`
	Result string `json:"result"`
	// Tries is how many tries of this side the job holds now.
	Tries int `json:"tries"`
	// Doubts tells what cannot all be right in the tries of this side.
	Doubts []string `json:"doubts"`
	// Meaning says what the result may come from.
	Meaning    []string      `json:"meaning"`
	Candidates []TriedThread `json:"candidates"`
	// Next is the next step of the job, Command makes it, as words of whoever shows it.
	Next    string   `json:"next"`
	Command string   `json:"command"`
	Caution []string `json:"caution"`
}

// TriedThread is a thread that the real one could be, with its chance before this try and now.
type TriedThread struct {
	Designation string  `json:"designation"`
	Standard    string  `json:"standard"`
	Before      float64 `json:"before"`
	Weight      float64 `json:"weight"`
}

// Tell tells the last of tries, which are of one side, where the side's thread was weighed as before without it and is as after
// with it.
func Tell(tries []job.Try, before, after reading.Answer, tables *thread.Tables) (TryResult, error) {
	t := tries[len(tries)-1]
	out := TryResult{Side: t.Side, Ring: t.Thread, Result: t.Result, Try: t.ID, Tries: len(tries), Doubts: []string{}, Caution: []string{check.Caution}}
	doubts, err := Doubts(tries, tables)
	if err != nil {
		return TryResult{}, err
	}
	for _, d := range doubts {
		out.Doubts = append(out.Doubts, d.Text)
	}
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
	return out, nil
}

// WithTries weighs what a job keeps of rings that were tried on a side (job.Goes or job.Stays) into a, and says how many they were.
func WithTries(d *job.Document, side string, a reading.Answer, tables *thread.Tables) (reading.Answer, int, error) {
	tries := Of(side, d.Tries)
	a, err := reweigh(a, tries, tables)
	return a, len(tries), err
}
