package photo

// This file says what a picture of a part on the sheet tells, and what would make it tell more.

import (
	"fmt"
	"math"

	"tryring/internal/pose"
	"tryring/internal/reading"
	"tryring/internal/unit"
)

// Sheet is what is known of the sheet in a picture.
type Sheet struct {
	// Marks is how many of its marks were found, RiseDeg how steeply the camera looks down on the part, in degrees.
	Marks   int
	RiseDeg float64
	// Scaled is set where the print's scale was told.
	Scaled bool
}

const (
	// uUnscaled is the standard uncertainty, as a share, of a print whose line nobody measured: printers that fit a page shrink it
	// by 3 to 6 percent. Common practice, no published source.
	uUnscaled = 0.02
	// mostScaled is how far off a print may be for its marks to be of use, as a share: enlarged to half, or to twice.
	mostScaled = 0.5
	// mostBlur is the largest blur, in pixels, with which crests are told.
	mostBlur = 2.8
	// leastUpper is how bright the ground behind the upper outline must be, as a share of paper: less, and the outline that was
	// traced is not the part's.
	leastUpper = 0.55
	// leastAlone is the same where the lower edge lies in shadow and does not check the upper one.
	leastAlone = 0.95
	// mostSlip is by how much the pitches on the edge and on the face may differ, as a share: lights slide along a face by 1 percent.
	mostSlip = 0.02
	// pureFace is the least share of what repeats on the face that climbs alike, for the climb to be believed.
	pureFace = 0.8
	// leastPixelsOnSheet is how many pixels a pitch must have.
	leastPixelsOnSheet = 6.0
	// sureDiameter is the largest half width of an interval for a diameter that is told, in mm, or as a share if that is more.
	sureDiameterMM, sureDiameterShare = 0.7, 0.015
)

// What would make a picture of a part on the sheet good.
const (
	placed  = "lay the part alone on its side in the free place, its axis from arrow to arrow, and take the picture from the end with the words"
	closer  = "closer: let the marks that the part does not cover just fill the frame, and hold still"
	flashed = "more light: let it come from where you stand, or use the flash, so that the part's edges stand out from paper that is lit"
	higher  = "higher: look down more steeply, 45 to 70 degrees over the table"
	evenly  = "turn: lay the part so that its crests touch the sheet all along, a flange or collar over the table's edge, across the sheet"
)

// measureOnSheet reads a part that lies on the sheet.
func measureOnSheet(grey *plane, shrink int, v *pose.View, o Options) *Result {
	s := onSheet{grey: grey, view: v}
	r := &Result{Width: grey.w * shrink, Height: grey.h * shrink, Hand: "not told", Tapers: "not told", Known: "the marks on the sheet"}
	r.Sheet = &Sheet{Marks: len(v.Marks), RiseDeg: v.Elevation(Vec{0, pose.PlaceMM, 0}) * 180 / math.Pi}
	guess, reach, ok := s.stripes()
	if !ok {
		r.refuse("no thread is seen in the free place of the sheet", placed)
		return r
	}
	l, why := s.read(guess, reach)
	if why != "" {
		mend := flashed + "; " + closer
		if r.Sheet.RiseDeg < 42 {
			mend = higher + "; " + mend
		}
		if l.face.pitch > 0 && l.face.pitch*s.pixelsPerMM(Vec{0, pose.PlaceMM, guessMM}) < 1.5*leastPixelsOnSheet {
			mend = closer
		}
		r.refuse(why, mend)
		return r
	}
	scale, uScale := 1.0, uUnscaled
	if o.Line != nil {
		scale, uScale = o.Line.Value/pose.LineMM, o.Line.U/pose.LineMM
		r.Sheet.Scaled = true
	}
	found, ok := s.weigh(l, scale, uScale)
	if !ok {
		r.refuse("no cylinder that lies on the sheet has the part's outlines", evenly)
		return r
	}
	r.Answered, r.Pitch = true, &found.pitch
	r.PeriodPixels = l.face.pitch * l.drawn.k * float64(shrink)
	s.mark(r, l, shrink)
	if turns := math.Abs(l.face.turns); l.face.pure > pureFace && turns > 0.5 && turns < 1.5 {
		r.Hand = map[bool]string{true: "right", false: "left"}[l.face.turns > 0]
	}
	s.judge(r, l, found, scale)
	ratio := found.pitch.Value / found.diameter.Value
	u := math.Sqrt(square(found.pitch.U/found.pitch.Value) + square(found.diameter.U/found.diameter.Value) -
		2*found.common*found.pitch.U/found.pitch.Value*found.diameter.U/found.diameter.Value)
	r.Ratio = reading.Combine(ratio, reading.Part{What: "pitch and diameter together", Source: "the picture", U: u * ratio, DOF: math.Inf(1)})
	if r.Answered {
		s.diameter(r, l, found)
	}
	return r
}

// judge refuses what may be wrong.
func (s onSheet) judge(r *Result, l lying, found sized, scale float64) {
	if p := l.face.pitch * l.drawn.k; p < leastPixelsOnSheet {
		r.refuse(fmt.Sprintf("a pitch has only %.1f pixels", p), closer)
	}
	if l.blur > mostBlur {
		r.refuse("the part's edges are blurred", "hold the camera still and focus on the part, with more light")
	}
	least := leastUpper
	if l.lit[1] < leastLit { // the lower edge cannot speak against it
		least = leastAlone
	}
	if l.lit[0] < least {
		r.refuse("what is behind the part's upper edge is not the sheet, or lies in shadow", flashed)
	}
	if off := math.Abs(found.tilt); off > 3*found.uTilt+sureTilt {
		r.refuse(fmt.Sprintf("the part's two edges are not those of one that lies on its crests: its axis would lean by %.1f degrees", off*180/math.Pi), evenly+"; "+flashed)
	}
	if off := found.pitch.Value/scale/l.face.pitch - 1; math.Abs(off) > mostSlip {
		r.refuse(fmt.Sprintf("the pitch on the part's edge and that on its face differ by %.0f %%", 100*math.Abs(off)), closer+"; "+flashed)
	}
	if why, mend := oddClimb(math.Abs(l.face.turns), found.diameter.Value/found.pitch.Value); why != "" && l.face.pure > pureFace {
		r.refuse(why, mend)
	}
	low, high := found.pitch.Interval()
	part := 0.0 // without the print's scale, which a ruler settles
	for _, p := range found.pitch.Parts {
		if p.What != scaleOfPrint {
			part += p.U * p.U
		}
	}
	if half := 2 * math.Sqrt(part) * unit.MMPerInch / square(found.pitch.Value); half > mostTPI {
		r.refuse(fmt.Sprintf("the pitch is not known better than %.3f to %.3f mm", low, high), closer+"; "+flashed)
	}
}

// diameter tells it where both edges were seen well, and otherwise what would show it.
func (s onSheet) diameter(r *Result, l lying, found sized) {
	low, high := found.diameter.Interval()
	switch wide := (high - low) / 2; {
	case l.lit[1] < leastLit || len(l.edges[1]) < 2:
		r.Notes = append(r.Notes, "the lower edge lies in the part's own shadow, so that no diameter is told; "+flashed)
	case r.Sheet.Scaled && wide > math.Max(sureDiameterMM, sureDiameterShare*found.diameter.Value):
		r.Notes = append(r.Notes, fmt.Sprintf("the diameter is known to %.1f mm at best; %s", wide, closer))
	default:
		r.Diameter, r.Common = &found.diameter, found.common
	}
	if !r.Sheet.Scaled {
		r.Notes = append(r.Notes, "hold a ruler to the long line on the sheet and tell what it reads: until then its scale is taken for true within 4 percent")
	}
	if r.Hand == "not told" {
		r.Notes = append(r.Notes, "the face does not tell the hand, nor a thread from rings: see that the crests climb")
	}
}

// Move is one line that says what to do next with the camera, "" where nothing is to be bettered.
func (r *Result) Move() string {
	if r.Sheet == nil {
		return ""
	}
	if len(r.Refusals) > 0 {
		return r.Refusals[0].Mend
	}
	if r.Diameter == nil {
		return flashed
	}
	return ""
}

// mark puts the crests of both outlines on the picture.
func (s onSheet) mark(r *Result, l lying, shrink int) {
	k := float64(shrink)
	to := func(x, y float64) Mark {
		u, v, _ := s.view.Sees(l.drawn.at3(x, y))
		return Mark{round2((u+0.5)*k - 0.5), round2((v+0.5)*k - 0.5)}
	}
	period, depth := l.face.pitch*l.drawn.k, basicDepth*l.face.pitch*l.drawn.k
	for side, name := range []string{"upper", "lower"} {
		sign := []float64{-1, 1}[side]
		out, slope, _ := l.crestLine(side)
		at := func(x, in float64) Mark {
			return to(x, sign*(out+slope*(x-l.drawn.s00())-in)+l.drawn.middle())
		}
		o := Outline{Side: name, Crests: []Mark{}, PeriodPixels: r.PeriodPixels}
		from, last := (l.face.from-l.drawn.s0)*l.drawn.k, (l.face.to-l.drawn.s0)*l.drawn.k
		if e := l.edges[side]; len(e) >= 2 {
			z := e[len(e)-1]
			from, last = e[0].s-e[0].pitches*period/2, z.s+z.pitches*period/2
			for x := e[0].phase - period*math.Floor((e[0].phase-from)/period); x <= last; x += period {
				o.Crests = append(o.Crests, at(x, 0))
			}
		}
		o.LineFrom, o.LineTo, o.RootFrom, o.RootTo = at(from, 0), at(last, 0), at(from, depth), at(last, depth)
		r.Outlines = append(r.Outlines, o)
	}
}

// checkLine tells what is wrong with what the line on the sheet is said to read.
func checkLine(line *reading.Estimate) error {
	if line != nil && !(math.Abs(line.Value/pose.LineMM-1) < mostScaled && line.U < 0.05*pose.LineMM) {
		return fmt.Errorf("the line on the sheet reads %.1f mm; in a true print it is %g, and it must be known better", line.Value, pose.LineMM)
	}
	return nil
}
