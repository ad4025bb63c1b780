package draw

// This file holds the geometry of the fit drawing: both sections over one stretch of the axis, where they overlap, and where
// they touch.

import (
	"math"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/thread"
)

// fitChordMM is how closely chords follow the arcs of round forms: half a hundredth of a line's width at 50 : 1. Corners on
// whose gaps differ by less than two chords touch alike.
const fitChordMM = 0.0005

// place is both surfaces at one z: the radii of the external and of the internal thread.
type place struct{ z, external, internal float64 }

// gap is on the radius, below zero where the threads overlap.
func (p place) gap() float64 { return p.internal - p.external }

// lying is a pair of threads as fit lays them, the external one moved along the axis by more, in the section at the angle about
// the axis where the middle of the first groove stands phase pitches behind the face.
type lying struct {
	fit.Lie
	more, phase float64
	// bound is the ridge whose flank binds, if the pitches do.
	bound float64
}

// lay chooses the section. Where unlike pitches use the play up, it is the one in which a flank stands just as deep as the play
// lasts: it is the one that binds. Threads that never meet are shown crest on crest: in another section they may lie in each other as
// if they went.
func lay(l fit.Lie) lying {
	out := lying{Lie: l, phase: 0.5}
	if !l.Alike {
		out.more = l.Internal.PitchMM/2 - l.ShiftMM
	}
	if out.binds() && l.RidgesFree > 0 {
		deep := l.RidgesFree * l.Internal.PitchMM
		p, _ := out.flank(0, out.lags())
		turned := (deep-p.z)/l.External.PitchMM + out.phase
		out.bound = math.Floor(turned)
		out.phase = turned - out.bound
	}
	return out
}

// lags is the side of the flank that binds where the pitches differ: the ridges fall behind the grooves, or run ahead of them.
func (l lying) lags() float64 {
	if l.External.PitchMM < l.Internal.PitchMM {
		return -1
	}
	return +1
}

// ridge and groove are the middles of ridge and groove n, counted from the face.
func (l lying) ridge(n float64) float64 {
	return l.ShiftMM + l.more + float64((n+l.phase)*l.External.PitchMM)
}
func (l lying) groove(n float64) float64 { return float64((n + l.phase) * l.Internal.PitchMM) }

// external and internal are the radii of the surfaces at z.
func (l lying) external(z float64) float64 {
	return l.External.Rho(z-l.ridge(0)) + float64(l.External.Slope*(z-l.DepthMM))
}

func (l lying) internal(z float64) float64 {
	return l.Internal.Rho(z-l.groove(0)) + float64(l.Internal.Slope*z)
}

// at returns both surfaces at z.
func (l lying) at(z float64) place { return place{z, l.external(z), l.internal(z)} }

// over returns both surfaces from a to b at every corner of either, wherever they cross, at the mouth and at the end.
func (l lying) over(a, b float64) []place {
	zs := []float64{a, b}
	for _, z := range []float64{0, l.DepthMM} {
		if z > a && z < b {
			zs = append(zs, z)
		}
	}
	for _, t := range []struct {
		profile thread.Profile
		shift   float64
	}{{l.External, l.ridge(0)}, {l.Internal, l.groove(0)}} {
		pitch := t.profile.PitchMM
		for n := math.Floor((a-t.shift)/pitch) - 1; n <= math.Ceil((b-t.shift)/pitch)+1; n++ {
			for _, k := range t.profile.Knots(fitChordMM) {
				if z := t.shift + float64(n*pitch) + k.Z; z > a && z < b {
					zs = append(zs, z)
				}
			}
		}
	}
	slices.Sort(zs)
	var out []place
	for i, z := range zs {
		if i > 0 && z-zs[i-1] < sameMM {
			continue
		}
		p := l.at(z)
		if n := len(out); n > 0 {
			if last := out[n-1]; (last.gap() < 0) != (p.gap() < 0) {
				share := last.gap() / (last.gap() - p.gap())
				r := last.external + share*(p.external-last.external)
				out = append(out, place{last.z + share*(p.z-last.z), r, r})
			}
		}
		out = append(out, p)
	}
	return out
}

// overlaps are the stretches of places in which the threads overlap.
func overlaps(places []place) (out [][]place) {
	for i := 1; i < len(places); i++ {
		a, b := places[i-1], places[i]
		if a.gap()+b.gap() >= 0 {
			continue
		}
		if n := len(out); n > 0 && out[n-1][len(out[n-1])-1].z == a.z { // the very same place, not a computed one
			out[n-1] = append(out[n-1], b)
			continue
		}
		out = append(out, []place{a, b})
	}
	return out
}

// touch is where the flanks of ridge n and of its groove come nearest to each other along the axis, or overlap most, on the first side
// of two that does; room is how far they are apart there, +Inf where they do not reach each other.
func (l lying) touch(n float64) (p place, room float64) {
	p, room = l.flank(n, -1)
	if q, more := l.flank(n, +1); more < room-2*fitChordMM {
		return q, more
	}
	return p, room
}

// flank is the same on the flank toward the mouth, side -1, or the one away from it: the middle of the stretch, if it is one. Each
// radius is compared where its own flank stands, as unlike pitches drift apart with the depth.
func (l lying) flank(n, side float64) (p place, room float64) {
	const steps = 400 // radii that are compared
	ridge, groove := l.ridge(n), l.groove(n)
	ridgeEnd, grooveEnd := ridge+side*l.External.PitchMM/2, groove+side*l.Internal.PitchMM/2
	low := math.Max(l.external(ridgeEnd), l.internal(grooveEnd))
	high := math.Min(l.external(ridge), l.internal(groove))
	if low >= high {
		return p, math.Inf(1)
	}
	var zs, apart []float64
	for k := 1; k < steps; k++ {
		r := low + (high-low)*float64(k)/steps
		z := where(l.external, r, ridge, ridgeEnd)
		along := where(l.internal, r, groove, grooveEnd) - groove - (z-ridge)*l.Internal.PitchMM/l.External.PitchMM
		zs, apart = append(zs, z), append(apart, side*(groove-ridge+along))
	}
	room = slices.Min(apart)
	near := func(a float64) bool { return a < room+2*fitChordMM }
	from := slices.IndexFunc(apart, near)
	to := from
	for to+1 < len(apart) && near(apart[to+1]) {
		to++
	}
	return l.at((zs[from] + zs[to]) / 2), room
}

// where finds the z between a and b at which a surface that falls from a to b has radius r.
func where(surface func(float64) float64, r, a, b float64) float64 {
	for range 40 { // halvings of a pitch: below a nanometre
		if mid := (a + b) / 2; surface(mid) > r {
			a = mid
		} else {
			b = mid
		}
	}
	return a
}

// depth is the depth of a thread, on the radius.
func depth(p thread.Profile) float64 { return (p.MajorMM - p.MinorMM) / 2 }

// tapered reports whether one of the two is a taper thread.
func (l lying) tapered() bool { return l.External.Slope < 0 || l.Internal.Slope < 0 }

// binds reports whether a pitch difference uses the play up within the engaged length.
func (l lying) binds() bool {
	return l.Alike && l.RidgesFree*l.Internal.PitchMM < l.DepthMM
}

// meeting is what of the two threads meets first: a heading, and where, in the section that is drawn.
type meeting struct {
	heading string
	place
}

// meets finds what meets first; false where nothing does.
func (l lying) meets(v fit.Verdict) (meeting, bool) {
	touches := func(heading string, n float64) (meeting, bool) {
		p, room := l.touch(n)
		return meeting{heading, p}, !math.IsInf(room, 1)
	}
	switch {
	case !l.Alike || math.IsInf(l.FreeMM, 1):
		return meeting{}, false
	case l.tapered():
		tight, least := 0.0, math.Inf(1)
		for n := 0.0; l.ridge(n) < l.DepthMM; n++ {
			if _, room := l.touch(n); room < least-2*fitChordMM {
				tight, least = n, room
			}
		}
		return touches("Wedges here", tight)
	case l.binds() && l.RidgesFree > 0:
		p, _ := l.flank(l.bound, l.lags())
		return meeting{"Binds here", p}, true
	case l.FreeMM < 0:
		return touches("Meets here first", 0)
	case v == fit.Binds && l.External.MajorMM > l.Internal.MajorMM:
		return meeting{"Crests meet here", l.at(l.ridge(0))}, true
	case v == fit.Binds:
		return meeting{"Roots meet here", l.at(l.ridge(0.5))}, true
	case !math.IsInf(l.RidgesFree, 1):
		return meeting{}, false // some play is left everywhere
	}
	return touches("Touches here first", 0)
}
