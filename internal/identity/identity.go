// Package identity says which thread a side of a job is, from its readings and from the rings that were tried, and takes the
// decision for one.
package identity

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"tryring/internal/fault"
	"tryring/internal/job"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/trial"
)

// Identity is what a side of a job could be.
type Identity struct {
	reading.Answer
	// Side is job.Stays or job.Goes; Tries is how many rings that were tried are weighed in.
	Side  string
	Tries int
	Next  *reading.Next
	Names *reading.Names
}

// Of weighs the threads that a side of d could be. Faults name the fields of the document, those of an entry below its number.
func Of(d *job.Document, side string, tables *thread.Tables) (Identity, error) {
	if err := job.CheckSide(side); err != nil {
		return Identity{}, err
	}
	among, err := reading.ParseAmong(d.Among)
	if err != nil {
		return Identity{}, fault.In("among", err)
	}
	set, err := reading.Read(*d.Readings(side)...)
	if err != nil {
		return Identity{}, err
	}
	out := Identity{Side: side}
	if out.Answer, out.Tries, err = trial.WithTries(d, side, reading.Identify(tables, set, among), tables); err != nil {
		return Identity{}, err
	}
	out.Next, out.Names = out.Answer.Next(), out.Answer.Names()
	return out, nil
}

// ErrUnsure is the cause of a fault about a decision for a thread that is not the likely one.
var ErrUnsure = errors.New("the thread is not the likely one")

// likely is the chance from which a thread may be decided for without a further word.
const likely = 0.5

// Unlikely says of a decision, in words, that it is less likely than not, or less so than no thread of the tables; "" where it is
// the likely one.
func Unlikely(one job.Decision) string {
	switch {
	case one.Second == reading.NoneOfThese && one.SecondWeight > one.Weight:
		return fmt.Sprintf("%s has a chance of %s, and none of the threads that are known one of %s", one.Designation, percent(one.Weight), percent(one.SecondWeight))
	case one.Weight < likely && one.Second != "":
		return fmt.Sprintf("%s has a chance of %s only; beside it stands %s with %s", one.Designation, percent(one.Weight), one.Second, percent(one.SecondWeight))
	case one.Weight < likely:
		return fmt.Sprintf("%s has a chance of %s only", one.Designation, percent(one.Weight))
	}
	return ""
}

// rounded is a chance to a hundredth of a per cent, as it is kept.
func rounded(p float64) float64 { return math.Round(1e4*p) / 1e4 }

func percent(p float64) string { return fmt.Sprintf("%.1f %%", 100*p) }

// Decide is the decision for a thread: the candidate of a number (1 is the likeliest), or a thread as people write it. One that is
// not the likely one needs the person to be sure; otherwise it is a fault with the cause ErrUnsure.
func (i Identity) Decide(text string, sure bool, when string, tables *thread.Tables) (job.Decision, error) {
	threads := i.Candidates[:len(i.Candidates)-1] // the last is none of these
	one := job.Decision{Side: i.Side, Sure: sure, When: when}
	if n, err := strconv.Atoi(text); err == nil {
		if n < 1 || n > len(threads) {
			return one, fault.At("take", text, "there is no candidate %d; there are %d", n, len(threads))
		}
		one.Designation = threads[n-1].Designation
	} else {
		t, err := tables.Parse(text)
		if err != nil {
			return one, fault.In("take", err)
		}
		one.Designation = t.Designation
	}
	for _, c := range i.Candidates {
		switch {
		case c.Designation == one.Designation:
			one.Weight = c.Weight
		case c.Weight > one.SecondWeight:
			one.Second, one.SecondWeight = c.Designation, c.Weight
		}
	}
	one.Weight, one.SecondWeight = rounded(one.Weight), rounded(one.SecondWeight)
	if why := Unlikely(one); why != "" && !sure {
		return one, fault.Fault{Field: "take", Read: text, Want: why, Cause: ErrUnsure}
	}
	one.Sure = one.Sure && Unlikely(one) != ""
	return one, nil
}
