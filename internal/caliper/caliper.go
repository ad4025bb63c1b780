package caliper

// This file holds what a measurement is told and what it reports.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"

	"tryring/internal/mesh"
)

// Thread is what was measured of one thread, lengths in millimetres. On a taper thread the diameters are those at RefZMM.
type Thread struct {
	MajorMM float64 `json:"major_mm"`
	// PitchDMM is the diameter of the cylinder (cone) on which ridges and grooves are equally wide along the axis:
	// the simple pitch diameter of ASME B1.7M.
	PitchDMM float64 `json:"pitch_diameter_mm"`
	MinorMM  float64 `json:"minor_mm"`
	LeadMM   float64 `json:"lead_mm"`
	PitchMM  float64 `json:"pitch_mm"`
	Starts   int     `json:"starts"`
	// Hand is "right" or "left".
	Hand string `json:"hand"`
	// Taper is the change of diameter per length along z, as a magnitude.
	Taper float64 `json:"taper"`
	// WidensUp tells which way the taper goes: true when the diameter grows with z.
	WidensUp bool `json:"widens_up"`
	// UpperFlankDeg and LowerFlankDeg are the flank angles from the perpendicular to the axis, of the flanks that face +z and -z.
	UpperFlankDeg float64 `json:"upper_flank_deg"`
	LowerFlankDeg float64 `json:"lower_flank_deg"`
	// FlankDeg are the same two, lower and upper.
	FlankDeg [2]float64 `json:"flank_deg"`
	// AngleDeg is the sum of the two.
	AngleDeg float64 `json:"angle_deg"`
	// FlankWhy says why the flanks have no angle of their own; empty where they are straight.
	FlankWhy string `json:"flank_why,omitempty"`
	// ZMM is the range of z over which the full form was found.
	ZMM [2]float64 `json:"z_mm"`
	// RefZMM is the height at which the diameters of a taper thread are stated.
	RefZMM float64 `json:"ref_z_mm"`
}

// Axis is a line in the mesh's own coordinates.
type Axis struct {
	// OriginMM is the point of the axis that is nearest to the mesh's own zero.
	OriginMM [3]float64 `json:"origin_mm"`
	// Direction is a unit vector; heights (z) are measured along it.
	Direction [3]float64 `json:"direction"`
}

// Report is what was measured on one mesh. Inner or Outer is nil where no thread was found.
type Report struct {
	Inner, Outer *Thread
	// InnerWhy and OuterWhy say why there is no thread where Inner or Outer is nil.
	InnerWhy, OuterWhy string
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
		return rep, nil
	}
	for _, f := range likelyAxes(m) {
		if other := measureAbout(m, f, opt); other.found() {
			return other, nil
		}
	}
	return rep, nil
}

// toldPlaces is the millionth of a millimetre, of a degree, or of a share to which figures are told: what lies below is noise,
// which differs from one kind of machine to another.
const toldPlaces = 1e6

// round rounds every figure.
func (r *Report) round() {
	figures := []*float64{&r.WallMM, &r.WallZMM}
	for k := range 3 {
		figures = append(figures, &r.Axis.OriginMM[k])
	}
	for _, t := range []*Thread{r.Inner, r.Outer} {
		if t != nil {
			figures = append(figures, &t.MajorMM, &t.PitchDMM, &t.MinorMM, &t.LeadMM, &t.PitchMM, &t.Taper, &t.UpperFlankDeg, &t.LowerFlankDeg,
				&t.FlankDeg[0], &t.FlankDeg[1], &t.AngleDeg, &t.ZMM[0], &t.ZMM[1], &t.RefZMM)
		}
	}
	for _, x := range figures {
		*x = math.Round(*x*toldPlaces)/toldPlaces + 0 // + 0 turns -0 into 0
	}
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
