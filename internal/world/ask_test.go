package world

// This file is all of the program that the world touches: what a person types goes in, what is said comes out.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"tryring/internal/fit"
	"tryring/internal/parts"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

var tables = thread.NewTables()

// said is what the program says of a sheet.
type said struct {
	// first is its first candidate, weight the chance it gives it; chances below it are not looked at. known is false where it
	// says none of these first.
	first  thread.Thread
	weight float64
	known  bool
	// none is the chance that it gives none of these.
	none float64
	// diameter and pitch are its 95 % intervals, mm; nil where it gives none.
	diameter, pitch *span
}

// knows is what the program believes before anything is read, of all that one goroutine asks.
type knows map[heard]reading.Beliefs

// heard is what a person says that a thread belongs to, and the series that the program has never heard of, "" for none.
type heard struct {
	among   reading.Among
	without string
}

// lacking are the tables without one series.
type lacking struct {
	*thread.Tables
	series string
}

func (l lacking) All() []thread.Thread {
	return slices.DeleteFunc(slices.Clone(l.Tables.All()), func(t thread.Thread) bool { return t.Series == l.series && l.series != "" })
}

// identify types a sheet and asks what the thread is, of the tables but for one series of threads ("" for none).
func (k knows) identify(s sheet, among reading.Among, without string) (said, error) {
	var records []reading.Record
	for _, e := range s.entries {
		kind, _ := reading.FindKind(e.what)
		records = append(records, reading.Record{What: e.what, Text: kind.Text(e.text, e.over), Instrument: e.instrument})
	}
	set, err := reading.Read(records...)
	if err != nil {
		return said{}, err
	}
	asked := heard{among, without}
	if _, had := k[asked]; !had {
		b := reading.Believe(lacking{tables, without}, among)
		if without != "" {
			b.Doubtful = doubts()[without]
		}
		k[asked] = b
	}
	a := k[asked].Identify(set)
	best := a.Candidates[0]
	if none := a.Candidates[len(a.Candidates)-1]; none.Weight > best.Weight && without != "" {
		best = none
	}
	out := said{weight: best.Weight, known: best.Thread != nil, none: a.Candidates[len(a.Candidates)-1].Weight}
	if out.known {
		out.first = *best.Thread
	}
	interval := func(e *reading.Estimate) *span {
		if e == nil {
			return nil
		}
		low, high := e.Interval()
		return &span{low, high}
	}
	out.diameter, out.pitch = interval(a.Found.Diameter), interval(a.Found.Pitch)
	return out, nil
}

// series is what follows the count in the name of a Unified thread: a matter of tables, not of the thread.
var series = regexp.MustCompile(` UN[CFSEJR]*\b.*$`)

// names says whether the program's thread is that of p: by its name, or, since one thread has several, by its figures.
func (s said) names(p part) bool {
	if !s.known {
		return false
	}
	plain := func(name string) string { return series.ReplaceAllString(strings.TrimSuffix(name, " A"), " UN") }
	if plain(s.first.Designation) == plain(p.name) {
		return true
	}
	// How far the published figures of one thread differ between tables: rounding, and the crest forms of one flank.
	return math.Abs(s.first.Basic.Pitch.MM()-p.row.pitchDia) < 0.04 && math.Abs(s.first.Pitch.MM()/p.row.pitch-1) < 0.002 &&
		math.Abs(s.first.Form.AngleDeg()-p.angle) < 1 && math.Abs(s.first.Taper-p.taper) < 0.01
}

// byFormula are the series that the program makes by formula, whether a table lists them or not.
var byFormula = []string{"UN", "UNC", "UNF", "UNEF", "UNS", "M"}

// outsiders are threads of the world that the program does not have once it has no series of that name, by series.
var outsiders = sync.OnceValue(func() map[string][]*row {
	out := map[string][]*row{}
	for _, r := range rows() {
		in := map[string]bool{}
		for _, have := range tables.All() {
			if (said{first: have, known: true}).names(part{row: r}) {
				in[have.Series] = true
			}
		}
		for series := range in {
			if len(in) == 1 && !slices.Contains(byFormula, series) {
				out[series] = append(out[series], r)
			}
		}
	}
	return out
})

// judge asks whether two threads go together that are known by name, what was read of the external one's outside or the internal
// one's bore typed as it was read. ok is false where a name is not understood.
func judge(external, internal string, outside, bore entry) (chance float64, ok bool) {
	side := func(read entry) (s fit.Side) {
		if read.text == "" {
			return s
		}
		with, err := reading.FindInstrument(read.instrument)
		if err != nil {
			panic(err)
		}
		r, err := reading.ParseReading(read.text, with)
		if err != nil {
			panic(fmt.Sprintf("%q: %v", read.text, err))
		}
		return fit.Side{Crest: &r.Value, CrestU: unit.MM(r.Across().U)}
	}
	e, err := tables.Parse(external)
	if err != nil {
		return 0, false
	}
	i, err := tables.Parse(internal)
	if err != nil {
		return 0, false
	}
	r, err := fit.Judge(e, i, fit.Options{External: side(outside), Internal: side(bore)})
	return r.Chance, err == nil
}

// verdict is what is said of one part of a list.
type verdict struct {
	name   string
	chance float64
}

// shortlist asks which parts of a list join an external and an internal thread.
func shortlist(list, external, internal string) ([]verdict, error) {
	l, err := parts.Read(list, parts.Options{Tables: tables})
	if err != nil {
		return nil, err
	}
	e, err := tables.Parse(external)
	if err != nil {
		return nil, err
	}
	i, err := tables.Parse(internal)
	if err != nil {
		return nil, err
	}
	ranked, err := l.Shortlist(parts.Sure(e), parts.Sure(i))
	if err != nil {
		return nil, err
	}
	out := make([]verdict, len(ranked))
	for k, r := range ranked {
		out[k] = verdict{r.Name, r.Chance}
	}
	return out, nil
}
