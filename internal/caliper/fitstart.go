package caliper

// This file finds a thread roughly, from the middles of its swings: a start from which the fit can go on.

import (
	"math"
	"math/cmplx"
	"slices"
)

// leastGaps is between how many neighbouring flanks of one kind the pitch is read: from a sixth of the sections.
const leastGaps = sections / 6

// start finds pitch, turn and the rest roughly, from the middles of the swings: a thread for each turn that could be.
func (t *fitted) start(s *site) (could []fitted, why string) {
	ws := s.swings
	var gaps, zs, rs []float64
	last := [2]int{-1, -1}
	for i, w := range ws {
		k := kind(w.up)
		if j := last[k]; j >= 0 && ws[j].sec == w.sec {
			gaps = append(gaps, w.zMid-ws[j].zMid)
		}
		last[k] = i
		zs, rs = append(zs, w.zMid), append(rs, w.rMid)
	}
	if len(gaps) < leastGaps {
		return nil, whyPlain
	}
	t.radius = median(rs)
	lo, hi := slices.Min(zs), slices.Max(zs)
	t.zMid, t.zHalf = (lo+hi)/2, (hi-lo)/2
	if !(t.radius > 0) || !(t.zHalf > 0) {
		return nil, whyPlain
	}
	t.pitch = steadyPitch(t.startCone(ws), median(gaps))
	if !(t.pitch > 0) {
		return nil, whyPlain
	}
	if d := t.depth / t.pitch; d < leastDepthPerPitch || d > mostDepthPerPitch {
		return nil, whyShallow
	}
	return t.findTurn(s.lines, ws)
}

func kind(up bool) int {
	if up {
		return 0
	}
	return 1
}

// steadyPitch fits one spacing to the swings of all sections, counting pitches between neighbours. A chamfer does not climb, so the
// gaps beside it are of any size: once the spacing is near, only those count that are near whole pitches.
func steadyPitch(ws []swing, pitch float64) float64 {
	for _, off := range []float64{0.2, 0.05} {
		var nn, nz float64
		for k := range 2 {
			for i := 0; i < len(ws); {
				sec := ws[i].sec
				var ns, zs []float64
				n, last := 0.0, math.NaN()
				for ; i < len(ws) && ws[i].sec == sec; i++ {
					if kind(ws[i].up) != k {
						continue
					}
					if !math.IsNaN(last) {
						step := (ws[i].zMid - last) / pitch
						if math.Abs(step-math.Round(step)) > off || step < 0.5 {
							continue
						}
						n += math.Round(step)
					}
					last = ws[i].zMid
					ns, zs = append(ns, n), append(zs, last)
				}
				var nMean, zMean float64
				for j := range ns {
					nMean += ns[j] / float64(len(ns))
					zMean += zs[j] / float64(len(ns))
				}
				for j := range ns {
					nn += (ns[j] - nMean) * (ns[j] - nMean)
					nz += (ns[j] - nMean) * (zs[j] - zMean)
				}
			}
		}
		if !(nn > 0) {
			return pitch
		}
		pitch = nz / nn
	}
	return pitch
}

// findTurn finds how the phase of the swings goes round with the angle: starts and hand. It returns the thread with each turn that could
// be, the likeliest first: on a part of the circumference, another turn about a tilted axis looks much the same.
func (t *fitted) findTurn(lines []line, ws []swing) (could []fitted, why string) {
	sums := make([][2]complex128, len(lines))
	for _, w := range ws {
		sums[w.sec][kind(w.up)] += cmplx.Rect(1, 2*math.Pi*math.Mod((w.zMid-t.zMid)/t.pitch, 1))
	}
	seen := 0
	for _, s := range sums {
		if s != ([2]complex128{}) {
			seen++
		}
	}
	with := func(turn int) (one fitted, score float64) {
		var sum [2]complex128
		weight := 0.0
		for i, s := range sums {
			back := cmplx.Rect(1, -float64(turn)*lines[i].theta)
			for k := range s {
				if a := cmplx.Abs(s[k]); a > 0 {
					sum[k] += s[k] / complex(a, 0) * back
					weight++
				}
			}
		}
		one = *t
		one.turn = turn
		// The flanks' runs are guessed: each takes a quarter of the pitch.
		run := t.pitch / t.depth / 4
		for k, sign := range [2]float64{1, -1} {
			one.flanks[k] = flank{z0: t.zMid + t.pitch*cmplx.Phase(sum[k])/(2*math.Pi), run: sign * run}
		}
		return one, (cmplx.Abs(sum[0]) + cmplx.Abs(sum[1])) / max(weight, 1)
	}
	best, most := fitted{}, 0.0
	for turn := -maxStarts; turn <= maxStarts; turn++ {
		if one, score := with(turn); score > most {
			best, most = one, score
		}
	}
	const (
		leastScore = 0.7              // 1 is one helix exactly, chance gives about 1/sqrt(sections)
		whole      = sections * 3 / 5 // sections that tell one turn from another
		others     = 3                // turns to either side that are tried of fewer
	)
	switch {
	case most < leastScore:
		return nil, whyRagged
	case seen >= whole && best.turn == 0:
		return nil, whyRings
	case seen >= whole:
		return []fitted{best}, ""
	}
	for off := range 2*others + 1 {
		turn := best.turn + (off+1)/2*(1-off%2*2) // 0, -1, 1, -2 ...
		if one, _ := with(turn); turn != 0 {
			could = append(could, one)
		}
	}
	return could, ""
}

// wholeSwing is how far off the pitch cone, in depths, the middle of a swing may stand that neither a chamfer nor a collar cuts.
const wholeSwing = 0.02

// startCone takes the middles of the swings as points of the pitch cone, those far off the rest left out, and returns the whole swings.
func (t *fitted) startCone(ws []swing) (whole []swing) {
	gate := t.depth / 2 // there is no flank farther off
	left := make([]float64, len(ws))
	for range 3 {
		sys := system{n: 2}
		for _, w := range ws {
			h := w.zMid - t.zMid
			if math.Abs(w.rMid-t.radius-t.cone*h) <= gate {
				sys.add([]float64{1, h}, w.rMid, 1)
			}
		}
		x, ok := sys.solve()
		if !ok {
			return ws
		}
		t.radius, t.cone = x[0], x[1]
		for i, w := range ws {
			left[i] = math.Abs(w.rMid - t.radius - t.cone*(w.zMid-t.zMid))
		}
		gate = max(2*median(slices.Clone(left)), t.depth*1e-3)
	}
	for i, w := range ws {
		if left[i] <= max(2*gate, wholeSwing*t.depth) {
			whole = append(whole, w)
		}
	}
	return whole
}
