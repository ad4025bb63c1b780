package mesh

// This file triangulates plane polygons with holes, exactly: a sweep over integer points that keeps, for every stretch of
// the interior that the sweep line crosses, the convex chain of points not yet joined below it.
//
// The method is the plane sweep of Hertel and Mehlhorn (1983). Points with equal y are taken in rising x, which is the
// same as turning the plane by an infinitely small angle, so no two points are level. Points that lie on a straight
// stretch of an outline are kept.

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// gridPoint is a point on the vertex grid, counted in grid steps; below 2^24 in size, so that leftTurn is exact in int64.
type gridPoint struct{ x, y int64 }

// leftTurn is positive when a, b, c turn left, negative when they turn right, 0 when they lie on one line: twice the area.
func leftTurn(a, b, c gridPoint) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// before is the order of the sweep: from high y to low, level points from low x to high.
func (p gridPoint) before(q gridPoint) bool {
	return p.y > q.y || p.y == q.y && p.x < q.x
}

// ErrOutlines is returned for outlines that touch, cross or repeat a point.
var ErrOutlines = errors.New("outlines touch or cross")

// stretch is a piece of the interior under the sweep line, between a left and a right outline edge.
type stretch struct {
	// left and right are the lower ends of the bounding edges.
	left, right int
	// chain runs from the left edge's upper end to the right edge's; every inner corner of it is convex downward.
	chain []int
}

// sweep is the state of one triangulation.
type sweep struct {
	points     []gridPoint
	next, prev []int
	active     []*stretch // from left to right
	triangles  [][3]int
}

// triangulate covers the inside of contours, given as rings of point indices with the inside on their left, with
// counter-clockwise triangles.
func triangulate(points []gridPoint, contours [][]int) ([][3]int, error) {
	s := sweep{points: points, next: make([]int, len(points)), prev: make([]int, len(points))}
	order := make([]int, 0, len(points))
	for _, c := range contours {
		if len(c) < 3 {
			return nil, fmt.Errorf("%w: an outline of %d points", ErrOutlines, len(c))
		}
		for i, v := range c {
			w := c[(i+1)%len(c)]
			s.next[v], s.prev[w] = w, v
			order = append(order, v)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(points[b].y, points[a].y), cmp.Compare(points[a].x, points[b].x))
	})
	for i := 1; i < len(order); i++ {
		if points[order[i-1]] == points[order[i]] {
			return nil, fmt.Errorf("%w: point %d repeats", ErrOutlines, order[i])
		}
	}
	s.triangles = make([][3]int, 0, len(order)+2*len(contours))
	for _, v := range order {
		if err := s.visit(v); err != nil {
			return nil, err
		}
	}
	if len(s.active) != 0 || s.covered() != enclosed(points, contours) {
		return nil, fmt.Errorf("%w: the interior does not close", ErrOutlines)
	}
	fatten(points, s.triangles)
	return s.triangles, nil
}

// fattenings is how often slivers are looked for: one that is cured may leave another beside it.
const fattenings = 3

// fatten turns the longest side of triangles that are thinner than a step of the grid: their corners lie on a straight stretch, such as
// the arms of an E, and on another grid, in inches or turned, they would fold over.
func fatten(points []gridPoint, triangles [][3]int) {
	area := func(a, b, c int) int64 { return leftTurn(points[a], points[b], points[c]) }
	for range fattenings {
		for i, t := range triangles {
			var square int64 // of the longest side
			a, b, c := 0, 0, 0
			for k, v := range t {
				w := t[(k+1)%3]
				dx, dy := points[w].x-points[v].x, points[w].y-points[v].y
				if side := dx*dx + dy*dy; side > square {
					square, a, b, c = side, v, w, t[(k+2)%3]
				}
			}
			thin := area(a, b, c)
			if float64(thin) >= math.Sqrt(float64(square)) {
				continue
			}
			j, d := across(triangles, b, a)
			if j >= 0 && min(area(a, d, c), area(d, b, c)) > thin {
				triangles[i], triangles[j] = [3]int{a, d, c}, [3]int{d, b, c}
			}
		}
	}
}

// across returns the triangle with the side from a to b, and its third corner; -1 for a side of an outline.
func across(triangles [][3]int, a, b int) (triangle, corner int) {
	for j, t := range triangles {
		for k := range t {
			if t[k] == a && t[(k+1)%3] == b {
				return j, t[(k+2)%3]
			}
		}
	}
	return -1, 0
}

// covered is twice the area of the triangles, exact.
func (s *sweep) covered() int64 {
	sum := int64(0)
	for _, t := range s.triangles {
		sum += leftTurn(s.points[t[0]], s.points[t[1]], s.points[t[2]])
	}
	return sum
}

// enclosed is twice the area inside contours, exact.
func enclosed(points []gridPoint, contours [][]int) int64 {
	sum := int64(0)
	for _, c := range contours {
		for i := range c {
			sum += leftTurn(gridPoint{}, points[c[i]], points[c[(i+1)%len(c)]])
		}
	}
	return sum
}

// visit takes one point in sweep order.
func (s *sweep) visit(v int) error {
	p := s.points[v]
	from, to := s.prev[v], s.next[v]
	fromAbove, toAbove := s.points[from].before(p), s.points[to].before(p)
	switch {
	case fromAbove && toAbove:
		return s.join(v)
	case fromAbove:
		// Going down with the inside on the left hand, the inside lies at higher x: this is the left edge of a stretch.
		return s.goOn(v, to, true)
	case toAbove:
		return s.goOn(v, from, false)
	}
	return s.fork(v, from, to)
}

// goOn moves the left or right edge of a stretch on to its next point.
func (s *sweep) goOn(v, below int, left bool) error {
	i := s.ending(v, left)
	if i < 0 {
		return fmt.Errorf("%w at point %d", ErrOutlines, v)
	}
	st := s.active[i]
	if left {
		st.chain = s.hangLeft(v, st.chain)
		st.left = below
	} else {
		st.chain = s.hangRight(st.chain, v)
		st.right = below
	}
	return nil
}

// ending returns the stretch whose left or right edge ends at v, or -1.
func (s *sweep) ending(v int, left bool) int {
	return slices.IndexFunc(s.active, func(st *stretch) bool {
		if left {
			return st.left == v
		}
		return st.right == v
	})
}

// join ends two edges at v: a stretch closes there, or two neighbours become one.
func (s *sweep) join(v int) error {
	i, j := s.ending(v, true), s.ending(v, false)
	if i < 0 || j < 0 {
		return fmt.Errorf("%w at point %d", ErrOutlines, v)
	}
	if i == j {
		if rest := s.hangLeft(v, s.active[i].chain); len(rest) != 2 {
			return fmt.Errorf("%w at point %d", ErrOutlines, v)
		}
		s.active = slices.Delete(s.active, i, i+1)
		return nil
	}
	if i != j+1 {
		return fmt.Errorf("%w at point %d", ErrOutlines, v)
	}
	a, b := s.active[j], s.active[i]
	chain := s.hangRight(a.chain, v)
	chain = append(chain, s.hangLeft(v, b.chain)[1:]...)
	s.active[j] = &stretch{left: a.left, right: b.right, chain: chain}
	s.active = slices.Delete(s.active, i, i+1)
	return nil
}

// fork starts two edges at v: a new stretch opens there, or one is split in two.
func (s *sweep) fork(v, from, to int) error {
	p := s.points[v]
	// The stretches left of v: those whose left edge passes v on the left.
	i := 0
	for i < len(s.active) && s.rightOf(p, s.active[i].chain[0], s.active[i].left) {
		i++
	}
	if leftTurn(s.points[from], p, s.points[to]) > 0 {
		// The inside lies between the two edges: to leaves on the left of from.
		s.active = slices.Insert(s.active, i, &stretch{left: to, right: from, chain: []int{v}})
		return nil
	}
	if i == 0 {
		return fmt.Errorf("%w at point %d", ErrOutlines, v)
	}
	st := s.active[i-1]
	if s.rightOf(p, st.chain[len(st.chain)-1], st.right) {
		return fmt.Errorf("%w at point %d", ErrOutlines, v)
	}
	low := 0
	for k := range st.chain {
		if s.points[st.chain[low]].before(s.points[st.chain[k]]) {
			low = k
		}
	}
	leftPart := s.hangRight(slices.Clone(st.chain[:low+1]), v)
	rightPart := s.hangLeft(v, slices.Clone(st.chain[low:]))
	s.active[i-1] = &stretch{left: st.left, right: from, chain: leftPart}
	s.active = slices.Insert(s.active, i, &stretch{left: to, right: st.right, chain: rightPart})
	return nil
}

// rightOf says whether p lies to the right of the edge that falls from upper to lower.
func (s *sweep) rightOf(p gridPoint, upper, lower int) bool {
	return leftTurn(s.points[upper], s.points[lower], p) > 0
}

// hangLeft joins v to the left end of a chain, cutting off the triangles that v sees.
func (s *sweep) hangLeft(v int, chain []int) []int {
	for len(chain) > 1 && leftTurn(s.points[v], s.points[chain[1]], s.points[chain[0]]) > 0 {
		s.triangles = append(s.triangles, [3]int{v, chain[1], chain[0]})
		chain = chain[1:]
	}
	return append([]int{v}, chain...)
}

// hangRight joins v to the right end of a chain, cutting off the triangles that v sees.
func (s *sweep) hangRight(chain []int, v int) []int {
	for n := len(chain); n > 1 && leftTurn(s.points[v], s.points[chain[n-1]], s.points[chain[n-2]]) > 0; n = len(chain) {
		s.triangles = append(s.triangles, [3]int{v, chain[n-1], chain[n-2]})
		chain = chain[:n-1]
	}
	return append(chain, v)
}
