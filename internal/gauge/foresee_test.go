package gauge

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tryring/internal/printer"
	"tryring/internal/thread"
)

// What is foreseen is what the made gauges then decide; what is named as a way out resolves, and what it needs is the bound.
func TestForesee(t *testing.T) {
	tables := thread.NewTables()
	list, err := printer.Load("")
	require.NoError(t, err)
	p, err := list.Find("filament-0.4")
	require.NoError(t, err)
	j, err := NewJob(p, nil)
	require.NoError(t, err)
	var asked []Asked
	for _, text := range []string{"M20-6g", "1/2-14 NPT", "44.4mm+-0.8 x 12tpi"} {
		a, err := Gauge{Thread: text}.Resolve(tables, j)
		require.NoError(t, err)
		asked = append(asked, a...)
	}
	got := j.Foresee(asked, list, tables)
	assert.Equal(t, len(asked), len(got.Decide)+len(got.Rest))
	assert.Len(t, got.Decide, 2, "within 0.8 mm either way any printer decides")
	at := func(u Undecided) Asked {
		for _, a := range asked {
			if a.Name == u.Name {
				return a
			}
		}
		t.Fatal(u.Name)
		return Asked{}
	}
	for _, u := range got.Rest {
		a := at(u)
		assert.False(t, a.Decision().Resolves)
		for _, with := range u.With {
			if name, is := strings.CutPrefix(with, "printer "); is {
				name, _, _ = strings.Cut(name, " ")
				a.Printer, err = list.Find(name)
				require.NoError(t, err)
				assert.True(t, a.Decision().Resolves, with)
			}
		}
		// U is twice the standard uncertainty, and must be less than half the tolerance (ISO 14253-1, as in ring.Decision).
		assert.InDelta(t, a.Decision().Tolerance().MM()/4, u.NeedMM, 0.001)
		if len(u.Pair) == 0 { // a taper has no neighbour near enough
			assert.Positive(t, a.Thread.Taper)
			continue
		}
		other, err := tables.Parse(u.Pair[1])
		require.NoError(t, err)
		apart := (other.Basic.Pitch - a.Thread.Basic.Pitch).MM()
		assert.True(t, apart*apart > 4*a.Decision().U.MM()*a.Decision().U.MM() || other.Pitch != a.Thread.Pitch, "%s and %s", u.Pair[0], u.Pair[1])
	}
	words := strings.Join(got.Words(), "\n")
	for _, want := range []string{"2 of 5", "filament-0.4", "M20", "the go gauges of"} {
		assert.Contains(t, words, want)
	}
	assert.Empty(t, Foresight{Decide: []string{"a"}}.Words())
}
