package draw

// This file draws the whole job: the part that stays, the ring and the part that goes in, apart and screwed home, the right half cut.

import (
	"fmt"
	"io"
	"math"
	"slices"

	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

const (
	// jobGap is the gap between parts that stand apart, jobTitle the room under both views.
	jobGap, jobTitle = 10.0, 9.0
	// jobBody is the share of a thread's length that a part is shown beyond it, jobWall the share of its radius that its wall is thick.
	jobBody, jobWall = 0.35, 0.2
	// mostJob is how much larger than life it is drawn at most.
	mostJob = 3.0
	// jobHatch is the distance of hatch lines, for walls that are thin on the sheet.
	jobHatch = 1.5
)

// jobPart is one of the three parts, in the frame of the ring: z from the end that stays outside.
type jobPart struct {
	class string
	// seen is the outline of the half at theta 0 from outside, from the axis and back to it; cut the section of the other half.
	seen, cut []point
	// crests are those that are seen from outside; nil for none.
	crests *ring.Surface
	// from and to are its ends, angle the side to which its hatching rises.
	from, to, angle float64
}

// reach is how far the part goes from the axis.
func (p jobPart) reach() (r float64) {
	for _, q := range slices.Concat(p.seen, p.cut) {
		r = math.Max(r, q.R)
	}
	return r
}

// meetingPlace is where one of the ring's threads and its mate end up: the mate's face or end stands at the ring's height endMM, full
// form meets from fromMM to toMM, and stops says why it goes no farther.
type meetingPlace struct {
	endMM, fromMM, toMM float64
	stops               string
}

// meetingPlaces finds both. Taper threads are hand-tight with their gauge planes on each other (ASME B1.20.1-2013, ISO 7-1:1994); what a
// part beyond its thread is like nobody knows.
func meetingPlaces(p ring.Plan) (inner, outer meetingPlace) {
	in, out := p.Inner, p.Outer
	inner = meetingPlace{endMM: in.FullMM[1], stops: "its own shoulder stops it"}
	if p.Layout == ring.Stacked {
		inner.stops = "the cone stops it"
	}
	if in.Thread.Taper > 0 {
		inner.endMM, inner.stops = math.Min(in.Thread.GaugeLength.MM(), in.FullMM[1]), "hand-tight, by its taper"
	}
	inner.fromMM, inner.toMM = in.FullMM[0], inner.endMM
	outer = meetingPlace{endMM: out.FullMM[0], stops: "the flange stops it"}
	switch {
	case out.Thread.Taper > 0:
		outer.endMM, outer.stops = math.Max(out.RefMM, out.FullMM[0]), "hand-tight, by its taper"
	case p.Layout == ring.Stacked:
		outer.stops = "the cone stops it"
	case p.Shape.Flange == nil:
		outer = meetingPlace{stops: "nothing stops it: flush"}
	}
	outer.fromMM, outer.toMM = math.Max(outer.endMM, out.FullMM[0]), out.FullMM[1]
	return inner, outer
}

// jobParts are the part that goes in, the ring and the part that stays, the mates at their nominal sizes.
func jobParts(p ring.Plan) (goes, middle, stays jobPart, err error) {
	inner, outer := meetingPlaces(p)
	mate := func(side ring.Side, w ring.Surface, from, to float64) ring.Surface {
		w, e := nominalWall(side, w)
		if e != nil {
			err = fmt.Errorf("job drawing: %s: %w", side.Thread.Designation, e)
		}
		w.From, w.To = from, to
		return w
	}
	solid := func(w ring.Surface, theta float64) []point {
		return slices.Concat([]point{{0, w.From}}, meridian(w, theta), []point{{0, w.To}})
	}
	screw := mate(p.Inner, p.Shape.Inner, -inner.endMM*jobBody, inner.endMM)
	screw.Hi = ring.Line{{Z: screw.To - depth(screw.Profile), R: screw.MajorRadius(screw.To)}, {Z: screw.To, R: screw.MinorRadius(screw.To)}}
	goes = jobPart{"goes", solid(screw, 0), solid(screw, math.Pi), &screw, screw.From, screw.To, -1}

	h := p.Shape.HeightMM
	middle = jobPart{"ring", solid(p.Shape.Outer, 0), half(p.Shape, math.Pi), &p.Shape.Outer, 0, h, 1}
	if f := p.Shape.Flange; f != nil {
		right, _ := acrossFlange(f)
		middle.seen = slices.Concat([]point{{0, 0}, {right, 0}, {right, f.ThicknessMM}}, middle.seen[1:])
	}

	hole := mate(p.Outer, p.Shape.Outer, outer.endMM, h+jobBody*(h-outer.endMM)/2)
	far := (1 + jobWall) * math.Max(hole.MajorRadius(hole.From), hole.MajorRadius(hole.To))
	outside := []point{{far, hole.To}, {far, hole.From}}
	stays = jobPart{
		"stays", append([]point{{0, hole.From}, {0, hole.To}}, outside...), append(meridian(hole, math.Pi), outside...), nil, hole.From, hole.To, -1,
	}
	return goes, middle, stays, err
}

// jobView is one of the two views: the axis, and where z = 0 of the ring's frame stands for each part.
type jobView struct {
	factor, cx float64
	zero       map[string]float64
}

// on is the place of a point of a part. The ring stands upside down to its section, the mouth of its bore up, turned about the line of
// sight, so that its hand stays: theta 0 is on the left.
func (v jobView) on(class string, theta float64, p point) at {
	return at{v.cx - math.Cos(theta)*p.R*v.factor, v.zero[class] + p.Z*v.factor}
}

// job draws the whole job into a room on the sheet, as large as it goes, and returns how much larger than life that is.
func (s *sheet) job(p ring.Plan, room box) (factor float64, err error) {
	goes, middle, stays, err := jobParts(p)
	if err != nil {
		return 0, err
	}
	parts := []jobPart{goes, middle, stays}
	wide, apart := 0.0, 0.0
	for _, part := range parts {
		apart += part.to - part.from
		wide = math.Max(wide, 2*part.reach())
	}
	across := (room.X1-room.X0)/2 - columnWidth - 6
	k := math.Min(mostJob, math.Min(across/wide, (room.Y1-room.Y0-jobTitle-2*jobGap-4)/apart))
	middleY := (room.Y0 + room.Y1 - jobTitle) / 2
	home, loose := jobView{factor: k, zero: map[string]float64{}}, jobView{factor: k, zero: map[string]float64{}}
	loose.cx, home.cx = room.X0+across/2+1, (room.X0+room.X1)/2+across/2+1
	top := middleY - (apart*k+2*jobGap)/2
	for _, part := range parts {
		home.zero[part.class] = middleY - (goes.from+stays.to)/2*k
		loose.zero[part.class] = top - part.from*k
		top += (part.to-part.from)*k + jobGap
	}
	for i, v := range []jobView{loose, home} {
		for _, part := range parts {
			s.jobPart(v, part)
		}
		ends := []at{v.on("goes", 0, point{0, goes.from}), v.on("stays", 0, point{0, stays.to})}
		s.open("axis", axisLine, at{v.cx, ends[0].Y - 2}, at{v.cx, ends[1].Y + 2})
		foot := at{v.cx, loose.on("stays", 0, point{0, stays.to}).Y + 3 + textMM}
		s.text(foot, []string{"apart", "screwed home"}[i], style{size: textMM, bold: true, anchor: "middle"})
	}
	for _, turn := range []struct {
		above jobPart
		hand  thread.Hand
	}{{goes, p.Inner.Thread.Hand}, {middle, p.Outer.Thread.Hand}} {
		end := loose.on(turn.above.class, 0, point{0, turn.above.to})
		s.turn(at{loose.cx, end.Y + jobGap/2}, math.Min(wide*k/3, 14), turn.hand)
	}
	s.jobNotes(p, loose, home, room, goes, stays)
	return k, nil
}

// jobPart draws the left half of a part as it is seen from outside, with its crests, and the right half cut.
func (s *sheet) jobPart(v jobView, part jobPart) {
	line := func(theta float64, points []point) (out []at) {
		for _, q := range points {
			out = append(out, v.on(part.class, theta, q))
		}
		return out
	}
	s.marks = append(s.marks, mark{class: part.class + " seen", line: flankLine, fill: white, runs: [][]at{line(0, part.seen)}, closed: true})
	if w := part.crests; w != nil && w.Profile.PitchMM*v.factor >= 0.8 {
		var crests [][2]at
		for _, c := range helices(*w, w.ShiftMM, -0.25) { // from the left edge to the middle of the front
			crests = append(crests, [2]at{v.on(part.class, 0, point{w.MajorRadius(c[0]), c[0]}), v.on(part.class, 0, point{0, c[1]})})
		}
		s.many("crest", lightLine, crests)
	}
	face := line(math.Pi, part.cut)
	s.marks = append(s.marks, mark{class: part.class + " cut", line: flankLine, fill: white, runs: [][]at{face}, closed: true})
	s.many("hatch "+part.class, lightLine, hatch(face, part.angle*hatchAngle(face), jobHatch))
}

// turn draws an arrow around the axis, seen a little from above: to the left in front to screw a right-hand thread in from above.
func (s *sheet) turn(centre at, wide float64, hand thread.Hand) {
	const chords, flat = 24, 0.25
	var line []at
	for i := range chords + 1 {
		a := math.Pi * (-0.05 + 0.95*float64(i)/chords)
		sin, cos := math.Sincos(a)
		line = append(line, at{centre.X + float64(hand)*wide*cos, centre.Y + flat*wide*sin})
	}
	s.open("turn", flankLine, line...)
	a, b := line[chords-4], line[chords]
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	s.arrow(b, (b.X-a.X)/long, (b.Y-a.Y)/long)
}

// jobNotes writes what the parts are beside the one view, and how far they go beside the other.
func (s *sheet) jobNotes(p ring.Plan, loose, home jobView, room box, goes, stays jobPart) {
	inner, outer := meetingPlaces(p)
	within := func(part jobPart, share float64) at { // in the cut of a mate that stands apart, that share of its radius off the axis
		return loose.on(part.class, math.Pi, point{part.reach() * share, (part.from + part.to) / 2})
	}
	way := func(t thread.Thread) string {
		if t.Hand == thread.Left {
			return "turn counter-clockwise"
		}
		return "turn clockwise"
	}
	wall, _ := wallAt(p, 0.3*p.Outer.FullMM[0]+0.7*p.Outer.FullMM[1])
	names := []pointed{
		{newNote("New part", p.Inner.Thread.Designation, way(p.Inner.Thread)), within(goes, 0.6), false},
		{newNote("Test ring", p.Outer.Thread.Designation, way(p.Outer.Thread)), loose.on("ring", math.Pi, wall), false},
		{newNote("Fixed part", p.Outer.Thread.Designation), within(stays, 0.94), false},
	}
	engaged := func(where string, m meetingPlace, side ring.Side) note {
		long := unit.MM(m.toMM - m.fromMM)
		return newNote(fmt.Sprintf("%s, %.1f turns", where, long.MM()/side.Thread.Lead().MM()), "engaged "+both(long), m.stops)
	}
	far := []pointed{
		{engaged("Inside", inner, p.Inner), home.on("goes", math.Pi, point{p.Shape.Inner.MinorRadius(inner.toMM) * 0.85, (inner.fromMM + inner.toMM) / 2}), false},
		{engaged("Outside", outer, p.Outer), home.on("stays", math.Pi, point{stays.reach() * 0.94, (outer.fromMM + outer.toMM) / 2}), false},
	}
	middle := (room.X0 + room.X1) / 2
	all := s.column(names, middle-columnWidth, room.Y0, room.Y1, -1)
	s.lead(append(all, s.column(far, room.X1-columnWidth, room.Y0, room.Y1, -1)...))
}

// JobView writes the picture of the whole job alone, for a page.
func JobView(w io.Writer, p ring.Plan) error {
	s := newSheet(A4)
	if _, err := s.job(p, box{0, 0, 190, 90}); err != nil {
		return err
	}
	return s.write(w, s.content(), "The whole job, "+p.Designations(), "The fixed part, the ring and the new part, apart and screwed home.")
}
