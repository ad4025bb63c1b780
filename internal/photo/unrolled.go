package photo

// This file reads pitch, hand and starts off the face of a part on the sheet: its brightness over a cylinder repeats with the pitch
// along the axis, whatever the light.

import (
	"math"
	"math/cmplx"
	"slices"
)

const (
	// faceLines is how many lines along the axis are looked at, faceAngle how far to either side of the middle they lie, in radians.
	faceLines, faceAngle = 33, 0.9
	// longestShare is the longest period that is looked for, as a share of the thread's length.
	longestShare = 1.0 / 3.5
	// leastFace is the least period in pixels.
	leastFace = 4.5
	// flankShare is how far under the crests what repeats on the face lies, in pitches: between the crests and the middle of the flanks.
	flankShare = 0.15
	// mostTurn is by how much, in radians, the direction of stripes may differ from that of the axis.
	mostTurn = 0.25
	// leastOnce is the least power, as a share of what repeats twice a pitch, of what repeats once, by the square of how much of it climbs alike.
	leastOnce = 0.065
)

// crestsOnFace is what the face of a thread says.
type crestsOnFace struct {
	// pitch is in mm as drawn.
	pitch float64
	// from and to bound the thread along the axis.
	from, to float64
	// turns is by how many pitches the crests climb in a turn: 1 for a right-hand thread of one start, -2 for a left-hand one of two;
	// pure is how much of the crests' change that explains, 0 to 1.
	turns float64
	pure  float64
}

// unrolled are lines of brightness along a cylinder, step mm from place to place, with a slow change taken off.
type unrolled struct {
	lines []([]float64)
	angle []float64
	s0    float64
	step  float64
}

// unroll samples a cylinder's face from -reach to reach along its axis.
func (o onSheet) unroll(c cylinder, reach float64) unrolled {
	cut := c.cut(o.view.At)
	out := cut.out()
	n := int(2*reach*o.pixelsPerMM(cut.middle)) + 8
	u := unrolled{s0: -reach, step: 2 * reach / float64(n-1)}
	for i := range faceLines {
		angle := faceAngle * (2*float64(i)/(faceLines-1) - 1)
		sin, cos := math.Sincos(angle)
		at := c.at.Plus(c.radius*cos, out).Plus(c.radius*sin, cut.across)
		line := make([]float64, n)
		for k := range line {
			if x, y, ok := o.view.Sees(at.Plus(u.s0+float64(k)*u.step, c.along)); ok {
				line[k] = o.grey.at(x, y)
			}
		}
		u.lines, u.angle = append(u.lines, line), append(u.angle, angle)
	}
	return u
}

// head turns a cylinder about where it lies until the crests on its face climb by one pitch a turn, as well as they can.
func (o onSheet) head(c *cylinder, reach float64) bool {
	pitch, ok := o.unroll(*c, reach).period(-0.6*reach, 0.6*reach)
	best, most := *c, 0.0
	for turn := -mostTurn; turn <= mostTurn; turn += mostTurn / 24 {
		sin, cos := math.Sincos(turn)
		t := *c
		t.along = Vec{cos*c.along[0] - sin*c.along[1], cos*c.along[1] + sin*c.along[0], 0}
		u := o.unroll(t, reach)
		for _, times := range []float64{1, 2} { // what glints on crest and root repeats twice a pitch
			climb, _ := u.climb(times*pitch, -0.6*reach, 0.6*reach)
			if p := math.Max(climb(-1), climb(1)); p > most {
				best, most = t, p
			}
		}
	}
	*c = best
	return ok
}

// climb is how much of what repeats once and twice a pitch climbs by so many pitches a turn, and how much there is.
func (u unrolled) climb(pitch, from, to float64) (at func(turns float64) float64, all float64) {
	once, twice := u.sums(pitch, from, to), u.sums(pitch/2, from, to)
	for i := range once {
		all += cmplx.Abs(once[i]) + cmplx.Abs(twice[i])
	}
	return func(turns float64) float64 {
		// A crest stands at s = P turns angle / 2 pi, and so turns the sum by -turns angle.
		var a, b complex128
		for i, angle := range u.angle {
			a += once[i] * cmplx.Rect(1, turns*angle)
			b += twice[i] * cmplx.Rect(1, 2*turns*angle)
		}
		return cmplx.Abs(a) + cmplx.Abs(b)
	}, all
}

// sums are the lines' Fourier sums at a period, in mm, between two places, Hann's window over them, each line's own mean and slope
// taken off.
func (u unrolled) sums(period, from, to float64) []complex128 {
	i0, i1 := max(0, int((from-u.s0)/u.step)), min(len(u.lines[0]), int((to-u.s0)/u.step)+1)
	all := make([]complex128, len(u.lines))
	if i1-i0 < 8 {
		return all
	}
	n := float64(i1 - i0)
	weights, turns := make([]float64, i1-i0), make([]complex128, i1-i0)
	for i := range weights {
		x := (float64(i) + 0.5) / n
		weights[i] = 1 - math.Cos(2*math.Pi*x)
		turns[i] = cmplx.Rect(weights[i], -2*math.Pi*(u.s0+float64(i0+i)*u.step)/period)
	}
	for k, line := range u.lines {
		var mean, slope, xx float64
		for i, v := range line[i0:i1] {
			x := float64(i) - (n-1)/2
			mean, slope, xx = mean+v/n, slope+v*x, xx+x*x
		}
		slope /= xx
		for i, v := range line[i0:i1] {
			all[k] += complex(v-mean-slope*(float64(i)-(n-1)/2), 0) * turns[i]
		}
		all[k] /= complex(n, 0)
	}
	return all
}

func power(c []complex128) (sum float64) {
	for _, v := range c {
		sum += real(v)*real(v) + imag(v)*imag(v)
	}
	return sum
}

// repeats is the power of what repeats once and twice a pitch.
func (u unrolled) repeats(pitch, from, to float64) float64 {
	return power(u.sums(pitch, from, to)) + power(u.sums(pitch/2, from, to))
}

// read finds the pitch of what is on the face, near a guess where there is one, which may be sure; ok is false where nothing repeats.
func (u unrolled) read(guess float64, sure bool) (f crestsOnFace, ok bool) {
	f.from, f.to = u.s0, u.s0+u.step*float64(len(u.lines[0])-1)
	if f.pitch = guess; guess == 0 {
		if f.pitch, ok = u.period(0.8*f.from, 0.8*f.to); !ok {
			return f, false
		}
	}
	for range 3 {
		f.pitch = u.finest(f.pitch, f.from, f.to)
		if f.from, f.to, ok = u.extent(f.pitch); !ok || f.to-f.from < 4*f.pitch {
			return f, false
		}
	}
	// What glints on crest and root repeats twice a pitch; the longest that crests follow by themselves is the pitch.
	switch half := f.pitch / 2; {
	case sure:
	case u.follows(2*f.pitch, f.from, f.to):
		f.pitch *= 2
	case !u.follows(f.pitch, f.from, f.to) && u.follows(half, f.from, f.to):
		f.pitch = half
	}
	f.climbs(u)
	return f, true
}

// period is that of the strongest peak of the power of how all lines change.
func (u unrolled) period(from, to float64) (float64, bool) {
	length := to - from
	var periods, powers []float64
	for cycles := 1 / longestShare; length/cycles > leastFace*u.step; cycles += 0.25 {
		periods, powers = append(periods, length/cycles), append(powers, power(u.sums(length/cycles, from, to)))
	}
	if len(powers) < 8 {
		return 0, false
	}
	best, most := 0, 0.0
	for i := 2; i < len(powers)-2; i++ {
		// How far it stands out of what is around it.
		around := median(powers[max(0, i-max(12, i/4)):min(len(powers), i+max(12, i/4)+1)])
		if v := powers[i] / around; powers[i] >= powers[i-1] && powers[i] >= powers[i+1] && v > most {
			best, most = i, v
		}
	}
	if most < 3 {
		return 0, false
	}
	return periods[best], true
}

// finest is the period within a cycle of a guess with the most power.
func (u unrolled) finest(guess, from, to float64) float64 {
	const step = 0.04
	at := func(cycles float64) float64 { return u.repeats((to-from)/cycles, from, to) }
	best, most := 0.0, 0.0
	for c := math.Max((to-from)/guess-1, 2); c < (to-from)/guess+1; c += step {
		if v := at(c); v > most {
			best, most = c, v
		}
	}
	return (to - from) / (best + step*vertex(at(best-step), most, at(best+step)))
}

// extent is from where to where the ripple is at least half as strong as usual, over windows of three pitches.
func (u unrolled) extent(pitch float64) (from, to float64, ok bool) {
	last := u.s0 + u.step*float64(len(u.lines[0])-1)
	var at, strength []float64
	for s := u.s0 + 1.5*pitch; s <= last-1.5*pitch; s += pitch / 2 {
		at, strength = append(at, s), append(strength, math.Sqrt(u.repeats(pitch, s-1.5*pitch, s+1.5*pitch)))
	}
	if len(at) < 2 {
		return 0, 0, false
	}
	sorted := slices.Clone(strength)
	slices.Sort(sorted)
	least, i, k, run := sorted[len(sorted)*3/4]/2, 0, -1, 0
	for j, v := range strength { // the longest run
		if v < least {
			run = j + 1
		} else if j-run > k-i {
			i, k = run, j
		}
	}
	if k < 0 {
		return 0, 0, false
	}
	// At the very end of a thread the windows hold half of it.
	return at[i] + 0.75*pitch, at[k] - 0.75*pitch, at[k]-at[i] > 2*pitch
}

// follows tells whether what repeats once a pitch climbs evenly, and counts beside what repeats twice.
func (u unrolled) follows(pitch, from, to float64) bool {
	sums := u.sums(pitch, from, to)
	best, all := 0.0, 0.0
	for _, c := range sums {
		all += cmplx.Abs(c)
	}
	for turns := -6.0; turns <= 6; turns += 0.1 {
		var sum complex128
		for i, c := range sums {
			sum += c * cmplx.Rect(1, turns*u.angle[i])
		}
		best = math.Max(best, cmplx.Abs(sum))
	}
	return square(best/all)*power(sums) > leastOnce*power(u.sums(pitch/2, from, to))
}

// climbs tells from line to line by how much the crests climb.
func (f *crestsOnFace) climbs(u unrolled) {
	climb, all := u.climb(f.pitch, f.from, f.to)
	best := 0.0
	for turns := -6.0; turns <= 6; turns += 0.05 {
		if v := climb(turns); v > best {
			best, f.turns, f.pure = v, turns, v/math.Max(all, 1e-9)
		}
	}
}
