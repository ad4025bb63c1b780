package printer

// This file says what trials show: how likely each outcome of a rung, and each caliper reading, is on a printer of given
// offsets.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"

	"tryring/internal/unit"
)

// Side is which of a print's diameters is meant.
type Side string

// The sides: Inside is the thread inside a ring (Profile.InsideTakes), Outside that outside it (Profile.OutsideAdds).
const (
	Inside  Side = "inside"
	Outside Side = "outside"
)

// Outcome is what happened when a rung met its mating part.
type Outcome string

// The outcomes, from no room to too much.
const (
	DoesNotStart Outcome = "does not start"
	Snug         Outcome = "snug"
	Goes         Outcome = "goes"
	// Rattles is goes, with more play than any standard pair has.
	Rattles Outcome = "rattles"
)

// Outcomes lists them.
var Outcomes = []Outcome{DoesNotStart, Snug, Goes, Rattles}

// ParseOutcome reads an outcome as people write it.
func ParseOutcome(text string) (Outcome, error) {
	plain := Outcome(strings.Join(strings.Fields(strings.ToLower(text)), " "))
	if slices.Contains(Outcomes, plain) {
		return plain, nil
	}
	return "", fmt.Errorf(`%q is no outcome; it is one of "does not start", "snug", "goes", "rattles"`, text)
}

// Where the outcomes divide, as clearance at the pitch line on the diameter: the same figures by which fit judges.
const (
	// StartsAbove is the clearance above which a rung can be turned on at all, FreeAbove that above which it runs free.
	StartsAbove = -0.013 * unit.Millimetre
	FreeAbove   = 0.03 * unit.Millimetre
	// RattlesAbovePitches is the clearance above which it rattles, as a multiple of the pitch, and RattlesAbove the least
	// that does.
	RattlesAbovePitches = 0.36
	RattlesAbove        = 0.1 * unit.Millimetre
)

// What makes outcomes uncertain even when the offset is known. Common practice, no published source.
const (
	// Scatter is the standard deviation of one print's diameter from the next, on one machine with one material.
	Scatter = 0.02 * unit.Millimetre
	// feelMM is how far a hand that calls a rung snug or free errs from one rung to the next, mm.
	feelMM = 0.015
	// handMM is how far one hand errs on all rungs alike, mm.
	handMM = 0.01
	// lapse is the share of outcomes that are mixed up or written to the wrong rung, one in 200.
	lapse = 0.005
)

// Part is a mating part that rungs were tried on.
type Part struct {
	Name string `toml:"name"`
	Side Side   `toml:"side"`
	// LeastMM and MostMM are the room that the part surely leaves, or takes when below zero, beside a part of basic size:
	// basic pitch diameter less that of an external part, or that of an internal part less the basic one.
	LeastMM float64 `toml:"least_mm"`
	MostMM  float64 `toml:"most_mm"`
	// UMM is the standard uncertainty of both.
	UMM float64 `toml:"u_mm"`
}

// SeenRung is what one rung did.
type SeenRung struct {
	Side Side   `toml:"side"`
	Part string `toml:"part"`
	Rung string `toml:"rung"`
	// ModelledMM is the clearance against the basic size that the file has, before the printer adds and takes.
	ModelledMM float64 `toml:"modelled_mm"`
	PitchMM    float64 `toml:"pitch_mm"`
	Outcome    Outcome `toml:"outcome"`
}

// SeenReading is one diameter of a printed part, as modelled and as read.
type SeenReading struct {
	Side       Side    `toml:"side"`
	ModelledMM float64 `toml:"modelled_mm"`
	MeasuredMM float64 `toml:"measured_mm"`
	// UMM is the standard uncertainty of the instrument.
	UMM float64 `toml:"u_mm"`
}

// off is the offset that r shows: what an outside diameter has grown by, or an inside one has lost.
func (r SeenReading) off() float64 {
	if r.Side == Inside {
		return r.ModelledMM - r.MeasuredMM
	}
	return r.MeasuredMM - r.ModelledMM
}

// Trial is what happened at one time.
type Trial struct {
	// Date and Note are in the person's own words; no clock is asked.
	Date     string        `toml:"date,omitempty"`
	Note     string        `toml:"note,omitempty"`
	Ladder   string        `toml:"ladder,omitempty"`
	Parts    []Part        `toml:"parts,omitempty"`
	Rungs    []SeenRung    `toml:"rungs,omitempty"`
	Readings []SeenReading `toml:"readings,omitempty"`
}

// touches reports whether t tells of a side.
func (t Trial) touches(s Side) bool {
	return slices.ContainsFunc(t.Rungs, func(r SeenRung) bool { return r.Side == s }) ||
		slices.ContainsFunc(t.Readings, func(r SeenReading) bool { return r.Side == s })
}

// rungSpread is the standard deviation of what one rung shows, mm.
var rungSpread = math.Hypot(Scatter.MM(), feelMM)

// chance is the chance of outcome o at a clearance of mm in the mean. Goes includes rattles: a person may call a ring that
// rattles one that goes.
func (o Outcome) chance(mm, pitchMM float64) float64 {
	above := func(limit float64) float64 { return distuv.UnitNormal.CDF((mm - limit) / rungSpread) }
	var p float64
	switch o {
	case DoesNotStart:
		p = 1 - above(StartsAbove.MM())
	case Snug:
		p = above(StartsAbove.MM()) - above(FreeAbove.MM())
	case Goes:
		p = above(FreeAbove.MM())
	case Rattles:
		p = above(max(RattlesAbove.MM(), RattlesAbovePitches*pitchMM))
	}
	return (1-lapse)*p + lapse/3
}

// Learn returns what is believed of a side's offset: what the profile says of it, and all that trials showed since. What
// is uncertain of a part, and of an instrument, is the same in all trials with it, and so does not average out. What
// was said of a part last holds for all.
func (p Profile) Learn(s Side, trials []Trial) Belief {
	b := p.before(s)
	if likely, any := readingsSeen(s, trials); any {
		b = b.times(likely)
	}
	for _, part := range partsOf(s, trials) {
		b = b.times(part.room().blur(part.seen(trials, shifts)))
	}
	return b
}

// before is what the profile itself says.
func (p Profile) before(s Side) Belief {
	if s == Inside {
		return prior(p.InsideTakes, p.InsideU)
	}
	return prior(p.OutsideAdds, p.OutsideU)
}

// readingsSeen is the chance of all caliper readings at each offset. The mean of n readings with one instrument, known by
// its uncertainty, errs by the scatter over the root of n, and by the instrument.
func readingsSeen(s Side, trials []Trial) (likely []float64, any bool) {
	var us []float64
	by := map[float64][]float64{}
	for _, t := range trials {
		for _, r := range t.Readings {
			if r.Side != s {
				continue
			}
			if by[r.UMM] == nil {
				us = append(us, r.UMM)
			}
			by[r.UMM] = append(by[r.UMM], r.off())
		}
	}
	likely = ones(gridPoints)
	for _, u := range us {
		sum := 0.0
		for _, x := range by[u] {
			sum += x
		}
		n := float64(len(by[u]))
		law := distuv.Normal{Mu: sum / n, Sigma: math.Hypot(u, Scatter.MM()/math.Sqrt(n))}
		for i := range likely {
			likely[i] *= law.Prob(offset(i)) + math.SmallestNonzeroFloat32
		}
	}
	return likely, len(us) > 0
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

// partsOf lists the parts that rungs of a side were tried on, each as it was described last.
func partsOf(s Side, trials []Trial) []Part {
	var out []Part
	for _, t := range trials {
		for _, p := range t.Parts {
			if p.Side != s {
				continue
			}
			if i := slices.IndexFunc(out, func(q Part) bool { return q.Name == p.Name }); i >= 0 {
				out[i] = p
			} else {
				out = append(out, p)
			}
		}
	}
	return out
}

// The offset of the printer and the room of the part show only as their difference, called the shift here: a rung of
// modelled clearance c has c less shift in print. shiftMargin is how far the grid of shifts reaches beyond that of
// offsets, in steps.
const shiftMargin = 400

// shifts are the points of the grid of shifts, mm.
var shifts = func() []float64 {
	out := make([]float64, gridPoints+2*shiftMargin)
	for i := range out {
		out[i] = gridLow + float64(i-shiftMargin)*gridStep
	}
	return out
}()

// seen is the chance, at each shift of at, of all that rungs on part p did.
func (p Part) seen(trials []Trial, at []float64) []float64 {
	out := ones(len(at))
	for _, t := range trials {
		for _, r := range t.Rungs {
			if r.Side != p.Side || r.Part != p.Name {
				continue
			}
			for i, shift := range at {
				out[i] *= r.Outcome.chance(r.ModelledMM-shift, r.PitchMM)
			}
		}
	}
	return out
}

// room is the chance of each room that a part may leave, on the steps of the grid.
type room struct {
	// first is the first room, in steps.
	first int
	p     []float64
}

// roomSpread is how many standard deviations of the room are looked at.
const roomSpread = 4

// room spreads the part's room over the grid, the hand's own error with it.
func (p Part) room() room {
	u := math.Hypot(p.UMM, handMM)
	first := int(math.Floor((p.LeastMM - roomSpread*u) / gridStep))
	last := int(math.Ceil((p.MostMM + roomSpread*u) / gridStep))
	r := room{first: max(first, -shiftMargin)}
	total := 0.0
	for k := r.first; k <= min(last, shiftMargin); k++ {
		x := float64(k) * gridStep
		var w float64
		if p.MostMM-p.LeastMM < gridStep {
			w = distuv.Normal{Mu: (p.LeastMM + p.MostMM) / 2, Sigma: u}.Prob(x)
		} else { // equally likely between the limits, blurred
			law := distuv.Normal{Sigma: u}
			w = law.CDF(x-p.LeastMM) - law.CDF(x-p.MostMM)
		}
		r.p = append(r.p, w)
		total += w
	}
	for k := range r.p {
		r.p[k] /= total
	}
	return r
}

// blur turns a chance by shift into one by offset: the shift of an offset is that less the room.
func (r room) blur(byShift []float64) []float64 {
	out := make([]float64, gridPoints)
	for i := range out {
		for k, w := range r.p {
			out[i] += w * byShift[i+shiftMargin-(r.first+k)]
		}
	}
	return out
}
