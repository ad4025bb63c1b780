package draw

// This file holds the geometry of the fit drawing: both sections over one stretch of the axis, where they leave a gap, where
// they overlap, and where they touch.

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

// lying is a pair of threads as fit lays them, the external one moved along the axis by more.
type lying struct {
	fit.Lie
	more float64
}

// ridge and groove are the middles of ridge and groove n, counted from the face.
func (l lying) ridge(n float64) float64 {
	return l.ShiftMM + l.more + float64((n+0.5)*l.External.PitchMM)
}
func (l lying) groove(n float64) float64 { return float64((n + 0.5) * l.Internal.PitchMM) }

// external and internal are the radii of the surfaces at z.
func (l lying) external(z float64) float64 {
	return l.External.Rho(z-l.ridge(0)) + float64(l.External.Slope*(z-l.DepthMM))
}

func (l lying) internal(z float64) float64 {
	return l.Internal.Rho(z-l.groove(0)) + float64(l.Internal.Slope*z)
}

// at returns both surfaces at z.
func (l lying) at(z float64) place { return place{z, l.external(z), l.internal(z)} }

// over returns both surfaces from a to b at every corner of either and wherever they cross.
func (l lying) over(a, b float64) []place {
	zs := []float64{a, b}
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

// regions splits places into stretches of clearance and of overlap.
func regions(places []place) (clear, overlap [][]place) {
	for i := 1; i < len(places); i++ {
		a, b := places[i-1], places[i]
		to := &clear
		if a.gap()+b.gap() < 0 {
			to = &overlap
		}
		if n := len(*to); n > 0 && (*to)[n-1][len((*to)[n-1])-1].z == a.z { // the very same place, not a computed one
			(*to)[n-1] = append((*to)[n-1], b)
			continue
		}
		*to = append(*to, []place{a, b})
	}
	return clear, overlap
}

// closest returns where ridge n comes nearest to the internal thread or overlaps it most: the middle of the stretch, if it
// is one, on the first flank that does. Where the pitches use the play up it is flanks that meet, however crest and root lie.
func (l lying) closest(n float64) place {
	half := l.External.PitchMM / 2
	places := l.over(l.ridge(n)-half, l.ridge(n)+half)
	if l.binds() && l.RidgesFree > 0 {
		if flanks := l.flanks(n); len(flanks) > 0 {
			places = flanks
		}
	}
	least := math.Inf(1)
	for _, p := range places {
		least = math.Min(least, p.gap())
	}
	near := func(p place) bool { return p.gap() < least+2*fitChordMM }
	from := slices.IndexFunc(places, near)
	to := from
	for to+1 < len(places) && near(places[to+1]) {
		to++
	}
	return l.at((places[from].z + places[to].z) / 2)
}

// flanks are both surfaces across ridge n, every hundredth of a pitch, where neither is within an eighth of its depth of its
// root: the other's crest meets it there.
func (l lying) flanks(n float64) (out []place) {
	const steps, off = 100, 1.0 / 8
	ownRoot := l.External.MinorMM/2 + off*depth(l.External)
	itsRoot := l.Internal.MajorMM/2 - off*depth(l.Internal)
	for k := range steps {
		p := l.at(l.ridge(n) + (float64(k)/steps-0.5)*l.External.PitchMM)
		if p.external > ownRoot && p.internal < itsRoot {
			out = append(out, p)
		}
	}
	return out
}

// depth is the depth of a thread, on the radius.
func depth(p thread.Profile) float64 { return (p.MajorMM - p.MinorMM) / 2 }

// window is a stretch of the axis that the drawing shows.
type window struct{ from, to float64 }

// leastShown and mostShown are the grooves that one window shows; more are shown in two windows of apartShown grooves each.
const leastShown, mostShown, apartShown = 3, 4, 2

// windows chooses what is shown: from the face to the end of what matters, which is the ridge that binds, the end of a taper
// thread, or the last engaged turn where the pitches differ.
func (l lying) windows() []window {
	pitch := math.Max(l.Internal.PitchMM, l.External.PitchMM)
	end := leastShown * pitch
	switch {
	case !l.Alike:
	case l.tapered():
		end = math.Max(l.DepthMM, apartShown*pitch)
	case l.binds():
		end = math.Max(end, (l.binding()+1)*pitch)
	case !math.IsInf(l.RidgesFree, 1):
		end = math.Max(end, math.Round(l.DepthMM/pitch)*pitch)
	}
	if end <= (mostShown+sameMM)*pitch {
		return []window{{0, end}}
	}
	return []window{{0, apartShown * pitch}, {end - apartShown*pitch, end}}
}

// tapered reports whether one of the two is a taper thread.
func (l lying) tapered() bool { return l.External.Slope < 0 || l.Internal.Slope < 0 }

// binds reports whether a pitch difference uses the play up within the engaged length.
func (l lying) binds() bool {
	return l.Alike && l.RidgesFree*l.Internal.PitchMM < l.DepthMM
}

// binding is the number of the first ridge that overlaps in this section: that in whose groove the play ends, or one of the
// next, since the threads meet at another angle about the axis first.
func (l lying) binding() float64 {
	first := math.Max(0, math.Floor(l.RidgesFree-1))
	n := first
	for n < first+mostShown && l.closest(n).gap() > -2*fitChordMM {
		n++
	}
	return n
}
