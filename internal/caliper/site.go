package caliper

// This file finds the places where a thread may stand.

// site is a place where a thread may stand: the lines of one wall, a line to each section, in the frame of the cut, and the
// swings of them that may be the thread's flanks.
type site struct {
	// outer tells that the material lies on the axis's side of the wall.
	outer bool
	// lines are those of all sections, in order of theta; one without spots has no wall here.
	lines []line
	// swings are in order of section and height; size is how large they usually are, on the radius.
	swings []swing
	size   float64
}

// Reasons for no site.
const (
	whyNone    = "no wall on this side"
	whyTangled = "a section meets more walls than can be followed"
)

// siteOf returns the site on the outer or the inner side, or says why there is none.
func siteOf(secs []section, outer bool) (*site, string) {
	s := &site{outer: outer, lines: linesOf(secs, outer)}
	walls := 0
	for _, l := range s.lines {
		if len(l.spots) > 0 {
			walls++
		}
	}
	if walls < len(s.lines)/2 {
		return nil, whyNone
	}
	if s.swings, s.size = findSwings(s.lines); len(s.swings) == 0 {
		return nil, whyPlain
	}
	return s, ""
}
