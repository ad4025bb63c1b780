package draw

// This file lays the section drawing of a ring out on its sheet.

import (
	"fmt"
	"io"
	"math"

	"tryring/internal/check"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// The columns of notes on each side of the part, and the room of the part between.
const (
	columnWidth = 51.0
	// heightDims is the room for two dimensions beside the part, rowMM the distance of dimension rows, leaderRow the height over and
	// under the part at which a leader may enter the bore.
	heightDims, rowMM, leaderRow = 26.0, 11.0, 4.0
	// boreLine is how far in the bore the dimension of the inner thread's full form stands from the crests, boreRoom what it needs with
	// its words; crests behind them are left out.
	boreLine, boreRoom = 8.0, 14.0
	// gaugePast is how far the gauge plane passes the part.
	gaugePast = 4.0
)

// rightColumn is the left edge of the notes on the right; partLeft and partRight bound the part.
func (s *sheet) rightColumn() float64 { return s.field.X1 - columnWidth }
func (s *section) partLeft() float64  { return s.field.X0 + columnWidth + 2.5 }
func (s *section) partRight() float64 { return s.rightColumn() - 4.5 }

// section is a section drawing in the making.
type section struct {
	sheet
	plan  ring.Plan
	scale scale
	// cx is the axis, bottom the place of z = 0, on the sheet.
	cx, bottom float64
	// halves are the cut faces as drawn.
	halves [][]at
}

// Section draws the ring cut along its axis: one sheet, to scale, the same bytes for the same plan.
func Section(w io.Writer, p ring.Plan, paper Paper) error {
	s, err := newSection(p, paper)
	if err != nil {
		return err
	}
	s.number(1, 1)
	return s.write(w, s.whole(), "Section of a test ring, "+p.Designations(), fmt.Sprintf("Scale %s. %s", s.scale.name, check.Caution))
}

// newSection draws the whole sheet.
func newSection(p ring.Plan, paper Paper) (*section, error) {
	s, err := newView(p, paper)
	if err != nil {
		return nil, err
	}
	s.border()
	s.titleBlock()
	return s, nil
}

// viewPaper is as wide, lying, as what Letter and A4 both take between margins of 6 mm, and the frame's own.
var viewPaper = Paper{"view", A4.WideMM, Letter.HighMM - 2*6 + 2*marginSide}

// SectionView writes the part with its dimensions and notes alone, larger for it, for a page that tells what a title block does. It
// returns the scale in words.
func SectionView(w io.Writer, p ring.Plan) (scale string, err error) {
	s, err := newView(p, viewPaper)
	if err != nil {
		return "", err
	}
	crop := s.content()
	crop.X0, crop.X1 = s.frame.X0, s.frame.X1
	return s.scale.name, s.write(w, crop, "Section of a test ring, "+p.Designations(), "The ring cut along its axis.")
}

// newView lays out the part with its dimensions and notes.
func newView(p ring.Plan, paper Paper) (*section, error) {
	h := p.Shape.HeightMM
	if !(h > 0) || p.Shape.Inner.To <= p.Shape.Inner.From || p.Shape.Outer.To <= p.Shape.Outer.From {
		return nil, fmt.Errorf("section drawing: the plan has no shape (height %v mm); it must come from ring.New", h)
	}
	s := &section{sheet: newSheet(paper.Lying()), plan: p}
	right, left := s.reach()
	above, below := rowMM+6, rowMM+6 // room for the dimension rows over and under the part
	if s.stacked() {
		above += rowMM
	}
	if p.Shape.Flange != nil || s.stacked() {
		below += rowMM
	}
	from, to := s.partLeft()+heightDims, s.partRight()-5
	tall := s.field.Y1 - s.field.Y0 - above - below
	s.scale = fittingScale(10, right+left, h, to-from, tall)
	if more := 1.5 * s.scale.factor; paper == viewPaper && more > 1 && (right+left)*more <= to-from && h*more <= tall {
		s.scale = scale{trimmed(more) + " : 1", more} // a page may have what is no scale of the standard
	}
	k := s.scale.factor
	s.cx = (from+to)/2 + (left-right)*k/2
	spare := s.field.Y1 - s.field.Y0 - above - below - h*k
	s.bottom = s.field.Y1 - below - spare/2
	s.beyond()
	s.cut()
	s.dimensions()
	s.gaugePlanes()
	s.notes()
	return s, nil
}

func (s *section) x(r float64) float64 { return s.cx + float64(r*s.scale.factor) }
func (s *section) y(z float64) float64 { return s.bottom - float64(z*s.scale.factor) }

// reach is how far the part reaches to the right and the left of the axis, in the section's plane.
func (s *section) reach() (right, left float64) {
	sh := s.plan.Shape
	if sh.Flange != nil {
		right, left = acrossFlange(sh.Flange)
	}
	for _, p := range meridian(sh.Outer, 0) {
		right = math.Max(right, p.R)
	}
	for _, p := range meridian(sh.Outer, math.Pi) {
		left = math.Max(left, p.R)
	}
	return right, left
}

func (s *section) stacked() bool { return s.plan.Layout == ring.Stacked }

// cut draws both cut faces with their hatching, and the axis.
func (s *section) cut() {
	for _, side := range []struct {
		theta, sign float64
		class       string
	}{{0, 1, "cut right"}, {math.Pi, -1, "cut left"}} {
		var face []at
		for _, p := range half(s.plan.Shape, side.theta) {
			face = append(face, at{s.x(side.sign * p.R), s.y(p.Z)})
		}
		s.halves = append(s.halves, face)
		s.outline(side.class, face)
	}
	angle := hatchAngle(s.halves...)
	for _, face := range s.halves {
		s.many("hatch", thin, hatch(face, angle, hatchMM))
	}
	s.open("axis", axisLine, at{s.cx, s.y(s.plan.Shape.HeightMM) - 2.5}, at{s.cx, s.y(0) + 2.5})
}

// beyond draws what is seen behind the cut: the faces' edges, the crests of the inner thread, the rim of the flange.
func (s *section) beyond() {
	sh := s.plan.Shape
	level := func(z float64) {
		s.open("edge", wide, at{s.x(-sh.Inner.Radius(math.Pi, z)), s.y(z)}, at{s.x(sh.Inner.Radius(0, z)), s.y(z)})
	}
	level(0)
	level(sh.HeightMM)
	if s.stacked() {
		for _, k := range sh.Inner.Hi {
			if k.Z > 0 && k.Z < sh.HeightMM {
				level(k.Z)
			}
		}
	}
	if f := sh.Flange; f != nil {
		right, left := acrossFlange(f)
		for _, side := range []struct{ cut, seen float64 }{{reach(f.Outline, 0), right}, {-reach(f.Outline, math.Pi), -left}} {
			if math.Abs(side.seen-side.cut) < 0.01 {
				continue
			}
			s.open("edge", wide, at{s.x(side.cut), s.y(0)}, at{s.x(side.seen), s.y(0)}, at{s.x(side.seen), s.y(f.ThicknessMM)}, at{s.x(side.cut), s.y(f.ThicknessMM)})
		}
	}
	s.crests()
}

// leastCrestMM is the distance on the sheet below which crest lines would run together.
const leastCrestMM = 2.0

// crests draws the crests of the inner thread on the far wall, left of what stands in the bore.
func (s *section) crests() {
	in := s.plan.Shape.Inner
	if in.Profile.PitchMM*s.scale.factor < leastCrestMM {
		return
	}
	to := s.inBore()
	var lines [][2]at
	for _, c := range helices(in, in.ShiftMM+in.Profile.PitchMM/2, 0.5) {
		a, b := at{s.x(in.MinorRadius(c[0])), s.y(c[0])}, at{s.x(-in.MinorRadius(c[1])), s.y(c[1])}
		if a.X > to {
			a = at{to, a.Y + (b.Y-a.Y)*(to-a.X)/(b.X-a.X)}
		}
		lines = append(lines, [2]at{a, b})
	}
	s.many("crest", thin, lines)
}

// dimensions draws the heights on the left and the diameters over and under the part.
func (s *section) dimensions() {
	p := s.plan
	in, out, h := p.Shape.Inner, p.Shape.Outer, p.Shape.HeightMM
	right, left := s.reach()
	top, bottom := s.y(h), s.y(0)

	// Heights: the full form of both threads, which stand over one another on a stacked ring, and the whole.
	const beside, narrow = 9.0, 15.0 // narrow leaves room for the tails of outside arrows
	line := math.Min(s.x(-left)-beside, s.cx-narrow)
	full := p.Outer.FullMM
	past := []float64{bottom}
	if s.stacked() {
		past = []float64{top}
	}
	s.fullForm(p.Outer, -1, out.MajorRadius, line, past, s.stacked())
	if s.stacked() {
		s.fullForm(p.Inner, -1, in.MinorRadius, line, []float64{bottom}, false)
	} else if edge := s.inBore(); edge < math.Inf(1) {
		s.fullForm(p.Inner, +1, in.MinorRadius, edge+boreRoom-boreLine, nil, false)
	}
	mm, inch := lengthWords("", p.Height)
	s.along(dim{
		a: top, b: bottom, line: line - 12, mm: mm, inch: inch,
		fromA: s.x(-out.Radius(math.Pi, h)), fromB: s.x(-s.foot()),
	}, s.stacked())

	// Above: the outer thread, and on a stacked ring the bore.
	row := top - rowMM
	reference := math.Max(out.From, math.Min(out.To, p.Outer.RefMM))
	major := p.Outer.Modelled.Major
	if s.stacked() {
		_, bore := in.Ends(h)
		s.diameter(unit.MM(2*bore), row, top, s.x(major.MM()/2))
		row -= rowMM
	}
	if p.Outer.Thread.Taper == 0 {
		reference = full[1]
	}
	s.diameter(major, row, s.y(reference))

	// Below: the inner thread's bore, and the flange.
	row = bottom + rowMM
	if p.Shape.Flange == nil {
		s.diameter(p.Inner.Modelled.Minor, row, bottom)
		return
	}
	s.diameter(p.Inner.Modelled.Minor, row, bottom, s.x(right))
	mm, inch = lengthWords("", unit.MM(right+left))
	s.across(dim{a: s.x(-left), b: s.x(right), line: row + rowMM, fromA: bottom, fromB: bottom, mm: mm, inch: inch})
}

// fullForm draws the dimension of a thread's full form, from its crests on the right, side +1, or on the left.
func (s *section) fullForm(thread ring.Side, side float64, crest func(z float64) float64, line float64, past []float64, up bool) {
	full := thread.FullMM
	mm, inch := lengthWords("", unit.MM(full[1]-full[0]))
	s.along(dim{
		a: s.y(full[1]), b: s.y(full[0]), line: line, mm: mm, inch: inch, past: past,
		fromA: s.x(side * crest(full[1])), fromB: s.x(side * crest(full[0])),
	}, up)
}

// inBore is the left edge of the dimension that stands in the bore, +Inf where there is no room for it right of the axis.
func (s *section) inBore() float64 {
	in, full := s.plan.Shape.Inner, s.plan.Inner.FullMM
	narrow := math.Min(in.MinorRadius(full[0]), in.MinorRadius(full[1]))
	edge := s.x(narrow) - boreRoom
	mm, inch := lengthWords("", unit.MM(full[1]-full[0]))
	if d := (dim{a: s.y(full[1]), b: s.y(full[0]), mm: mm, inch: inch}); s.stacked() || edge < s.cx+2 || d.words()+2*arrowMM+2*clearMM > d.b-d.a {
		return math.Inf(1)
	}
	return edge
}

// gaugePlanes draws the gauge planes of taper threads, from their crests or roots past the part on the right.
func (s *section) gaugePlanes() {
	for _, t := range []struct {
		side ring.Side
		wall ring.Surface
	}{{s.plan.Inner, s.plan.Shape.Inner}, {s.plan.Outer, s.plan.Shape.Outer}} {
		if t.side.Thread.Taper > 0 {
			s.open("gauge plane", axisLine, at{s.x(t.wall.MinorRadius(t.side.RefMM)), s.y(t.side.RefMM)}, s.gauge(t.side))
		}
	}
}

// gauge is where the line of a thread's gauge plane ends.
func (s *section) gauge(side ring.Side) at {
	right, _ := s.reach()
	return at{s.x(right) + gaugePast, s.y(side.RefMM)}
}

// diameter draws the dimension of a diameter about the axis; past are the extension lines that words must not touch.
func (s *section) diameter(d unit.Length, row, from float64, past ...float64) {
	mm, inch := lengthWords("⌀", d)
	s.across(dim{a: s.x(-d.MM() / 2), b: s.x(d.MM() / 2), line: row, fromA: from, fromB: from, mm: mm, inch: inch, past: past})
}
