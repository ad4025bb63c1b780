package standing

// This file puts a printed leaf in the place of a pitch gauge that is not known to be at hand.

import (
	"encoding/json"
	"fmt"
	"slices"

	"tryring/internal/leaf"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// pitchRead are the readings that tell a pitch without a leaf.
var pitchRead = []string{"count", "tpi", "pitch"}

// byLeaf is the step for the leading two threads of a side where a leaf tells them apart: to lay it on where it is made, or else to make it,
// once the pitch was read otherwise and is open still, or cannot be counted. It is nil where a leaf or a gauge was laid on already.
func (s *Standing) byLeaf(side Side, n *reading.Next) *Step {
	had := func(whats ...string) bool {
		return slices.ContainsFunc(side.Records, func(r reading.Record) bool { return slices.Contains(whats, r.What) })
	}
	a, b := *side.Answer.Candidates[0].Thread, *side.Answer.Candidates[1].Thread
	var length unit.Length
	if l := side.Answer.Found.Length; l != nil {
		length = unit.MM(l.Value)
	}
	about := n.Best.Fields[0].Key
	made := s.madeLeaf(side.Name, reading.PitchText(a), reading.PitchText(b))
	switch {
	case about != "leaf" && about != "count", had("leaf", "no_leaf"), about == "count" && !had(pitchRead...) && !made:
		return nil
	case !leaf.Tells(a, b, side.Name, length, s.around.Printer):
		return nil
	}
	step := &Step{Action: Read, Side: side.Name, Fields: []reading.Field{{Key: "leaf", Text: reading.PitchText(a)}}, Otherwise: "no_leaf"}
	tells := fmt.Sprintf("tells %s from %s", n.Between[0], n.Between[1])
	if made {
		step.Text = fmt.Sprintf("lay the leaf of %s on %s and say which edge seats: it %s", leaf.FileOf(s.named, side.Name), words[side.Name], tells)
		return step
	}
	step.Action = MakeLeaf
	step.Text = fmt.Sprintf("print a leaf for %s, in minutes: laid into its grooves it %s, as a pitch gauge does", words[side.Name], tells)
	return step
}

// madeLeaf says whether the leaf of the side was made, with edges that read so.
func (s *Standing) madeLeaf(side string, reads ...string) bool {
	var made leaf.Result
	text, err := s.around.Read(leaf.FileOf(s.named, side))
	if err != nil || json.Unmarshal(text, &made) != nil || made.Side != side {
		return false
	}
	return !slices.ContainsFunc(reads, func(read string) bool {
		return !slices.ContainsFunc(made.Edges, func(e leaf.EdgeResult) bool { return e.Reads == read })
	})
}
