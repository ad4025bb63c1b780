package build

// This file holds what is told of a finished ring: the object that scripts read, lengths in millimetres.

import (
	"math"

	"tryring/internal/caliper"
	"tryring/internal/check"
	"tryring/internal/draw"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Result is what was made, as it is written to NAME.json. Scripts rely on its keys.
type Result struct {
	Name    string   `json:"name"`
	Caution []string `json:"caution"`
	Layout  string   `json:"layout"`
	// LayoutWhy and HeightWhy say how the two were chosen.
	LayoutWhy string  `json:"layout_why"`
	HeightMM  float64 `json:"height_mm"`
	HeightWhy string  `json:"height_why"`
	MinWallMM float64 `json:"min_wall_mm"`
	// ClearanceMM is the smaller of the two sides' clearances, on the diameter.
	ClearanceMM float64 `json:"clearance_mm"`
	// Printer is the profile that was compensated for, "none" for one that is not named; LayerMM the layers to print in.
	Printer string       `json:"printer"`
	LayerMM float64      `json:"layer_mm"`
	Label   string       `json:"label"`
	Inner   ThreadResult `json:"inner"`
	Outer   ThreadResult `json:"outer"`
	Mesh    MeshResult   `json:"mesh"`
	printer.Cost
	// Advice says how to slice the part.
	Advice []string `json:"advice"`
	// TurnOver says that it is to be printed with its other end down.
	TurnOver bool            `json:"turn_over,omitempty"`
	Checks   []check.Finding `json:"checks"`
	Files
}

// ThreadResult is one of the two threads.
type ThreadResult struct {
	Designation string `json:"designation"`
	Figures
	// ClearanceMM is the gap on the diameter that a mate of basic size feels.
	ClearanceMM float64 `json:"clearance_mm"`
	ring.Compensated
	// Nominal is the thread's basic size, Wanted has the clearance taken.
	Nominal thread.Diameters `json:"nominal"`
	Wanted  thread.Diameters `json:"wanted"`
	// Measured is what the finished file holds; nil until it was measured.
	Measured *caliper.Thread `json:"measured"`
	// ZMM is where the full form stands in the file's own z.
	ZMM [2]float64 `json:"z_mm"`
}

// Figures are what a thread is, whatever its size and whatever is made of it.
type Figures struct {
	Standard string `json:"standard"`
	// AngleDeg is that between the flanks, FlanksDeg those of both, that which carries the load first.
	AngleDeg  float64    `json:"angle_deg"`
	FlanksDeg [2]float64 `json:"flanks_deg"`
	PitchMM   float64    `json:"pitch_mm"`
	LeadMM    float64    `json:"lead_mm"`
	Starts    int        `json:"starts"`
	Hand      string     `json:"hand"`
	Taper     float64    `json:"taper"`
}

// FiguresOf are those of t.
func FiguresOf(t thread.Thread) Figures {
	carrying, other := t.Form.Flanks()
	return Figures{
		Standard: t.Standard, AngleDeg: unit.Round(t.Form.AngleDeg()), FlanksDeg: [2]float64{degrees(carrying), degrees(other)},
		PitchMM: unit.RoundMM(t.Pitch), LeadMM: unit.RoundMM(t.Lead()), Starts: t.Starts, Hand: t.Hand.String(), Taper: t.Taper,
	}
}

func degrees(rad float64) float64 { return unit.Round(rad * 180 / math.Pi) }

// MeshResult is what the finished mesh is like.
type MeshResult struct {
	Triangles int     `json:"triangles"`
	Closed    bool    `json:"closed"`
	VolumeMM3 float64 `json:"volume_mm3"`
	ChordMM   float64 `json:"chord_mm"`
	Bytes     int64   `json:"bytes"`
}

// PlateResult is one plate as it was made.
type PlateResult struct {
	File string `json:"file"`
	// Parts are in rows from the front left.
	Parts []PlatePart `json:"parts"`
}

// PlatePart is one part on a plate; its middle in the bed's own x and y.
type PlatePart struct {
	Name string `json:"name"`
	// Rung is that of a ladder, Label the words on a gauge.
	Rung  string  `json:"rung,omitempty"`
	Label string  `json:"label,omitempty"`
	XMM   float64 `json:"x_mm"`
	YMM   float64 `json:"y_mm"`
}

// NewResult tells of the plan p for what was asked; what only the finished mesh can tell is left empty.
func NewResult(a Asked, p ring.Plan) Result {
	return Result{
		Name:        a.Name,
		Caution:     check.Cautions(p.Inner.Thread, p.Outer.Thread),
		Layout:      string(p.Layout),
		LayoutWhy:   p.LayoutWhy,
		HeightMM:    unit.RoundMM(p.Height),
		HeightWhy:   p.HeightWhy,
		MinWallMM:   unit.RoundMM(p.Wall),
		ClearanceMM: unit.RoundMM(min(p.Inner.Clearance, p.Outer.Clearance)),
		Printer:     p.Printer.Name,
		LayerMM:     unit.RoundMM(p.Printer.Layer),
		Label:       p.Label,
		Inner:       threadResult(p.Inner),
		Outer:       threadResult(p.Outer),
		Mesh:        MeshResult{ChordMM: unit.RoundMM(a.Chord)},
		Advice:      draw.SlicerHints(p),
		TurnOver:    check.TurnOver(p),
		Checks:      []check.Finding{},
		Files:       Files{Paths: []string{}, Digests: map[string]string{}},
	}
}

func threadResult(s ring.Side) ThreadResult {
	return ThreadResult{
		Designation: s.Thread.Designation,
		Figures:     FiguresOf(s.Thread),
		ClearanceMM: unit.RoundMM(s.Clearance),
		Compensated: s.Compensated,
		Nominal:     s.Nominal,
		Wanted:      s.Wanted,
		ZMM:         [2]float64{unit.Round(s.FullMM[0]), unit.Round(s.FullMM[1])},
	}
}
