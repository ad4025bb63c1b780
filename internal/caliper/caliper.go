package caliper

// This file holds what a measurement is told and what it reports, and goes from the mesh to the threads.

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"tryring/internal/mesh"
)

// Axis is a line in the mesh's own coordinates.
type Axis struct {
	// OriginMM is the point of the axis that is nearest to the mesh's own zero.
	OriginMM [3]float64 `json:"point_mm"`
	// Direction is a unit vector; heights (z) are measured along it.
	Direction [3]float64 `json:"direction"`
}

// Found is a thread and where it stands.
type Found struct {
	// Side is "inner" for a thread that faces its axis, "outer" for one that faces away from it.
	Side string `json:"side"`
	Axis Axis   `json:"axis"`
	// WallMM is the least thickness of material found about the axis; 0 when there are not both surfaces.
	WallMM float64 `json:"wall_mm"`
	Thread
	// Candidates are the threads that it could be, where somebody weighed them (see Identify).
	Candidates []Candidate `json:"candidates"`
}

// Report is what was measured on one mesh. Inner or Outer is nil where no thread was found.
type Report struct {
	Inner, Outer *Thread
	// InnerWhy and OuterWhy say why there is no thread where Inner or Outer is nil.
	InnerWhy, OuterWhy string
	// Threads are all that were found, those of Inner and Outer first.
	Threads []Found
	// Partial are threads of less than a turn, of which nothing is measured, in bodies without others.
	Partial []string
	// WallMM is the least thickness of material found between the inner and the outer surface, measured in space and
	// not only along the radius; 0 when there are not both surfaces.
	WallMM float64
	// WallZMM is the height at which the least wall stands.
	WallZMM float64
	// Axis is the axis that was found.
	Axis Axis
}

// Options tell Measure what is known beforehand.
type Options struct {
	// InnerRefZMM and OuterRefZMM are the heights at which the diameters are stated; NaN is the middle of the full form.
	InnerRefZMM, OuterRefZMM float64
}

// DefaultOptions states diameters in the middle of the full form.
func DefaultOptions() Options {
	return Options{InnerRefZMM: math.NaN(), OuterRefZMM: math.NaN()}
}

// ErrMesh is returned for a mesh that cannot be measured at all: empty, without extent, or with broken numbers.
var ErrMesh = errors.New("mesh cannot be measured")

// maxRounds bounds how often the axis is refined and the sections are cut again.
const maxRounds = 4

// axisShare is how far, as a share of the radius, the threads may stand off the assumed axis before the sections are
// cut again about a better one; at a radius of 25 mm it is 2.5 micrometres, whose effect on a diameter is of second order.
const axisShare = 1e-4

// Measure measures all threads of m: of each body, about each axis, those about z itself before all others.
//
// Diameters are means over the angle: a facet's middle lies nearer to the axis than its corners, and both are
// counted by their share of the turn. The error is ErrMesh (wrapped); a part without threads is no error.
func Measure(m *mesh.Mesh, opt Options) (Report, error) {
	r, err := find(m, opt)
	r.round()
	return r, err
}

// find is Measure to the last digit.
func find(m *mesh.Mesh, opt Options) (Report, error) {
	if err := check(m); err != nil {
		return Report{}, err
	}
	bodies := bodiesOf(m)
	found, partial, first := make([][]about, len(bodies)), make([][]string, len(bodies)), []about(nil)
	var work errgroup.Group
	work.SetLimit(runtime.GOMAXPROCS(0))
	for i, b := range bodies {
		work.Go(func() error {
			var tried []about
			if found[i], tried = threadsOf(b, opt); i == 0 {
				first = tried[:1]
			}
			if len(found[i]) == 0 {
				partial[i] = partials(b, tried[0].f)
			}
			return nil
		})
	}
	_ = work.Wait() // none fails
	all := slices.Concat(found...)
	if len(all) == 0 {
		all = first
	}
	r := report(all)
	r.Partial = slices.Concat(partial...)
	return r, nil
}

// threadsOf returns what was found about each axis of a body that has threads, and about each that was tried.
func threadsOf(b *mesh.Mesh, opt Options) (found, tried []about) {
	l := looksOf(b)
	plain := newFrame(vec{}, vec{0, 0, 1})
	// It is the axis of most files, and tried wherever it may be: in the middle, or amid flanks.
	const near = 0.1 // of the extent
	likely := math.Hypot(l.mid[0], l.mid[1]) <= near*l.size || l.inside(plain).flanks(l.faces, false) >= l.least()
	var known []frame // as l sees them
	var try func(f frame)
	try = func(f frame) {
		a := measureAbout(b, f, opt)
		tried = append(tried, a)
		a.threads = slices.DeleteFunc(a.threads, func(t measured) bool {
			return slices.ContainsFunc(found, func(o about) bool { return o.has(a.f, t) })
		})
		if len(a.threads) > 0 {
			found, known = append(found, a), append(known, l.inside(a.f))
			// Farther out than was looked there may be another about the same axis.
			if beyond := l.inside(a.f).within(math.Inf(1)); beyond.flanks(l.unknown(known), l.smooth) >= l.least() {
				try(l.outside(beyond))
			}
		}
	}
	if likely {
		try(plain)
	}
	for _, scale := range scales {
		for _, f := range l.axes(known, scale) {
			if f.flanks(l.unknown(known), l.smooth) >= l.least() { // what others explain by now is no reason to try it
				try(l.outside(f))
			}
		}
	}
	if len(found) == 0 {
		l = l.smoothed(b)
		for _, f := range l.axes(nil, scales[0]) {
			if try(l.outside(f)); len(found) > 0 {
				break
			}
		}
	}
	if len(tried) == 0 {
		try(plain)
	}
	return found, tried
}

// about is what was found about one axis.
type about struct {
	f       frame
	threads []measured
	// why says of the inner and the outer side why there is no thread.
	why         [2]string
	wall, wallZ float64
}

// has tells whether t, found about f, is one of the threads of a: where faces are rough, two guesses may lead to one axis.
func (a about) has(f frame, t measured) bool {
	const alike = 0.1 // of the radius
	mid := f.o.plus(f.d.times((t.ZMM[0] + t.ZMM[1]) / 2))
	off := mid.minus(a.f.o)
	z := off.dot(a.f.d)
	return slices.ContainsFunc(a.threads, func(o measured) bool {
		return o.outer == t.outer && math.Abs(o.fit.radius-t.fit.radius) < alike*o.fit.radius &&
			off.minus(a.f.d.times(z)).length() < alike*o.fit.radius && o.fit.holds().has(z)
	})
}

// coiled tells whether the threads are those of a coiled wire: one climbs as the other, and the wall between them is open from turn to turn.
func (a about) coiled() bool {
	const same, thin = 0.01, 0.15 // of the pitch, and of the depth
	for _, in := range a.threads {
		for _, out := range a.threads {
			if !in.outer && out.outer && in.fit.turn == out.fit.turn && math.Abs(in.fit.pitch-out.fit.pitch) < same*in.fit.pitch &&
				in.fit.radius < out.fit.radius && a.wall < thin*min(in.fit.depth, out.fit.depth) {
				return true
			}
		}
	}
	return false
}

// report puts together what was found: Inner and Outer are the first of each side, those about one axis before others.
func report(list []about) Report {
	r := Report{Axis: list[0].f.axis(), InnerWhy: list[0].why[0], OuterWhy: list[0].why[1]}
	for _, a := range list {
		if a.wall > 0 && (r.WallMM <= 0 || a.wall < r.WallMM) {
			r.WallMM, r.WallZMM = a.wall, a.wallZ
		}
		for _, t := range a.threads {
			one, why, side := &r.Inner, &r.InnerWhy, "inner"
			if t.outer {
				one, why, side = &r.Outer, &r.OuterWhy, "outer"
			}
			f := Found{Side: side, Axis: a.f.axis(), WallMM: a.wall, Thread: *t.Thread}
			if *one == nil {
				*one, *why = t.Thread, ""
			}
			r.Threads = append(r.Threads, f)
		}
	}
	return r
}

// measureAbout measures about an assumed axis and refines it from the threads found.
func measureAbout(m *mesh.Mesh, f frame, opt Options) about {
	for round := 1; ; round++ {
		pts := place(m, f)
		secs := cut(pts, m.Faces, f.reach)
		a := about{f: f, why: [2]string{whyTangled, whyTangled}}
		if secs == nil {
			return a
		}
		var inner, outer []measured
		var both sync.WaitGroup
		both.Go(func() { inner, a.why[0] = layers(secs, false, opt.InnerRefZMM) })
		outer, a.why[1] = layers(secs, true, opt.OuterRefZMM)
		both.Wait()
		a.threads = append(inner, outer...)
		better, off := f.refined(a.threads)
		if off > axisShare && round < maxRounds {
			f = better
			continue
		}
		if a.wall, a.wallZ = wall(pts, m.Faces, secs); a.coiled() {
			a.threads, a.why = nil, [2]string{whyCoil, whyCoil}
		}
		return a
	}
}

// mostLayers is how many walls, one behind the other, are looked at on each side.
const mostLayers = 3

// layers returns the threads of the walls that face outwards (or the axis): those seen from there, and those behind them.
func layers(secs []section, outer bool, refZ float64) (found []measured, why string) {
	for layer := range mostLayers {
		lines := linesOf(secs, outer, layer)
		if lines == nil {
			break
		}
		here, no := threadsOn(lines, outer, refZ)
		if found = append(found, here...); layer == 0 {
			why = no
		}
	}
	return found, why
}

// check refuses what has no measure.
func check(m *mesh.Mesh) error {
	if m == nil || len(m.Faces) == 0 {
		return fmt.Errorf("%w: it has no triangles", ErrMesh)
	}
	if err := m.Check(); err != nil {
		return fmt.Errorf("%w: %w", ErrMesh, err)
	}
	return nil
}
