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
		kind,
		fmt.Sprintf("%s-hand, %s°", t.Hand, t.Form.AngleWords()),
		"major ⌀ " + both(m.Major),
		"pitch ⌀ " + both(m.Pitch),
		"minor ⌀ " + both(m.Minor),
		"pitch " + fine(t.Pitch),
	}
	if t.Starts > 1 {
		lines = append(lines, fmt.Sprintf("%d starts, lead %s", t.Starts, fine(t.Lead())))
	}
	if t.Taper > 0 {
		height := "at the lower face"
		if side.RefMM > 0.005 {
			height = "at height " + both(unit.MM(side.RefMM))
		}
		lines = append(lines, fmt.Sprintf("taper 1 : %s on ⌀", trimmed(1/t.Taper)), "gauge plane "+height)
	}
	lines = append(lines, "full thread "+both(unit.MM(side.FullMM[1]-side.FullMM[0])))
	return newNote(t.Designation, lines...)
}

// trimmed prints a number with at most three decimals.
func trimmed(x float64) string { return unit.Short(math.Round(x*1000) / 1000) }

// fine prints a pitch, which needs a decimal more.
func fine(l unit.Length) string { return fmt.Sprintf("%s [%.4f\u00a0in]", trimmed(l.MM()), l.Inches()) }

// leftNotes puts the inner thread's note into the left column, led through the bore, and the enlarged detail into the rest.
func (s *section) leftNotes() {
	p := s.plan
	in := p.Shape.Inner
	n := threadNote("internal thread", p.Inner)
	d := s.newDetail()
	var top, mouth, target float64
	if s.stacked() {
		// The cup opens downward: the leader comes from below, the detail stands above.
		mouth = s.y(0) + leaderRow
		top = math.Max(math.Min(mouth+3-n.height(), s.field.Y1-n.height()), s.field.Y0+d.height()+noteGap)
		s.drawDetail(d, at{s.field.X0, s.field.Y0})
		target = crest(in, p.Inner.FullMM, 0.3)
	} else {
		mouth = s.y(p.Shape.HeightMM) - leaderRow
		top = math.Max(math.Min(mouth-3, s.field.Y1-d.height()-noteGap-n.height()), s.field.Y0)
		s.drawDetail(d, at{s.field.X0, s.field.Y1 - d.height()})
		target = crest(in, p.Inner.FullMM, 0.7)
	}
	width := s.put(n, at{s.field.X0, top})
	start := at{s.field.X0 + width + 1, math.Max(top+2, math.Min(top+n.height()-2, mouth))}
	out := p.Shape.Outer
	widest := math.Max(math.Max(out.MajorRadius(out.From), out.MajorRadius(out.To)), s.foot())
	points := []at{start}
	if elbow := (at{s.x(-widest) - 4, mouth}); math.Abs(start.Y-mouth) > 0.01 && elbow.X > start.X {
		points = append(points, elbow)
	}
	r := in.MinorRadius(target)
	points = append(points, at{s.x(-r * 0.3), mouth}, at{s.x(r), s.y(target)})
	s.leader(true, points...)
}

// crest returns the height of the crest of the inner thread, on the right, that is nearest to a share of the full form.
func crest(s ring.Surface, full [2]float64, share float64) float64 {
	pitch := s.Profile.PitchMM
	want := full[0] + share*(full[1]-full[0])
	return s.ShiftMM + (math.Round((want-s.ShiftMM)/pitch-0.5)+0.5)*pitch
}

// rightNotes puts the outer thread's note, the wall and the flange into the right column.
func (s *section) rightNotes() {
	p := s.plan
	out, full := p.Shape.Outer, p.Outer.FullMM
	pitch := out.Profile.PitchMM
	want := full[0] + 0.75*(full[1]-full[0])
	ridge := out.ShiftMM + math.Round((want-out.ShiftMM)/pitch)*pitch
	thin := full[0] + 0.3*(full[1]-full[0])
	_, groove := out.Ends(thin)
	_, hollow := p.Shape.Inner.Ends(thin)
	if !s.stacked() {
		hollow = p.Shape.Inner.MajorRadius(thin)
	}
	blocks := []pointed{
		{threadNote("external thread", p.Outer), at{s.x(out.MajorRadius(ridge)), s.y(ridge)}, true},
		{newNote("Wall "+both(p.Wall), "least thickness"), at{s.x((groove + hollow) / 2), s.y(thin)}, false},
	}
	if f := p.Shape.Flange; f != nil {
		right, left := acrossFlange(f)
		name := map[ring.Grip]string{ring.Scallop: "finger grip", ring.Flats: "wrench flats"}[p.Grip]
		blocks = append(blocks, pointed{
			newNote("Flange, "+name, "across "+both(unit.MM(right+left)), "thick "+both(unit.MM(f.ThicknessMM))),
			at{s.x(reach(f.Outline, 0)), s.y(f.ThicknessMM / 2)},
			true,
		})
	}
	tops := stack(blocks, s.field.Y0, s.field.Y1)
	for i, b := range blocks {
		s.put(b.note, at{s.rightColumn(), tops[i]})
		level := math.Max(tops[i]+2, math.Min(tops[i]+b.height()-2, b.target.Y))
		s.leader(b.onOutline, at{s.rightColumn() - 1, level}, b.target)
	}
}
