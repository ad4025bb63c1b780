package leaf

// This file says what one look at a leaf decides, and from what length of thread on.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// How well a look and a leaf are. All are common practice, no published source.
const (
	// seenShare is the least that an eye sees of teeth beside grooves: an eighth of a pitch.
	seenShare = 1.0 / 8
	// edgeUMM is the standard uncertainty of a printed edge's places, beside its scale, mm.
	edgeUMM = 0.025
	// coverage widens a standard uncertainty to 95 % (JCGM 100:2008, G.1.3).
	coverage = 2
	// mostTurns is the longest thread that a leaf is thought of on, in pitches.
	mostTurns = 60
)

// apart is how two edges differ on a thread.
type apart struct {
	// off is by how much the wrong edge's teeth part from the grooves between the first and the last, u its standard uncertainty, mm.
	off, u float64
	// pitch is the larger one, mm.
	pitch float64
}

// margin is what is left in pitches, whatever the uncertainty makes of it, beyond what an eye wants to see.
func (a apart) margin() float64 { return (a.off-coverage*a.u)/a.pitch - seenShare }

// along is how far two pitches part over n of them: what the printer's scale and the part's maker hide grows with the length.
func along(a, b thread.Thread, n float64, p printer.Profile) apart {
	pitch := math.Max(a.Pitch.MM(), b.Pitch.MM())
	return apart{n * math.Abs((a.Pitch - b.Pitch).MM()), math.Hypot(n*pitch*math.Hypot(p.ScaleUPct/100, reading.PitchShare), edgeUMM), pitch}
}

// across is how far the flanks of two forms of about one pitch part over teeth of a height, where one ends.
func across(a, b thread.Thread, height float64) apart {
	la, ua := a.Form.Flanks()
	lb, ub := b.Form.Flanks()
	off := height * math.Max(math.Abs(math.Tan(la)-math.Tan(lb)), math.Abs(math.Tan(ua)-math.Tan(ub)))
	return apart{off, edgeUMM, math.Max(a.Pitch.MM(), b.Pitch.MM())}
}

// LeastThread is the length of thread from which an edge for a, laid on a thread b, is seen not to seat; ok is false where none does.
func LeastThread(a, b thread.Thread, p printer.Profile) (least unit.Length, ok bool) {
	for n := 1.0; n <= mostTurns; n++ {
		if along(a, b, n, p).margin() >= 0 {
			return unit.Length(n+1) * max(a.Pitch, b.Pitch), true
		}
	}
	return 0, false
}

// verdict is what one look decides between two edges: it tells them apart by margin, in pitches, and not below 0.
type verdict struct {
	text   string
	margin float64
}

// decide tells of each pair of edges, the nearest first.
func (p *Plan) decide() {
	if len(p.Edges) == 1 {
		p.alone(p.Edges[0])
	}
	var all []verdict
	for i, a := range p.Edges {
		for _, b := range p.Edges[i+1:] {
			all = append(all, p.pair(a, b))
		}
	}
	slices.SortStableFunc(all, func(a, b verdict) int { return cmp.Compare(a.margin, b.margin) })
	for _, v := range all {
		if v.margin >= 0 {
			p.Decides = append(p.Decides, "one look tells "+v.text)
		} else {
			p.Undecided = append(p.Undecided, "it does not tell "+v.text)
		}
	}
}

// teethOn is how many teeth of an edge find thread.
func (p Plan) teethOn(e Edge) float64 {
	n := float64(e.Teeth)
	if p.Length > 0 {
		n = math.Min(n, math.Floor(p.Length.MM()/e.Pitch.MM()+1e-9))
	}
	return n
}

// pair says whether one look tells two edges apart.
func (p Plan) pair(a, b Edge) verdict {
	x, y := a.Threads[0], b.Threads[0]
	names := fmt.Sprintf("%s from %s", a.Label, b.Label)
	flanks := across(x, y, math.Min(a.HeightMM(), b.HeightMM()))
	n := math.Max(0, math.Min(p.teethOn(a), p.teethOn(b))-1)
	pitches := along(x, y, n, p.Printer)
	least, can := LeastThread(x, y, p.Printer)
	over := fmt.Sprintf("over %.1f mm of thread the wrong one is off by %.2f ± %.2f mm at its end", (n+1)*pitches.pitch, pitches.off, coverage*pitches.u)
	v := verdict{margin: math.Max(flanks.margin(), pitches.margin())}
	switch {
	case pitches.margin() >= 0:
		v.text = fmt.Sprintf("%s: %s, %.2f of a pitch; it shows from %.1f mm of thread on", names, over, pitches.off/pitches.pitch, least.MM())
	case v.margin >= 0:
		v.text = fmt.Sprintf("%s: on the wrong one the flanks part by %.2f mm", names, flanks.off)
	case math.Abs((x.Pitch - y.Pitch).MM()) <= reading.SamePitchMM:
		v.text = fmt.Sprintf("%s: the pitch is one, and the flanks part by %.2f mm only; an eye wants an eighth of a pitch, %.2f mm", names, flanks.off, seenShare*flanks.pitch)
	case !can:
		v.text = fmt.Sprintf("%s: %s; what the printer's scale and the part's maker may be off by hides that on any length", names, over)
	case p.Length > 0 && least > p.Length:
		v.text = fmt.Sprintf("%s: the part's %.1f mm of thread are too short, %.1f mm would do", names, p.Length.MM(), least.MM())
	default:
		v.text = fmt.Sprintf("%s: %s; %.1f mm of thread would do, and no edge is so long", names, over, least.MM())
	}
	return v
}

// alone tells of the only edge from which difference of the pitch on it does not seat.
func (p *Plan) alone(e Edge) {
	n := math.Max(1, p.teethOn(e)-1)
	same := along(e.Threads[0], e.Threads[0], n, p.Printer)
	least := (seenShare*same.pitch + coverage*same.u) / n
	p.Decides = append(p.Decides, fmt.Sprintf("one look tells whether it is %s: over %.1f mm of thread a pitch that is off by %.3f mm (%.1f %%) or more is seen not to seat",
		e.Label, (n+1)*same.pitch, least, 100*least/same.pitch))
}

// Tells says whether a leaf tells two threads of a side of a job apart, on so much thread, 0 where that is not known.
func Tells(a, b thread.Thread, side string, length unit.Length, p printer.Profile) bool {
	if a.Makeable() != nil || b.Makeable() != nil {
		return false
	}
	plan, err := New(Open{Threads: []thread.Thread{a, b}, Weights: []float64{0.5, 0.5}, Side: side, Length: length, Printer: p})
	return err == nil && len(plan.Decides) == 1
}
