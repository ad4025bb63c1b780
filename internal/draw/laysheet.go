package draw

// This file draws the page that is laid on a part, at 1 : 1: lines to hold a ruler to, combs of crests, circles.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tryring/internal/combs"
	"tryring/internal/unit"
)

const (
	// quietMM stays white about such a page: what printers cannot reach.
	quietMM = 20.0
	// besideMM is the column at the right in which the upright line stands.
	besideMM = 10.0
	// combBack is the material of a comb under its roots, tickMM the length of the ticks that count crests.
	combBack, tickMM = 0.8, 2.0
)

// newLaying begins the page: lines to hold a ruler to, and how the rest is used.
func newLaying(fresh func() (*sheet, box)) *flow {
	f := newFlow(1, func() (*sheet, box) {
		s, room := fresh()
		room.X1 -= besideMM
		return s, room
	})
	f.sheet().ruler(at{f.room.X1 + besideMM - 0.5, f.y + 3}, true, 100, 10, "100 mm")
	f.paragraph("", "Print at 100 %, “actual size”, and hold a ruler to the lines.", "Another length: print again without “fit to page”. Still another: scale by 10000 / (mm that the 100 mm line reads), in percent.")
	f.y += 5
	f.sheet().ruler(at{f.left(), f.y}, false, 100, 10, "100 mm")
	f.y += 6.5
	f.sheet().ruler(at{f.left(), f.y}, false, 4*unit.MMPerInch, unit.MMPerInch/4, "4 in")
	f.y += 2
	f.paragraph("", "Combs.", "Cut or fold along the line over the teeth and lay it on the part's crests, in a bore from inside, the first tip on a crest. The comb whose tips meet the crests all along has the part's pitch. Figures count crests; a triangle is where a comb stands half a pitch off the next one here.")
	return f
}

// ruler draws a line with ticks from p to the right, or down.
func (s *sheet) ruler(p at, down bool, long, step float64, name string) {
	on := func(along, over float64) at {
		if down {
			return at{p.X - over, p.Y + along}
		}
		return at{p.X + along, p.Y - over}
	}
	s.open("check", wide, on(0, 0), on(long, 0))
	last := int(math.Round(long / step))
	for i := range last + 1 {
		tall := 1.5
		if i == 0 || i == last {
			tall = 4
		}
		s.open("tick", thin, on(float64(i)*step, 0), on(float64(i)*step, tall))
	}
	st := style{size: textMM, bold: true, anchor: "start"}
	if down {
		s.text(on(long/2, 4.5), name, style{size: textMM, bold: true, anchor: "middle", upright: true})
		return
	}
	s.text(on(long+3, 0), name, st)
}

// combs draws the combs of one part, under its name where there are several, and what they decide.
func (f *flow) combs(part string, p combs.Page) {
	for i, c := range p.Combs {
		lines := f.combWords(c)
		high := combHeight(c) + float64(max(0, len(lines)-2))*rowPitch
		if i == 0 && part != "" {
			f.need(rowPitch+high, headGap)
			f.put([][]row{{{0, part, true}}})
		}
		f.need(high, 1.5)
		f.comb(c, lines)
	}
	for _, d := range p.Decides {
		for _, name := range p.Threads {
			d = strings.ReplaceAll(d, name, unbroken(name))
		}
		f.paragraph("–", "", d)
	}
}

// unbroken is a name that stays on one line, unbrokenList names of which each does.
func unbroken(name string) string { return strings.ReplaceAll(name, " ", noBreak) }

func unbrokenList(names []string) string {
	return strings.ReplaceAll(unbroken(strings.Join(names, "\n")), "\n", ", ")
}

// combHeight is that of a comb with its figures.
func combHeight(c combs.Comb) float64 { return depth(c.Profile) + combBack + tickMM + rowPitch }

// besideComb is left between a comb and its words.
const besideComb = 8.0

// combWords are the words beside a comb.
func (f *flow) combWords(c combs.Comb) []string {
	words := unbroken(c.Pitch+", "+c.Angle+"°:") + " " + unbrokenList(c.Names)
	return wrapBy(pdfWidth, words, (f.width()-min(c.LengthMM, f.width()/2)-besideComb)/textMM, true)
}

// comb draws the crests of a comb, their tips on the line to cut along, and its words beside it, or under it if it is long.
func (f *flow) comb(c combs.Comb, lines []string) {
	s, x, y := f.sheet(), f.left()+3, f.y
	base, pitch := y+depth(c.Profile)+combBack, c.Profile.PitchMM
	teeth := []at{{x, base}}
	for n := 0; float64(n)*pitch < c.LengthMM+pitch; n++ {
		for _, k := range c.Profile.Knots(profileChordMM) {
			if z := float64(n)*pitch + k.Z; z >= 0 && z <= c.LengthMM {
				teeth = append(teeth, at{x + z, y + c.Profile.MajorMM/2 - k.R})
			}
		}
	}
	teeth = slices.Insert(append(teeth, at{x + c.LengthMM, y + c.Profile.MajorMM/2 - c.Profile.Rho(c.LengthMM)}, at{x + c.LengthMM, base}), 1, at{x, y})
	s.area("comb", black, teeth...)
	s.open("cut", thin, at{x - 3, y}, at{x + c.LengthMM + 3, y})
	for _, off := range c.OffMM {
		s.area("off", black, at{x + off, base}, at{x + off - 1, base + tickMM}, at{x + off + 1, base + tickMM})
	}
	step := 5 // crests counted, as often as figures have room
	for float64(step)*pitch < 9 {
		step *= 2
	}
	for n := 0; float64(n)*pitch <= c.LengthMM; n += step {
		z := x + float64(n)*pitch
		s.open("tick", thin, at{z, base}, at{z, base + tickMM})
		s.text(at{z, base + tickMM + 0.8*rowPitch}, fmt.Sprint(n), style{size: textMM, anchor: "middle"})
	}
	f.y += combHeight(c)
	left, top := x+c.LengthMM+besideComb-3, f.y-2*rowPitch
	if c.LengthMM > f.width()/2 {
		left, top = f.left(), f.y
	}
	for i, l := range lines {
		s.text(at{left, top + (float64(i)+0.8)*rowPitch}, l, style{size: textMM, bold: true, anchor: "start"})
	}
	f.y = max(f.y, top+float64(len(lines))*rowPitch)
}

// circles draws circles in rows, each with its words under it.
func (f *flow) circles(all []combs.Circle) {
	const how = "Set an outside thread on its circle: the line shows evenly all round. Lay a bore on its own: the line shows evenly inside the edge."
	for i, row := range f.shelves(all) {
		high, lines, words := 0.0, 0, make([][]string, len(row))
		for k, one := range row {
			for _, c := range one {
				words[k] = append(words[k], wrapBy(pdfWidth, circleWords(c), one.cell()/textMM, false)...)
				high = max(high, c.Diameter.MM()+2)
			}
			lines = max(lines, len(words[k]))
		}
		under := high + float64(lines)*rowPitch
		if i == 0 {
			f.need(under+2*rowPitch+lineGap, headGap)
			f.paragraph("", "Circles.", how)
		}
		f.need(under, lineGap)
		x := f.left()
		for k, one := range row {
			middle := x + one.cell()/2
			for _, c := range one {
				f.sheet().threadCircle(c, at{middle, f.y + high/2})
			}
			for n, l := range words[k] {
				f.sheet().text(at{middle, f.y + high + (float64(n)+0.8)*rowPitch}, l, style{size: textMM, anchor: "middle"})
			}
			x += one.cell() + circlesApart
		}
		f.y += under
	}
}

// circlesApart is left between circles, leastCell the least width of one's words, and nestedMM by how much circles about one middle
// differ in diameter.
const circlesApart, leastCell, nestedMM = 4.0, 46.0, 1.5

// figure is circles about one middle: one, or several that are too wide to stand beside each other.
type figure []combs.Circle

func (f figure) cell() float64 {
	cell := leastCell
	for _, c := range f {
		cell = max(cell, c.Diameter.MM()+2)
	}
	return cell
}

// takes says whether a circle can be told from all others of the figure.
func (f figure) takes(c combs.Circle) bool {
	return !slices.ContainsFunc(f, func(o combs.Circle) bool { return math.Abs((o.Diameter - c.Diameter).MM()) < nestedMM })
}

// shelves puts circles beside each other as far as they go, wide ones about one middle, and says which are too large for the paper.
func (f *flow) shelves(all []combs.Circle) (rows [][]figure) {
	used := 0.0
	for _, c := range all {
		cell := figure{c}.cell()
		if cell > f.width() {
			f.paragraph("–", "", circleWords(c)+": too large for this paper.")
			continue
		}
		if n := len(rows) - 1; n >= 0 && len(rows[n]) == 1 && min(cell, used) > f.width()/2 && rows[n][0].takes(c) {
			rows[n][0] = append(rows[n][0], c)
			used = rows[n][0].cell()
			continue
		}
		if used += circlesApart + cell; len(rows) == 0 || used > f.width() {
			rows, used = append(rows, nil), cell
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], figure{c})
	}
	return rows
}

func circleWords(c combs.Circle) string {
	kind := map[bool]string{true: "outside", false: "bore"}[c.External]
	return unbroken(kind+" ⌀"+mmText(c.Diameter)) + " " + inchText(c.Diameter) + ": " + unbrokenList(c.Names)
}

// threadCircle draws a circle with its middle: the inner edge of the line is the size of an outside thread, its outer edge that of a
// bore.
func (s *sheet) threadCircle(c combs.Circle, middle at) {
	r := c.Diameter.MM() / 2
	if c.External {
		s.circle("outside", thin, "", middle, r+thin.width/2)
	} else {
		s.circle("bore", thin, "", middle, r-thin.width/2)
	}
	arm := min(4, r/2)
	s.open("middle", thin, at{middle.X - arm, middle.Y}, at{middle.X + arm, middle.Y})
	s.open("middle", thin, at{middle.X, middle.Y - arm}, at{middle.X, middle.Y + arm})
}
