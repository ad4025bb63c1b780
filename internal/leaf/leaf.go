// Package leaf makes leaves: flat pitch gauges, printed in minutes, that tell by one look which of several pitches and forms a thread has.
package leaf

// This file takes threads that are open, by name or from a job, to the edges and leaves that tell them apart.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/identity"
	"tryring/internal/job"
	"tryring/internal/printer"
	"tryring/internal/reading"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
	"tryring/internal/whole"
)

// Open is what is asked of leaves: the threads that a part may have.
type Open struct {
	Threads []thread.Thread
	// Weights are their chances, alike for threads that were named.
	Weights []float64
	// Side is job.Stays, whose leaf goes into a bore, or job.Goes; "" where the part may be either.
	Side string
	// Length is how much of the part is threaded, 0 where it is not known.
	Length  unit.Length
	Printer printer.Profile
	// Name is what the files are called; "" for a name made of the edges.
	Name string
	// LeftOut tells of threads that could be it and are not asked about.
	LeftOut []string
}

// Named are threads as people write them.
func Named(texts []string, tables *thread.Tables, p printer.Profile) (Open, error) {
	o := Open{Printer: p}
	var faults []error
	for _, text := range texts {
		t, err := tables.Parse(text)
		if err == nil {
			err = t.Makeable()
		}
		faults = append(faults, fault.In("thread", err))
		if slices.Contains(o.Threads, t) {
			continue
		}
		o.Threads, o.Weights = append(o.Threads, t), append(o.Weights, 1/float64(len(texts)))
	}
	return o, errors.Join(faults...)
}

// mostOfOpen is the share of the chances of all known threads that those on a leaf have together.
const mostOfOpen = 0.95

// OfJob are the threads that a side of d could be, the likeliest of them.
func OfJob(d *job.Document, side string, tables *thread.Tables, p printer.Profile) (Open, error) {
	o := Open{Side: side, Printer: p, Name: JobName(d.Ring, side)}
	could, err := identity.Of(d, side, tables)
	if errors.Is(err, reading.ErrNothing) {
		return o, fault.Fault{Field: "side", Read: side, Want: "nothing was read of its thread yet", Cause: err}
	}
	if err != nil {
		return o, err
	}
	if l := could.Found.Length; l != nil {
		o.Length = unit.MM(l.Value)
	}
	return o, o.take(could.Candidates)
}

// take takes candidates, best first, as far as they matter.
func (o *Open) take(candidates []reading.Candidate) error {
	known := 0.0
	for _, c := range candidates {
		if c.Thread != nil {
			known += c.Weight
		}
	}
	taken := 0.0
	for _, c := range candidates {
		switch {
		case c.Thread == nil || taken >= mostOfOpen*known:
		case c.Thread.Makeable() != nil:
			o.LeftOut = append(o.LeftOut, fmt.Sprintf("%s (%.0f %%): no part is made for it", c.Designation, 100*c.Weight))
		default:
			o.Threads, o.Weights = append(o.Threads, *c.Thread), append(o.Weights, c.Weight)
		}
		taken += c.Weight
	}
	if len(o.Threads) == 0 {
		return fault.At("side", o.Side, "no thread that is known is likely for it")
	}
	return nil
}

// Edge is an edge of a leaf, and the threads that seat on it.
type Edge struct {
	ring.LeafEdge
	Threads []thread.Thread
	Weight  float64
}

// Plan are leaves decided on.
type Plan struct {
	Open
	// Edges are in the order in which they lie on the leaves.
	Edges  []Edge
	Leaves []ring.Leaf
	// Decides and Undecided tell for each pair of edges whether one look tells them apart, and by what.
	Decides, Undecided []string
	// InBore says that the arms go into the bores of all these threads.
	InBore bool
}

// The lengths of an edge; common practice, no published source.
const (
	// halfPitch is by how much of a pitch the two nearest pitches are to part.
	halfPitch = 0.5
	// fewestTeeth are those that an edge has, mostEdgeMM is the most thread of one that has more.
	fewestTeeth, mostEdgeMM = 4, 40.0
	// aloneMM is the thread of an edge that no other stands beside: an inch.
	aloneMM = unit.MMPerInch
)

// New plans the leaves for what is open.
func New(o Open) (Plan, error) {
	p := Plan{Open: o}
	var faults []error
	for _, group := range o.groups() {
		edge, err := ring.NewLeafEdge(o.Printer, group.Threads...)
		if err != nil {
			faults = append(faults, err)
			p.LeftOut = append(p.LeftOut, err.Error())
			continue
		}
		group.LeafEdge = edge
		group.Label = label(group.Threads[0])
		p.Edges = append(p.Edges, group)
	}
	switch {
	case o.Side == "" && len(faults) > 0, len(p.Edges) == 0:
		return p, errors.Join(faults...)
	case o.Side != "" && len(p.Edges) == 1:
		return p, p.tellsNothing(strings.Join(designations(p.Edges[0].Threads), ", ") + " have one pitch and form, and differ in size alone")
	}
	p.setTeeth()
	if err := p.layOut(); err != nil {
		return p, err
	}
	if p.decide(); p.Name == "" {
		p.Name = p.nameOf()
	}
	if err := whole.CheckFileName(p.Name); err != nil {
		return p, fault.In("name", err)
	}
	if o.Side != "" && len(p.Decides) == 0 {
		return p, p.tellsNothing(p.Undecided...)
	}
	return p, nil
}

// tellsNothing is the fault of a side of a job that no leaf tells more of.
func (p Plan) tellsNothing(why ...string) error {
	return fault.At("side", p.Side, "no leaf tells more of it: %s", strings.Join(append(why, p.LeftOut...), "; "))
}

// groups are the threads put together that share pitch and flanks, the likeliest group first.
func (o Open) groups() []Edge {
	var out []Edge
	for i, t := range o.Threads {
		at := slices.IndexFunc(out, func(e Edge) bool { return alike(e.Threads[0], t) })
		if at < 0 {
			at, out = len(out), append(out, Edge{})
		}
		out[at].Threads, out[at].Weight = append(out[at].Threads, t), out[at].Weight+o.Weights[i]
	}
	slices.SortStableFunc(out, func(a, b Edge) int { return cmp.Compare(b.Weight, a.Weight) })
	return out
}

// sameFlankRad is how far flanks may differ and be the same: a fortieth of a degree.
const sameFlankRad = 0.0005

// alike says whether two threads share pitch and flanks.
func alike(a, b thread.Thread) bool {
	la, ua := a.Form.Flanks()
	lb, ub := b.Form.Flanks()
	return math.Abs((a.Pitch-b.Pitch).MM()) <= reading.SamePitchMM && math.Abs(la-lb) <= sameFlankRad && math.Abs(ua-ub) <= sameFlankRad
}

// label is what is engraved for a thread: its pitch and the angle between its flanks, "14 TPI 60".
func label(t thread.Thread) string {
	return strings.ToUpper(strings.Replace(reading.PitchName(t), "to the inch", "TPI", 1)) + " " + t.Form.AngleWords()
}

// setTeeth gives all edges teeth over one length: so much that the two pitches that are nearest to each other part by halfPitch between the first
// tooth and the last, no more than the part's thread has room for.
func (p *Plan) setTeeth() {
	span := 0.0
	for i, e := range p.Edges {
		for _, other := range p.Edges[i+1:] {
			coarser := max(e.Pitch, other.Pitch).MM()
			if d := math.Abs((e.Pitch - other.Pitch).MM()); d > reading.SamePitchMM {
				span = math.Max(span, coarser*(1+halfPitch*coarser/d))
			}
		}
	}
	if len(p.Edges) == 1 {
		span = aloneMM
	}
	if span = math.Min(span, mostEdgeMM); p.Length > 0 {
		span = math.Min(span, p.Length.MM())
	}
	for _, e := range p.Edges {
		span = math.Max(span, fewestTeeth*e.Pitch.MM())
	}
	for i, e := range p.Edges {
		p.Edges[i].Teeth = int(math.Ceil(span/e.Pitch.MM() - 1e-9))
	}
}

// layOut puts the edges on leaves, so slender that they go into the bores of all threads; where the part may be one that goes in, or does,
// they need not.
func (p *Plan) layOut() (err error) {
	bore := unit.Length(math.Inf(1))
	for _, t := range p.Threads {
		bore = min(bore, t.Basic.Minor)
	}
	if p.Side != job.Goes {
		p.InBore = true
		if err = p.layOn(bore); err == nil || p.Side == job.Stays {
			return err
		}
	}
	p.InBore = false
	return p.layOn(0)
}

func (p *Plan) layOn(bore unit.Length) error {
	p.Leaves = nil
	for group := range slices.Chunk(p.Edges, ring.MostEdges) {
		var edges []ring.LeafEdge
		for _, e := range group {
			edges = append(edges, e.LeafEdge)
		}
		l, err := ring.PlanLeaf(edges, bore, p.Printer)
		if err != nil {
			return err
		}
		for i := range group {
			group[i].LeafEdge = l.Edges[i]
		}
		p.Leaves = append(p.Leaves, l)
	}
	return nil
}

func designations(ts []thread.Thread) (names []string) {
	for _, t := range ts {
		names = append(names, t.Designation)
	}
	return names
}
