package draw

// This file chooses scales.

// scale is a scale of ISO 5455:1979.
type scale struct {
	name   string
	factor float64
}

// scales are the standard scales, largest first. The last takes any part that can be made: 250 mm.
var scales = []scale{
	{"100 : 1", 100}, {"50 : 1", 50}, {"20 : 1", 20}, {"10 : 1", 10}, {"5 : 1", 5}, {"2 : 1", 2}, {"1 : 1", 1}, {"1 : 2", 0.5}, {"1 : 5", 0.2},
}

// fittingScale returns the largest scale, with at most the given factor, at which width and height fit into the room; the smallest
// where none does.
func fittingScale(most, width, height, roomX, roomY float64) scale {
	for _, s := range scales {
		if s.factor <= most && width*s.factor <= roomX && height*s.factor <= roomY {
			return s
		}
	}
	return scales[len(scales)-1]
}

// scaleBar draws a bar of a round length that is at most room long on the sheet, from p to the right.
func (s *sheet) scaleBar(p at, room, factor float64) {
	length := 0.0
	for _, l := range []float64{0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200} {
		if l*factor <= room {
			length = l
		}
	}
	end := p.X + length*factor
	mid := (p.X + end) / 2
	s.open("scale-bar", thin, at{p.X, p.Y - 1.5}, at{p.X, p.Y + 1.5})
	s.open("scale-bar", thin, at{mid, p.Y - 1}, at{mid, p.Y + 1})
	s.open("scale-bar", thin, at{end, p.Y - 1.5}, at{end, p.Y + 1.5})
	s.open("scale-bar", wide, p, at{end, p.Y})
	s.text(at{end + 2, p.Y + 0.36*textMM}, trimmed(length)+" mm", plain)
}
