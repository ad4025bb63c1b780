package ring

// This file takes what a printer does to a thread off its model: plain size on the radius, what the layers do to the flanks by
// moving these along the axis, as far as the crest bears it.

import (
	"fmt"
	"math"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Compensated is a thread as modelled for a printer, as scripts read it too. All is on the diameter, but Along.
type Compensated struct {
	// Compensation is added to all diameters, Flanks to the pitch diameter beside that: both flanks of a ridge are moved towards each
	// other by Along in all. Rest is the part of Compensation that is the layers' too, since the crest would not bear it.
	Compensation unit.Length `json:"compensation_mm"`
	Flanks       unit.Length `json:"flank_compensation_mm"`
	Along        unit.Length `json:"flanks_along_mm"`
	Rest         unit.Length `json:"crest_compensation_mm"`
	// Modelled are the diameters in the file, Printed those that a mate is expected to feel, PrintedU their standard uncertainty.
	Modelled thread.Diameters `json:"modelled"`
	Printed  thread.Diameters `json:"printed"`
	PrintedU thread.Diameters `json:"printed_u"`
	// Made is what the printer does to the thread.
	Made printer.Made `json:"-"`
}

const (
	// crestShare is how much of the way from the crest to the sharp corner, and so of a crest flat or of the radius of a crest arc, is
	// left when flanks are moved.
	crestShare = 0.5
	// leastStraight is how long, in pitches, the flank of a round thread runs straight to either side of the pitch line at least, for
	// its flanks to be moved: where arcs are nearly all of it, other arcs would be another thread.
	leastStraight = 0.125
)

// bears is by how much the pitch diameter of t can go towards its root for that, when crest is the difference of the diameters over
// crest and pitch line.
func bears(t thread.Thread, crest unit.Length) float64 {
	if t.Form.RoundPerPitch > 0 && t.Form.StraightPerPitch() < leastStraight {
		return 0
	}
	return math.Max(0, (1-crestShare)*(t.Pitch.MM()/(2*t.Form.Tan())-crest.MM()))
}

// compensate decides on the model of t on a side, so that a mate feels the wanted diameters. Moving the flanks of a ridge by Along
// in all makes the pitch diameter smaller (outside) by Along / Tan, Tan being the mean of the flanks' tangents, and leaves crest
// and root where they are. The sharp corner of the ridge stands P / (4 Tan) beyond the pitch line on the radius, and comes as much
// nearer to the crest as the pitch line moves. What that does not take is taken off all diameters: the thread is then smaller at
// the crest than was wanted.
func compensate(t thread.Thread, side printer.Side, p printer.Profile, wanted thread.Diameters) Compensated {
	made := p.Makes(t, side)
	out, crest := unit.Length(1), wanted.Major-wanted.Pitch
	if side == printer.Inside {
		out, crest = -1, wanted.Pitch-wanted.Minor
	}
	layer := math.Abs(made.Layer.By.MM())
	flanks := math.Min(layer, bears(t, crest))
	c := Compensated{
		Flanks: -out * unit.MM(flanks), Rest: -out * unit.MM(layer-flanks), Along: unit.MM(flanks * t.Form.Tan()), Made: made,
		PrintedU: thread.Diameters{Major: made.Major.U, Pitch: made.Pitch.U, Minor: made.Minor.U},
	}
	c.Compensation = c.Rest - made.Plain.By
	c.Modelled = wanted.Plus(c.Compensation)
	c.Modelled.Pitch += c.Flanks
	c.Printed = wanted.Plus(c.Rest)
	c.Printed.Pitch = wanted.Pitch
	return c
}

// tooCoarse is the fault of layers that leave no thread: what a mate feels no longer falls from crest over pitch line to root.
func (c Compensated) tooCoarse(t thread.Thread, p printer.Profile) error {
	if d := c.Printed; d.Major > d.Pitch && d.Pitch > d.Minor {
		return nil
	}
	return fault.At("layer", p.Layer.TextMM(), "%s has a pitch of %s, and layers that are so coarse leave no crest on it; take layers of %s or less", t.Designation, t.Pitch.TextMM(), (t.Pitch / 4).TextMM())
}

// Words say what is done about the layers, nothing where they do nothing.
func (c Compensated) Words() string {
	layer := c.Made.Layer
	if math.Abs(layer.By.MM()) < saidMM {
		return ""
	}
	does := "add %.2f ± %.2f mm to"
	if layer.By < 0 {
		does = "take %.2f ± %.2f mm from"
	}
	text := fmt.Sprintf("The layers "+does+" the pitch diameter that a mate feels: the flanks of each ridge stand %.2f mm closer for it", math.Abs(layer.By.MM()), coverage*layer.U.MM(), c.Along.MM())
	if math.Abs(c.Rest.MM()) >= saidMM {
		text += fmt.Sprintf(", all that their crests bear; the other %.2f mm are on all diameters", math.Abs(c.Rest.MM()))
	}
	return text + "."
}

// saidMM is the least that is worth a word.
const saidMM = 0.0005
