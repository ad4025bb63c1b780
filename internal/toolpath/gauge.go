package toolpath

// This file lays a mate over beads: drawn back by the ball of a bead's edge, the mate meets bare points.

import (
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

const (
	// places is the number of places along a pitch at which the mate's radius is kept, with straight lines between.
	places = 1024
	// rays are the directions in which a ball may touch; between two of them lies less than a thousandth of it.
	rays = 96
	// freeMM stands for a radius where there is nothing of the mate, far beyond every part.
	freeMM = 1e3
	// flankShare is the part of the straight flanks by which the pitch diameter is felt, about the pitch line.
	flankShare = 0.5
	// rootShare is how far to both sides of its middle a root is felt, in pitches.
	rootShare = 1.0 / 100
	// tries are the axial positions of the mate that are tried first, and coarse the beads that suffice for that.
	tries, coarse = 96, 4000
	// alikeMM is how much nearer, on the radius, a layer comes to the mate than another by nothing but corners and rounding.
	alikeMM = 0.005
	// golden divides an interval so that either part of it is tried once.
	golden = 0.6180339887498949
	// cuts narrow a forty-eighth of a pitch to far below a micrometre.
	cuts = 22
)

// bead is a place of a widened path: u along the axis less what the helix has climbed, y the radius toward the mate without the
// taper's share, its ball and its layer.
type bead struct {
	u, y, angle float64
	ball, layer int
}

// mate is the radius of a mate toward the beads over one pitch, in places.
type mate struct {
	pitch float64
	y     [places]float64
}

// at is the radius at u.
func (m *mate) at(u float64) float64 {
	f := u / m.pitch
	f = (f - math.Floor(f)) * places
	k := int(f)
	part := f - float64(k)
	return m.y[k%places]*(1-part) + m.y[(k+1)%places]*part
}

// back draws the mate back by a ball on a cone of the given slope.
func (m *mate) back(ball, slope float64) *mate {
	out := &mate{pitch: m.pitch}
	var off, rise [rays + 1]float64
	for k := range off {
		sin, cos := math.Sincos(math.Pi * (float64(k)/rays - 0.5))
		off[k], rise[k] = ball*sin, ball*cos-slope*ball*sin
	}
	for k := range out.y {
		least := math.Inf(1)
		for r, d := range off {
			least = min(least, m.at(float64(k)*m.pitch/places+d)-rise[r])
		}
		out.y[k] = least
	}
	return out
}

// mates are the whole mate, its flanks alone and the middle of its crest alone.
func (w *wall) mates() (whole, flanks, crest *mate, err error) {
	section := w.Section(w.Basic)
	section.Slope = w.slope
	profile, err := thread.NewProfile(section)
	if err != nil {
		return nil, nil, nil, err
	}
	pitch := section.PitchMM
	whole = &mate{pitch: pitch}
	least := math.Inf(1)
	for k := range whole.y {
		whole.y[k] = w.toward * profile.Rho(float64(k)*pitch/places)
		least = min(least, whole.y[k])
	}
	var sin, cos float64
	for k, y := range whole.y {
		if y < least+1e-6*pitch {
			s, c := math.Sincos(2 * math.Pi * float64(k) / places)
			sin, cos = sin+s, cos+c
		}
	}
	middle := math.Atan2(sin, cos) / (2 * math.Pi)
	flanks, crest = &mate{pitch: pitch}, &mate{pitch: pitch}
	line, straight := w.toward*section.PitchDMM/2, flankShare*w.Form.StraightPerPitch()*pitch
	for k, y := range whole.y {
		flanks.y[k], crest.y[k] = max(y, line-straight), freeMM
		if y > line+straight {
			flanks.y[k] = freeMM
		}
		if off := float64(k)/places - middle; math.Abs(off-math.Round(off)) <= rootShare {
			crest.y[k] = y
		}
	}
	return whole, flanks, crest, nil
}

// gauge lays the mate over the beads.
func (w *wall) gauge() (out Wall, err error) {
	whole, flanks, crest, err := w.mates()
	if err != nil {
		return out, err
	}
	w.centre()
	beads, balls := w.beads()
	back := func(m *mate) (drawn []*mate) {
		for _, b := range balls {
			drawn = append(drawn, m.back(b, w.toward*w.slope))
		}
		return drawn
	}
	drawn := back(whole)
	gap, at, meets := loosest(beads, drawn)
	flankGap, shift, _ := loosest(beads, back(flanks))
	rootGap, _ := least(beads, back(crest), shift, 1)
	top := math.Inf(-1)
	for _, b := range beads {
		top = max(top, b.y+balls[b.ball])
	}
	out.of, out.layer = w.Wanted, unit.MM(w.LayerMM)
	across := func(radius float64) unit.Length { return unit.MM(2 * w.toward * radius) }
	out.Felt = thread.Diameters{Major: across(top), Pitch: w.Basic.Pitch - across(flankGap), Minor: w.Basic.Minor - across(rootGap)}
	if !w.External {
		out.Felt.Major, out.Felt.Minor = w.Basic.Major-across(rootGap), across(top)
	}
	out.Clearance = unit.MM(2 * gap)
	out.BindingLayer, out.BindingMM = meets.layer+1, unit.Round(w.layers[meets.layer].z)
	out.BindsAll = len(tied(beads, drawn, at, gap+alikeMM)) > len(w.courses)/2
	w.outlines(&out)
	w.winding(&out)
	w.before(&out, top)
	return out, nil
}

// least is the least gap on the radius between the beads, every nth of them, and the mates shifted along the axis.
func least(beads []bead, drawn []*mate, shift float64, nth int) (gap float64, meets bead) {
	gap = math.Inf(1)
	for k := 0; k < len(beads); k += nth {
		b := beads[k]
		if g := drawn[b.ball].at(b.u-shift) - b.y; g < gap {
			gap, meets = g, b
		}
	}
	return gap, meets
}

// tied are the layers that come nearer to the mates than that.
func tied(beads []bead, drawn []*mate, shift, gap float64) map[int]bool {
	out := map[int]bool{}
	for _, b := range beads {
		if drawn[b.ball].at(b.u-shift)-b.y < gap {
			out[b.layer] = true
		}
	}
	return out
}

// loosest finds the axial position of the mate that leaves the largest gap. To both sides of it one flank comes nearer.
func loosest(beads []bead, drawn []*mate) (gap, shift float64, meets bead) {
	pitch := drawn[0].pitch
	gap = math.Inf(-1)
	for k := range tries {
		s := pitch * float64(k) / tries
		if g, _ := least(beads, drawn, s, 1+len(beads)/coarse); g > gap {
			gap, shift = g, s
		}
	}
	low, high := shift-pitch/tries, shift+pitch/tries
	a, b := high-golden*(high-low), low+golden*(high-low)
	atA, _ := least(beads, drawn, a, 1)
	atB, _ := least(beads, drawn, b, 1)
	for range cuts {
		if atA > atB {
			high, b, atB = b, a, atA
			a = high - golden*(high-low)
			atA, _ = least(beads, drawn, a, 1)
		} else {
			low, a, atA = a, b, atB
			b = low + golden*(high-low)
			atB, _ = least(beads, drawn, b, 1)
		}
	}
	shift = (low + high) / 2
	gap, meets = least(beads, drawn, shift, 1)
	return gap, shift, meets
}
