package caliper

// This file fits one helical thread through the middle of all flanks: pitch, starts, hand, taper, slopes, and how round it is.

import (
	"math"
	"slices"
)

// maxStarts is the most starts that are looked for.
const maxStarts = 12

// flank is one family of flanks: z = z0 + pitch m + run (r - radius) on the axis found, m being the whole turns plus
// starts theta / 2 pi. Heights are fitted and radii are taken as they are, since spots are chosen by their radius: what is
// uncertain of those chosen is then the height alone.
type flank struct{ z0, run float64 }

// fitted is a thread as fitted, z and r in the frame of the cut. Index 0 of flanks is up, 1 is down.
type fitted struct {
	pitch float64
	// turn is starts with the sign of the hand.
	turn   int
	flanks [2]flank
	// cone is the growth of the radius per height, about zMid.
	cone        float64
	zMid, zHalf float64
	// radius is near the pitch cone's, at zMid.
	radius float64
	depth  float64
	// band is the share of the depth, each way from the pitch cone, whose flank is used.
	band float64
	// offX, offY is where the thread's axis stands at zMid; tiltX, tiltY its slope.
	offX, offY, tiltX, tiltY float64
	// out is how far out each section stands beyond a circle about that axis: an oval, a worn side. Nil for round.
	out []float64
	// rough is the usual distance of the flanks from the fit, on the radius.
	rough float64
	// held is where its flanks stand; full is where the full form stands; crest and root are the extremes of the usual form, noise taken off.
	held, full  [2]float64
	crest, root float64
}

// phase returns z in pitches above the flank k at angle theta.
func (t *fitted) phase(k int, theta, z float64) float64 {
	return (z-t.flanks[k].z0)/t.pitch - float64(t.turn)*theta/(2*math.Pi)
}

// onAxis returns the radius about the thread's own axis with its cone taken off.
func (t *fitted) onAxis(l *line, z, r float64) float64 {
	h := z - t.zMid
	r -= t.cone*h + (t.offX+t.tiltX*h)*l.cos + (t.offY+t.tiltY*h)*l.sin
	if t.out != nil {
		r -= t.out[l.sec]
	}
	return r
}

// runs is the mean run of the two flanks: so much along the axis is one on the radius.
func (t *fitted) runs() float64 { return (t.flanks[0].run - t.flanks[1].run) / 2 }

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

// fitThread fits a thread to the swings of s, or says why there is none. It returns the lines that meet its flanks with it.
func fitThread(s *site) (fitted, []line, string) {
	// The lines that meet the wall.
	lines := slices.DeleteFunc(slices.Clone(s.lines), func(l line) bool { return len(l.spots) == 0 })
	t := fitted{depth: s.size, band: usualBand}
	could, why := t.start(s)
	if why != "" {
		return fitted{}, nil, why
	}
	everywhere := [2]float64{t.zMid - t.zHalf - t.pitch, t.zMid + t.zHalf + t.pitch}
	some := lines
	const many = 10 // swings a section: then half of the sections will do at first
	if len(s.swings) > many*len(lines) {
		some = nil
		for i := 0; i < len(lines); i += 2 {
			some = append(some, lines[i])
		}
	}
	t.rough = math.Inf(1)
	for _, one := range could {
		if one.refine(some, everywhere) == "" && one.rough < t.rough {
			t = one
		}
	}
	if t.turn == 0 {
		return fitted{}, nil, whyRagged
	}
	met := map[int]bool{}
	t.eachSpot(lines, everywhere, func(s *flankSpot) { met[s.l.sec] = true })
	lines = slices.DeleteFunc(lines, func(l line) bool { return !met[l.sec] })
	// Chamfers cut some of those flanks: again with those of the full form only, until the fit stays where it is.
	t.full = t.fullForm(lines)
	const again = 4
	for range again {
		better := t
		if better.refine(lines, t.full) != "" {
			break
		}
		same := better.differs(&t) < formShare/4*t.depth
		if t = better; same {
			break
		}
		t.full = t.fullForm(lines)
	}
	if !(t.covered(lines, t.full) > leastCover) {
		return fitted{}, nil, whyRagged
	}
	// Among the swings may be those of another thread beside it.
	if t.held = [2]float64{t.zMid - t.zHalf, t.zMid + t.zHalf}; !(t.covered(lines, t.held) > leastCover) {
		t.held = t.full
	}
	return t, lines, ""
}

// leastCover is the least share of the flanks that the fit foretells on the full form, on all lines, that stand within an eighth of a
// pitch of their places: noise on a plain wall leaves half of a few.
const leastCover = 0.7

// covered returns that share, between two heights.
func (t *fitted) covered(lines []line, full [2]float64) float64 {
	sum := 0.0
	t.eachSpot(lines, full, func(s *flankSpot) {
		if _, e, _ := t.equation(s); math.Abs(e) < t.pitch/8 {
			sum += s.weight
		}
	})
	const ways, points = 2, 2 // up and down, and each piece stands for itself at so many
	return sum / (ways * points * 2 * t.band * t.depth * (full[1] - full[0]) / t.pitch * float64(len(lines)))
}

// differs returns how far, on the radius, t and o lie apart at most, about.
func (t *fitted) differs(o *fitted) float64 {
	d := math.Abs(t.cone-o.cone) * t.zHalf
	d += math.Hypot(t.offX-o.offX, t.offY-o.offY) + math.Hypot(t.tiltX-o.tiltX, t.tiltY-o.tiltY)*(t.zHalf+t.radius)
	for k, f := range t.flanks {
		d += (math.Abs(f.z0-o.flanks[k].z0) + math.Abs(t.pitch/o.pitch-1)*t.zHalf) / t.runs()
	}
	return d
}

// usualBand is the band of a fitted thread: Whitworth arcs begin at 0.38. LeastBand is as much straight flank as an angle needs.
const (
	usualBand = 0.28
	LeastBand = usualBand / 2
)

// The unknowns of the fit, in the order of their columns.
const (
	ofZ0    = 0 // and 1, of the two flanks
	ofRun   = 2 // and 3
	ofPitch = 4
	ofCone  = 5
	ofOff   = 6 // and 7
	ofTilt  = 8 // and 9
)

// equation returns the flank that s lies on, how far above the fit it stands, and how much that changes with each unknown.
func (t *fitted) equation(s *flankSpot) (k int, left float64, row [maxUnknowns]float64) {
	l := s.l
	h, w := s.z-t.zMid, t.onAxis(l, s.z, s.r)-t.radius
	z := s.z + s.r*(t.tiltX*l.cos+t.tiltY*l.sin)
	m := 0.0
	left = math.Inf(1)
	for j, f := range t.flanks {
		ph := t.phase(j, l.theta, z-f.run*w)
		n := math.Round(ph)
		if e := t.pitch * (ph - n); math.Abs(e) < math.Abs(left) {
			k, left, m = j, e, n+float64(t.turn)*l.theta/(2*math.Pi)
		}
	}
	run := t.flanks[k].run
	tilt := -run*h - s.r
	row = [maxUnknowns]float64{ofPitch: m, ofCone: -run * h, ofOff: -run * l.cos, -run * l.sin, ofTilt: tilt * l.cos, tilt * l.sin}
	row[ofZ0+k], row[ofRun+k] = 1, w
	return k, left, row
}

// change moves t by a step of its unknowns, and tells whether it is still a thread.
func (t *fitted) change(x [maxUnknowns]float64) bool {
	for k := range t.flanks {
		t.flanks[k].z0 += x[ofZ0+k]
		t.flanks[k].run += x[ofRun+k]
	}
	t.pitch += x[ofPitch]
	t.cone += x[ofCone]
	t.offX += x[ofOff]
	t.offY += x[ofOff+1]
	t.tiltX += x[ofTilt]
	t.tiltY += x[ofTilt+1]
	return t.pitch > 0 && t.flanks[0].run > 0 && t.flanks[1].run < 0
}

// refine fits pitch, cone, slopes and the place of the axis to all flanks together that lie within the given heights.
func (t *fitted) refine(lines []line, within [2]float64) string {
	spots := t.flankSpots(lines, within)
	left := make([]float64, 0, len(spots))
	gate := t.pitch / 8
	const (
		most    = 12   // rounds
		still   = 1e-4 // of the depth: a step so small is the last
		mostOut = 3    // times that the round is looked at
	)
	outs := 0
	for range most {
		before := *t
		sums := system{n: maxUnknowns}
		used := [2]int{}
		left = left[:0]
		for i := range spots {
			s := &spots[i]
			k, e, row := t.equation(s)
			s.left = e
			if math.Abs(e) > gate {
				continue
			}
			used[k]++
			left = append(left, math.Abs(e))
			sums.add(row[:], e, s.weight/math.Abs(t.flanks[k].run))
		}
		if min(used[0], used[1]) < len(lines)/2 {
			return whyRagged
		}
		// What is left is that of the fit before, and gates the next round.
		roughZ := 1.4826 * median(left)
		x, ok := sums.solve()
		if !ok || !t.change(x) {
			return whyRagged
		}
		t.rough = roughZ / t.runs()
		gate = min(gate, max(4*roughZ, leastGate*t.depth))
		if t.differs(&before) < still*t.depth {
			if outs++; outs > mostOut || t.rough < circle*t.depth {
				break
			}
			wide := gate // where chamfers may be among the flanks
			if within == t.full {
				wide = min(4*gate, t.pitch/8)
			}
			t.findOut(lines, spots, wide)
		}
	}
	if t.rough > t.depth/4 {
		return whyRagged
	}
	return ""
}

// leastGate is the least distance from the fit, in depths, at which a spot is left out.
const leastGate = 1e-3

// pitchRadius returns the radius, at zMid, of the cone on which ridge and groove are equally wide along the axis.
//
// On the cone w beyond radius the flank k stands at z = z0 + run w + pitch m; the distance from an up flank to the next
// down flank is half a pitch there.
func (t *fitted) pitchRadius() float64 {
	up, down := t.flanks[0], t.flanks[1]
	d := (down.z0-up.z0)/t.pitch - 0.5
	d -= math.Round(d)
	return t.radius + d*t.pitch/(up.run-down.run)
}
