package caliper

// This file says how sure each figure of a thread is.
//
// What is left of the fit is not noise alone: the sections share facets, and scanners err alike over some reach. So the
// uncertainty is taken from the sections as they are, each with all that is left on it, and neighbours with what they have in
// common (the sandwich estimator of White, Econometrica 48, 1980, with the weights of Newey and West, Econometrica 55, 1987; both
// from memory). What all sections have in common no residual shows, and stands beside it: the facets, and the form.

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"tryring/internal/thread"
)

// Uncertainty are the expanded uncertainties of the figures of a thread (k = 2): as much each way holds 95 % of what is measured.
type Uncertainty struct {
	ULeadMM   float64 `json:"u_lead_mm"`
	UMajorMM  float64 `json:"u_major_mm"`
	UPitchDMM float64 `json:"u_pitch_diameter_mm"`
	UMinorMM  float64 `json:"u_minor_mm"`
	// UFlankDeg are those of the lower and the upper flank.
	UFlankDeg [2]float64 `json:"u_flank_deg"`
	// UTaper is in millimetres of diameter per millimetre.
	UTaper float64 `json:"u_taper"`
}

// figures are all of u.
func (u *Uncertainty) figures() []*float64 {
	return []*float64{&u.ULeadMM, &u.UMajorMM, &u.UPitchDMM, &u.UMinorMM, &u.UFlankDeg[0], &u.UFlankDeg[1], &u.UTaper}
}

// expanded is the coverage factor of an expanded uncertainty of 95 % (GUM 6.2.1).
const expanded = 2

// leftOver is what a fit leaves on the sections.
type leftOver struct {
	normal system
	// scores are the sums of what is left times how it depends on each unknown, section by section.
	scores   [sections][maxUnknowns]float64
	sections float64
	// sagitta is how far the facets' middles sink below a circle through their corners, on the radius.
	sagitta float64
}

// leftOver returns what t leaves of the flanks on its full form.
func (t *fitted) leftOver(lines []line) (o leftOver) {
	o.normal.n = maxUnknowns
	gate := min(t.pitch/8, max(4*t.rough*t.runs(), leastGate*t.depth))
	spots := t.flankSpots(lines, t.full)
	var seen [sections]bool
	for i := range spots {
		s := &spots[i]
		k, e, row := t.equation(s)
		if math.Abs(e) > gate {
			continue
		}
		w := s.weight / math.Abs(t.flanks[k].run)
		o.normal.add(row[:], e, w)
		seen[s.l.sec] = true
		for j, x := range row {
			o.scores[s.l.sec][j] += w * e * x
		}
	}
	for _, is := range seen {
		if is {
			o.sections++
		}
	}
	o.sagitta = sagitta(lines, t.full)
	return o
}

// sagitta tells how far facets sink, in mm on the radius, from where the sections met them: at the share u of an edge the radius is 4 u (1-u) of the
// sagitta short and 2/3 of it are put down to the mean, which differ by 0.298 of it usually (the root of 8/15 - 4/9).
func sagitta(lines []line, within [2]float64) float64 {
	const usual = 0.29814239699997197
	sum, n := 0.0, 0.0
	for i := range lines {
		for _, p := range lines[i].pieces {
			if p.z1 >= within[0] && p.z0 <= within[1] {
				sum += (p.r0-p.m0)*(p.r0-p.m0) + (p.r1-p.m1)*(p.r1-p.m1)
				n += 2
			}
		}
	}
	return math.Sqrt(sum/max(n, 1)) / usual
}

// of returns the standard uncertainty of a figure that changes by c with the unknowns.
func (o *leftOver) of(c [maxUnknowns]float64) float64 {
	o.normal.b = c
	y, ok := o.normal.solve()
	if !ok {
		return math.Inf(1)
	}
	var v [sections]float64
	for i, score := range o.scores {
		for j, x := range score {
			v[i] += y[j] * x
		}
	}
	alone, together := 0.0, 0.0
	for i, x := range v {
		alone += x * x
		together += 2 * x * (2*v[(i+1)%sections] + v[(i+2)%sections]) / 3
	}
	// A section of few counts for less than it seems: the fit has bent to it.
	few := o.sections / max(1, o.sections-maxUnknowns)
	return math.Sqrt(max(alone, alone+together) * few)
}

// Shares of what is common to all sections that a standard uncertainty has.
const (
	// chordShare is that of the sagitta: the corners of most files stand on the true surface, 2/3 of a sagitta beyond the mean that is told,
	// those of files whose makers centre the error within it.
	chordShare = 0.42
	// chordTilt is that of the sagitta over the radius, by which all radii shrink, and the tangents of the flanks with them.
	chordTilt = 0.6
	// bandShare is that of the difference between the middle of the flanks and all of them: what rounds the one off reaches into the other.
	bandShare = 1.8
	// peakShare is that of what was taken off crests and roots for noise, which it may not have been.
	peakShare = 0.5
	// leastU is what nothing is surer than: the digits of files, in mm, and as a share of a lead.
	leastU, leastShare = 1e-3, 1e-5
	// leastFlankU is that of an angle, in degrees.
	leastFlankU = 0.01
	// roughShare is that of the roughness, of which the outermost is seen; on the run of a flank it is turnShare of it over the
	// band. ovalShare that of an oval, and wornShare that of how far the
	// sections stand off it otherwise: there the surface is gone that was to be measured.
	roughShare, turnShare, ovalShare, wornShare = 0.1, 0.3, 0.02, 1
	// leastOpen is the run from which all of a rough flank is seen from the side.
	leastOpen = 0.4
	// cutShare is that of what is uncertain of crests and roots: what cuts or wears them does not quite spare the flanks.
	cutShare = 0.2
)

// sure tells th, which is what was measured of t, how sure its figures are, and how round it is. half is the fit to the middle of the
// flanks, high and low are the crests and roots.
func (t *fitted) sure(th *Thread, lines []line, half *fitted, high, low peak) {
	u, o := &th.Uncertainty, t.leftOver(lines)
	unknown := func(k int) (c [maxUnknowns]float64) { c[k] = 1; return c }
	// The pitch radius of pitchRadius, as it changes with the unknowns.
	up, down := t.flanks[0], t.flanks[1]
	wide := up.run - down.run
	off := t.pitchRadius() - t.radius
	toPitch := (off*wide - (down.z0 - up.z0)) / t.pitch // so many pitches were taken off the distance of the flanks
	height := th.RefZMM - t.zMid
	away := th.RefZMM - (t.full[0]+t.full[1])/2 // from where the crests were seen
	pitchR := [maxUnknowns]float64{ofZ0: -1 / wide, 1 / wide, ofRun: -off / wide, off / wide, ofPitch: toPitch / wide, ofCone: height}
	oval, worn := t.unround(lines)
	th.OvalMM, th.UnevenMM = 4*oval, worn
	common := hypot(chordShare*o.sagitta, roughShare*t.rough, ovalShare*oval, wornShare*worn, cutShare*max(high.u, low.u), leastU)
	cone := o.of(unknown(ofCone))
	u.ULeadMM = hypot(float64(t.turn)*o.of(unknown(ofPitch)), leastU/2, leastShare*t.pitch*float64(t.turn))
	u.UTaper = hypot(2*cone, leastU/(t.full[1]-t.full[0]))
	// A steep flank that facets move a hair along the axis moves the pitch diameter by more.
	steep := chordShare * o.sagitta * max(0, 2*thread.Form60.Tan()/wide-1)
	u.UPitchDMM = 2 * hypot(o.of(pitchR), common, steep, bandShare*(half.pitchRadius()-t.pitchRadius()))
	u.UMajorMM = 2 * hypot(high.u, common, cone*away, peakShare*high.noise)
	u.UMinorMM = 2 * hypot(low.u, common, cone*away, peakShare*low.noise)
	for k := range t.flanks {
		angle := t.degrees(k) * math.Pi / 180
		run := t.flanks[k].run
		// A rough flank that is nearly square to the axis hides half of itself, and seems to lean more.
		hidden := math.Sqrt(max(1, leastOpen/math.Abs(run)))
		turned := math.Pow(math.Sin(angle)/run, 2) * hypot(o.of(unknown(ofRun+k)), hidden*turnShare*t.rough*t.runs()/(t.band*t.depth)) // how the angle, the arc tangent of the run, changes
		shrunk := chordTilt * o.sagitta / t.radius * math.Sin(angle) * math.Cos(angle)
		u.UFlankDeg[k] = hypot(hypot(turned, shrunk)*180/math.Pi, bandShare*(half.degrees(k)-t.degrees(k)), leastFlankU)
	}
	for _, x := range u.figures() {
		*x *= expanded
	}
}

func hypot(xs ...float64) float64 {
	return floats.Norm(xs, 2)
}
