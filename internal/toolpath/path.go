package toolpath

// This file follows the loops of a thread: where their beads end, how they wind, where they begin, and what stands before them.

import (
	"math"
	"math/cmplx"
	"slices"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

const (
	// sagMM is how far a straight piece of a loop may lie inside of the circle about the axis between two places that are tried.
	sagMM = 0.001
	// ballMM is how exactly a ball's radius is kept.
	ballMM = 1e-4
	// sectors divide the turn where crests are compared to find the axis, and walls to find what stands before them.
	sectors = 72
	// spaceMM is how far beyond its crests, on the radius, a mate takes up the space (common practice, no published source).
	spaceMM = 1.5
)

// beads returns the places of the widened paths of all loops, and the balls that run along them.
func (w *wall) beads() (beads []bead, balls []float64) {
	climb := w.Lead().MM() * float64(w.Hand) / (2 * math.Pi)
	for _, c := range w.courses {
		ball := math.Round(min(c.height/2, c.half)/ballMM) * ballMM
		kind := slices.Index(balls, ball)
		if kind < 0 {
			kind, balls = len(balls), append(balls, ball)
		}
		cone, out := w.cone(c), (c.half-ball)*w.toward*c.sense
		step := math.Sqrt(8 * sagMM * c.mean)
		for i := 1; i < len(c.pts); i++ {
			a, b := c.pts[i-1], c.pts[i]
			dx, dy := b.x-a.x, b.y-a.y
			far := math.Hypot(dx, dy)
			if far == 0 {
				continue
			}
			x, y := a.x-w.x+dy/far*out, a.y-w.y-dx/far*out
			steps := 1 + math.Floor(far/step)
			for s := 0.0; s <= steps; s++ {
				px, py := x+dx*s/steps, y+dy*s/steps
				angle := math.Atan2(py, px)
				beads = append(beads, bead{c.mid - climb*angle, w.toward * (math.Hypot(px, py) - cone), angle, kind, c.number})
			}
		}
	}
	return beads, balls
}

// centre moves the axis to the middle of the crests: the furthest bead in each sector.
func (w *wall) centre() {
	for range 2 {
		beads, _ := w.beads()
		var furthest [sectors]float64
		for k := range furthest {
			furthest[k] = math.Inf(-1)
		}
		for _, b := range beads {
			k := sector(b.angle)
			furthest[k] = max(furthest[k], b.y)
		}
		var dx, dy float64
		for k, y := range furthest {
			if math.IsInf(y, 0) {
				return
			}
			sin, cos := math.Sincos((float64(k) + 0.5) / sectors * 2 * math.Pi)
			dx, dy = dx+y*cos*2/sectors, dy+y*sin*2/sectors
		}
		w.x, w.y = w.x+w.toward*dx, w.y+w.toward*dy
	}
}

// sector is that in which an angle lies.
func sector(angle float64) int {
	f := angle / (2 * math.Pi)
	return min(int((f-math.Floor(f))*sectors), sectors-1)
}

// outlines tells the diameters of the outlines, and where loops begin.
func (w *wall) outlines(out *Wall) {
	var crests, roots []float64
	var sin, cos float64
	for _, c := range w.courses {
		crest, root := w.reach(c)
		crests, roots = append(crests, crest), append(roots, root)
		dy, dx := math.Sincos(math.Atan2(c.pts[0].y-w.y, c.pts[0].x-w.x))
		sin, cos = sin+dy, cos+dx
	}
	crest, root := unit.MM(2*w.toward*median(crests)), unit.MM(2*w.toward*median(roots))
	out.OutlineMajor, out.OutlineMinor = max(crest, root), min(crest, root)
	out.MiddleMM = unit.Round((w.courses[0].z + w.courses[len(w.courses)-1].z) / 2)
	out.SeamDeg = unit.Round(math.Mod(math.Atan2(sin, cos)*180/math.Pi+360, 360))
	// The spread of directions whose mean has the length R is sqrt(-2 ln R) (Fisher, Statistical Analysis of Circular Data, 2.3.1, from memory).
	mean := math.Hypot(sin, cos) / float64(len(w.courses))
	out.SeamSpreadDeg = unit.Round(math.Sqrt(max(0, -2*math.Log(mean))) * 180 / math.Pi)
}

// winding tells pitch and hand: of n starts, the nth harmonic of a loop's radius turns by 2 pi a pitch, backward for a right hand.
func (w *wall) winding(out *Wall) {
	var rise, turned float64
	var last complex128
	for k, c := range w.courses {
		now := w.harmonic(c.loop)
		if k > 0 && w.courses[k-1].number == c.number-1 {
			turned += cmplx.Phase(now * cmplx.Conj(last))
			rise += c.mid - w.courses[k-1].mid
		}
		last = now
	}
	if out.Hand = thread.Right; turned > 0 {
		out.Hand = thread.Left
	}
	if turned != 0 { // it is where no two layers of the thread follow one another
		out.Pitch = unit.MM(math.Abs(2 * math.Pi * rise / turned))
	}
}

// harmonic is the part of a loop's radius that goes as often about as the thread has starts.
func (w *wall) harmonic(o loop) (sum complex128) {
	var before complex128
	var from float64
	for k, v := range o.pts {
		x, y := v.x-w.x, v.y-w.y
		angle := math.Atan2(y, x)
		now := cmplx.Rect(math.Hypot(x, y)-o.mean, -float64(w.Starts)*angle)
		if k > 0 {
			sum += (now + before) * complex(math.Remainder(angle-from, 2*math.Pi)/2, 0)
		}
		before, from = now, angle
	}
	return sum * complex(o.sense, 0)
}

// before tells the length of lines that stand where the mate would.
func (w *wall) before(out *Wall, top float64) {
	for _, c := range w.courses {
		place := func(v vertex) (y float64, at int) {
			x, y := v.x-w.x, v.y-w.y
			return w.toward * (math.Hypot(x, y) - w.cone(c)), sector(math.Atan2(y, x))
		}
		var edge [sectors]float64
		for s := range edge {
			edge[s] = math.Inf(-1)
		}
		for _, v := range c.pts {
			y, at := place(v)
			edge[at] = max(edge[at], y)
		}
		lines := slices.Clone(c.rest)
		for _, o := range c.loops {
			lines = append(lines, o.pts)
		}
		for _, pts := range lines { // the thread's own is nowhere beyond its edge
			for i := 1; i < len(pts); i++ {
				y, at := place(pts[i])
				if !math.IsInf(edge[at], 0) && y > edge[at]+c.half && y < top+spaceMM {
					out.OtherMM += math.Hypot(pts[i].x-pts[i-1].x, pts[i].y-pts[i-1].y)
				}
			}
		}
	}
}
