package photo

// This file finds where the crests end on an outline: all pitches of a stretch are laid over each other, so that noise and what does
// not repeat fade, and the edge is traced on what is left.

import (
	"math"
	"slices"

	"tryring/internal/pose"
)

const (
	// bins is how many places a pitch is parted into.
	bins = 24
	// stretchPitches is how long stretches of an outline are at least, where there are more than two, mostStretches the most of them.
	stretchPitches, mostStretches = 3.0, 6
	// leastExplained is the least share of what repeats beside an outline that crests must explain.
	leastExplained = 0.5
)

// folded is what one stretch of an outline shows. All lengths are in pixels of the drawn picture.
type folded struct {
	// s is the middle of the stretch along the axis, crest how far out from the middle of the cut its crests end, u how well that is
	// known by what is left over, phase where a crest stands along.
	s, crest, u, phase float64
	// share is how much of what repeats with the pitch beside the outline crests of the basic form explain, 0 to 1.
	share float64
	// worth is the change of brightness that they explain, in grey levels, times share.
	worth float64
	// pitches is how long the stretch is.
	pitches float64
}

// sheaf is the mean of a stretch over one pitch: bins places along the pitch in each of some rows, from low outward. What is the same
// all along a row is taken off: it is the light and shade of the ground, and says nothing of the crests.
type sheaf struct {
	low  float64
	rows [][bins]float64
	// period is in pixels, s the middle of the stretch, where the first bin lies.
	period, s, pitches float64
	// all are the squares of what it shows, means what is the same all along each row.
	all   float64
	means []float64
}

// fold lays the pitches between two columns of d over each other beside an outline, from low to high.
func (o onSheet) fold(d drawn, side side, period, from, to, low, high float64) (f sheaf) {
	n := int(high-low) + 1
	f = sheaf{low: low, rows: make([][bins]float64, n), period: period, s: (from + to) / 2}
	for r := range f.rows {
		var weight [bins]float64
		t := low + float64(r)
		y := float64(side)*t + d.middle()
		step := math.Min(1, period/bins)
		for x := from; x <= to; x += step {
			if u, v := o.through(d.at3(x, y)); !d.inside(x, y, 1) || pose.Printed(u, v, 0.3) {
				continue
			}
			place := (x - f.s) / period
			b := (place - math.Floor(place)) * bins
			i := int(b)
			v := d.at(x, y)
			for k, part := range [2]float64{1 - b + float64(i), b - float64(i)} {
				at := (i + k) % bins
				f.rows[r][at], weight[at] = f.rows[r][at]+part*v, weight[at]+part
			}
		}
		mean := 0.0
		for b, w := range weight {
			if w < 0.2*(to-from)/step/bins { // something else is seen there
				mean = math.NaN()
				break
			}
			f.rows[r][b] /= w
			mean += f.rows[r][b] / bins
		}
		for b := range weight {
			f.rows[r][b] -= mean
		}
		f.means = append(f.means, mean)
	}
	return f
}

// between are the rows from low to high; none where one of them is not seen.
func (f sheaf) between(low, high float64) sheaf {
	to := max(0, min(len(f.rows), int(high-f.low)+1))
	from := min(max(0, int(low-f.low)), to)
	f.low, f.rows, f.means = f.low+float64(from), f.rows[from:to], f.means[from:to]
	if slices.ContainsFunc(f.means, math.IsNaN) {
		f.rows, f.means = nil, nil
	}
	f.all = 1e-9
	for r := range f.rows {
		for _, v := range f.rows[r] {
			f.all += v * v
		}
	}
	return f
}

// middle is the row of the middle of the cut.
func (d drawn) middle() float64 { return -d.t0 * d.k }

// terms are the ways in which brightness may change over the part beside its outline: evenly, with the height, and in stripes of one and two a
// pitch.
const terms = 6

// left is what is left of a sheaf by crests that end at tip with the first of them at phase, in bins, in squares; a stride leaves
// bins out.
func (f sheaf) left(m form, tip, phase float64, stride int) float64 {
	var normal [terms][terms]float64
	var right [terms]float64
	shift := int(math.Round(phase))
	for r := range f.rows {
		y := f.low + float64(r) - tip
		cover := m.at(y)
		if cover == nil {
			break
		}
		var basis [bins][terms]float64
		var mean [terms]float64
		h := y / f.period
		for b := 0; b < bins; b += stride {
			c := cover[((b-shift)%bins+bins)%bins]
			basis[b] = [terms]float64{c, c * h, c * binWaves[b][0], c * binWaves[b][1], c * binWaves[b][2], c * binWaves[b][3]}
			for i, v := range basis[b] {
				mean[i] += v * float64(stride) / bins
			}
		}
		for b := 0; b < bins; b += stride {
			e := &basis[b]
			for i := range e {
				e[i] -= mean[i]
				right[i] += e[i] * f.rows[r][b]
				for k := range i + 1 {
					normal[i][k] += e[i] * e[k]
				}
			}
		}
	}
	return f.all - float64(stride)*explained(normal, right)
}

// binWaves are one and two binWaves a pitch at each bin.
var binWaves = func() (w [bins][4]float64) {
	for b := range w {
		w[b][1], w[b][0] = math.Sincos(2 * math.Pi * float64(b) / bins)
		w[b][3], w[b][2] = math.Sincos(4 * math.Pi * float64(b) / bins)
	}
	return w
}()

// explained is how much the best combination takes off the squares: right normal^-1 right, by Cholesky, of what can be told apart.
func explained(normal [terms][terms]float64, right [terms]float64) (sum float64) {
	most := 0.0
	for i := range terms {
		most = math.Max(most, normal[i][i])
	}
	var l [terms][terms]float64
	var z [terms]float64
	for i := range terms {
		for k := range i + 1 {
			v := normal[i][k]
			if i == k {
				v += 1e-6*most + 1e-12
			}
			for j := range k {
				v -= l[i][j] * l[k][j]
			}
			if i == k {
				l[i][i] = math.Sqrt(math.Max(v, 1e-12))
			} else {
				l[i][k] = v / l[k][k]
			}
		}
		z[i] = right[i]
		for k := range i {
			z[i] -= l[i][k] * z[k]
		}
		z[i] /= l[i][i]
		sum += z[i] * z[i]
	}
	return sum
}

// ending is a place where the crests of a sheaf may end: how well what repeats looks like crests with nothing beyond, in grey levels, and
// where one stands.
type ending struct{ tip, phase, worth float64 }

// look tells it of places from near to far, in steps of a tenth of a period. Upper crests are worth more where light and dark meet; below a
// part that may be its shadow.
func (f sheaf) look(m form, near, far float64, upper bool) (all []ending) {
	const stride, faint, plain = 3, 0.5, 40 // faint is the share of what repeats below which crests explain nothing, plain a step in grey levels
	for t := near; t <= far; t += math.Max(1, f.period/10) {
		best := ending{tip: t}
		if g := f.between(t-0.7*f.period, t+0.5*f.period); len(g.rows) >= 5 {
			for p := 0.0; p < bins; p += stride {
				v := math.Max(0, g.all-g.left(m, t, p, stride))
				worth := (v/g.all - faint) * math.Sqrt(v/float64(len(g.rows)*bins))
				if worth > best.worth {
					best.phase, best.worth = p, worth
				}
			}
			if upper {
				best.worth *= 1 + math.Abs(median(g.means[:len(g.means)/3])-median(g.means[len(g.means)*2/3:]))/plain
			}
		}
		all = append(all, best)
	}
	return all
}

// crests finds from a rough place, off by less than half a pitch, where the crests of a sheaf end, by what repeats alone: shade on the ground
// cannot move it.
func (f sheaf) crests(m form, tip, phase float64) (g folded, ok bool) {
	for range 2 { // the second about where the first ended
		if g, ok = f.near(m, tip, phase); !ok {
			break
		}
		tip, phase = g.crest, (g.phase-f.s)/f.period*bins
	}
	return g, ok
}

// near does so for a place that is off by less than half a pitch.
func (f sheaf) near(m form, tip, phase float64) (g folded, ok bool) {
	f = f.between(tip-0.8*f.period, tip+0.5*f.period)
	if len(f.rows) < 5 || f.all <= 0 {
		return g, false
	}
	least := f.left(m, tip, phase, 1)
	for step := 1.0; step > 0.2; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, q := range [4][2]float64{{tip - step, phase}, {tip + step, phase}, {tip, phase - 1}, {tip, phase + 1}} {
				if math.Abs(q[0]-f.low-0.8*f.period) > 0.45*f.period {
					continue
				}
				if v := f.left(m, q[0], q[1], 1); v < least*(1-1e-9) {
					tip, phase, least, moved = q[0], q[1], v, true
				}
			}
		}
	}
	const reach = 0.75
	low, high := f.left(m, tip-reach, phase, 1), f.left(m, tip+reach, phase, 1)
	bend := (low + high - 2*least) / (reach * reach) // half of it is the weight of tip's square
	if bend <= 0 {
		return g, false
	}
	// Neighbours share blur: about six values are one.
	n := float64(len(f.rows) * bins)
	before, after := f.left(m, tip, phase-1, 1), f.left(m, tip, phase+1, 1)
	g = folded{s: f.s, crest: tip + reach*vertex(-low, -least, -high), u: math.Sqrt(2 * 6 * least / n / bend), share: 1 - least/f.all}
	g.phase = f.s + math.Remainder((phase+vertex(-before, -least, -after))/bins, 1)*f.period
	g.worth = g.share * math.Sqrt((f.all-least)/n)
	return g, true
}
