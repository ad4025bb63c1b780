package reading

// This file says whether a printed ring can tell two threads apart, and which ring to print.

import (
	"fmt"
	"math"

	"tryring/internal/printer"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Apart tells of two threads and a printed ring.
type Apart struct {
	// Between are the designations of the two threads.
	Between [2]string `json:"between"`
	// Can is set when a ring tells them apart.
	Can bool `json:"can"`
	// Print is the thread that the ring is to be made for, Feels what happens on the other.
	Print string `json:"ring"`
	// DifferenceMM is by how much, on the diameter, the other thread is too large for that ring over the length of
	// engagement, U its standard uncertainty, both in mm.
	DifferenceMM float64 `json:"difference_mm"`
	U            float64 `json:"u_mm"`
	// ClearanceMM is the clearance on the diameter to give the ring: half the difference, so that it goes on the one thread and
	// stops on the other by as much.
	ClearanceMM float64 `json:"clearance_mm"`
	// ErrorChance is the chance that the ring misleads when it is made halfway between the two.
	ErrorChance float64 `json:"error_chance"`
	Why         string  `json:"why"`
}

const (
	// apartChance is the chance of being misled up to which a ring is worth printing.
	apartChance = 0.05
	// apartWeight is the least weight of a thread to be compared, apartMost how many threads are.
	apartWeight = 0.01
	apartMost   = 4
	// ringLengthMM is how much thread a ring engages at most, mm.
	ringLengthMM = 12.0
)

// TellApart compares each pair of the leading threads on the printer p.
func (a Answer) TellApart(p printer.Profile) []Apart {
	var out []Apart
	for i, first := range a.Candidates {
		for _, second := range a.Candidates[i+1:] {
			if first.Thread == nil || second.Thread == nil || second.Weight < apartWeight || i >= apartMost {
				continue
			}
			if len(out) < apartMost*(apartMost-1)/2 {
				out = append(out, a.apart(first.candidate, second.candidate, p))
			}
		}
	}
	return out
}

// apart tries the ring of each of two threads on the other.
func (a Answer) apart(x, y candidate, p printer.Profile) Apart {
	engaged := ringLengthMM
	if a.Found.Length != nil {
		engaged = math.Min(engaged, a.Found.Length.Value)
	}
	external := a.Set.External()
	xInY, yInX := tooLarge(x, y, engaged, external), tooLarge(y, x, engaged, external)
	ring, other, difference := x, y, yInX
	if xInY > yInX {
		ring, other, difference = y, x, xInY
	}
	printed := printer.Outside
	if external {
		printed = printer.Inside
	}
	u := math.Hypot(p.Makes(ring.thread, printed).Pitch.U.MM(), math.Hypot(UniformU(x.pitchTolerance()/2), UniformU(y.pitchTolerance()/2)))
	out := Apart{
		Between: [2]string{x.thread.Designation, y.thread.Designation}, Print: ring.thread.Designation,
		DifferenceMM: unit.Round(math.Max(0, difference)), U: unit.Round(u),
	}
	out.ClearanceMM = unit.Round(out.DifferenceMM / 2)
	out.ErrorChance = unit.Round(below(-out.DifferenceMM/(2*u), math.Inf(1)))
	out.Can = out.ErrorChance <= apartChance
	out.Why = out.reason(ring.thread, other.thread, engaged, external, p)
	if ring.thread.Pitch < p.MinPitch {
		out.Can = false
	}
	return out
}

// reason says in words why, or why not, a ring made for thread ring tells it from thread other.
func (a Apart) reason(ring, other thread.Thread, engaged float64, external bool, p printer.Profile) string {
	what, large := "inside thread", "large"
	if !external {
		what, large = "outside thread", "small"
	}
	pitch := "the pitch being the same"
	if dp := math.Abs(ring.Pitch.MM() - other.Pitch.MM()); dp > SamePitchMM {
		pitch = fmt.Sprintf("the pitch differing by %.3f mm a turn for %.1f turns", dp, engaged/ring.Pitch.MM())
	}
	if math.Abs(ring.Taper-other.Taper) > 0 {
		pitch += ", one of them a taper"
	}
	text := fmt.Sprintf("over %s of engagement %s is too %s for a ring of %s by %.2f mm on the diameter, %s", mmText(engaged), other.Designation, large, ring.Designation, a.DifferenceMM, pitch)
	if a.DifferenceMM < smallestMM {
		text = fmt.Sprintf("over %s of engagement a ring of either goes with the other", mmText(engaged))
	}
	text += fmt.Sprintf("; printer %s and the tolerances of both threads are uncertain by %.2f mm together (95 %%)", p.Name, 2*a.U)
	switch {
	case ring.Pitch < p.MinPitch:
		text += fmt.Sprintf("; a pitch of %s is finer than the %s that the printer prints", pitchWords(ring.Pitch.MM()), p.MinPitch.TextMM())
	case a.Can:
		text += fmt.Sprintf(". Print a ring with %s as its %s and a clearance of %.2f mm: it goes with that thread and stops on %s (chance of being misled %s)", ring.Designation, what, a.ClearanceMM, other.Designation, percent(a.ErrorChance))
	default:
		text += fmt.Sprintf(". No ring of this printer tells them apart (chance of being misled %s)", percent(a.ErrorChance))
	}
	return text
}

// smallestMM is the least difference in mm that is told: what the second decimal shows.
const smallestMM = 0.005

// SamePitchMM is the difference below which two pitches are the same: the ISO pipe tables round theirs to 0.001 mm.
const SamePitchMM = 0.0006

// pitchTolerance is the tolerance of the pitch diameter, 0 where none is known. The gauge plane of a taper thread may lie a
// turn to either side of its place (ASME B1.20.1, and ISO 7-1 to a quarter of a turn; from memory).
func (c candidate) pitchTolerance() float64 {
	if t := c.thread; t.Taper > 0 {
		return 2 * t.Taper * t.Pitch.MM()
	}
	return c.pitchHigh - c.pitchLow
}

// pitchAt is the pitch diameter at z mm from the end that goes in, or from the face of an internal thread: the middle of the
// limits, or the basic size where none are known. A taper thread grows with z outside, and narrows with it inside.
func (c candidate) pitchAt(z float64, external bool) float64 {
	t := c.thread
	switch {
	case t.Taper > 0 && external:
		return t.Basic.Pitch.MM() + t.Taper*(z-t.GaugeLength.MM())
	case t.Taper > 0:
		return t.Basic.Pitch.MM() - t.Taper*z
	case c.pitchHigh <= 0:
		return t.Basic.Pitch.MM()
	}
	return (c.pitchLow + c.pitchHigh) / 2
}

// tooLarge is by how much, on the diameter, thread x does not go into (or over) a ring that just goes with thread ring,
// over the engaged length: the difference of pitch diameters where it is largest, and what the difference of pitch and of flank angle adds
// to it.
//
// An axial mismatch s closes the clearance s/tan(a) on the diameter, a being the half angle of the flanks (the inverse of
// axial play = clearance x tan a). The pitch error over the length is s = engaged |p - p'| / p'; two flank angles
// part by h/2 |tan a - tan a'| at either end of a flank of height h, on both flanks.
func tooLarge(x, ring candidate, engaged float64, external bool) float64 {
	tx, tr := x.thread.Form.Tan(), ring.thread.Form.Tan()
	difference := math.Inf(-1)
	for _, z := range []float64{0, engaged} {
		d := x.pitchAt(z, external) - ring.pitchAt(z, external)
		if !external {
			d = -d
		}
		difference = math.Max(difference, d)
	}
	pitch := engaged * math.Abs(x.thread.Pitch.MM()-ring.thread.Pitch.MM()) / ring.thread.Pitch.MM() / tr
	height := thread.Form60.DepthPerPitch * math.Min(x.thread.Pitch.MM(), ring.thread.Pitch.MM())
	angle := height * math.Abs(tx-tr) / tr
	return difference + pitch + angle
}
