package ring

// This file holds the sdfx solid of a ring, which defines the part: every mesh is proved against it.

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v2 "github.com/deadsy/sdfx/vec/v2"
	v3 "github.com/deadsy/sdfx/vec/v3"
)

const (
	// arcChordMM is how closely the solid's polygons follow the arcs of a round form: well below the micrometre of the proofs.
	arcChordMM = 0.0001
	// cutMM is how far cutting bodies reach past the faces they cut, so that no two faces of the model coincide.
	cutMM = 1.0
)

// Shape is the geometry of a ring, complete for a mesher: two walls and, perhaps, a flange around the lower end.
type Shape struct {
	Inner, Outer Surface
	// Flange is nil for a plain ring.
	Flange   *Flange
	HeightMM float64
}

// Solid is the sdfx solid of a shape. It also gives its shape to meshers that can use it.
type Solid struct {
	sdf.SDF3
	shape Shape
}

// Shape returns the geometry that the solid was made from.
func (s *Solid) Shape() Shape { return s.shape }

// NewSolid builds the sdfx solid of a shape.
func NewSolid(shape Shape) (*Solid, error) {
	outer, err := body(shape.Outer, 0)
	if err != nil {
		return nil, err
	}
	if shape.Flange != nil {
		flange, err := shape.Flange.solid()
		if err != nil {
			return nil, err
		}
		outer = sdf.Union3D(outer, flange)
	}
	bore, err := body(shape.Inner, cutMM)
	if err != nil {
		return nil, err
	}
	s := sdf.Difference3D(outer, bore)
	if shape.Flange != nil {
		pockets, err := shape.Flange.pockets()
		if err != nil {
			return nil, err
		}
		s = sdf.Difference3D(s, pockets)
	}
	return &Solid{SDF3: s, shape: shape}, nil
}

// body returns the solid 0 <= r <= s.Radius(theta, z), reaching past both ends by past.
func body(s Surface, past float64) (sdf.SDF3, error) {
	from, to := s.From-past, s.To+past
	widest := math.Max(s.MajorRadius(from), s.MajorRadius(to)) + cutMM
	hi := s.Hi
	if hi == nil {
		hi = Line{{Z: from, R: widest}}
	}
	bound, err := turned(hi, from, to)
	if err != nil {
		return nil, err
	}
	core, err := newScrew(s, from, to)
	if err != nil {
		return nil, err
	}
	if s.Lo != nil {
		lo, err := turned(s.Lo, from-cutMM, to+cutMM)
		if err != nil {
			return nil, err
		}
		core = sdf.Union3D(core, lo)
	}
	return sdf.Intersect3D(bound, core), nil
}

// turned revolves a line about the axis, between two heights. The polygon is mirrored over the axis so that no false
// surface lies on it.
func turned(l Line, from, to float64) (sdf.SDF3, error) {
	right := []v2.Vec{{X: l.At(from), Y: from}}
	for _, k := range l {
		if k.Z > from && k.Z < to {
			right = append(right, v2.Vec{X: k.R, Y: k.Z})
		}
	}
	right = append(right, v2.Vec{X: l.At(to), Y: to})
	points := right
	for i := len(right) - 1; i >= 0; i-- {
		points = append(points, v2.Vec{X: -right[i].X, Y: right[i].Y})
	}
	polygon, err := sdf.Polygon2D(points)
	if err != nil {
		return nil, err
	}
	return sdf.Revolve3D(polygon)
}

// screw is the solid r <= thread(theta, z), endless along z.
//
// sdfx's own Screw3D is not used: it overstates distance on steep threads and takes atan(taper) for the slope.
type screw struct {
	surface Surface
	section sdf.SDF2
	box     sdf.Box3
}

// newScrew draws the section over three pitches, so that the nearest point of the middle one is never cut off.
func newScrew(s Surface, from, to float64) (sdf.SDF3, error) {
	knots, pitch := s.Profile.Knots(arcChordMM), s.Profile.PitchMM
	var points []v2.Vec
	for turn := -2; turn <= 1; turn++ {
		for _, k := range knots {
			points = append(points, v2.Vec{X: k.Z + float64(turn)*pitch, Y: k.R})
		}
	}
	first, last := points[0].X, points[len(points)-1].X
	points = append(points, v2.Vec{X: last, Y: -s.Profile.MajorMM}, v2.Vec{X: first, Y: -s.Profile.MajorMM})
	section, err := sdf.Polygon2D(points)
	if err != nil {
		return nil, err
	}
	r := math.Max(s.MajorRadius(from), s.MajorRadius(to))
	return &screw{surface: s, section: section, box: sdf.Box3{
		Min: v3.Vec{X: -r, Y: -r, Z: from}, Max: v3.Vec{X: r, Y: r, Z: to},
	}}, nil
}

// Evaluate returns a lower bound of the distance to the thread, negative inside.
//
// The map from space to the section stretches distance by up to sqrt(1 + (lead / 2 pi r)^2), plus the taper's slope; the
// section's distance is divided by that. Within the minor cone the distance to the cone bounds it too.
func (s *screw) Evaluate(p v3.Vec) float64 {
	r := math.Hypot(p.X, p.Y)
	theta := math.Atan2(p.Y, p.X)
	pitch, slope := s.surface.Profile.PitchMM, s.surface.Profile.Slope
	z := p.Z - s.surface.ShiftMM - s.surface.LeadMM*theta/(2*math.Pi)
	z -= pitch * math.Round(z/pitch)
	d := s.section.Evaluate(v2.Vec{X: z, Y: r - slope*(p.Z-s.surface.RefMM)})
	minor := s.surface.MinorRadius(p.Z)
	steep := s.surface.LeadMM / (2 * math.Pi * math.Max(math.Min(r, minor), 1e-9))
	d /= math.Sqrt(1+steep*steep) + math.Abs(slope)
	if r < minor {
		d = math.Min(d, (r-minor)/math.Hypot(1, slope))
	}
	return d
}

// BoundingBox returns the box of the part of the thread that is used.
func (s *screw) BoundingBox() sdf.Box3 { return s.box }
