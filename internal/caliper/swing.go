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
	theta, cos, sin float64
	spots           []spot
	pieces          []piece
}

// linesOf returns the lines of the outer or inner side, with radii as means over the angle.
func linesOf(secs []section, outer bool) []line {
	out := make([]line, 0, len(secs))
	for i := range secs {
		s := &secs[i]
		l := line{theta: s.theta, cos: s.cos, sin: s.sin, pieces: s.in}
		if outer {
			l.pieces = s.out
		}
		l.spots = make([]spot, 0, len(l.pieces)+1)
		for _, p := range l.pieces {
			l.add(spot{p.z0, p.m0})
			l.add(spot{p.z1, p.m1})
		}
		out = append(out, l)
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
func (l *line) swings(sec int, least float64, out []swing) []swing {
	if len(l.spots) < 2 {
		return out
	}
	s := l.spots
	lo, hi, from, dir := 0, 0, -1, 0
	turn := func(to int) {
		if from >= 0 {
			out = append(out, l.swing(sec, from, to))
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

func (l *line) swing(sec, from, to int) swing {
	a, b := l.spots[from], l.spots[to]
	w := swing{sec: sec, size: math.Abs(b.r - a.r), rMid: (a.r + b.r) / 2, zMid: (a.z + b.z) / 2, up: b.r > a.r}
	for i := from; i < to; i++ {
		p, q := l.spots[i], l.spots[i+1]
		if (p.r < w.rMid) != (q.r < w.rMid) {
			w.zMid = p.z + (w.rMid-p.r)/(q.r-p.r)*(q.z-p.z)
			break
		}
	}
	return w
}

// What counts as regular: neighbouring swings differ at most so many times in size and in spacing, and there are at
// least so many of them in a row. A thread of three turns with both ends chamfered still shows three whole swings.
const (
	sizeRatio    = 1.8
	spacingRatio = 3.5
	leastSwings  = 3
)

// regular returns the longest run of regular swings of one line.
func regular(ws []swing) []swing {
	var best []swing
	for i := 0; i < len(ws); {
		smallest, largest := ws[i].size, ws[i].size
		near, far := math.Inf(1), 0.0
		j := i + 1
		for ; j < len(ws); j++ {
			gap := ws[j].zMid - ws[j-1].zMid
			a, b := min(smallest, ws[j].size), max(largest, ws[j].size)
			n, f := min(near, gap), max(far, gap)
			if b > a*sizeRatio || f > n*spacingRatio {
				break
			}
			smallest, largest, near, far = a, b, n, f
		}
		if j-i > len(best) {
			best = ws[i:j]
		}
		i = max(i+1, j-1)
	}
	return best
}

// findSwings returns the swings that may be the flanks of one thread, in order of section and height, and their
// usual size; none when most sections have no regular run.
func findSwings(lines []line) ([]swing, float64) {
	var span, radius float64
	for _, l := range lines {
		lo, hi := math.Inf(1), 0.0
		for _, s := range l.spots {
			lo, hi = min(lo, s.r), max(hi, s.r)
		}
		span, radius = max(span, hi-lo), max(radius, hi)
	}
	const (
		looked     = 10   // sections that the search for the size looks at
		shrink     = 0.75 // from one size tried to the next
		smallShare = 3e-4 // of the radius: smaller swings are no thread
		most       = 60   // sizes tried
	)
	stride := max(1, len(lines)/looked)
	var buf []swing
	least := span / 2
	for range most {
		if !(least > smallShare*radius) {
			break
		}
		var sizes []float64
		found, tried := 0, 0
		for i := 0; i < len(lines); i += stride {
			tried++
			buf = lines[i].swings(i, least, buf[:0])
			run := regular(buf)
			if len(run) < leastSwings {
				continue
			}
			found++
			for _, w := range run {
				sizes = append(sizes, w.size)
			}
		}
		if 2*found >= tried {
			return likeSwings(lines, median(sizes))
		}
		least *= shrink
	}
	return nil, 0
}

// likeSwings returns all swings of about the given size, those of the longest stretch without a wide gap.
func likeSwings(lines []line, size float64) ([]swing, float64) {
	const (
		threshold = 0.35 // of the size: what is smaller is roughness
		least     = 0.5  // of the size: a ridge cut lower than this by a chamfer tells nothing
		most      = 1.6
	)
	var all, buf []swing
	for i := range lines {
		buf = lines[i].swings(i, threshold*size, buf[:0])
		for _, w := range buf {
			if w.size > least*size && w.size < most*size {
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
		return nil, 0
	}
	wide := 4 * median(gaps)
	zs := make([]float64, len(all))
	for i, w := range all {
		zs[i] = w.zMid
	}
	slices.Sort(zs)
	from, to, best := 0, 0, 0
	for i, start := 1, 0; i <= len(zs); i++ {
		if i == len(zs) || zs[i]-zs[i-1] > wide {
			if i-start > best {
				best, from, to = i-start, start, i-1
			}
			start = i
		}
	}
	lo, hi := zs[from], zs[to]
	return slices.DeleteFunc(all, func(w swing) bool { return w.zMid < lo || w.zMid > hi }), size
}

// median returns the median of xs (of an even number the upper of the middle two), whose order it changes; NaN of nothing.
func median(xs []float64) float64 {
	if len(xs) == 0 {
		return math.NaN()
	}
	k := len(xs) / 2
	for lo, hi := 0, len(xs)-1; lo < hi; {
		pivot := middle(xs[lo], xs[(lo+hi)/2], xs[hi])
		i, j := lo, hi
		for i <= j {
			for xs[i] < pivot {
				i++
			}
			for xs[j] > pivot {
				j--
			}
			if i <= j {
				xs[i], xs[j] = xs[j], xs[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return xs[k]
		}
	}
	return xs[k]
}

func middle(a, b, c float64) float64 { return max(min(a, b), min(max(a, b), c)) }
