package check

// This file holds the rules on what a printer can make of a ring.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/fault"
	"tryring/internal/printer"
	"tryring/internal/ring"
	"tryring/internal/thread"
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
	if layers < fewestLayers || lines < fewestLines || side.Thread.Pitch < s.Printer.MinPitch {
		return Warn, text + " That is too fine: use " + coarsest(s, side, name) + ", or a printer for finer detail."
	}
	return OK, text
}

// held is how far a layer may stick out over the one below, mm: a line of filament lies on what is under it, resin hangs together.
func held(p printer.Profile) float64 {
	if p.Process == printer.Filament {
		return lineInAir * p.Nozzle.MM()
	}
	return math.Inf(1)
}

// coarsest names the coarsest layers that work for a side: a pitch of fewestLayers, an underside that does not stick out by more than
// a line, and a doubt of the layers' share that the clearance holds, where plain size leaves it room.
func coarsest(s Subject, side ring.Side, name string) string {
	down, _ := side.Thread.Form.Facing(name == "outer")
	most := math.Min(side.Thread.Pitch.MM()/fewestLayers, held(s.Printer)*math.Tan(down))
	if u, layer := coverage95*side.Made.Plain.U.MM(), coverage95*side.Made.Layer.U.MM(); u < side.Clearance.MM() {
		most = math.Min(most, s.Printer.Layer.MM()*math.Sqrt(side.Clearance.MM()*side.Clearance.MM()-u*u)/layer)
	}
	return fmt.Sprintf("layers of %.2f mm or less", math.Max(0.01, math.Floor(most*100)/100))
}

// The slopes of an underside, degrees from the vertical, that a printer lays badly and not at all; common practice, no published
// source. A trapezoidal thread of 75 degrees still prints; near the second, each layer of a flank lies in the air.
const (
	steepDeg = 75.05
	flatDeg  = 86.5
)

// leans are the degrees from the vertical by which a side's undersides lean as the part lies, and with its other end down.
func leans(side ring.Side, name string) (lies, turned float64) {
	down, up := side.Thread.Form.Facing(name == "outer")
	return 90 - down*180/math.Pi, 90 - up*180/math.Pi
}

// Undersides warns of a thread that prints badly on a part that lies with its flange down, as gauges do; "" for all others.
func Undersides(t thread.Thread, external bool) string {
	lies, turned := leans(ring.Side{Thread: t}, map[bool]string{true: "outer", false: "inner"}[external])
	text := fmt.Sprintf("As the file lies, the undersides of the flanks lean %.1f degrees from the vertical", lies)
	switch {
	case lies <= steepDeg:
		return ""
	case turned < lies:
		return text + fmt.Sprintf(", and %.1f with the other end down: print it so, and put support under the flange alone.", turned)
	}
	return text + fmt.Sprintf(". More than %.0f degrees print badly: look at every turn, and cut off what hangs down.", steepDeg)
}

// TurnOver says whether the part is better printed with its other end down: the worse of its undersides leans less then.
func TurnOver(p ring.Plan) bool {
	inner, innerTurned := leans(p.Inner, "inner")
	outer, outerTurned := leans(p.Outer, "outer")
	lies := math.Max(inner, outer)
	return lies > steepDeg && lies > math.Max(innerTurned, outerTurned)
}

// Stand tells people which end goes down on the bed.
func Stand(p ring.Plan) string {
	switch over, flange := TurnOver(p), p.Shape.Flange != nil; {
	case over && flange:
		return "Print it with the other end down, flange up, thread axis upright, and leave the grip off or put support under it alone."
	case over:
		return "Print it with the other end down, thread axis upright."
	case flange:
		return "Flange down, thread axis upright, as the file lies."
	}
	return "Thread axis upright, as the file lies."
}

// Plan plans the ring that is asked for; one that cannot be printed upright with either end down is a fault of the thread that it is for.
func Plan(asked ring.Spec) (ring.Plan, error) {
	p, err := ring.New(asked)
	if err != nil {
		return p, err
	}
	s := Subject{Plan: &p, Printer: p.Printer}
	var faults []error
	for _, side := range []struct {
		name string
		ring.Side
	}{{"inner", p.Inner}, {"outer", p.Outer}} {
		if level, text := overhang(s, side.Side, side.name); level == Stop {
			faults = append(faults, fault.At(side.name, side.Thread.Designation, "%s Take a thread of steeper flanks on this side, or two rings", text))
		}
	}
	return p, errors.Join(faults...)
}

// overhang judges the undersides of a side with that end down which is better for the whole part.
func overhang(s Subject, side ring.Side, name string) (Level, string) {
	lean, turned := leans(side, name)
	over := TurnOver(*s.Plan)
	if over {
		lean = turned
	}
	step := s.Printer.Layer.MM() * math.Tan(lean*math.Pi/180)
	text := fmt.Sprintf("The undersides of the %s flanks lean %.1f degrees from the vertical; each layer sticks out %.2f mm over the one below.", name, lean, step)
	level := OK
	switch {
	case lean >= flatDeg:
		return Stop, text + " Its layers would lie in the air, and with the other end down no better: it cannot be printed upright."
	case lean > steepDeg:
		level, text = Warn, text+fmt.Sprintf(" More than %.0f degrees print badly: look at every turn, and cut off what hangs down.", steepDeg)
	case step > held(s.Printer):
		level, text = Warn, text+fmt.Sprintf(" That is more than a line of %.2f mm holds: use %s.", s.Printer.Nozzle.MM(), coarsest(s, side, name))
	case lean > s.Printer.MaxOverhangDeg:
		level, text = Note, text+fmt.Sprintf(" The printer is good for %.0f degrees without support; the flanks are short, but look at their undersides. Put no support into a thread.", s.Printer.MaxOverhangDeg)
	}
	if was, now := leans(side, name); over && was > now {
		return Warn, fmt.Sprintf("%s As the file lies, the undersides of the %s flanks lean %.1f degrees. ", Stand(*s.Plan), name, was) + text
	}
	return level, text
}

// allowance compares the clearance that is felt with what the printed thread is uncertain by.
func allowance(s Subject, side ring.Side, name string) (Level, string) {
	made := s.Printer.Makes(side.Thread, map[string]printer.Side{"inner": printer.Inside, "outer": printer.Outside}[name])
	spread := coverage95 * made.Pitch.U.MM()
	text := fmt.Sprintf("A mate of basic size feels %.2f ± %.2f mm of clearance on the %s thread (95 %%).", side.Clearance.MM(), spread, name)
	if words := side.Words(); words != "" {
		text += " " + words
	}
	switch {
	case side.Clearance.MM() < spread && coverage95*made.Plain.U.MM() < side.Clearance.MM():
		return Warn, text + " A ring that binds may be the printer's fault: use " + coarsest(s, side, name) + ", or enter a trial of this printer."
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
