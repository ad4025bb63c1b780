package thread

// This file holds free threads: a diameter, a pitch and an angle that no standard names.

import (
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
		return fmt.Errorf("thread %q: diameter: %w", n.Text, err)
	}
	n.Size, n.SizeUnit = unit.Short(float64(diameter/sizeUnit)), sizeUnit
	perInch, isPerInch, err := unit.ParsePerInch(pitch)
	if err != nil {
		return fmt.Errorf("thread %q: pitch: %w", n.Text, err)
	}
	if isPerInch {
		n.PerInch = rounded(perInch)
		return nil
	}
	p, pitchUnit, err := unit.ParseLengthIn(pitch)
	if err != nil {
		return fmt.Errorf("thread %q: pitch: %w", n.Text, err)
	}
	if !(p > 0) {
		return fmt.Errorf("thread %q: the pitch must be above 0", n.Text)
	}
	bare, err := unit.ParseNumber(pitch)
	if noUnit := err == nil && !strings.Contains(pitch, "/"); noUnit && (bare > largestBarePitchMM || sizeUnit == unit.Inch) {
		return fmt.Errorf("thread %q: pitch %q has no unit; write %stpi or %smm", n.Text, pitch, unit.Short(bare), unit.Short(bare))
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

// freeThread makes the thread that n describes: crests and roots cut flat at H/8 and H/4 as on ISO 68-1 for an angle
// other than 55 degrees, the Whitworth form (rounded, h = 2/3 H) for 55 degrees.
func freeThread(n Name) (Thread, error) {
	x, err := unit.ParseNumber(n.Size)
	if err != nil {
		return Thread{}, fmt.Errorf("thread %q: diameter: %w", n.Text, err)
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
	form, angleWord := Form60, ""
	if n.AngleDeg != 0 && !nearly(n.AngleDeg, 60) {
		form, angleWord = formOf(n.AngleDeg/2, n.AngleDeg/2), " "+unit.Short(n.AngleDeg)+"deg"
	}
	t := Thread{
		Designation: sizeWord + " x " + pitchWord + angleWord,
		Form:        form, Pitch: pitch, Starts: 1, Hand: Right,
		Basic: basicOf(form, major, pitch),
	}
	if err := t.sane(n.Text); err != nil {
		return Thread{}, err
	}
	return t, nil
}

// sane refuses a combination that leaves no core, or is larger than is built here; text is what was written.
func (t Thread) sane(text string) error {
	major := t.Basic.Major
	switch {
	case !(major >= MinDiameter && major <= MaxDiameter):
		return fmt.Errorf("thread %q: diameter %s; it must be %s to %s", text, major, MinDiameter.TextMM(), MaxDiameter.TextMM())
	case !(t.Pitch >= MinPitch && t.Pitch <= MaxPitch):
		return fmt.Errorf("thread %q: pitch %s; it must be %s to %s", text, t.Pitch, MinPitch.TextMM(), MaxPitch.TextMM())
	case !(t.Basic.Minor >= major/4):
		return fmt.Errorf("thread %q: a pitch of %s is too coarse for a diameter of %s: the core left would be %s, less than a quarter of it",
			text, t.Pitch, major, t.Basic.Minor)
	}
	return nil
}
