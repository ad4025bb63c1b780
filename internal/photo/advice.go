package photo

// This file says what would make a picture good, from what was seen on it.

import (
	"fmt"
	"math"
	"strings"
)

// What would make a picture good.
const (
	fillAndLevel = "hold the camera level with the part's middle and square to its axis, and let the part fill most of the frame with ground on both sides"
	farther      = "step back, zoom in, and tell the distance from camera to part"
	sharper      = "hold the camera still and focus on the part's edge, with more light from behind"
	castOfHole   = "if it is a thread in a hole, press putty into it, take a picture of that from the side, and say that it is a cast"
)

// contrast is advice on ground and light for a picture whose edges cannot be followed.
func (m *measured) contrast(p *Picture) string {
	var out []string
	if p.flash {
		out = append(out, "switch the flash off, its shadow lies at the part's edge")
	}
	in, ground, ok := m.levels()
	switch {
	case !ok:
		out = append(out, "lay the part on a plain ground, light under a dark part and dark under a light or shiny one, with light from a window")
	case in > ground+leastContrast/2:
		out = append(out, "the part is lighter than its ground: lay it on a plain dark one")
	case in < ground-leastContrast/2:
		out = append(out, "the part is darker than its ground: lay it on a plain light one, or hold it before a bright window")
	case in > 128:
		out = append(out, "the part is as light as its ground: lay it on a plain dark one")
	default:
		out = append(out, "the part is as dark as its ground: lay it on a plain light one")
	}
	return strings.Join(append(out, "keep hand and shadow off its edges"), "; ")
}

// levels is how light the part is and the ground beside both edges; ok is false where no edges were traced.
func (m *measured) levels() (in, out float64, ok bool) {
	if m == nil || m.grey == nil {
		return 0, 0, false
	}
	n := 0.0
	for _, o := range []outline{m.outlines.left, m.outlines.right} {
		for i := 0; i < len(o.out); i += 4 {
			if math.IsNaN(o.out[i]) {
				continue
			}
			for _, k := range []float64{12, 20, 28} {
				at := func(t float64) float64 {
					return m.grey.at(m.outlines.frame.at(m.outlines.s0+float64(i)+0.5, float64(o.side)*t))
				}
				in, out, n = in+at(o.out[i]-k), out+at(o.out[i]+k), n+1
			}
		}
	}
	return in / n, out / n, n > 0
}

// tooFew says what to do where a part shows few crests.
func tooFew(n int) (why, mend string) {
	return fmt.Sprintf("only %s can be told on one of the outlines; it takes %d", crestsWord(n), sureCrests),
		"turn the part until its longest piece of thread shows, closer; a thread that has no more is read by a caliper: so many crests over so much length"
}
