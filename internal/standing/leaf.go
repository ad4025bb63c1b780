package standing

// This file puts a printed leaf, or a page, in the place of a pitch gauge.

import (
	"cmp"
	"encoding/json"
	"fmt"
	"path"
	"slices"

	"tryring/internal/build"
	"tryring/internal/combs"
	"tryring/internal/job"
	"tryring/internal/leaf"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// pitchRead are the readings that tell a pitch without a leaf.
var pitchRead = []string{"count", "tpi", "pitch"}

// byLeaf is the step for the leading two threads of a side whose pitches or forms a leaf tells apart, once the pitch was read otherwise and is
// open still, or cannot be counted: to make a page to lay on outside crests, where there is thread enough for it, or a leaf, and to lay on
// what was made. It is nil where a leaf was laid on already.
func (s *Standing) byLeaf(side Side, n *reading.Next) *Step {
	had := func(whats ...string) bool {
		return slices.ContainsFunc(side.Records, func(r reading.Record) bool { return slices.Contains(whats, r.What) })
	}
	a, b := *side.Answer.Candidates[0].Thread, *side.Answer.Candidates[1].Thread
	step := &Step{Action: Read, Side: side.Name, Fields: []reading.Field{{Key: "leaf", Text: reading.PitchText(a)}}, Otherwise: "no_leaf"}
	tells := fmt.Sprintf("it tells %s from %s, as a pitch gauge does", n.Between[0], n.Between[1])
	length, half := unit.Length(0), combs.HalfPitchOff(a.Pitch, b.Pitch)
	if l := side.Answer.Found.Length; l != nil {
		length = unit.MM(l.Value)
	}
	about, page := n.Best.Fields[0].Key, path.Join(cmp.Or(s.named.Out, build.DefaultOut), "sheet-"+side.Name+".json")
	switch {
	case about != "leaf" && about != "count" && about != "over_wires", had("leaf", "no_leaf"):
		return nil
	case s.madeOf(leaf.FileOf(s.named, side.Name), a, b):
		step.Text = fmt.Sprintf("lay the leaf of %s on %s and say which edge seats: %s", leaf.FileOf(s.named, side.Name), words[side.Name], tells)
	case s.madeOf(page, a, b):
		step.Text = fmt.Sprintf("lay the combs of the page of %s on %s and say which one keeps step: %s", page, words[side.Name], tells)
	case about != "leaf" && !had(pitchRead...), !leaf.Tells(a, b, side.Name, length, s.around.Printer):
		return nil
	case side.Name == job.Goes && half <= cmp.Or(length.MM(), longestHalf):
		step.Action = MakeSheet
		step.Text = fmt.Sprintf("print a page on paper for %s, and lay its combs on the crests: %s", words[side.Name], tells)
	default:
		step.Action = MakeLeaf
		step.Text = fmt.Sprintf("print a leaf for %s, in minutes: laid into its grooves %s", words[side.Name], tells)
	}
	return step
}

// longestHalf is the thread, mm, over which two combs may part by half a pitch where nobody said how much the part has.
const longestHalf = 20

// madeOf says whether a leaf or a page was made, as its JSON file tells, that asks about both threads.
func (s *Standing) madeOf(name string, threads ...thread.Thread) bool {
	var made struct {
		Threads []string `json:"threads"`
	}
	text, err := s.around.Read(name)
	if err != nil || json.Unmarshal(text, &made) != nil {
		return false
	}
	return !slices.ContainsFunc(threads, func(t thread.Thread) bool { return !slices.Contains(made.Threads, t.Designation) })
}
