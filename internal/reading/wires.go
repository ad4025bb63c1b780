package reading

// This file holds the pitch diameter over three wires.

import (
	"math"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// Wires is a length over three equal wires laid in an external thread, two on one side and one on the other.
type Wires struct {
	// M is the length over the wires, Wire the diameter of one.
	M    Reading
	Wire unit.Length
}

// ParseWires reads a length over wires and the diameter of the wires.
func ParseWires(over, wire string, i Instrument) (Wires, error) {
	m, err := ParseReading(over, i)
	if err != nil {
		return Wires{}, err
	}
	w, err := unit.ParseLength(wire)
	if err != nil {
		return Wires{}, err
	}
	if !(w.MM() > 0 && 3*w.MM() < m.Value.MM()) {
		return Wires{}, fault.At("", wire, "the diameter of a wire is above 0 and below a third of the %s over the wires", m.Value)
	}
	return Wires{M: m, Wire: w}, nil
}

// OverWires returns the length over three wires of diameter wire on a thread of pitch diameter d2, lead angle neglected
// (ASME B1.2, three-wire method): M = d2 - P/(2 tan a) + W (1 + 1/sin a), a being the half angle of the thread, which is
// d2 - 0.866025 P + 3 W at 60 degrees and d2 - 0.960491 P + 3.165681 W at 55. All in one unit.
func OverWires(d2, pitch, wire, flankRad float64) float64 {
	return d2 - pitch/(2*math.Tan(flankRad)) + wire*(1+1/math.Sin(flankRad))
}

// BestWire is the wire that touches the flanks at the pitch line: P/(2 cos a), 0.577350 P at 60 degrees.
func BestWire(pitch, flankRad float64) float64 { return pitch / (2 * math.Cos(flankRad)) }

// PitchDiameter returns the pitch diameter that a length over wires says on a thread of the given pitch. Its uncertainty
// is that of M and that of the pitch, with the sensitivity 1/(2 tan a) (GUM 5.1.2).
func (w Wires) PitchDiameter(pitch Estimate, flankRad float64) Estimate {
	return overWires{wire: w.Wire.MM(), m: w.M.estimate(false)}.pitchDiameter(pitch, flankRad)
}

func (g overWires) pitchDiameter(pitch Estimate, flankRad float64) Estimate {
	d2 := g.m.Value - OverWires(0, pitch.Value, g.wire, flankRad)
	parts := append([]Part(nil), g.m.Parts...)
	parts = append(parts, Part{What: "pitch", Source: "GUM 5.1.2", U: pitch.U / (2 * math.Tan(flankRad)), DOF: pitch.DOF})
	return Combine(d2, parts...)
}

// overWires are the lengths over wires of one diameter, combined.
type overWires struct {
	wire float64
	m    Estimate
	bad  []Contradiction
}

// wireGroups combines the lengths over wires of the same diameter.
func (s Set) wireGroups() []overWires {
	var out []overWires
	done := make([]bool, len(s.Wires))
	for i, w := range s.Wires {
		if done[i] {
			continue
		}
		var same []Reading
		for k := i; k < len(s.Wires); k++ {
			if math.Abs(s.Wires[k].Wire.MM()-w.Wire.MM()) < sameWireMM {
				same, done[k] = append(same, s.Wires[k].M), true
			}
		}
		m, bad := repeats("length over wires", same, false)
		out = append(out, overWires{wire: w.Wire.MM(), m: m, bad: bad})
	}
	return out
}

// sameWireMM is the difference in mm below which two wires are the same: wires are sold to the micrometre.
const sameWireMM = 0.0005
