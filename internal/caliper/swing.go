package caliper

// This file finds the regular swings of r(z) that may be a thread's ridges and grooves.

import (
	"math"
	"slices"
)

// spot is a point of a section's line.
type spot struct{ z, r float64 }

// line is one side of one section.
type line struct {
	sec             int // index of its section
	theta, cos, sin float64
	spots           []spot
	pieces          []piece
}

// linesOf returns the lines of the outer or inner side, with radii as means over the angle: of layer 0 what is seen from that side,
// of the next what is seen when those before are taken away. It returns nil where that is little.
func linesOf(secs []section, outer bool, layer int) []line {
	out := make([]line, 0, len(secs))
	walls := 0
	for i := range secs {
		s := &secs[i]
		l := line{sec: i, theta: s.theta, cos: s.cos, sin: s.sin, pieces: s.in}
		rest, side := &s.inRest, -1.0
		if outer {
			l.pieces, rest, side = s.out, &s.outRest, 1
		}
		if layer > 0 {
			if l.pieces = nil; len(*rest) > leastSwings {
				l.pieces, *rest = outermost(*rest, side)
			}
		}
		l.spots = make([]spot, 0, len(l.pieces)+1)
		for _, p := range l.pieces {
			l.add(spot{p.z0, p.m0})
			l.add(spot{p.z1, p.m1})
		}
		if len(l.pieces) > leastSwings {
			walls++
		}
		out = append(out, l)
	}
	if layer > 0 && walls < len(secs)/4 {
		return nil
	}
	return out
}

func (l *line) add(s spot) {
	if n := len(l.spots); n > 0 && l.spots[n-1] == s {
		return
	}
	l.spots = append(l.spots, s)
}

// swing is a rise or a fall of the line between neighbouring extremes.
type swing struct {
	sec        int // index of its line
	size       float64
	zMid, rMid float64 // the point half way
	up         bool
}

// swings returns the rises and falls of l that are larger than least, from below to above.
func (l *line) swings(least float64, out []swing) []swing {
	if len(l.spots) < 2 {
		return out
	}
	s := l.spots
	lo, hi, from, dir := 0, 0, -1, 0
	turn := func(to int) {
		if from >= 0 {
			out = append(out, l.swing(from, to))
		}
		from = to
	}
	for i := range s {
		if s[i].r > s[hi].r {
			hi = i
		}
		if s[i].r < s[lo].r {
			lo = i
		}
		switch {
		case dir <= 0 && s[i].r > s[lo].r+least:
			turn(lo)
			dir, hi, lo = 1, i, i
		case dir >= 0 && s[i].r < s[hi].r-least:
			turn(hi)
			dir, hi, lo = -1, i, i
		}
		if dir > 0 {
			lo = hi
		} else if dir < 0 {
			hi = lo
		}
	}
	switch dir {
	case 1:
		turn(hi)
	case -1:
		turn(lo)
	}
	return out
}

func (l *line) swing(from, to int) swing {
	a, b := l.spots[from], l.spots[to]
	w := swing{sec: l.sec, size: math.Abs(b.r - a.r), rMid: (a.r + b.r) / 2, zMid: (a.z + b.z) / 2, up: b.r > a.r}
	for i := from; i < to; i++ {
		p, q := l.spots[i], l.spots[i+1]
		if (p.r < w.rMid) != (q.r < w.rMid) {
			w.zMid = p.z + (w.rMid-p.r)/(q.r-p.r)*(q.z-p.z)
			break
		}
	}
	return w
}

// What counts as regular: neighbouring swings differ at most so many times in size, ridges and grooves each in width, and the ones from
// the others; there are at least so many of them in a row. A thread of three turns with both ends chamfered still shows three whole
// swings; where ridges are much narrower than grooves, as on bottles, more are asked for.
const (
	sizeRatio             = 1.8
	spacingRatio          = 3.5
	leastSwings           = 3
	narrowRatio, narrowAt = 15, 5
)

// regular returns the runs of regular swings of one line.
func regular(ws []swing) (runs [][]swing) {
	for i := 0; i < len(ws); {
		smallest, largest := ws[i].size, ws[i].size
		near, far := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{}
		j := i + 1
		even := j // the end of the run whose ridges are about as wide as its grooves
		for ; j < len(ws); j++ {
			gap, k := ws[j].zMid-ws[j-1].zMid, j%2
			smallest, largest = min(smallest, ws[j].size), max(largest, ws[j].size)
			near[k], far[k] = min(near[k], gap), max(far[k], gap)
			all := max(far[0], far[1]) / min(near[0], near[1])
			if largest > smallest*sizeRatio || far[k] > near[k]*spacingRatio || all > narrowRatio {
				break
			}
			if all <= spacingRatio {
				even = j + 1
			}
		}
		if j-i < narrowAt {
			j = even
		}
		if j-i >= leastSwings {
			runs = append(runs, parted(ws[i:j])...)
		}
		i = max(i+1, j-1)
	}
	return runs
}

// parted parts a run where the spacing of its ridges changes for good, or a groove between two threads breaks it: one thread ends
// there, and another begins.
func parted(run []swing) [][]swing {
	const (
		least   = 4    // swings a side
		changed = 0.08 // of the spacing, for good
		broken  = 0.2  // of the spacing, once
		far     = 1.5  // spacings
	)
	// Two swings on, the same flank comes again: spacing is how far on, and whether it is so all along but for a few that chamfers cut.
	spacing := func(ws []swing) (usual float64, alike int, steady bool) {
		gaps := make([]float64, 0, len(ws))
		for i := 2; i < len(ws); i++ {
			gaps = append(gaps, ws[i].zMid-ws[i-2].zMid)
		}
		usual = median(gaps)
		for _, g := range gaps {
			if math.Abs(g-usual) < changed*usual {
				alike++
			}
		}
		return usual, alike, 3*alike >= 2*len(gaps)
	}
	// What stands far off at an end is a step or a chamfer beside the thread.
	usual, _, _ := spacing(run)
	for n := len(run); n > narrowAt && run[n-1].zMid-run[n-3].zMid > far*usual; n = len(run) {
		run = run[:n-1]
	}
	for len(run) > narrowAt && run[2].zMid-run[0].zMid > far*usual {
		run = run[1:]
	}
	at, best := 0, 0
	for k := least; k+least <= len(run); k++ {
		across := (run[k].zMid + run[k+1].zMid - run[k-1].zMid - run[k-2].zMid) / 2
		a, alikeA, steadyA := spacing(run[:k])
		b, alikeB, steadyB := spacing(run[k:])
		if steadyA && steadyB && alikeA+alikeB > best && (math.Abs(a-b) > changed*a || math.Abs(across-a) > broken*a) {
			at, best = k, alikeA+alikeB
		}
	}
	if at == 0 {
		return [][]swing{run}
	}
	return [][]swing{run[:at], run[at:]}
}

// likeSwings returns all swings of about the size of t, those of the stretch without a wide gap that holds most of it.
func likeSwings(lines []line, t train, taken []train) []swing {
	const (
		threshold = 0.35 // of the size: what is smaller is roughness
		least     = 0.5  // of the size: a ridge cut lower than this by a chamfer tells nothing
		most      = 1.6
	)
	var all, buf []swing
	for i := range lines {
		buf = lines[i].swings(threshold*t.size, buf[:0])
		for _, w := range buf {
			if w.size > least*t.size && w.size < most*t.size && !isTaken(taken, w) {
				all = append(all, w)
			}
		}
	}
	var gaps []float64
	for i := 1; i < len(all); i++ {
		if all[i].sec == all[i-1].sec {
			gaps = append(gaps, all[i].zMid-all[i-1].zMid)
		}
	}
	if len(gaps) == 0 {
		return nil
	}
	wide := 4 * median(gaps)
	zs := make([]float64, len(all))
	for i, w := range all {
		zs[i] = w.zMid
	}
	slices.Sort(zs)
	var stretch span
	best := 0
	for i, start, held := 0, 0, 0; i < len(zs); i++ {
		if t.has(zs[i]) {
			held++
		}
		if i+1 == len(zs) || zs[i+1]-zs[i] > wide {
			if held > best {
				best, stretch = held, span{zs[start], zs[i]}
			}
			start, held = i+1, 0
		}
	}
	// What stands farther off than the ridges of this train is another's.
	stretch = span{max(stretch.lo, t.lo-wide/2), min(stretch.hi, t.hi+wide/2)}
	return slices.DeleteFunc(all, func(w swing) bool { return !stretch.has(w.zMid) })
}

// median returns the median of xs (of an even number the upper of the middle two), whose order it changes; NaN of nothing.
func median(xs []float64) float64 {
	if len(xs) == 0 {
		return math.NaN()
	}
	slices.Sort(xs)
	return xs[len(xs)/2]
}
