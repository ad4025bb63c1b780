package draw

// This file sets notes into columns and leads each to the place that it speaks of, by the way that crosses least.

import (
	"cmp"
	"math"
	"slices"
)

// pointed is a note with the place it speaks of: on an outline, which an arrow touches, or in a face, where a dot ends the leader.
type pointed struct {
	note
	target    at
	onOutline bool
}

// level is the height at which the leader comes.
func (p pointed) level() float64 {
	if p.by > 0 {
		return p.by
	}
	return p.target.Y
}

// placed is a note that stands, with the ends of its lines, where its leader may begin.
type placed struct {
	pointed
	starts []at
}

// column sets notes into a column with its left edge at x, in the order of their targets and as near to their heights as can be;
// leaders will begin right of the words for side +1, left of them for -1.
func (s *sheet) column(notes []pointed, x, top, bottom, side float64) (out []placed) {
	slices.SortStableFunc(notes, func(a, b pointed) int { return cmp.Compare(a.level(), b.level()) })
	tops := stack(notes, top, bottom)
	for i, n := range notes {
		before := len(s.labels)
		s.put(n.note, at{x, tops[i]})
		p := placed{pointed: n}
		for _, l := range s.labels[before:] {
			end := l.box.X0 - 1
			if side > 0 {
				end = l.box.X1 + 1
			}
			p.starts = append(p.starts, at{end, (l.box.Y0+l.box.Y1)/2 - 0.3})
		}
		out = append(out, p)
	}
	return out
}

// stack returns the upper edges of notes in one column, all together as near to their targets' heights as can be: notes
// that would overlap form a group about their mean (pooled adjacent violators).
func stack(blocks []pointed, top, bottom float64) []float64 {
	type group struct {
		sum, height float64 // the sum of the upper edges its notes want of the group
		count       int
	}
	upper := func(g group) float64 { return math.Max(top, math.Min(bottom-g.height, g.sum/float64(g.count))) }
	var groups []group
	for _, b := range blocks {
		g := group{b.level() - b.height()/2, b.height(), 1}
		for len(groups) > 0 {
			last := groups[len(groups)-1]
			if upper(last)+last.height+noteGap <= upper(g) {
				break
			}
			shift := last.height + noteGap
			g = group{last.sum + g.sum - shift*float64(g.count), shift + g.height, last.count + g.count}
			groups = groups[:len(groups)-1]
		}
		groups = append(groups, g)
	}
	var tops []float64
	for _, g := range groups {
		y := upper(g)
		for range g.count {
			tops = append(tops, y)
			y += blocks[len(tops)-1].height() + noteGap
		}
	}
	return tops
}

// What it costs a leader to cross a line of a class, or another one; a word costs most of all, an elbow, coming in upright and a
// millimetre least.
const crossWord, crossOther, elbowCost, steepCost, lengthCost = 1000.0, 4.0, 0.5, 3.0, 0.01

var crossCost = map[string]float64{
	"cut right": 60, "cut left": 60, "leader": 50, "dimension": 15, "extension": 3, "axis": 2, "edge": 1,
	"goes cut": 0.1, "ring cut": 0.1, "stays cut": 0.1, "external": 1, "internal": 1, "pitch external": 1, "pitch internal": 1, // which stand in one another
}

// obstacle is a straight line on the sheet, with what it costs to cross it.
type obstacle struct {
	a, b at
	cost float64
}

// obstacles are all lines that words must not touch.
func (s *sheet) obstacles() (all []obstacle) {
	for _, m := range s.marks {
		cost, known := crossCost[m.class]
		if !known {
			cost = crossOther
		}
		for _, line := range m.strokes() {
			for k := 1; k < len(line); k++ {
				all = append(all, obstacle{line[k-1], line[k], cost})
			}
		}
	}
	return all
}

// lead draws the leaders of notes once all words stand, each by the way that crosses least: straight, with an elbow, or along
// the height that is free for it.
func (s *sheet) lead(notes []placed) {
	lines := s.obstacles()
	for _, n := range notes {
		best, least := []at(nil), math.Inf(1)
		try := func(points ...at) {
			if c := s.crossing(lines, points, least); c < least {
				best, least = points, c
			}
		}
		for _, from := range n.starts {
			try(from, n.target)
			for k := 1.0; k <= 8; k++ {
				try(from, at{from.X + (n.target.X-from.X)*k/8, from.Y}, n.target)
			}
			if n.by == 0 {
				continue
			}
			if math.Abs(n.by-from.Y) < textMM/2 {
				from.Y = n.by
			}
			for k := -12.0; k <= 12; k++ {
				try(from, at{from.X + math.Copysign(3, n.target.X-from.X), n.by}, at{n.target.X + 1.5*k, n.by}, n.target)
			}
		}
		s.leader(n.onOutline, best...)
		for i := 1; i < len(best); i++ {
			lines = append(lines, obstacle{best[i-1], best[i], crossCost["leader"]})
		}
	}
}

// crossing is what a way costs; it stops counting beyond most.
func (s *sheet) crossing(lines []obstacle, points []at, most float64) (cost float64) {
	last := len(points) - 1
	for i := 1; i <= last; i++ {
		long := math.Hypot(points[i].X-points[i-1].X, points[i].Y-points[i-1].Y)
		cost += elbowCost + lengthCost*long
		if i == last {
			cost += steepCost * math.Abs(points[i].Y-points[i-1].Y) / long
		}
	}
	for i := 1; i <= last && cost < most; i++ {
		p, q := points[i-1], points[i]
		for _, l := range s.labels {
			if l.box.crossedBy(p, q) {
				cost += crossWord
			}
		}
		if i == last { // what the tip touches is not crossed
			short := math.Max(0, 1-0.3/math.Hypot(q.X-p.X, q.Y-p.Y))
			q = at{p.X + (q.X-p.X)*short, p.Y + (q.Y-p.Y)*short}
		}
		b := box{math.Min(p.X, q.X), math.Min(p.Y, q.Y), math.Max(p.X, q.X), math.Max(p.Y, q.Y)}
		for _, l := range lines {
			if (l.a.X < b.X0 && l.b.X < b.X0) || (l.a.X > b.X1 && l.b.X > b.X1) || (l.a.Y < b.Y0 && l.b.Y < b.Y0) || (l.a.Y > b.Y1 && l.b.Y > b.Y1) {
				continue
			}
			if segmentsCross(p, q, l.a, l.b) {
				if cost += l.cost; cost >= most {
					return cost
				}
			}
		}
	}
	return cost
}

// leader draws a line from a note to the part, with an arrow on an outline or a dot inside one.
func (s *sheet) leader(onOutline bool, points ...at) {
	s.open("leader", thin, points...)
	tip, before := points[len(points)-1], points[len(points)-2]
	if !onOutline {
		s.dot(tip)
		return
	}
	dx, dy := tip.X-before.X, tip.Y-before.Y
	l := math.Hypot(dx, dy)
	s.arrow(tip, dx/l, dy/l)
}
