package thread

// This file holds free threads: a diameter, a pitch and an angle that no standard names.

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"tryring/internal/unit"
)

// The bounds of a free thread.
const (
	MinAngleDeg = 20
	MaxAngleDeg = 90
	// MinDiameter and MaxDiameter bound the major diameter: below, nothing prints; above, no bed takes it.
	MinDiameter unit.Length = 0.5
	MaxDiameter unit.Length = 300
	// MinPitch and MaxPitch bound the pitch.
	MinPitch unit.Length = 0.1
	MaxPitch unit.Length = 25.4
	// largestBarePitchMM is the coarsest pitch of ISO 261; a larger pitch without a unit is more likely threads per inch.
	largestBarePitchMM = 8
)

// readFree reads the two lengths of "44.4mm x 12tpi". Size keeps the number in the unit it was written in.
func (n *written) readFree(size, pitch string) error {
	diameter, sizeUnit, err := unit.ParseLengthIn(size)
	if err != nil {
		return fmt.Errorf("diameter: %w", err)
	}
	n.Size, n.SizeUnit = unit.Short(float64(diameter/sizeUnit)), sizeUnit
	perInch, isPerInch, err := unit.ParsePerInch(pitch)
	if err != nil {
		return fmt.Errorf("pitch: %w", err)
	}
	if isPerInch {
		n.PerInch = rounded(perInch)
		return nil
	}
	p, pitchUnit, err := unit.ParseLengthIn(pitch)
	if err != nil {
		return fmt.Errorf("pitch: %w", err)
	}
	if !(p > 0) {
		return errors.New("the pitch must be above 0")
	}
	bare, err := unit.ParseNumber(pitch)
	if noUnit := err == nil && !strings.Contains(pitch, "/"); noUnit && (bare > largestBarePitchMM || sizeUnit == unit.Inch) {
		return fmt.Errorf("pitch %q has no unit; write %stpi or %smm", pitch, unit.Short(bare), unit.Short(bare))
	}
	if pitchUnit == unit.Inch {
		n.PerInch = rounded(1 / p.Inches())
	} else {
		n.Pitch = unit.MM(rounded(p.MM()))
	}
	return nil
}

// rounded keeps the six decimals that a designation shows, so that a thread is what its designation says.
func rounded(x float64) float64 { return math.Round(x*1e6) / 1e6 }

// freeThread makes the thread that n describes, with the basic form for its flanks (formOf) unless a profile or a
// depth was written.
func freeThread(n Name) (Thread, error) {
	x, err := unit.ParseNumber(n.Size)
	if err != nil {
		return Thread{}, fmt.Errorf("diameter: %w", err)
	}
	major := unit.Length(x) * n.SizeUnit
	sizeWord := n.Size + "mm"
	if n.SizeUnit == unit.Inch {
		sizeWord = n.Size + "in"
	}
	pitch, pitchWord := n.Pitch, unit.Short(n.Pitch.MM())+"mm"
	if n.PerInch > 0 {
		pitch, pitchWord = unit.Inches(1/n.PerInch), unit.Short(n.PerInch)+"tpi"
	}
	form, formWords, err := n.form(pitch)
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Form: form, Pitch: pitch, Starts: 1, Hand: Right, Basic: basicOf(form, major, pitch)}.called(sizeWord+" x "+pitchWord+formWords, "")
	if err := t.sane(); err != nil {
		return Thread{}, err
	}
	return t, nil
}

// form returns the form that n describes at a pitch, and the words for it.
func (n Name) form(pitch unit.Length) (f Form, words string, err error) {
	s := shape{AngleDeg: 60}
	switch {
	case n.FlanksDeg[0] > 0 && !nearly(n.FlanksDeg[0], n.FlanksDeg[1]):
		s = shape{FlanksDeg: n.FlanksDeg[:]}
		words = " " + unit.Short(n.FlanksDeg[0]) + "/" + unit.Short(n.FlanksDeg[1]) + "deg"
	case n.AngleDeg != 0 && !nearly(n.AngleDeg, 60):
		s.AngleDeg, words = n.AngleDeg, " "+unit.Short(n.AngleDeg)+"deg"
	}
	if n.Profile != "" {
		s.Depth, s.Round, words = 0.5, n.Profile == roundProfile, words+" "+n.Profile
	}
	if n.Depth > 0 {
		s.Depth, words = float64(n.Depth/pitch), words+" "+unit.Short(n.Depth.MM())+"mm deep"
	}
	f, err = s.form()
	return f, words, err
}

// sane refuses a combination that leaves no core, or is larger than is built here.
func (t Thread) sane() error {
	major := t.Basic.Major
	switch {
	case !(major >= MinDiameter && major <= MaxDiameter):
		return fmt.Errorf("diameter %s; it must be %s to %s", major, MinDiameter.TextMM(), MaxDiameter.TextMM())
	case !(t.Pitch >= MinPitch && t.Pitch <= MaxPitch):
		return fmt.Errorf("pitch %s; it must be %s to %s", t.Pitch, MinPitch.TextMM(), MaxPitch.TextMM())
	case !(t.Basic.Minor >= major/4):
		return fmt.Errorf("a pitch of %s is too coarse for a diameter of %s: the core left would be %s, less than a quarter of it", t.Pitch, major, t.Basic.Minor)
	}
	return nil
}

// nearly says whether two figures that people wrote are the same but for the last bits of their float64 form.
func nearly(a, b float64) bool {
	const relative = 1e-9 // six decimals of a figure up to a thousand
	return a-b <= relative*(a+b) && b-a <= relative*(a+b)
}
