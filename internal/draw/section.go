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
	// heightDims is the room for two dimensions beside the part, rowMM the distance of dimension rows, leaderRow the
	// height over (or under) the part at which a leader enters the bore.
	heightDims, rowMM, leaderRow = 26.0, 11.0, 4.0
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
	crop := box{s.frame.X0, s.field.Y1, s.frame.X1, s.field.Y0}
	for _, l := range s.labels {
		crop.Y0, crop.Y1 = math.Min(crop.Y0, l.box.Y0), math.Max(crop.Y1, l.box.Y1)
	}
	for _, line := range s.strokes() {
		for _, q := range line {
			crop.Y0, crop.Y1 = math.Min(crop.Y0, q.Y), math.Max(crop.Y1, q.Y)
		}
	}
	crop.Y0, crop.Y1 = crop.Y0-1, crop.Y1+1
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
	if p.Shape.Flange != nil {
		below += rowMM
	}
	s.scale = fittingScale(10, right+left, h, s.partRight()-s.partLeft()-heightDims-5, s.field.Y1-s.field.Y0-above-below)
	k := s.scale.factor
	s.cx = s.partLeft() + heightDims + (s.partRight()-5-s.partLeft()-heightDims)/2 + (left-right)*k/2
	spare := s.field.Y1 - s.field.Y0 - above - below - h*k
	s.bottom = s.field.Y1 - below - spare/2
	s.beyond()
	s.cut()
	s.dimensions()
	s.leftNotes()
	s.rightNotes()
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
		s.many("hatch", thin, hatch(face, 45, hatchMM))
	}
	s.open("axis", axisLine, at{s.cx, s.y(s.plan.Shape.HeightMM) - 2.5}, at{s.cx, s.y(0) + 2.5})
}

// beyond draws what is seen behind the cut: the faces' edges, the crests of the inner thread, the rim of the flange.
func (s *section) beyond() {
	sh := s.plan.Shape
	level := func(z float64) {
		s.open("edge", thin, at{s.x(-sh.Inner.Radius(math.Pi, z)), s.y(z)}, at{s.x(sh.Inner.Radius(0, z)), s.y(z)})
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
			s.open("edge", thin, at{s.x(side.cut), s.y(0)}, at{s.x(side.seen), s.y(0)}, at{s.x(side.seen), s.y(f.ThicknessMM)}, at{s.x(side.cut), s.y(f.ThicknessMM)})
		}
	}
	s.crests()
}

// leastCrestMM is the distance on the sheet below which crest lines would run together.
const leastCrestMM = 2.0

// crests draws the crests of the inner thread on the far wall: each climbs half a lead from the right to the left.
func (s *section) crests() {
	in := s.plan.Shape.Inner
	pitch := in.Profile.PitchMM
	if pitch*s.scale.factor < leastCrestMM {
		return
	}
	var lines [][2]at
	for n := math.Floor(in.From / pitch); n <= math.Ceil(in.To/pitch); n++ {
		z := in.ShiftMM + (n+0.5)*pitch
		to := z + in.LeadMM/2
		if !free(in, 0, z) || !free(in, math.Pi, to) {
			continue
		}
		lines = append(lines, [2]at{{s.x(in.MinorRadius(z)), s.y(z)}, {s.x(-in.MinorRadius(to)), s.y(to)}})
	}
	s.many("crest", thin, lines)
}

// free tells whether the thread itself, and no bound, makes the wall at a place.
func free(s ring.Surface, theta, z float64) bool {
	return z > s.From && z < s.To && math.Abs(s.Radius(theta, z)-s.Thread(theta, z)) < sameMM
}

// dimensions draws the heights on the left and the diameters over and under the part.
func (s *section) dimensions() {
	p := s.plan
	in, out, h := p.Shape.Inner, p.Shape.Outer, p.Shape.HeightMM
	right, left := s.reach()
	top, bottom := s.y(h), s.y(0)

	// Heights: the outer thread's full form, and the whole.
	const beside, narrow = 9.0, 15.0 // narrow leaves room for the tails of outside arrows
	line := math.Min(s.x(-left)-beside, s.cx-narrow)
	full := p.Outer.FullMM
	mm, inch := lengthWords("", unit.MM(full[1]-full[0]))
	past := []float64{bottom}
	if s.stacked() {
		past = []float64{top}
	}
	s.along(dim{
		a: s.y(full[1]), b: s.y(full[0]), line: line, mm: mm, inch: inch, past: past,
		fromA: s.x(-out.MajorRadius(full[1])), fromB: s.x(-out.MajorRadius(full[0])),
	}, s.stacked())
	mm, inch = lengthWords("", p.Height)
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

// diameter draws the dimension of a diameter about the axis; past are the extension lines that words must not touch.
func (s *section) diameter(d unit.Length, row, from float64, past ...float64) {
	mm, inch := lengthWords("⌀", d)
	s.across(dim{a: s.x(-d.MM() / 2), b: s.x(d.MM() / 2), line: row, fromA: from, fromB: from, mm: mm, inch: inch, past: past})
}

// foot is the radius at which the part stands on the bed on the left.
func (s *section) foot() float64 {
	if f := s.plan.Shape.Flange; f != nil {
		_, left := acrossFlange(f)
		return left
	}
	return s.plan.Shape.Outer.Radius(math.Pi, 0)
}
