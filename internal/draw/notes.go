package draw

// This file writes the notes beside the part: both threads, the wall and the flange, each with its leader.

import (
	"fmt"
	"math"

	"tryring/internal/ring"
	"tryring/internal/unit"
)

// noteGap is left between two notes of a column, indent is where words start beside a leader.
const noteGap = 5.0

// note is a block of lines, the first in bold.
type note struct {
	lines []string
	bold  int // how many lines are bold
	// by is a free height along which its leader may come; 0 for none.
	by float64
}

// newNote breaks a heading and lines to the width of a column.
func newNote(heading string, lines ...string) note {
	n := note{lines: wrap(heading, columnWidth/textMM, true)}
	n.bold = len(n.lines)
	for _, l := range lines {
		n.lines = append(n.lines, wrap(l, columnWidth/textMM, false)...)
	}
	return n
}

func (n note) height() float64 { return float64(len(n.lines)) * linePitch * textMM }

// put writes the note with its upper left corner at p and returns its width.
func (s *sheet) put(n note, p at) (width float64) {
	for i, l := range n.lines {
		st := plain
		st.bold = i < n.bold
		s.text(at{p.X, p.Y + (float64(i)+0.8)*linePitch*textMM}, l, st)
		width = math.Max(width, textWidth(l, st.bold)*textMM)
	}
	return width
}

// threadNote tells all of one thread.
func threadNote(kind string, side ring.Side) note {
	t, m := side.Thread, side.Modelled
	lines := []string{
		fmt.Sprintf("%s, %s-hand, %s°", kind, t.Hand, t.Form.AngleWords()),
		"major ⌀ " + both(m.Major),
		"pitch ⌀ " + both(m.Pitch),
		"minor ⌀ " + both(m.Minor),
		"pitch " + fine(t.Pitch),
	}
	if t.Starts > 1 {
		lines = append(lines, fmt.Sprintf("%d starts, lead %s", t.Starts, fine(t.Lead())))
	}
	if t.Taper > 0 {
		lines = append(lines, fmt.Sprintf("taper 1 : %s on ⌀", trimmed(1/t.Taper)))
	}
	lines = append(lines, "full thread "+both(unit.MM(side.FullMM[1]-side.FullMM[0])))
	return newNote(modified(side), lines...)
}

// trimmed prints a number with at most three decimals.
func trimmed(x float64) string { return unit.Short(math.Round(x*1000) / 1000) }

// fine prints a pitch, which needs a decimal more.
func fine(l unit.Length) string { return fmt.Sprintf("%s [%.4f\u00a0in]", trimmed(l.MM()), l.Inches()) }

// notes puts the inner thread's note and the enlarged details into the left column, all else into the right one, and leads each. The
// cup of a stacked ring opens downward, where dimensions stand on the left: its note stands on the right too.
func (s *section) notes() {
	p := s.plan
	in, out, h := p.Shape.Inner, p.Shape.Outer, p.Shape.HeightMM
	d := s.newDetail()
	circles := s.drawDetail(d, at{s.field.X0, s.field.Y1 - d.height()})
	side, theta, share := -1.0, math.Pi, 0.7
	if s.stacked() {
		side, theta, share = 1, 0, 0.3
	}
	crest := onCrest(in, theta, p.Inner.FullMM, share)
	inner := pointed{threadNote("internal", p.Inner), at{s.x(side * in.MinorRadius(crest)), s.y(crest)}, true}
	full := p.Outer.FullMM
	ridge := out.ShiftMM + math.Round((full[0]+0.75*(full[1]-full[0])-out.ShiftMM)/out.Profile.PitchMM)*out.Profile.PitchMM
	wall, thick := wallAt(p, full[0]+0.3*(full[1]-full[0]))
	walls := newNote("Wall " + both(thick))
	if thick-p.Wall > 0.005 {
		walls = newNote("Wall "+both(thick), "least "+both(p.Wall))
	}
	right := []pointed{
		{threadNote("external", p.Outer), at{s.x(out.MajorRadius(ridge)), s.y(ridge)}, true},
		{walls, at{s.x(wall.R), s.y(wall.Z)}, false},
	}
	if f := p.Shape.Flange; f != nil {
		name := map[ring.Grip]string{ring.Scallop: "finger grip", ring.Flats: "wrench flats"}[p.Grip]
		a, b := acrossFlange(f)
		right = append(right, pointed{
			newNote("Flange, "+name, "across "+both(unit.MM(a+b)), "thick "+both(unit.MM(f.ThicknessMM))),
			at{s.x(reach(f.Outline, 0)), s.y(f.ThicknessMM / 2)},
			true,
		})
	}
	for _, side := range []ring.Side{p.Inner, p.Outer} {
		if side.Thread.Taper > 0 {
			right = append(right, pointed{newNote("Gauge plane", "at height "+both(unit.MM(side.RefMM))), s.gauge(side), true})
		}
	}
	var all []placed
	if s.stacked() {
		inner.by = s.y(0) + leaderRow
		right = append(right, inner)
	} else {
		inner.by = s.y(h) - leaderRow
		all = s.column([]pointed{inner}, s.field.X0, s.field.Y0, s.field.Y1-d.height()-noteGap, +1)
	}
	all = append(all, s.column(right, s.rightColumn(), s.field.Y0, s.field.Y1, -1)...)
	s.lead(all)
	for i, c := range circles {
		s.letter([]string{"A", "B"}[i], c.runs[0][0], c.radius)
	}
}

// wallAt is the middle of the wall at height z, and how thick it is there, from root to root; elsewhere it may be thinner.
func wallAt(p ring.Plan, z float64) (middle point, thick unit.Length) {
	in, out := p.Shape.Inner, p.Shape.Outer
	_, groove := out.Ends(z)
	_, hollow := in.Ends(z)
	if p.Layout != ring.Stacked {
		hollow = in.MajorRadius(z)
	}
	slope := math.Max(math.Abs(in.Profile.Slope), math.Abs(out.Profile.Slope))
	return point{(groove + hollow) / 2, z}, unit.MM((groove - hollow) / math.Hypot(1, slope))
}

// onCrest returns the height of the crest of the inner thread, at the angle theta, that is nearest to a share of the full form.
func onCrest(s ring.Surface, theta float64, full [2]float64, share float64) float64 {
	pitch, first := s.Profile.PitchMM, s.ShiftMM+s.LeadMM*theta/(2*math.Pi)
	want := full[0] + share*(full[1]-full[0])
	return first + (math.Round((want-first)/pitch-0.5)+0.5)*pitch
}
