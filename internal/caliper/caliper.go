// Package caliper measures threads on a mesh, from its triangles alone: lead, starts, hand, diameters, flank
// angles, taper and wall.
package caliper

// Thread is what was measured of one thread, lengths in millimetres. On a taper thread the diameters are those at RefZMM.
type Thread struct {
	MajorMM  float64 `json:"major_mm"`
	PitchDMM float64 `json:"pitch_diameter_mm"`
	MinorMM  float64 `json:"minor_mm"`
	LeadMM   float64 `json:"lead_mm"`
	PitchMM  float64 `json:"pitch_mm"`
	Starts   int     `json:"starts"`
	// Hand is "right" or "left".
	Hand string `json:"hand"`
	// Taper is the change of diameter per length along z, as a magnitude.
	Taper float64 `json:"taper"`
	// UpperFlankDeg and LowerFlankDeg are the flank angles from the perpendicular to the axis, of the flanks that face +z and -z.
	UpperFlankDeg float64 `json:"upper_flank_deg"`
	LowerFlankDeg float64 `json:"lower_flank_deg"`
	// AngleDeg is the sum of the two.
	AngleDeg float64 `json:"angle_deg"`
	// ZMM is the range of z over which the full form was found.
	ZMM [2]float64 `json:"z_mm"`
	// RefZMM is the height at which the diameters of a taper thread are stated.
	RefZMM float64 `json:"ref_z_mm"`
}

// Report is what was measured on one mesh. Inner or Outer is nil where no thread was found.
type Report struct {
	Inner, Outer *Thread
	// WallMM is the least thickness of material found between the inner and the outer surface.
	WallMM float64
}
