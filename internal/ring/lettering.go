package ring

// This file draws engraved signs: their centre lines are a plane graph, and a sign's outlines run round the faces of that graph
// half a stroke away from it, so that no strokes have to be joined.

import (
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	v2 "github.com/deadsy/sdfx/vec/v2"
)

// lettering.txt holds the centre lines, and says how they are written. They are our own, in the manner of plain technical
// lettering (ISO 3098-1: open forms, one width of line), wider and with gaps for a nozzle.
//
//go:embed lettering.txt
var letteringText string

// strokes are the centre lines of a sign, in steps.
type strokes [][]v2.Vec

// lettering is every sign that can be engraved, read once.
var lettering = sync.OnceValues(func() (map[rune]strokes, error) {
	signs := map[rune]strokes{' ': nil}
	for line := range strings.Lines(letteringText) {
		if strings.HasPrefix(line, "//") {
			continue
		}
		names, drawn, _ := strings.Cut(strings.TrimSpace(line), " ")
		var all strokes
		for stroke := range strings.SplitSeq(drawn, ";") {
			points, err := readStroke(stroke)
			if err != nil {
				return nil, fmt.Errorf("lettering, %q: %w", names, err)
			}
			all = append(all, points)
		}
		for _, sign := range names {
			signs[sign] = all
		}
	}
	return signs, nil
})

// readStroke reads the points of one stroke, and rounds the corners marked so.
func readStroke(text string) ([]v2.Vec, error) {
	fields := strings.Fields(text)
	corners := make([]v2.Vec, len(fields))
	for i, f := range fields {
		if _, err := fmt.Sscanf(strings.TrimPrefix(f, "o"), "%g,%g", &corners[i].X, &corners[i].Y); err != nil {
			return nil, fmt.Errorf("point %q: %w", f, err)
		}
	}
	var out []v2.Vec
	for i, f := range fields {
		c := corners[i]
		if !strings.HasPrefix(f, "o") {
			out = append(out, c)
			continue
		}
		from, to := corners[i-1].Sub(c).Normalize(), corners[i+1].Sub(c).Normalize()
		// A quarter of a circle in three chords, about the point one step inside of both sides.
		for _, turn := range [][2]float64{{1, 0}, {math.Sqrt(3) / 2, 0.5}, {0.5, math.Sqrt(3) / 2}, {0, 1}} {
			out = append(out, c.Add(from.MulScalar(1-turn[1])).Add(to.MulScalar(1-turn[0])))
		}
	}
	return slices.Compact(out), nil
}

// node is a point at which strokes end, bend or meet, with its neighbours counter-clockwise.
type node struct {
	at   v2.Vec
	next []int
}

// graph joins strokes at the points that they share, scaled by step millimetres.
func (s strokes) graph(step float64) []node {
	var nodes []node
	number := map[v2.Vec]int{}
	of := func(p v2.Vec) int {
		n, ok := number[p]
		if !ok {
			n = len(nodes)
			number[p] = n
			nodes = append(nodes, node{at: p.MulScalar(step)})
		}
		return n
	}
	for _, stroke := range s {
		for i := 1; i < len(stroke); i++ {
			a, b := of(stroke[i-1]), of(stroke[i])
			nodes[a].next = append(nodes[a].next, b)
			nodes[b].next = append(nodes[b].next, a)
		}
	}
	for _, n := range nodes {
		angle := func(to int) float64 { d := nodes[to].at.Sub(n.at); return math.Atan2(d.Y, d.X) }
		slices.SortFunc(n.next, func(a, b int) int { return cmp.Compare(angle(a), angle(b)) })
	}
	return nodes
}

// outlines are those of strokes that are 2*half wide: outlines counter-clockwise, islets clockwise.
func (s strokes) outlines(step, half float64) (g Glyph) {
	nodes := s.graph(step)
	walked := map[[2]int]bool{}
	for a := range nodes {
		for _, b := range nodes[a].next {
			var c Contour
			for from, to := a, b; !walked[[2]int{from, to}]; {
				walked[[2]int{from, to}] = true
				// The face lies on the left: go on with the neighbour clockwise of where we came from.
				next := nodes[to].next
				k := slices.Index(next, from)
				on := next[(k+len(next)-1)%len(next)]
				c = append(c, turn(nodes[from].at, nodes[to].at, nodes[on].at, half)...)
				from, to = to, on
			}
			if len(c) > 0 {
				slices.Reverse(c) // seen from the face it is walked the other way round
				g = append(g, c)
			}
		}
	}
	return g
}

// straightOn is the sine of the least turn that makes a corner.
const straightOn = 1e-9

// turn returns the corners of an outline that runs half on the left of the way from a over b to c.
func turn(a, b, c v2.Vec, half float64) []v2.Vec {
	d, e := b.Sub(a).Normalize(), c.Sub(b).Normalize()
	left := func(d v2.Vec) v2.Vec { return v2.Vec{X: -d.Y * half, Y: d.X * half} }
	n, m := left(d), left(e)
	along, side := float64(d.X*e.X)+float64(d.Y*e.Y), float64(d.X*e.Y)-float64(d.Y*e.X)
	switch {
	case math.Abs(side) < straightOn && along > 0:
		return nil
	case math.Abs(side) < straightOn: // the end of a stroke, cut so that it reaches half past b along the axis it is nearer to
		x, y := math.Abs(d.X), math.Abs(d.Y)
		past := d.MulScalar(half * (1 - math.Min(x, y)) / math.Max(x, y))
		return []v2.Vec{b.Add(n).Add(past), b.Add(m).Add(past)}
	case side < 0 && along < -0.05: // a sharp tip, cut off half past b
		tip := n.Add(m).Normalize()
		past := (half - float64(n.X*tip.X) - float64(n.Y*tip.Y)) / (float64(d.X*tip.X) + float64(d.Y*tip.Y))
		return []v2.Vec{b.Add(n).Add(d.MulScalar(past)), b.Add(m).Sub(e.MulScalar(past))}
	}
	return []v2.Vec{b.Add(n.Add(m).MulScalar(1 / (1 + along)))}
}
