package photo

// This file follows the outlines of a part that lies on the sheet, and reads where its crests end.

import (
	"math"
	"slices"
	"sync"

	"tryring/internal/pose"
)

const (
	// reaches is how far beyond the thread that was guessed outlines are followed, in lengths of it.
	reaches = 1.25
	// uRaised is how high over the sheet crests may lie, on burrs, dirt or waves of the paper: a standard deviation in mm.
	// Common practice, no published source.
	uRaised = 0.05
	// uPrint is how much more a printer may stretch one direction of a page than the other, as a share, a standard deviation. Common
	// practice, no published source.
	uPrint = 0.001
	// usualTilt is how level a part lies on its crests, in radians, a standard deviation: 0.1 mm over 30. Common practice, no published
	// source.
	usualTilt = 0.0035
	// leastLit is how bright the ground beyond an outline must be, as a share of paper, for its crests to be told from their shadow.
	leastLit = 0.6
	// uForm is how far crests end from where a basic form of the same flanks has them, for wear, other forms and reflections, uInShade by
	// how much more in shade, as shares of the pitch; uShine how far light that moves along the crests moves the pitch, as a share, and
	// uGlare where the face mirrors so much that its crests do not climb evenly. Standard deviations, of pictures that were rendered.
	uForm, uInShade, uShine, uGlare = 0.04, 0.15, 0.002, 0.006
	// sureTilt is the largest tilt, beyond its uncertainty, of a part that lies on its crests, in radians.
	sureTilt = 0.015
)

// lying is what was read off a part on the sheet.
type lying struct {
	cylinder cylinder
	drawn    drawn
	face     crestsOnFace
	blur     float64
	// edges are the stretches of the upper and of the lower outline.
	edges [2][]folded
	// lit is how bright the ground is just beyond each outline, as a share of paper.
	lit [2]float64
}

// read finds pitch and outlines of a thread about where it is guessed to be, and solves for it, until both agree.
func (o onSheet) read(guess cylinder, reach float64) (l lying, why string) {
	c, under, pitch := guess, 0.03*guess.radius, 0.0
	for round := range 4 {
		inner := c
		inner.radius -= under
		var ok bool
		if l.face, ok = o.unroll(inner, reach*reaches).read(pitch); !ok {
			return l, "nothing on the part's face repeats evenly, as the crests of a thread do"
		}
		// The middle of the thread is where the outlines tell most.
		middle := (l.face.from + l.face.to) / 2
		c.at = c.at.Plus(middle, c.along)
		l.face.from, l.face.to = l.face.from-middle, l.face.to-middle
		cut := c.cut(o.view.At)
		wide := cut.half*1.4 + 3*l.face.pitch
		l.cylinder = c
		l.drawn = o.draw(cut, o.pixelsPerMM(cut.middle), -reach*reaches, reach*reaches, -wide, wide)
		if why = o.trace(&l, round); why != "" {
			return l, why
		}
		pitch = l.face.pitch
		under = math.Min(flankShare*pitch, c.radius/3)
		if c, _, ok = lies(o.view.At, rays(o.view.Camera, o.ends(l)), c, 0, usualTilt); !ok {
			return l, "no cylinder that lies on the sheet has the part's outlines"
		}
		l.cylinder = c
		l.lit = o.lit(l)
	}
	return l, ""
}

// trace finds the edges of all stretches of both outlines.
func (o onSheet) trace(l *lying, round int) (why string) {
	if l.face.to-l.face.from < (2*stretchPitches+1)*l.face.pitch {
		return "too few crests are to be seen side by side"
	}
	if round == 0 {
		l.blur = usualBlur
	}
	if round == 1 {
		// What glints on crest and root repeats twice a pitch on the face, but not over some length of the outline.
		once, twice := o.edges(*l, round, 2*stretchPitches), *l
		twice.face.pitch *= 2
		twice.edges = o.edges(twice, round, stretchPitches)
		if worth(twice.edges[0], 2) > worth(once[0], 1) {
			*l = twice
		}
	}
	if round == 2 {
		l.blur = o.blurOf(*l)
	}
	if l.edges = o.edges(*l, round, stretchPitches); round == 0 {
		l.edges = o.edges(*l, round, roughPitches)
	}
	if len(l.edges[0]) < 2 {
		return "the thread's upper outline hardly stands out from what is behind it"
	}
	// The lower outline is as long as the upper one.
	first, last := l.edges[0][0].s, l.edges[0][len(l.edges[0])-1].s
	l.edges[1] = slices.DeleteFunc(l.edges[1], func(f folded) bool {
		beyond := f.pitches * l.face.pitch * l.drawn.k / 2
		return f.s < first-beyond || f.s > last+beyond
	})
	return ""
}

// worth is how well edges are crests', with the length that has any.
func worth(all []folded, pitch float64) (sum float64) {
	for _, f := range all {
		sum += f.worth * f.pitches * pitch
	}
	return sum
}

// edges are those of all stretches of both outlines, of so many pitches at least.
func (o onSheet) edges(l lying, round int, pitches float64) (all [2][]folded) {
	half, period := l.drawn.cut.half*l.drawn.k, l.face.pitch*l.drawn.k
	near, far := half-0.6*period, half+0.6*period
	switch round {
	case 0:
		near, far = 0.7*half-period, 1.35*half+period
	case 1:
		near, far = half-1.5*period-2, half+1.5*period+2
	}
	var both sync.WaitGroup
	for i, side := range []side{left, right} {
		both.Go(func() {
			for _, f := range o.sheaves(l, side, near, far, pitches) {
				m := o.formOf(l, side, f, l.blur)
				tip, phase, share := f.look(m, near, far)
				if share < 0 {
					continue
				}
				if g, ok := f.crests(m, tip, phase); ok && g.share > leastExplained {
					g.pitches = f.pitches
					all[i] = append(all[i], g)
				}
			}
		})
	}
	both.Wait()
	return all
}

// sheaves are the stretches of an outline that are seen against plain paper or table.
func (o onSheet) sheaves(l lying, side side, near, far, pitches float64) (all []sheaf) {
	d, period := l.drawn, l.face.pitch*l.drawn.k
	from, to := (l.face.from-d.s0)*d.k+period/2, (l.face.to-d.s0)*d.k-period/2
	n := int((to - from) / (pitches * period))
	if pitches > roughPitches {
		n = min(mostStretches, n)
	}
	n = max(1, min(roughStretches, n))
	for k := range n {
		a, b := from+(to-from)*float64(k)/float64(n), from+(to-from)*float64(k+1)/float64(n)
		if pitches == roughPitches {
			b = math.Min(b, a+3*period)
		}
		f := o.fold(d, side, period, a, b, near-0.9*period, far+0.6*period)
		f.pitches = (b - a) / period
		all = append(all, f)
	}
	return all
}

// formOf is how crests look on a stretch of an outline.
func (o onSheet) formOf(l lying, side side, f sheaf, blur float64) form {
	d := l.drawn
	ray := d.at3(f.s, float64(side)*d.cut.half*d.k+d.middle()).Plus(-1, o.view.At).Unit()
	lean := pose.Dot(ray, d.cut.along)
	radius := l.cylinder.radius * d.k
	turns := 0.0
	if math.Abs(l.face.turns) < 1.6 {
		turns = math.Round(l.face.turns)
	}
	slant := radius*lean/math.Sqrt(1-lean*lean) - float64(side)*turns*f.period/(2*math.Pi)
	return newForm(f.period, blur, slant, radius)
}

// blurOf is the blur with which crests explain the upper outline best.
func (o onSheet) blurOf(l lying) float64 {
	half, period := l.drawn.cut.half*l.drawn.k, l.face.pitch*l.drawn.k
	near, far := half-1.5*period, half+1.5*period
	sheaves := o.sheaves(l, left, near, far, stretchPitches)
	var sums [5]float64
	for _, f := range sheaves {
		tip, phase, share := f.look(o.formOf(l, left, f, usualBlur), near, far)
		if share < 0 {
			continue
		}
		for i := range sums {
			if g, ok := f.crests(o.formOf(l, left, f, blurTried(i)), tip, phase); ok {
				sums[i] += g.share
			}
		}
	}
	return blurTried(slices.Index(sums[:], slices.Max(sums[:])))
}

// usualBlur is that of a sharp picture, in pixels.
const usualBlur = 1.4

// blurTried are the blurs that are tried.
func blurTried(i int) float64 { return 0.7 * math.Pow(1.45, float64(i)) }

// lit is how bright the ground is just beyond both outlines, as a share of the paper's at the marks.
func (o onSheet) lit(l lying) (lit [2]float64) {
	var papers []float64
	for _, m := range o.view.Marks {
		papers = append(papers, m.Disc.Paper)
	}
	paper, d := median(papers), l.drawn
	for side := range lit {
		a, b, _ := l.crestLine(side)
		var sum, n float64
		for s := l.face.from; s < l.face.to; s += 1 / d.k {
			x := s*d.k + d.s00()
			for past := 3.0; past < 6; past++ {
				y := []float64{-1, 1}[side]*(a+b*s*d.k+past) + d.middle()
				if d.inside(x, y, 1) && !o.printed(d.at3(x, y), 0.5) {
					sum, n = sum+d.at(x, y), n+1
				}
			}
		}
		lit[side] = sum / math.Max(n, 1) / paper
	}
	return lit
}

// crestLine is the line through the ends of an outline's crests: out = a + b s in pixels, and how well its ends are known. Where they
// cannot be told it is about where the face ends.
func (l lying) crestLine(side int) (a, b, u float64) {
	if len(l.edges[side]) < 2 {
		half := l.drawn.cut.half * l.drawn.k
		return half, 0, uFades * half
	}
	var s, out []float64
	var known float64
	for _, f := range l.edges[side] {
		s, out = append(s, f.s-l.drawn.s00()), append(out, f.crest)
		known += f.u * f.u
	}
	n := float64(len(s))
	if n < 3 {
		b = (out[1] - out[0]) / (s[1] - s[0])
		return out[0] - b*s[0], b, math.Sqrt(known)
	}
	a, b, rough, ok := robustLine(s, out)
	if !ok {
		return out[0], 0, 1
	}
	// An end of a line through n places stands 2/sqrt(n) of their spread off.
	return a, b, 2 * math.Sqrt(math.Max(rough*rough, known/n)/n)
}

// scaleOfPrint names that part of an uncertainty.
const scaleOfPrint = "the print's scale"

// uFades is how well it is known where the face ends by where its ripple fades, as a share of the radius.
const uFades = 0.06

// uPhase is how well a crest of a stretch stands at best, in pixels.
const uPhase = 0.12
