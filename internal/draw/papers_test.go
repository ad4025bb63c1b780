package draw

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"tryring/internal/combs"
	"tryring/internal/thread"
)

// papersOf is the set of a sample, with what its threads could be taken for.
func papersOf(t testing.TB, sm sample, paper Paper) PaperData {
	t.Helper()
	d := PaperData{Name: sm.name, Plan: sm.plan(t), Paper: paper}
	page := func(own thread.Thread, external bool) combs.Page {
		p, err := combs.Of(thread.BuiltIn(), external, !external, own)
		require.NoError(t, err)
		return p
	}
	d.Goes, d.Stays = page(d.Plan.Inner.Thread, true), page(d.Plan.Outer.Thread, false)
	return d
}

func TestPapers(t *testing.T) {
	for _, sm := range samples {
		var b bytes.Buffer
		require.NoError(t, Papers(&b, papersOf(t, sm, A4)))
		keep(t, sm.name+".pdf", b.Bytes())
	}
}
