package check

// This file compares what was measured on a file with what was wanted of it.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/caliper"
	"tryring/internal/ring"
	"tryring/internal/thread"
)

// Tolerances of a file against its plan. They are those of our own meshes: a file that we make must keep them.
const (
	// SizeTolMM is for diameters and lead.
	SizeTolMM = 0.01
	// AngleTolDeg is for the angle between the flanks.
	AngleTolDeg = 0.5
	// TaperTol is for the change of diameter per length.
	TaperTol = 0.002
	// WallTolMM is how much thinner than designed a wall may measure: the mesh's own tolerance on both faces.
	WallTolMM = 0.02
)

// Wanted is what a thread in a file should measure.
type Wanted struct {
	Designation string
	caliper.Wanted
	// TolMM is the tolerance of the diameters.
	TolMM float64
	// AnyPlane says that the measured diameters of a taper thread need not stand in its gauge plane: those wanted may
	// stand anywhere along the thread.
	AnyPlane bool
}

// WantedOf returns what a side of a plan should measure, each flank by itself.
func WantedOf(s ring.Side, external bool) *Wanted { return WantedPart(s.Thread, s.Modelled, external) }

// WantedPart returns what a thread of the given diameters should measure on a part of ours as it stands.
func WantedPart(t thread.Thread, d thread.Diameters, external bool) *Wanted {
	w := WantedThread(t, d)
	w.TolMM = SizeTolMM
	if w.AngleDeg > 0 {
		lower, upper := t.Form.Facing(external)
		w.FlankDeg = [2]float64{lower * 180 / math.Pi, upper * 180 / math.Pi}
	}
	return w
}

// WantedThread returns what a thread of the given diameters should measure; flanks that are arcs have no angle. The tolerance is left to the caller.
func WantedThread(t thread.Thread, d thread.Diameters) *Wanted {
	w := &Wanted{Designation: t.Designation, Wanted: caliper.Wanted{
		MajorMM: d.Major.MM(), PitchDMM: d.Pitch.MM(), MinorMM: d.Minor.MM(),
		PitchMM: t.Pitch.MM(), LeadMM: t.Lead().MM(), Taper: t.Taper, Starts: t.Starts, Hand: t.Hand.String(),
	}}
	if t.Form.StraightPerPitch() >= caliper.LeastBand*t.Form.DepthPerPitch {
		w.AngleDeg = t.Form.AngleDeg()
	}
	return w
}

func measuredInner(s Subject) []Finding {
	if s.Inner == nil || s.Measured == nil {
		return nil
	}
	return against("measured-inner", "inner", *s.Inner, s.Measured.Nearest(false, s.Inner.Wanted), s.Measured.InnerWhy)
}

func measuredOuter(s Subject) []Finding {
	if s.Outer == nil || s.Measured == nil {
		return nil
	}
	return against("measured-outer", "outer", *s.Outer, s.Measured.Nearest(true, s.Outer.Wanted), s.Measured.OuterWhy)
}

// against compares one thread, everything that is off in one finding.
func against(id, side string, want Wanted, got *caliper.Thread, why string) []Finding {
	if got == nil {
		return []Finding{{id, Stop, fmt.Sprintf("No %s thread could be measured, %s was wanted: %s.", side, want.Designation, why)}}
	}
	tol := caliper.Tolerance{DiameterMM: want.TolMM, LeadMM: SizeTolMM, AngleDeg: AngleTolDeg, Taper: TaperTol}
	if want.AnyPlane {
		tol.DiameterMM += want.Taper * (got.ZMM[1] - got.ZMM[0])
	}
	if off := caliper.Compare(*got, want.Wanted, tol); len(off) > 0 {
		told := make([]string, len(off))
		for i, d := range off {
			told[i] = d.String()
		}
		return []Finding{{id, Stop, fmt.Sprintf("The %s thread is not the %s that was wanted: %s.", side, want.Designation, strings.Join(told, "; "))}}
	}
	if want.AnyPlane {
		return []Finding{{id, OK, fmt.Sprintf("The %s thread is a %s within %.1f mm on the diameter, the room a printed thread is given: lead %.4f mm for %.4f mm, %.1f degrees for %.1f.",
			side, want.Designation, want.TolMM, got.LeadMM, want.LeadMM, got.AngleDeg, want.AngleDeg)}}
	}
	return []Finding{{id, OK, fmt.Sprintf("The %s thread in the file measures as modelled: pitch diameter %.3f mm for %.3f mm, lead %.4f mm for %.4f mm.",
		side, got.PitchDMM, want.PitchDMM, got.LeadMM, want.LeadMM)}}
}

// soundness tells whether the mesh bounds a solid.
func soundness(s Subject) []Finding {
	if s.Soundness == nil {
		return nil
	}
	a := *s.Soundness
	if a.Sound() {
		if a.Unsearched {
			return []Finding{{"mesh", Warn, fmt.Sprintf("The mesh is closed and each shell faces as it should: %s, %.2f cm3. It has too many faces to look for such as cross; thin it out to have that done.", shells(a.Shells), a.VolumeMM3/1000)}}
		}
		cavities := ""
		if a.Cavities > 0 {
			cavities = fmt.Sprintf(" (%d of them hollows inside)", a.Cavities)
		}
		return []Finding{{"mesh", OK, fmt.Sprintf("The mesh is closed, faces outward everywhere, and no two faces cross: %s%s, %.2f cm3.", shells(a.Shells), cavities, a.VolumeMM3/1000)}}
	}
	return []Finding{{"mesh", Stop, "The mesh does not bound a solid: " + strings.Join(a.Faults(), ", ") + ". A slicer may fill it wrongly."}}
}

// welded tells what was taken for one when the file was read.
func welded(s Subject) []Finding {
	if s.Part == nil || s.Part.Welded == 0 {
		return nil
	}
	return []Finding{{"welded", Note, fmt.Sprintf("Corners of open edges that lie up to %.6f mm apart were taken for one: %d of them, and %d faces that shrank to nothing by it were left out. The rest is judged as if the file had them so.",
		s.Part.WeldedMM, s.Part.Welded, s.Part.Shrunk)}}
}

func shells(n int) string {
	if n == 1 {
		return "one part"
	}
	return fmt.Sprintf("%d shells", n)
}
