package parts

// This file reads one row of a list into a part.

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tryring/internal/unit"
)

// reader reads the rows of one list and remembers what equal cells mean.
type reader struct {
	list  *List
	plan  layout
	unit  unit.Length
	specs [2]map[string]specOrError
}

type specOrError struct {
	spec *spec
	err  error
}

func newReader(l *List, plan layout, in unit.Length) *reader {
	r := &reader{list: l, plan: plan, unit: in}
	crests := slices.ContainsFunc(plan, func(c column) bool { return c.kind == outsideNumber || c.kind == boreNumber })
	for side := range 2 {
		l.guessers[side] = newGuesser(l.tables, side, crests)
		r.specs[side] = map[string]specOrError{}
		l.guesses[side] = map[string]guess{}
	}
	return r
}

// part reads one row.
func (r *reader) part(row Row) (Part, error) {
	for k, cell := range row.Cells {
		if k >= len(r.plan) && strings.TrimSpace(cell) != "" {
			return Part{}, fmt.Errorf("%d cells where there are %d columns; a comma inside a number needs quotes, or semicolons between the cells", len(row.Cells), len(r.plan))
		}
	}
	p := Part{Line: row.Line}
	for k, c := range r.plan {
		if c.kind == partName && k < len(row.Cells) {
			p.Name = printable(row.Cells[k])
		}
	}
	if p.Name == "" {
		p.Name = "line " + strconv.Itoa(row.Line)
	}
	for side := range 2 {
		s, err := r.spec(row.Cells, side)
		if err != nil {
			return Part{}, err
		}
		p.spec[side] = s
	}
	if p.spec[inner].empty() && p.spec[outer].empty() {
		return Part{}, errors.New("no thread is given")
	}
	return p, nil
}

// printable is text on one line without control characters, which would steer a terminal.
func printable(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, text)
	return strings.Join(strings.Fields(text), " ")
}

// spec reads what the cells say of one side.
func (r *reader) spec(cells []string, side int) (*spec, error) {
	var key strings.Builder
	for k, c := range r.plan {
		if k < len(cells) && c.kind > partName && (c.side == side || c.side == bothSides) {
			key.WriteString(strings.TrimSpace(cells[k]))
		}
		key.WriteByte(0)
	}
	text := key.String()
	known, ok := r.specs[side][text]
	if !ok {
		read, err := r.readSpec(cells, side)
		read.text = text
		known = specOrError{&read, err}
		if known.err == nil && !known.spec.empty() {
			g := r.list.guessers[side].guess(read)
			if known.spec.size != nil && len(g.candidates) == 0 {
				known.err = fmt.Errorf("%s thread: no known thread has this size; give its threads per inch or pitch", sideWord(side))
			}
			r.list.guesses[side][text] = g
		}
		r.specs[side][text] = known
	}
	return known.spec, known.err
}

func sideWord(side int) string { return [...]string{"inner", "outer"}[side] }

func (r *reader) readSpec(cells []string, side int) (s spec, err error) {
	for k, c := range r.plan {
		if k >= len(cells) || c.kind <= partName || c.side != side && c.side != bothSides || missing(cells[k]) {
			continue
		}
		in := c.unit
		if in == 0 {
			in = r.unit
		}
		var n number
		switch c.kind {
		case perInch:
			if n, err = readPerInch(cells[k]); err == nil && (s.perInch == nil || c.side == side) {
				s.perInch = &n
			}
		case pitchLength:
			if n, err = readPitch(cells[k], in); err == nil && (s.perInch == nil || c.side == side) {
				s.perInch = &n
			}
		default:
			var read spec
			if read, err = readThreadText(r.list.tables, cells[k], in); err == nil {
				if read.perInch == nil && read.size != nil && c.kind != threadText {
					read.kind = c.kind
				}
				s = s.with(read)
			}
		}
		if err != nil {
			return s, fmt.Errorf("column %q: %w", c.name, err)
		}
	}
	if t := s.named; t != nil && s.perInch != nil {
		have := unit.MMPerInch / t.Pitch.MM()
		if !s.perInch.counts(have) {
			return s, fmt.Errorf("%s thread: %s has %s threads per inch, the row says %s", sideWord(side), t.Designation, unit.Short(have), unit.Short(s.perInch.value))
		}
	}
	return s, nil
}

// with adds what another cell says of the same thread. A thread in full goes before a size, the size that the thread goes by
// before a diameter that was measured on it.
func (s spec) with(more spec) spec {
	more.perInch = cmp.Or(s.perInch, more.perInch)
	switch {
	case more.named != nil:
		return more
	case s.named != nil, s.size != nil && more.kind > s.kind, s.size != nil && more.kind > sizeNumber:
		s.perInch = more.perInch
		return s
	}
	return more
}

// missing reports whether a cell says nothing.
func missing(cell string) bool {
	switch strings.ToLower(strings.TrimSpace(cell)) {
	case "", "-", "--", "?", "n/a", "na", "none", "unknown", "–", "—":
		return true
	}
	return false
}

// fillMissing lets a thread that a row does not size be any that the other rows have, as often as they have it, or else any
// that drains and fixtures use; only those of the printed threads per inch, where there are such.
func (r *reader) fillMissing() {
	for side := range 2 {
		var pool []candidate
		if !slices.ContainsFunc(r.list.Parts, func(p Part) bool { return p.spec[side].sizeless() }) {
			continue
		}
		for _, p := range r.list.Parts {
			s := p.spec[side]
			if s.sizeless() || len(r.list.guesses[side][s.text].candidates) == 0 {
				continue
			}
			pool = append(pool, r.list.guesses[side][s.text].candidates...)
			if len(pool) > mostPooled {
				break
			}
		}
		if len(pool) == 0 {
			for k := range r.list.guessers[side].library {
				if k := &r.list.guessers[side].library[k]; k.prior >= usedPrior {
					pool = append(pool, candidate{k, each(1)})
				}
			}
		}
		pool = merged(pool)
		for _, p := range r.list.Parts {
			s := p.spec[side]
			if !s.sizeless() {
				continue
			}
			if _, done := r.list.guesses[side][s.text]; done && len(r.list.guesses[side][s.text].candidates) > 0 {
				continue
			}
			r.list.guesses[side][s.text] = among(pool, s.perInch)
		}
	}
}

// shareCounts lets a size without threads per inch be also what the same size is in rows that have them.
func (l *List) shareCounts() {
	for side := range 2 {
		like := map[number][]candidate{}
		for _, s := range l.distinct(side) {
			if s.perInch != nil {
				like[*s.size] = append(like[*s.size], l.guesses[side][s.text].candidates...)
			}
		}
		done := map[string]bool{}
		for _, p := range l.Parts {
			if s := p.spec[side]; s.size != nil && s.perInch == nil && len(like[*s.size]) > 0 && !done[s.text] {
				done[s.text] = true
				g := l.guesses[side][s.text]
				g.candidates = merged(slices.Concat(g.candidates, like[*s.size]))
				g.normalise()
				l.guesses[side][s.text] = g
			}
		}
	}
}

// mostPooled bounds how many candidates of other rows are gathered for a missing thread.
const mostPooled = 20000

// merged adds up the weights of equal threads, in the order of their names.
func merged(pool []candidate) []candidate {
	at := map[string]int{}
	var out []candidate
	for _, c := range pool {
		k, ok := at[c.Designation]
		if !ok {
			at[c.Designation] = len(out)
			out = append(out, c)
			continue
		}
		for w, x := range c.weight {
			out[k].weight[w] += x
		}
	}
	return out
}

// among returns the candidates of the pool that have the printed threads per inch, or all when none has.
func among(pool []candidate, perInch *number) guess {
	var g guess
	for _, all := range []bool{false, true} {
		for _, c := range pool {
			if all || perInch == nil || perInch.counts(c.perInch) {
				g.add(c, 1)
			}
		}
		if len(g.candidates) > 0 {
			break
		}
	}
	g.normalise()
	g.evidence = each(1)
	return g
}

func sortFaults(faults []Fault) {
	slices.SortStableFunc(faults, func(a, b Fault) int { return cmp.Compare(a.Line, b.Line) })
}
