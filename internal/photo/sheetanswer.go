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
	around  = "a second picture: leave part and sheet as they are, go round to the other side and take one from there, both with light from where you stand, or the flash, 30 to 60 degrees over the table"
	evenly  = "turn: lay the part so that its crests touch the sheet all along, a flange or collar over the table's edge, across the sheet"
)

// measureOnSheet reads a part that lies on the sheet, from one picture or from several; what is drawn is drawn on the first.
func measureOnSheet(pictures []onSheet, shrink int, o Options) *Result {
	s := pictures[0]
	r := &Result{Width: s.grey.w * shrink, Height: s.grey.h * shrink, Tapers: "not told", Known: "the marks on the sheet"}
	r.Sheet = &Sheet{Marks: len(s.view.Marks), RiseDeg: s.view.Elevation(Vec{0, pose.PlaceMM, 0}) * 180 / math.Pi}
	all, why := read(pictures)
	if why != "" {
		mend := placed
		if len(all) > 0 {
			mend = flashed + "; " + closer
		}
		r.refuse(why, mend)
		return r
	}
	scale, uScale := 1.0, uUnscaled
	if o.Line != nil {
		scale, uScale = o.Line.Value/pose.LineMM, o.Line.U/pose.LineMM
		r.Sheet.Scaled = true
	}
	found, ok := weigh(all, scale, uScale)
	if !ok {
		r.refuse("no cylinder that lies on the sheet has the part's outlines", evenly)
		return r
	}
	l := all[0]
	r.Answered, r.Pitch = true, &found.pitch
	r.PeriodPixels = l.face.pitch * l.drawn.k * float64(shrink)
	l.mark(r, shrink)
	for _, l := range all {
		l.judge(r, found)
	}
	r.Hand = map[bool]string{true: "right", false: "left"}[l.face.turns > 0]
	ratio := found.pitch.Value / found.diameter.Value
	u := math.Sqrt(square(found.pitch.U/found.pitch.Value) + square(found.diameter.U/found.diameter.Value) -
		2*found.common*found.pitch.U/found.pitch.Value*found.diameter.U/found.diameter.Value)
	r.Ratio = reading.Combine(ratio, reading.Part{What: "pitch and diameter together", Source: "the picture", U: u * ratio, DOF: math.Inf(1)})
	if r.Answered {
		found.diameterOf(r)
	}
	return r
}

// judge refuses what may be wrong.
func (l lying) judge(r *Result, found sized) {
	if p := l.face.pitch * l.drawn.k; p < leastPixelsOnSheet {
		r.refuse(fmt.Sprintf("a pitch has only %.1f pixels", p), closer)
	}
	if off := math.Abs(found.tilt); off > 3*found.uTilt+sureTilt {
		r.refuse(fmt.Sprintf("the part's edges are not those of one that lies on its crests: its axis would lean by %.1f degrees", off*180/math.Pi), evenly+"; "+flashed)
	}
	if why, mend := oddClimb(math.Abs(l.face.turns), found.diameter.Value/found.pitch.Value); why != "" {
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

// diameterOf tells the diameter where it is known well, and otherwise what would show it.
func (found sized) diameterOf(r *Result) {
	low, high := found.diameter.Interval()
	if wide := (high - low) / 2; r.Sheet.Scaled && wide > math.Max(sureDiameterMM, sureDiameterShare*found.diameter.Value) {
		r.Notes = append(r.Notes, fmt.Sprintf("the diameter is known to %.1f mm at best, since the lower edge may be the part's own shadow; %s", wide, around))
	} else {
		r.Diameter, r.Common = &found.diameter, found.common
	}
	if !r.Sheet.Scaled {
		r.Notes = append(r.Notes, "hold a ruler to the long line on the sheet and tell what it reads: until then its scale is taken for true within 4 percent")
	}
}

// Move is one line that says what to do next with the camera, "" where nothing is to be bettered.
func (r *Result) Move() string {
	switch {
	case r.Sheet == nil || r.Diameter != nil && len(r.Refusals) == 0:
		return ""
	case len(r.Refusals) > 0:
		return r.Refusals[0].Mend
	}
	return around
}

// mark puts the crests of both outlines on the picture.
func (l lying) mark(r *Result, shrink int) {
	k := float64(shrink)
	to := func(x, y float64) Mark {
		u, v, _ := l.view.Sees(l.drawn.at3(x, y))
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
