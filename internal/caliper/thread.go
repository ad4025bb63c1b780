package caliper

// This file holds the figures of one thread.

import "math"

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
	// FlankDeg are the flank angles from the perpendicular to the axis, of the flanks that face -z and +z.
	FlankDeg [2]float64 `json:"flank_deg"`
	// AngleDeg is the sum of the two.
	AngleDeg float64 `json:"angle_deg"`
	// FlankWhy says why the flanks have no angle of their own; empty where they are straight.
	FlankWhy string `json:"flank_why,omitempty"`
	Uncertainty
	// OvalMM is how much more the widest diameter is than the narrowest, as an oval; UnevenMM how far sections usually stand off that, on the
	// radius: one worn side. Both are taken off before the form is looked at.
	OvalMM   float64 `json:"oval_mm"`
	UnevenMM float64 `json:"uneven_mm"`
	// Turns is how many turns of the full form there are.
	Turns  float64 `json:"turns"`
	untold []untold
	// ZMM is the range of z over which the full form was found.
	ZMM [2]float64 `json:"z_mm"`
	// RefZMM is the height at which the diameters of a taper thread are stated.
	RefZMM float64 `json:"ref_z_mm"`
}

// toldPlaces is the millionth of a millimetre, of a degree, or of a share to which figures are told: what lies below is noise,
// which differs from one kind of machine to another.
const toldPlaces = 1e6

// round rounds every figure.
func (r *Report) round() {
	r.Axis.round()
	figures := []*float64{&r.WallMM, &r.WallZMM}
	for _, t := range []*Thread{r.Inner, r.Outer} {
		if t != nil {
			figures = append(figures, t.figures()...)
		}
	}
	for i := range r.Threads {
		r.Threads[i].Axis.round()
		figures = append(append(figures, &r.Threads[i].WallMM), r.Threads[i].figures()...)
	}
	for _, x := range figures {
		*x = told(*x, toldPlaces)
	}
}

func told(x, places float64) float64 {
	return math.Round(x*places)/places + 0 // + 0 turns -0 into 0
}

// round rounds a: of the direction, by which a length is multiplied, more is told.
func (a *Axis) round() {
	for k := range 3 {
		a.OriginMM[k], a.Direction[k] = told(a.OriginMM[k], toldPlaces), told(a.Direction[k], 1e3*toldPlaces)
	}
}

// figures are all that round rounds.
func (t *Thread) figures() []*float64 {
	return append(t.Uncertainty.figures(),
		&t.MajorMM, &t.PitchDMM, &t.MinorMM, &t.LeadMM, &t.PitchMM, &t.Taper,
		&t.FlankDeg[0], &t.FlankDeg[1], &t.AngleDeg, &t.ZMM[0], &t.ZMM[1], &t.RefZMM, &t.Turns, &t.OvalMM, &t.UnevenMM)
}
