package reading

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Batch writes the records of one look down shortly.
type Batch struct {
	Instrument                    string
	Outside, Bore, Throat, Length []string
	// Count and Over belong together one by one; Counted says what was counted.
	Count, Over              []string
	Counted                  string
	TPI, Pitch, Leaf, NoLeaf []string
	Angle, Tapers            string
	OverWires                []string
	Wire                     string
	Worn                     bool
}

func (b Batch) records() []Record {
	var out []Record
	add := func(what string, texts ...string) {
		for _, text := range texts {
			if text != "" {
				out = append(out, Record{What: what, Text: text, Instrument: b.Instrument})
			}
		}
	}
	add("outside", b.Outside...)
	add("bore", b.Bore...)
	add("throat", b.Throat...)
	add("length", b.Length...)
	for i, n := range b.Count {
		add("count", n+" "+b.Counted+" over "+b.Over[i])
	}
	add("tpi", b.TPI...)
	add("pitch", b.Pitch...)
	add("leaf", b.Leaf...)
	add("no_leaf", b.NoLeaf...)
	add("angle", b.Angle)
	add("tapers", b.Tapers)
	for _, m := range b.OverWires {
		add("over_wires", m+" over "+b.Wire)
	}
	if b.Worn {
		add("worn", "yes")
	}
	return out
}

// read reads batches that are right.
func read(t testing.TB, batches ...Batch) Set {
	t.Helper()
	var records []Record
	for _, b := range batches {
		records = append(records, b.records()...)
	}
	s, err := Read(records...)
	require.NoError(t, err)
	return s
}
