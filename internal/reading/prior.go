package reading

// This file holds what is believed of a thread before it is read: common series before special combinations, and what the
// user says the thread belongs to. All figures are the judgement of this program, common practice with no published source.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
)

// Among is the set of things that the user says the thread is one of.
type Among string

// The sets.
const (
	Any     Among = "any"
	Drain   Among = "drain"
	Supply  Among = "supply"
	Hose    Among = "hose"
	Machine Among = "machine"
)

// ParseAmong reads the name of a set; "" is Any.
func ParseAmong(text string) (Among, error) {
	switch a := Among(strings.ToLower(strings.TrimSpace(text))); a {
	case "":
		return Any, nil
	case Any, Drain, Supply, Hose, Machine:
		return a, nil
	}
	return "", fmt.Errorf("%q; it is %s, %s, %s, %s or %s", text, Drain, Supply, Hose, Machine, Any)
}

// Words says in a few words what the set holds.
func (a Among) Words() string {
	return map[Among]string{
		Any: "anything", Drain: "drains and wastes", Supply: "water supply and fixtures", Hose: "hoses", Machine: "machines",
	}[a]
}

// Prior says in words what is believed before anything is read.
func (a Among) Prior() string {
	text := fmt.Sprintf("a thread of the tables %.0f %%, a special combination by formula %.0f %%, none of these %.0f %%; common series weigh more than others",
		100*tableShare, 100*(unifiedShare+metricShare), 100*noneShare)
	if len(useWords[a]) > 0 {
		text += fmt.Sprintf(", and what %s are known to use weighs %d times as much", a.Words(), useOfSet)
	}
	return text + "; " + commonPractice
}

// The shares of belief: threads of the tables, Unified and metric combinations by formula, and none of these. Evens, so that what was
// read must speak for a name.
const (
	tableShare   = 0.484
	unifiedShare = 0.01
	metricShare  = 0.006
	noneShare    = 0.5
)

// useWords are the words by which a use of thread.Uses is told to belong to a set.
var useWords = map[Among][]string{
	Drain:  {"drain", "waste", "trap", "strainer"},
	Supply: {"tap", "shower", "aerator", "spout", "valve", "compression"},
	Hose:   {"hose"},
}

// useOfSet is how many times more common a use in the set that the user named makes a thread; where none was named, the tables of
// uses say so.
const useOfSet = 40

// common says how common t is among the threads of the tables, and which of its uses speaks for it.
func (a Among) common(t thread.Thread, uses []thread.Use) (share float64, use *thread.Use) {
	share = t.Common(string(a))
	factor := 1.0
	for i := range uses {
		if uses[i].Handling() != thread.Plain {
			continue // no ordinary part is meant
		}
		f := uses[i].Common
		if a != Any { // a use outside the set is a use all the same, since people are not sure of the set
			f = math.Sqrt(f)
		}
		for _, w := range useWords[a] {
			if uses[i].Common > 1 && strings.Contains(uses[i].What, w) {
				f = useOfSet
			}
		}
		if f > factor || use == nil {
			use = &uses[i]
		}
		factor = max(factor, f)
	}
	if use != nil && use.Common > 1 { // a use of account makes a thread one, however odd its series
		share = max(share, 1)
	}
	return share * factor, use
}
