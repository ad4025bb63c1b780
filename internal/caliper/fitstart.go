package caliper

// This file finds a thread roughly, from the middles of its swings: a start from which the fit can go on.

import (
	"cmp"
	"math"
	"math/cmplx"
	"slices"
)

// start finds pitch, turn and the rest roughly, from the middles of the swings.
func (t *fitted) start(lines []line, ws []swing) string {
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
	if len(gaps) < len(lines)/2 {
		return whyPlain
	}
	t.radius = median(rs)
	lo, hi := zs[0], zs[0]
	for _, z := range zs {
		lo, hi = min(lo, z), max(hi, z)
	}
	t.zMid, t.zHalf = (lo+hi)/2, (hi-lo)/2
	if !(t.radius > 0) || !(t.zHalf > 0) {
		return whyPlain
	}
	t.pitch = steadyPitch(t.startCone(ws), median(gaps))
	if !(t.pitch > 0) {
		return whyPlain
	}
	if d := t.depth / t.pitch; d < leastDepthPerPitch || d > mostDepthPerPitch {
		return whyShallow
	}
	if why := t.findTurn(lines, ws); why != "" {
		return why
	}
	t.startSlopes(lines)
	return ""
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

// findTurn finds how the phase of the swings goes round with the angle: starts and hand.
func (t *fitted) findTurn(lines []line, ws []swing) string {
	sums := make([][2]complex128, len(lines))
	for _, w := range ws {
		sums[w.sec][kind(w.up)] += cmplx.Rect(1, 2*math.Pi*math.Mod((w.zMid-t.zMid)/t.pitch, 1))
	}
	best, second, bestTurn := 0.0, 0.0, 0
	var bestSum [2]complex128
	for turn := -maxStarts; turn <= maxStarts; turn++ {
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
		score := (cmplx.Abs(sum[0]) + cmplx.Abs(sum[1])) / max(weight, 1)
		if score > best {
			best, second, bestTurn, bestSum = score, best, turn, sum
		} else if score > second {
			second = score
		}
	}
	const leastScore = 0.7 // 1 is one helix exactly, chance gives about 1/sqrt(sections)
	if best < leastScore {
		return whyRagged
	}
	if bestTurn == 0 {
		return whyRings
	}
	t.turn = bestTurn
	for k := range t.flanks {
		t.flanks[k].z0 = t.zMid + t.pitch*cmplx.Phase(bestSum[k])/(2*math.Pi)
	}
	return ""
}

// wholeSwing is how far off the pitch cone, in depths, the middle of a swing may stand that neither a chamfer nor a collar cuts.
const wholeSwing = 0.02

// startCone takes the middles of the swings as points of the pitch cone, those far off the rest left out, and returns the whole swings.
func (t *fitted) startCone(ws []swing) (whole []swing) {
	gate := math.Inf(1)
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

// startSlopes takes each flank family's slope and radius at z0: the slope is the median of the pieces about the pitch cone, by
// their height on the radius, of which a steep flank has as much as a chamfer beside it. A flank crosses the depth within a
// pitch; what is much flatter is a wall beside the thread.
func (t *fitted) startSlopes(lines []line) {
	type slope struct{ slope, height, z, w float64 }
	var slopes [2][]slope
	var sum [2]float64
	flattest := t.depth / t.pitch / 2
	for i := range lines {
		l := &lines[i]
		for _, p := range l.pieces {
			length := p.z1 - p.z0
			if !(length > 0) {
				continue
			}
			z := (p.z0 + p.z1) / 2
			w := t.onAxis(l, z, (p.m0+p.m1)/2) - t.radius
			lean := (p.m1-p.m0)/length - t.cone
			k := kind(lean > 0)
			ph := t.phase(k, l.theta, z)
			if math.Abs(lean) > flattest && math.Abs(w) < t.depth/3 && math.Abs(ph-math.Round(ph)) < 0.25 {
				height := math.Abs(p.m1 - p.m0)
				slopes[k] = append(slopes[k], slope{lean, height, t.pitch * (ph - math.Round(ph)), w})
				sum[k] += height
			}
		}
	}
	for k := range t.flanks {
		slices.SortFunc(slopes[k], func(a, b slope) int { return cmp.Compare(a.slope, b.slope) })
		below := 0.0
		for _, s := range slopes[k] {
			t.flanks[k].slope = s.slope
			if below += s.height; below >= sum[k]/2 {
				break
			}
		}
		// The swings that a chamfer cuts put z0 off, which a steep flank turns into much on the radius.
		var ws []float64
		for _, s := range slopes[k] {
			ws = append(ws, s.w-t.flanks[k].slope*s.z)
		}
		t.flanks[k].c = t.radius
		if len(ws) > 0 {
			t.flanks[k].c += median(ws)
		}
	}
}
