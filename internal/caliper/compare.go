package caliper

// This file sets a measured thread beside the one that was wanted.

import (
	"fmt"
	"math"
)

// Wanted is what a thread should be; a field of zero (NaN for Taper) is not compared.
type Wanted struct {
	MajorMM, PitchDMM, MinorMM float64
	PitchMM, LeadMM            float64
	Starts                     int
	// Hand is "right" or "left"; "" is not compared.
	Hand     string
	AngleDeg float64
	// FlankDeg are the flanks that face -z and +z.
	FlankDeg [2]float64
	Taper    float64
}

// Tolerance is how far measured and wanted may lie apart.
type Tolerance struct {
	// DiameterMM and LeadMM are in millimetres, the latter for pitch and lead.
	DiameterMM, LeadMM float64
	AngleDeg           float64
	// Taper is in millimetres of diameter per millimetre.
	Taper float64
}

// Difference is one figure in which measured and wanted lie too far apart.
type Difference struct {
	// What names the figure: "major diameter", "pitch diameter", "minor diameter", "pitch", "lead", "starts", "hand",
	// "angle", "lower flank", "upper flank" or "taper".
	What string
	// Measured and Wanted are in millimetres or degrees; for the hand 1 is right and -1 left.
	Measured, Wanted, Allowed float64
}

// String says the difference in a line.
func (d Difference) String() string {
	switch d.What {
	case "hand":
		return fmt.Sprintf("hand: measured %s, wanted %s", handOf(d.Measured), handOf(d.Wanted))
	case "starts":
		return fmt.Sprintf("starts: measured %.0f, wanted %.0f", d.Measured, d.Wanted)
	case "angle", "lower flank", "upper flank":
		return fmt.Sprintf("%s: measured %.2f deg, wanted %.2f deg +- %.2f", d.What, d.Measured, d.Wanted, d.Allowed)
	case "taper":
		return fmt.Sprintf("taper: measured %.5f, wanted %.5f +- %.5f", d.Measured, d.Wanted, d.Allowed)
	}
	return fmt.Sprintf("%s: measured %.4f mm, wanted %.4f mm +- %.4f", d.What, d.Measured, d.Wanted, d.Allowed)
}

func handOf(sign float64) string {
	if sign < 0 {
		return "left"
	}
	return "right"
}

// Compare returns the figures in which measured and wanted lie farther apart than tol, in the order of Wanted's fields;
// none when they agree. A figure that is not a number never agrees.
func Compare(measured Thread, want Wanted, tol Tolerance) []Difference {
	var out []Difference
	check := func(what string, got, want, allowed float64) {
		if !(math.Abs(got-want) <= allowed) {
			out = append(out, Difference{what, got, want, allowed})
		}
	}
	length := func(what string, got, want, allowed float64) {
		if want > 0 {
			check(what, got, want, allowed)
		}
	}
	length("major diameter", measured.MajorMM, want.MajorMM, tol.DiameterMM)
	length("pitch diameter", measured.PitchDMM, want.PitchDMM, tol.DiameterMM)
	length("minor diameter", measured.MinorMM, want.MinorMM, tol.DiameterMM)
	length("pitch", measured.PitchMM, want.PitchMM, tol.LeadMM)
	length("lead", measured.LeadMM, want.LeadMM, tol.LeadMM)
	if want.Starts > 0 && measured.Starts != want.Starts {
		out = append(out, Difference{What: "starts", Measured: float64(measured.Starts), Wanted: float64(want.Starts)})
	}
	if want.Hand != "" && measured.Hand != want.Hand {
		sign := map[string]float64{"right": 1, "left": -1}
		out = append(out, Difference{What: "hand", Measured: sign[measured.Hand], Wanted: sign[want.Hand]})
	}
	length("angle", measured.AngleDeg, want.AngleDeg, tol.AngleDeg)
	length("lower flank", measured.FlankDeg[0], want.FlankDeg[0], tol.AngleDeg)
	length("upper flank", measured.FlankDeg[1], want.FlankDeg[1], tol.AngleDeg)
	if !math.IsNaN(want.Taper) {
		check("taper", measured.Taper, want.Taper, tol.Taper)
	}
	return out
}

// Nearest returns the thread inside or outside that is most like the one wanted, by size and pitch; nil where there is none.
func (r Report) Nearest(outer bool, want Wanted) *Thread {
	best, side := r.Inner, "inner"
	if outer {
		best, side = r.Outer, "outer"
	}
	off := func(t *Thread) (sum float64) {
		for _, f := range [][2]float64{{t.PitchMM, want.PitchMM}, {t.MajorMM, want.MajorMM}} {
			if f[1] > 0 {
				sum += math.Abs(f[0]/f[1] - 1)
			}
		}
		return sum
	}
	for i := range r.Threads {
		if t := &r.Threads[i]; t.Side == side && off(&t.Thread) < off(best) {
			best = &t.Thread
		}
	}
	return best
}
