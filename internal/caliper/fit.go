package caliper

// This file fits one helical thread through the middle of all flanks: pitch, starts, hand, taper, slopes.

import (
	"math"
)

// maxStarts is the most starts that are looked for.
const maxStarts = 12

// flank is one family of flanks: r = c + slope (z - z0 - pitch m) on the axis found, m being the whole turns plus
// starts theta / 2 pi.
type flank struct{ z0, c, slope float64 }

// fitted is a thread as fitted, z and r in the frame of the cut. Index 0 of flanks is up, 1 is down.
type fitted struct {
	ok    bool
	pitch float64
	// turn is starts with the sign of the hand.
	turn   int
	flanks [2]flank
	// cone is the growth of the radius per height, about zMid.
	cone        float64
	zMid, zHalf float64
	radius      float64
	depth       float64
	// band is the share of the depth, each way from the pitch cone, whose flank is used.
	band float64
	// offX, offY is where the thread's axis stands at zMid; tiltX, tiltY its slope.
	offX, offY, tiltX, tiltY float64
	// rough is the usual distance of the flanks from the fit, on the radius.
	rough float64
	// full is where the full form stands.
	full [2]float64
}

// phase returns z in pitches above the flank k at angle theta.
func (t *fitted) phase(k int, theta, z float64) float64 {
	return (z-t.flanks[k].z0)/t.pitch - float64(t.turn)*theta/(2*math.Pi)
}

// onAxis returns the radius about the thread's own axis with its cone taken off.
func (t *fitted) onAxis(l *line, z, r float64) float64 {
	h := z - t.zMid
	return r - t.cone*h - (t.offX+t.tiltX*h)*l.cos - (t.offY+t.tiltY*h)*l.sin
}

// Reasons for no thread.
const (
	whyPlain   = "no regular ridges"
	whyRings   = "the ridges do not climb with the angle"
	whyShallow = "the ridges are too shallow or too deep for their spacing to be a thread"
	whyRagged  = "the ridges do not hold to one helix"
)

// Depth over pitch of anything called a thread: standard forms have 0.5 to 0.87, knuckle and bottle threads less.
const (
	leastDepthPerPitch = 0.12
	mostDepthPerPitch  = 2.0
)

// fitThread fits a thread to the swings of s, or says why there is none.
func fitThread(s *site) (fitted, string) {
	lines, ws := s.lines, s.swings
	t := fitted{depth: s.size, band: usualBand}
	var why string
	if why = t.start(lines, ws); why != "" {
		return fitted{}, why
	}
	everywhere := [2]float64{t.zMid - t.zHalf - t.pitch, t.zMid + t.zHalf + t.pitch}
	some := lines
	const many = 10 // swings a section: then half of the sections will do at first
	if len(ws) > many*len(lines) {
		some = nil
		for i := 0; i < len(lines); i += 2 {
			some = append(some, lines[i])
		}
	}
	if why = t.refine(some, everywhere); why != "" {
		return fitted{}, why
	}
	// Chamfers cut some of those flanks: again with those of the full form only, until that stays where it is.
	t.full = t.fullForm(lines)
	const again, settled = 4, 0.05 // times, and pitches
	for range again {
		better := t
		if better.refine(lines, t.full) != "" {
			break
		}
		if better.differs(&t) < formShare/4*t.depth {
			t = better
			break
		}
		better.full = better.fullForm(lines)
		moved := math.Abs(better.full[0]-t.full[0]) + math.Abs(better.full[1]-t.full[1])
		t = better
		if moved < settled*t.pitch {
			break
		}
	}
	t.ok = true
	return t, ""
}

// differs returns how far, on the radius, t and o lie apart at most, about.
func (t *fitted) differs(o *fitted) float64 {
	d := math.Abs(t.cone-o.cone) * t.zHalf
	d += math.Hypot(t.offX-o.offX, t.offY-o.offY) + math.Hypot(t.tiltX-o.tiltX, t.tiltY-o.tiltY)*(t.zHalf+t.radius)
	for k, f := range t.flanks {
		d += math.Abs(f.c-o.flanks[k].c) + math.Abs((t.pitch/o.pitch-1)*f.slope)*t.zHalf
	}
	return d
}

// usualBand is the band of a fitted thread: Whitworth arcs begin at 0.38. LeastBand is as much straight flank as an angle needs.
const (
	usualBand = 0.28
	LeastBand = usualBand / 2
)

// flankSpot is a place on a flank with the length of flank that it stands for.
type flankSpot struct {
	k                      int
	z, r, cos, sin, weight float64
	m                      float64 // turn count at the place
	theta                  float64
}

// refine fits pitch, cone, slopes and the place of the axis to all flanks together that lie within the given heights.
func (t *fitted) refine(lines []line, within [2]float64) string {
	for k, f := range t.flanks {
		if math.IsNaN(f.slope) || (f.slope > 0) != (k == 0) || math.IsInf(f.slope, 0) {
			return whyRagged
		}
	}
	spots := t.flankSpots(lines, within)
	gate := t.depth / 4
	left := make([]float64, len(spots))
	const (
		most   = 10   // rounds
		slow   = 0.7  // what the roughness must shrink to for another
		smooth = 2e-4 // of the depth: the fit before was good already
	)
	rough := math.Inf(1)
	for round := 0; round < most; round++ {
		sums := system{n: maxUnknowns}
		used := [2]int{}
		for i := range spots {
			s := &spots[i]
			f := &t.flanks[s.k]
			ph := t.phase(s.k, s.theta, s.z)
			n := math.Round(ph)
			s.m = n + float64(t.turn)*s.theta/(2*math.Pi)
			h := s.z - t.zMid
			zc := t.pitch * (ph - n)
			e := s.r - f.c - f.slope*zc - t.cone*h - (t.offX+t.tiltX*h)*s.cos - (t.offY+t.tiltY*h)*s.sin
			e -= f.slope * s.r * (t.tiltX*s.cos + t.tiltY*s.sin)
			left[i] = math.Abs(e)
			if left[i] > gate {
				continue
			}
			used[s.k]++
			tilt := h + f.slope*s.r
			row := [maxUnknowns]float64{4: -f.slope * s.m, h, s.cos, s.sin, tilt * s.cos, tilt * s.sin}
			row[2*s.k], row[2*s.k+1] = 1, zc
			sums.add(row[:], e, s.weight)
		}
		if used[0] < sections/2 || used[1] < sections/2 {
			if gate *= 4; round > 0 && gate < t.depth/4 {
				continue // the fit before was nearer than the first round's, which takes in what a chamfer cuts
			}
			return whyRagged
		}
		// What is left is that of the fit before, and gates the next round.
		t.rough = 1.4826 * median(left)
		const leastGate = 1e-3 // of the depth
		gate = max(4*t.rough, leastGate*t.depth)
		x, ok := sums.solve()
		if !ok {
			return whyRagged
		}
		for k := range t.flanks {
			t.flanks[k].c += x[2*k]
			t.flanks[k].slope += x[2*k+1]
		}
		t.pitch += x[4]
		t.cone += x[5]
		t.offX += x[6]
		t.offY += x[7]
		t.tiltX += x[8]
		t.tiltY += x[9]
		if !(t.pitch > 0) || t.flanks[0].slope <= 0 || t.flanks[1].slope >= 0 {
			return whyRagged
		}
		if round > 0 && t.rough < smooth*t.depth || round > 1 && t.rough > slow*rough {
			break
		}
		rough = t.rough
	}
	if t.rough > t.depth/4 {
		return whyRagged
	}
	return ""
}

// flankSpots returns two points (those of Gauss) of each piece of flank within the band about the pitch cone.
func (t *fitted) flankSpots(lines []line, within [2]float64) []flankSpot {
	out := make([]flankSpot, 0, 64*len(lines))
	for i := range lines {
		l := &lines[i]
		for _, p := range l.pieces {
			if p.z1 <= p.z0 || p.z0 > within[1] || p.z1 < within[0] {
				continue
			}
			w0 := t.onAxis(l, p.z0, p.m0) - t.radius
			w1 := t.onAxis(l, p.z1, p.m1) - t.radius
			k := kind(w1 > w0)
			// The share of the piece within the band.
			a, b := -t.band*t.depth, t.band*t.depth
			if k == 1 {
				a, b = b, a
			}
			from, to := (a-w0)/(w1-w0), (b-w0)/(w1-w0)
			from = max(from, 0, (within[0]-p.z0)/(p.z1-p.z0))
			to = min(to, 1, (within[1]-p.z0)/(p.z1-p.z0))
			if !(to > from) {
				continue
			}
			const gauss = 0.21132486540518712 // (1 - 1/sqrt 3) / 2
			for _, g := range [2]float64{gauss, 1 - gauss} {
				u := from + g*(to-from)
				out = append(out, flankSpot{
					k: k, z: p.z0 + u*(p.z1-p.z0), r: p.m0 + u*(p.m1-p.m0),
					cos: l.cos, sin: l.sin, theta: l.theta, weight: (to - from) * (p.z1 - p.z0),
				})
			}
		}
	}
	return out
}

// pitchRadius returns the radius, at zMid, of the cone on which ridge and groove are equally wide along the axis.
//
// On the cone at w the flank k stands at z = z0 + (w - c) / slope + pitch m; the distance from an up flank to the next
// down flank is half a pitch there.
func (t *fitted) pitchRadius() float64 {
	up, down := t.flanks[0], t.flanks[1]
	width := func(w float64) float64 { return down.z0 + (w-down.c)/down.slope - up.z0 - (w-up.c)/up.slope }
	grows := 1/down.slope - 1/up.slope
	d := (width(t.radius) - t.pitch/2) / t.pitch
	d -= math.Round(d)
	return t.radius - d*t.pitch/grows
}
