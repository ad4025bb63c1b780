package draw

// This file draws both thread profiles enlarged, where the main view is too small to show them.

import (
	"math"

	"tryring/internal/ring"
	"tryring/internal/thread"
)

const (
	// detailTurns is how many pitches the detail shows, detailMM how tall it may be.
	detailTurns, detailMM = 2.2, 44.0
	// mostDetail is its largest scale.
	mostDetail = 20
	// bodyMM is the material shown behind the roots.
	bodyMM = 5.0
	// captionMM is the room of the words over and under it.
	captionMM = 16.0
)

// detail is an enlarged view of both threads; factor 0 for none.
type detail struct {
	scale
	tall float64
}

// newDetail chooses the largest scale that fits its place; there is no detail if that is no larger than the main view.
func (s *section) newDetail() detail {
	pitch := math.Max(s.plan.Inner.Thread.Pitch.MM(), s.plan.Outer.Thread.Pitch.MM())
	deep := 0.0
	for _, side := range []ring.Side{s.plan.Inner, s.plan.Outer} {
		deep = math.Max(deep, (side.Modelled.Major-side.Modelled.Minor+max(side.Modelled.Pitch-side.Nominal.Pitch, side.Nominal.Pitch-side.Modelled.Pitch)).MM()/2)
	}
	chosen := fittingScale(mostDetail, deep, pitch*detailTurns, (columnWidth-6)/2-bodyMM-1, detailMM)
	if chosen.factor <= s.scale.factor {
		return detail{}
	}
	return detail{chosen, pitch * detailTurns * chosen.factor}
}

func (d detail) height() float64 {
	if d.factor == 0 {
		return 0
	}
	return d.tall + captionMM
}

// drawDetail draws the detail with its upper left corner at p, and the circles that tie both halves of it to the part;
// their letters come last.
func (s *section) drawDetail(d detail, p at) (circles []mark) {
	if d.factor == 0 {
		return nil
	}
	for i, side := range []struct {
		side   ring.Side
		wall   ring.Surface
		letter string
		// body is +1 where the material lies at larger radii; theta is the half of the part that is shown.
		body, theta float64
	}{{s.plan.Inner, s.plan.Shape.Inner, "A", 1, math.Pi}, {s.plan.Outer, s.plan.Shape.Outer, "B", -1, 0}} {
		left := p.X + float64(i)*(columnWidth+1)/2
		s.text(at{left + (columnWidth-3)/4, p.Y + 0.8*letterMM}, side.letter, style{size: letterMM, bold: true, anchor: "middle"})
		mid := (side.side.FullMM[0] + side.side.FullMM[1]) / 2
		span := s.profile(side.side, side.wall, side.body, side.theta, d, at{left + 1, p.Y + 1.1*letterMM})
		centre := at{s.x(math.Cos(side.theta) * (side.wall.MajorRadius(mid) + side.wall.MinorRadius(mid)) / 2), s.y(mid)}
		s.circle("detail", thin, "", centre, math.Max(2.5, span/2*s.scale.factor))
		circles = append(circles, s.marks[len(s.marks)-1])
	}
	y := p.Y + d.tall + 1.1*letterMM + linePitch*textMM + 0.6
	s.text(at{p.X, y}, "A, B  "+d.name, style{size: textMM, anchor: "start", bold: true})
	s.text(at{p.X, y + linePitch*textMM}, "- - -  nominal thread", plain)
	return circles
}

// letter writes the letter of a detail on a white ground in the nearest free place about its circle.
func (s *section) letter(letter string, centre at, radius float64) {
	st, lines := style{size: letterMM, bold: true, anchor: "middle"}, s.obstacles()
	const half, ways = letterMM * 0.39, 16
	for off := radius + half + 1; off < radius+40; off += half {
		for k := range ways {
			sin, cos := math.Sincos(2 * math.Pi * (float64(k) + 0.5) / ways)
			foot := at{centre.X + off*cos, centre.Y + half - off*sin}
			if b := s.boxOf(foot, letter, st); s.free(lines, b) {
				s.area("ground", white, b.corners()...)
				s.text(foot, letter, st)
				return
			}
		}
	}
}

// free tells whether a box of words touches no line, no other words and no cut face.
func (s *section) free(lines []obstacle, b box) bool {
	for _, l := range s.labels {
		if l.box.overlaps(b) {
			return false
		}
	}
	for _, l := range lines {
		if b.crossedBy(l.a, l.b) {
			return false
		}
	}
	for _, face := range s.halves {
		if inside(face, at{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2}) {
			return false
		}
	}
	return true
}

// profile draws one thread at the angle theta in a window with its upper left corner at p, and returns how much of it is shown.
func (s *section) profile(side ring.Side, w ring.Surface, body, theta float64, d detail, p at) (span float64) {
	mid := (side.FullMM[0] + side.FullMM[1]) / 2
	span = math.Min(detailTurns*w.Profile.PitchMM, w.To-w.From)
	low := math.Max(w.From, math.Min(mid-span/2, w.To-span))
	w.From, w.To = low, low+span
	points := meridian(w, theta)
	var nominal []point
	if wall, err := nominalWall(side, w); err == nil {
		nominal = meridian(wall, theta)
	}
	least, most := math.Inf(1), 0.0
	for _, q := range append(nominal, points...) {
		least, most = math.Min(least, q.R), math.Max(most, q.R)
	}
	from, far := p.X, p.X+(most-least)*d.factor+bodyMM
	if body < 0 {
		from, far = p.X+bodyMM, p.X
	}
	on := func(points []point) (line []at) {
		for _, q := range points {
			line = append(line, at{from + (q.R-least)*d.factor, p.Y + d.tall - (d.tall-span*d.factor)/2 - (q.Z-low)*d.factor})
		}
		return line
	}
	line := on(points)
	first, last := line[0], line[len(line)-1]
	face := append(line[:len(line):len(line)], at{far, last.Y}, at{far, first.Y})
	s.many("hatch", thin, hatch(face, hatchAngle(face), hatchMM))
	s.open("break", thin, last, at{far, last.Y}, at{far, first.Y}, first)
	s.open("profile", wide, line...)
	if nominal != nil {
		s.open("nominal", nominalLine, on(nominal)...)
	}
	return span
}

// nominalWall is the same thread at its nominal size, without bounds.
func nominalWall(side ring.Side, w ring.Surface) (ring.Surface, error) {
	profile, err := thread.NewProfile(side.Thread.Section(side.Nominal))
	w.Profile, w.Lo, w.Hi = profile, nil, nil
	return w, err
}
