package check

// This file holds the rules on what a printer can make of a ring.

import (
	"fmt"
	"math"

	"tryring/internal/ring"
	"tryring/internal/unit"
)

// Rules of thumb for printed threads; common practice, no published source.
const (
	// fewestLayers is the least number of layers in a pitch that still shows its form.
	fewestLayers = 4.0
	// fewestLines is the least pitch in line widths: below it ridge and groove are not told apart.
	fewestLines = 2.0
	// bearingShare is how much of the engagement wanted still gives a clear answer.
	bearingShare = 0.75
	// lineInAir is how much of a line's width may stick out over the layer below on a slope as short as a flank.
	lineInAir = 1.0
	// coverage95 widens a standard uncertainty to 95 % (GUM G.1.3).
	coverage95 = 2.0
)

// wall compares the least wall, measured where it was, with what the printer needs.
func wall(s Subject) []Finding {
	var thin unit.Length
	what := "designed"
	switch {
	case s.Plan != nil:
		thin = s.Plan.Wall
		if s.Measured != nil && s.Measured.WallMM > 0 && s.Measured.WallMM < thin.MM()-max(WallTolMM, s.WallTolMM) {
			return []Finding{{"wall", Stop, fmt.Sprintf("The least wall measures %.2f mm where %.2f mm was promised.", s.Measured.WallMM, thin.MM())}}
		}
	case s.Measured != nil && s.Measured.WallMM > 0:
		thin, what = unit.MM(s.Measured.WallMM), "measured"
	default:
		return nil
	}
	lines := thin.MM() / s.Printer.Nozzle.MM()
	text := fmt.Sprintf("Least wall %.2f mm (%s), %.1f lines of %.2f mm; this printer needs %.2f mm.", thin.MM(), what, lines, s.Printer.Nozzle.MM(), s.Printer.MinWall.MM())
	switch {
	case lines < 1:
		return []Finding{{"wall", Stop, text + " Less than one line will not print."}}
	case thin < s.Printer.MinWall:
		return []Finding{{"wall", Warn, text + " It may break or leak layers: print slowly, or let the layout be stacked."}}
	}
	return []Finding{{"wall", OK, text}}
}

// eachSide applies a rule to both sides of a planned ring.
func eachSide(id string, rule func(s Subject, side ring.Side, name string) (Level, string)) func(Subject) []Finding {
	return func(s Subject) []Finding {
		if s.Plan == nil {
			return nil
		}
		inner, innerText := rule(s, s.Plan.Inner, "inner")
		outer, outerText := rule(s, s.Plan.Outer, "outer")
		return []Finding{{id + "-inner", inner, innerText}, {id + "-outer", outer, outerText}}
	}
}

// engagement compares the full thread of a side with what its thread needs.
func engagement(_ Subject, side ring.Side, name string) (Level, string) {
	full := side.FullMM[1] - side.FullMM[0]
	text := fmt.Sprintf("The %s thread has %.1f mm of full form, %.1f turns; %.1f mm is wanted (%s).", name, full, side.FullTurns()/float64(side.Thread.Starts), side.Engagement.MM(), side.Rule)
	switch {
	case side.FullTurns() < 3:
		return Warn, text + " With so few turns a wrong pitch is hardly felt."
	case full < bearingShare*side.Engagement.MM():
		return Note, text + " A try on a shorter thread tells less."
	}
	return OK, text
}

// pitch compares a thread's pitch with the printer's layers and lines.
func pitch(s Subject, side ring.Side, name string) (Level, string) {
	p := side.Thread.Pitch.MM()
	layers, lines := p/s.Printer.Layer.MM(), p/s.Printer.Nozzle.MM()
	text := fmt.Sprintf("The %s pitch of %.3f mm is %.1f layers of %.2f mm and %.1f widths of a %.2f mm line.", name, p, layers, s.Printer.Layer.MM(), lines, s.Printer.Nozzle.MM())
	switch {
	case layers < fewestLayers || lines < fewestLines || side.Thread.Pitch < s.Printer.MinPitch:
		return Warn, text + fmt.Sprintf(" That is too fine: use layers of %.2f mm or less, or a printer for finer detail.", math.Floor(p/fewestLayers*100)/100)
	default:
		return OK, text
	}
}

// overhang tells how far each layer of the lower flank sticks out over the one below.
func overhang(s Subject, side ring.Side, name string) (Level, string) {
	down, up := side.Thread.Form.Facing(name == "outer")
	steep := 90 - down*180/math.Pi
	step, turned := s.Printer.Layer.MM()/math.Tan(down), s.Printer.Layer.MM()/math.Tan(up)
	held := lineInAir * s.Printer.Nozzle.MM()
	text := fmt.Sprintf("The %s flanks lean %.1f degrees from the vertical; each layer sticks out %.2f mm over the one below.", name, steep, step)
	switch {
	case step > held && turned <= held:
		return Warn, text + fmt.Sprintf(" That is more than a line of %.2f mm holds: with the other end down it is %.2f mm.", s.Printer.Nozzle.MM(), turned)
	case step > held:
		return Warn, text + fmt.Sprintf(" That is more than a line of %.2f mm holds: use layers of %.2f mm or less.",
			s.Printer.Nozzle.MM(), math.Floor(held*math.Tan(down)*100)/100)
	case steep > s.Printer.MaxOverhangDeg:
		return Note, text + fmt.Sprintf(" The printer is good for %.0f degrees without support; the flanks are short, but look at their undersides. Put no support into a thread.", s.Printer.MaxOverhangDeg)
	}
	return OK, text
}

// allowance compares the clearance with what the printer itself may be off by.
func allowance(s Subject, side ring.Side, name string) (Level, string) {
	u := s.Printer.OutsideU
	if name == "inner" {
		u = s.Printer.InsideU
	}
	spread := coverage95 * u.MM()
	text := fmt.Sprintf("The %s thread has %.2f mm of clearance; the printed diameter is uncertain by %.2f mm (95 %%).", name, side.Clearance.MM(), spread)
	switch {
	case side.Clearance.MM() < spread:
		return Warn, text + " A ring that binds may be the printer's fault: print a ladder of clearances, or enter a trial of this printer."
	case side.Clearance.MM() > side.Thread.Pitch.MM()/2:
		return Warn, text + " That is more than half the pitch: the flanks hardly meet."
	}
	return OK, text
}

// bed compares the part's size with the printer's.
func bed(s Subject) []Finding {
	if s.Soundness == nil {
		return nil
	}
	var size [3]float64
	for i := range size {
		size[i] = s.Soundness.BoundsMM[1][i] - s.Soundness.BoundsMM[0][i]
	}
	text := fmt.Sprintf("The part is %.1f x %.1f x %.1f mm; the printer takes %.0f x %.0f x %.0f mm.", size[0], size[1], size[2], s.Printer.BedX.MM(), s.Printer.BedY.MM(), s.Printer.BedZ.MM())
	fits := func(x, y float64) bool { return x <= s.Printer.BedX.MM() && y <= s.Printer.BedY.MM() }
	if !fits(size[0], size[1]) && !fits(size[1], size[0]) || size[2] > s.Printer.BedZ.MM() {
		return []Finding{{"bed", Warn, text + " It does not fit."}}
	}
	return []Finding{{"bed", OK, text}}
}

// stroke compares the engraving with the nozzle, and says where nothing is engraved.
func stroke(s Subject) []Finding {
	if s.Plan == nil {
		return nil
	}
	if s.Plan.Shape.Flange == nil {
		return []Finding{{"label", Warn, "Without a flange the part carries no words: mark it " + ring.Engraved + " by hand before it leaves the bench."}}
	}
	text := fmt.Sprintf("The letters are cut %.2f mm deep with strokes of %.2f mm, %.1f line widths.", s.Plan.Shape.Flange.PocketMM, s.Plan.Stroke.MM(), s.Plan.Stroke.MM()/s.Printer.Nozzle.MM())
	if s.Plan.Stroke < s.Printer.Nozzle {
		return []Finding{{"label", Warn, text + " They will close up."}}
	}
	return []Finding{{"label", OK, text}}
}

// firstLayer compares what the first layer spreads with the lead-in of the lower threads.
func firstLayer(s Subject) []Finding {
	if s.Plan == nil {
		return nil
	}
	spread, leadIn := s.Printer.FirstLayerSpread.MM(), s.Plan.Inner.FullMM[0]
	text := fmt.Sprintf("The first layer spreads about %.2f mm; the lead-in of the inner thread is %.2f mm long there.", spread, leadIn)
	if spread > leadIn/2 {
		return []Finding{{"first-layer", Warn, text + " Trim the lower edge with a knife before trying."}}
	}
	return []Finding{{"first-layer", OK, text}}
}
