package caliper

// This file holds what a measurement is told and what it reports, and goes from the mesh to the threads.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

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
	Thread
}

// Report is what was measured on one mesh. Inner or Outer is nil where no thread was found.
type Report struct {
	Inner, Outer *Thread
	// InnerWhy and OuterWhy say why there is no thread where Inner or Outer is nil.
	InnerWhy, OuterWhy string
	// Threads are all that were found, those of Inner and Outer first.
	Threads []Found
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

// Measure measures the threads on the inner and the outer surface of m, about an axis near x, y or z, z itself before all others.
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
	plain, ok := plainAxis(m)
	rep := measureAbout(m, plain, opt)
	if ok && rep.found() {
		return rep.list(), nil
	}
	for _, f := range likelyAxes(m) {
		if other := measureAbout(m, f, opt); other.found() {
			return other.list(), nil
		}
	}
	return rep, nil
}

// list fills in Threads.
func (r Report) list() Report {
	for _, t := range []struct {
		side string
		of   *Thread
	}{{"inner", r.Inner}, {"outer", r.Outer}} {
		if t.of != nil {
			r.Threads = append(r.Threads, Found{Side: t.side, Axis: r.Axis, Thread: *t.of})
		}
	}
	return r
}

func (r Report) found() bool { return r.Inner != nil || r.Outer != nil }

// measureAbout measures about an assumed axis and refines it from the threads found.
func measureAbout(m *mesh.Mesh, f frame, opt Options) Report {
	for round := 1; ; round++ {
		pts := place(m, f)
		secs, inside := cut(pts, m.Faces)
		if slices.ContainsFunc(secs, func(s section) bool { return s.tangled }) {
			return Report{InnerWhy: whyTangled, OuterWhy: whyTangled, Axis: f.axis()}
		}
		var rep Report
		var inner, outer fitted
		var all sync.WaitGroup
		all.Go(func() { rep.Inner, inner, rep.InnerWhy = measureSide(secs, false, opt.InnerRefZMM) })
		all.Go(func() { rep.Outer, outer, rep.OuterWhy = measureSide(secs, true, opt.OuterRefZMM) })
		rep.WallMM, rep.WallZMM = wall(pts, m.Faces, secs, inside)
		all.Wait()
		better, off := f.refined(inner, outer)
		if off > axisShare && round < maxRounds {
			f = better
			continue
		}
		rep.Axis = f.axis()
		return rep
	}
}

// measureSide measures the thread on the outer or the inner side, or says why there is none.
func measureSide(secs []section, outer bool, refZ float64) (*Thread, fitted, string) {
	s, why := siteOf(secs, outer)
	if why != "" {
		return nil, fitted{}, why
	}
	return s.measure(refZ)
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
