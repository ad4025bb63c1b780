// Package check holds every check and caution, one rule a function, one list.
package check

import (
	"fmt"
	"slices"
	"strings"

	"tryring/internal/caliper"
	"tryring/internal/mesh"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// Level says how much a finding matters.
type Level string

// The levels, mildest first. Stop means that the part must not be made or used as it is.
const (
	OK   Level = "ok"
	Note Level = "note"
	Warn Level = "warn"
	Stop Level = "stop"
)

// Finding is what one rule found, in plain words with the figure.
type Finding struct {
	ID    string `json:"id"`
	Level Level  `json:"level"`
	Text  string `json:"text"`
}

// Caution stands in every output that makes or judges a part.
const Caution = "TEST FIT ONLY. A printed ring is for test-fitting and prototyping only. Never install it as a pressure-bearing or permanent plumbing part. Follow local codes and licensed practice."

// Cautions are those for parts with these threads: Caution, and what Shared says.
func Cautions(threads ...thread.Thread) []string {
	if shared := Shared(threads...); shared != "" {
		return []string{Caution, shared}
	}
	return []string{Caution}
}

// Shared names the joints in which a wrong one hurts people that have the very thread of one of these; "" for none. A line that stood on
// every metric and Unified thread would not be read.
func Shared(threads ...thread.Thread) string {
	var dangers []string
	names := map[string][]string{}
	for _, t := range threads {
		danger, name := t.Danger(), t.WithClass("")
		if danger == "" || slices.Contains(names[danger], name) {
			continue
		}
		if names[danger] == nil {
			dangers = append(dangers, danger)
		}
		names[danger] = append(names[danger], name)
	}
	if len(dangers) == 0 {
		return ""
	}
	for k, danger := range dangers {
		dangers[k] = fmt.Sprintf("%s (%s)", strings.Join(names[danger], " and "), danger)
	}
	return "Dangerous joints share " + strings.Join(dangers, ", ") + ": no printed part goes there."
}

// Subject is what the rules look at. Rules that need what is nil say nothing.
type Subject struct {
	// Plan is nil for a part that we did not plan.
	Plan    *ring.Plan
	Printer printer.Profile
	// Soundness and Measured are of the finished file.
	Soundness *mesh.Soundness
	Measured  *caliper.Report
	// Part is the file as it was read; nil for one of our own.
	Part *mesh.Part
	// Inner and Outer are what the threads should measure; nil when nothing is wanted of them.
	Inner, Outer *Wanted
	// Leaf and Body are the plan of a leaf and its mesh, nil for other parts.
	Leaf *ring.Leaf
	Body *mesh.Mesh
	// WallTolMM is how much thinner than designed the wall may measure, where a coarse mesh needs more than WallTolMM.
	WallTolMM float64
}

// rules is the one list, in the order in which people read it.
var rules = []func(Subject) []Finding{
	caution,
	soundness, welded,
	measuredInner, measuredOuter,
	wall,
	eachSide("engagement", engagement),
	eachSide("pitch", pitch),
	eachSide("overhang", overhang),
	eachSide("allowance", allowance),
	bed,
	engraved,
	firstLayer,
	leafEdges,
}

// All applies every rule.
func All(s Subject) []Finding {
	var out []Finding
	for _, rule := range rules {
		out = append(out, rule(s)...)
	}
	return out
}

// Worst returns the severest level found, OK for an empty list.
func Worst(fs []Finding) Level {
	order := []Level{OK, Note, Warn, Stop}
	worst := 0
	for _, f := range fs {
		worst = max(worst, slices.Index(order, f.Level))
	}
	return order[worst]
}

// caution is always there.
func caution(Subject) []Finding { return []Finding{{"caution", Note, Caution}} }
