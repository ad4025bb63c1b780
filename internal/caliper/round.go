package caliper

// This file finds how far sections stand off a circle: where a thread is oval, or worn on one side.

import "math"

// circle is the roughness, in depths, below which nothing stands off a circle and no noise is looked for.
const circle = 5e-3

// findOut finds how far out each section stands, from the flanks that lie within wide of the fit: one that is farther out has its up
// flanks lower and its down flanks higher. What an axis that stands elsewhere, or another radius, would explain is no part of it.
func (t *fitted) findOut(lines []line, spots []flankSpot, wide float64) {
	var sums [sections]system
	for i := range sums {
		sums[i].n = 2
	}
	for i := range spots {
		if s := &spots[i]; math.Abs(s.left) <= wide {
			k, e, _ := t.equation(s)
			sums[s.l.sec].add([]float64{-t.flanks[k].run, 1}, e, s.weight)
		}
	}
	plain := system{n: 3}
	var found [sections]bool
	var out [sections]float64
	for i := range lines {
		l := &lines[i]
		if x, ok := sums[l.sec].solve(); ok {
			found[l.sec], out[l.sec] = true, x[0]
			if t.out != nil {
				out[l.sec] += t.out[l.sec]
			}
			plain.add([]float64{1, l.cos, l.sin}, out[l.sec], 1)
		}
	}
	x, ok := plain.solve()
	if !ok {
		return
	}
	t.out = make([]float64, sections)
	for _, l := range lines {
		if found[l.sec] {
			t.out[l.sec] = out[l.sec] - x[0] - x[1]*l.cos - x[2]*l.sin
		}
	}
}

// unround returns how much wider than the mean the thread is at most as an oval, on the radius, and how far the sections usually
// stand off that.
func (t *fitted) unround(lines []line) (oval, worn float64) {
	if t.out == nil {
		return 0, 0
	}
	twice := system{n: 2}
	wave := func(l *line) []float64 { return []float64{l.cos*l.cos - l.sin*l.sin, 2 * l.cos * l.sin} }
	for i := range lines {
		twice.add(wave(&lines[i]), t.out[lines[i].sec], 1)
	}
	x, _ := twice.solve()
	for i := range lines {
		w := wave(&lines[i])
		worn = hypot(worn, t.out[lines[i].sec]-x[0]*w[0]-x[1]*w[1])
	}
	return hypot(x[0], x[1]), worn / math.Sqrt(float64(len(lines)))
}
