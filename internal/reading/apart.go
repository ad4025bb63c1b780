package reading

// This file says whether a printed ring can tell two threads apart, and which ring to print.

import (
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Printer is what has to be known of a printer: the standard uncertainty of the printed diameter that meets the thread,
// and the least pitch it prints.
type Printer struct {
	Name string
	// InsideU is that of a printed internal thread, OutsideU of an external one.
	InsideU, OutsideU unit.Length
	MinPitch          unit.Length
}

// Apart tells of two threads and a printed ring.
type Apart struct {
	// Between are the designations of the two threads.
	Between [2]string
	// Can is set when a ring tells them apart.
	Can bool
	// Print is the thread that the ring is to be made for, Feels what happens on the other.
	Print string
	// DifferenceMM is by how much, on the diameter, the other thread is too large for that ring over the length of
	// engagement, U its standard uncertainty, both in mm.
	DifferenceMM, U float64
	// ErrorChance is the chance that the ring misleads when it is made halfway between the two.
	ErrorChance float64
	Why         string
}

const (
	// apartChance is the chance of being misled up to which a ring is worth printing.
	apartChance = 0.05
	// apartWeight is the least weight of a thread to be compared, apartMost how many threads are.
	apartWeight = 0.01
	apartMost   = 4
	// ringLengthMM is how much thread a ring engages at most, mm.
	ringLengthMM = 12
)

// TellApart compares each pair of the leading threads on the printer p.
func (a Answer) TellApart(p Printer) []Apart {
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
func (a Answer) apart(x, y candidate, p Printer) Apart {
	length := ringLengthMM
	engaged := float64(length)
	if a.Found.Length != nil {
		engaged = math.Min(engaged, a.Found.Length.Value)
	}
	external := a.Set.External()
	printed := p.InsideU
	if !external {
		printed = p.OutsideU
	}
	u := math.Hypot(printed.MM(), math.Hypot(UniformU(x.pitchTolerance()/2), UniformU(y.pitchTolerance()/2)))
	xInY, yInX := tooLarge(x, y, engaged, external), tooLarge(y, x, engaged, external)
	ring, other, difference := x, y, yInX
	if xInY > yInX {
		ring, other, difference = y, x, xInY
	}
	out := Apart{
		Between: [2]string{x.thread.Designation, y.thread.Designation}, Print: ring.thread.Designation,
		DifferenceMM: math.Max(0, difference), U: u,
	}
	out.ErrorChance = below(-out.DifferenceMM/(2*u), math.Inf(1))
	out.Can = out.ErrorChance <= apartChance
	dp := math.Abs(x.thread.Pitch.MM() - y.thread.Pitch.MM())
	what := "inside thread"
	if !external {
		what = "outside thread"
	}
	out.Why = fmt.Sprintf("over %s of engagement %s is too large for a ring of %s by %.2f mm on the diameter", mmText(engaged), other.thread.Designation, ring.thread.Designation, out.DifferenceMM)
	if !external {
		out.Why = fmt.Sprintf("over %s of engagement %s is too small for a ring of %s by %.2f mm on the diameter", mmText(engaged), other.thread.Designation, ring.thread.Designation, out.DifferenceMM)
	}
	if dp > samePitchMM {
		out.Why += fmt.Sprintf(", the pitch differing by %.3f mm a turn for %.1f turns", dp, engaged/ring.thread.Pitch.MM())
	} else {
		out.Why += ", the pitch being the same"
	}
	out.Why += fmt.Sprintf("; printer %s and the tolerances of both threads together are uncertain by %.2f mm (one standard deviation)", p.Name, u)
	switch {
	case ring.thread.Pitch < p.MinPitch:
		out.Can = false
		out.Why += fmt.Sprintf("; the pitch of %s is finer than the %s that the printer prints", pitchWords(ring.thread.Pitch.MM()), p.MinPitch.TextMM())
	case out.Can:
		out.Why += fmt.Sprintf(". Print a ring with %s as its %s: it goes on that thread and stops on %s (chance of being misled %s)",
			ring.thread.Designation, what, other.thread.Designation, percent(out.ErrorChance))
	default:
		out.Why += fmt.Sprintf(". No ring of this printer tells them apart (chance of being misled %s)", percent(out.ErrorChance))
	}
	return out
}

// samePitchMM is the difference below which two pitches are the same: the ISO pipe tables round theirs to 0.001 mm.
const samePitchMM = 0.0006

// pitchTolerance is the tolerance of the pitch diameter, 0 where none is known.
func (c candidate) pitchTolerance() float64 { return c.pitchHigh - c.pitchLow }

// pitchMean is the middle of the limits of the pitch diameter, its basic size where none are known.
func (c candidate) pitchMean() float64 {
	if c.pitchHigh <= 0 {
		return c.thread.Basic.Pitch.MM()
	}
	return (c.pitchLow + c.pitchHigh) / 2
}

// tooLarge is by how much, on the diameter, thread x does not go into (or over) a ring that just goes with thread ring,
// over the engaged length: the difference of pitch diameters, and what the difference of pitch and of flank angle adds
// to it.
//
// An axial mismatch s closes the clearance s/tan(a) on the diameter, a being the half angle of the flanks (the inverse of
// axial play = clearance x tan a). The pitch error over the length is s = engaged |p - p'| / p'; two flank angles
// part by h/2 |tan a - tan a'| at either end of a flank of height h, on both flanks.
func tooLarge(x, ring candidate, engaged float64, external bool) float64 {
	tx, tr := math.Tan(x.thread.Form.FlankRad), math.Tan(ring.thread.Form.FlankRad)
	difference := x.pitchMean() - ring.pitchMean()
	if !external {
		difference = -difference
	}
	pitch := engaged * math.Abs(x.thread.Pitch.MM()-ring.thread.Pitch.MM()) / ring.thread.Pitch.MM() / tr
	height := thread.Form60.DepthPerPitch * math.Min(x.thread.Pitch.MM(), ring.thread.Pitch.MM())
	angle := height * math.Abs(tx-tr) / tr
	return difference + pitch + angle
}
