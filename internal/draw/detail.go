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
	deep := math.Max(depth(s.plan.Shape.Inner.Profile), depth(s.plan.Shape.Outer.Profile))
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

// drawDetail draws the detail with its upper left corner at p.
func (s *section) drawDetail(d detail, p at) {
	if d.factor == 0 {
		return
	}
	for i, side := range []struct {
		side ring.Side
		wall ring.Surface
		name string
		// body is +1 where the material lies at larger radii.
		body float64
	}{{s.plan.Inner, s.plan.Shape.Inner, "internal", 1}, {s.plan.Outer, s.plan.Shape.Outer, "external", -1}} {
		left := p.X + float64(i)*(columnWidth+1)/2
		s.text(at{left, p.Y + textMM}, side.name, plain)
		s.profile(side.side, side.wall, side.body, d, at{left + 1, p.Y + linePitch*textMM})
	}
	y := p.Y + d.tall + 2*linePitch*textMM + 0.6
	s.text(at{p.X, y}, "detail, "+d.name, style{size: textMM, anchor: "start", bold: true})
	s.text(at{p.X, y + linePitch*textMM}, "- - -  nominal thread", plain)
}

// profile draws one thread in a window with its upper left corner at p.
func (s *section) profile(side ring.Side, w ring.Surface, body float64, d detail, p at) {
	mid := (side.FullMM[0] + side.FullMM[1]) / 2
	span := math.Min(detailTurns*w.Profile.PitchMM, w.To-w.From)
	low := math.Max(w.From, math.Min(mid-span/2, w.To-span))
	w.From, w.To = low, low+span
	least, most := math.Inf(1), 0.0
	points := meridian(w, 0)
	for _, q := range points {
		least, most = math.Min(least, q.R), math.Max(most, q.R)
	}
	origin, far := least, p.X+(most-least)*d.factor+bodyMM
	x := func(r float64) float64 { return p.X + (r-origin)*d.factor }
	if body < 0 {
		x = func(r float64) float64 { return p.X + bodyMM + (r-origin)*d.factor }
		far = p.X
	}
	y := func(z float64) float64 { return p.Y + d.tall - (d.tall-span*d.factor)/2 - (z-low)*d.factor }
	line := make([]at, 0, len(points))
	for _, q := range points {
		line = append(line, at{x(q.R), y(q.Z)})
	}
	face := append(line[:len(line):len(line)], at{far, y(w.To)}, at{far, y(w.From)})
	s.many("hatch", thin, hatch(face, 45, hatchMM))
	s.open("break", thin, line[len(line)-1], at{far, y(w.To)}, at{far, y(w.From)}, line[0])
	s.open("profile", wide, line...)
	if nominal, ok := nominalWall(side, w); ok {
		var ns []at
		for _, q := range meridian(nominal, 0) {
			ns = append(ns, at{x(q.R), y(q.Z)})
		}
		s.open("nominal", nominalLine, ns...)
	}
}

// nominalWall is the same thread at its nominal size, without bounds.
func nominalWall(side ring.Side, w ring.Surface) (ring.Surface, bool) {
	sec := w.Profile.Section
	off := (side.Modelled.Pitch - side.Nominal.Pitch).MM()
	sec.MajorMM, sec.PitchDMM, sec.MinorMM = sec.MajorMM-off, sec.PitchDMM-off, sec.MinorMM-off
	profile, err := thread.NewProfile(sec)
	if err != nil {
		return ring.Surface{}, false
	}
	w.Profile, w.Lo, w.Hi = profile, nil, nil
	return w, true
}
