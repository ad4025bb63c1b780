package reading

// This file holds the pitch over the outside diameter, which a picture tells without a scale. Where the pitch is that of a thread it is
// a second reading of the diameter, so that a ruler beside it will do.

import (
	"math"
	"strings"

	"tryring/internal/fault"
	"tryring/internal/unit"
)

// The ratios that are believed: from a fine thread on a wide part to a coarse screw.
const (
	leastRatio = 1.0 / 300
	mostRatio  = 1.0 / 2
)

// parseRatio reads a pitch over an outside diameter with its ±, "0.0334 +- 0.0003".
func parseRatio(text string) (PitchReading, error) {
	left, right, _ := strings.Cut(strings.NewReplacer("+/-", "±", "+-", "±").Replace(unit.Plain(text)), "±")
	ratio, err := unit.ParseNumber(left)
	half, bad := unit.ParseNumber(right)
	if err != nil || bad != nil || !(ratio >= leastRatio && ratio <= mostRatio && half > 0 && half < ratio/2) {
		return PitchReading{}, fault.At("", text, "pitch over outside diameter is written as tryring photo tells it: 0.0334+-0.0003")
	}
	e := Combine(ratio, Part{What: "stated ± " + unit.Short(half), Source: "GUM 4.3.7", U: UniformU(half), DOF: math.Inf(1)})
	return PitchReading{Text: text, Value: e}, nil
}

// findRatio combines the ratios; with the diameter they tell the pitch too, where nothing else does.
func (f *Found) findRatio(s Set) {
	var names []string
	var values []Estimate
	for _, r := range s.Ratios {
		names, values = append(names, r.Text), append(values, r.Value)
	}
	if len(values) == 0 {
		return
	}
	e, bad := independent("pitch over outside diameter", names, values)
	f.Ratio, f.Contradictions = &e, append(f.Contradictions, bad...)
	if f.Diameter != nil && f.Pitch == nil {
		p := Combine(e.Value*f.Diameter.Value, append(e.Scaled(f.Diameter.Value).Parts, f.Diameter.Scaled(e.Value).Parts...)...)
		f.Pitch = &p
	}
}

// across is the diameter that was read of a thread of the given pitch, by the ratio too, and the density of that ratio beside the
// diameter read otherwise, or alone. The diameter is pitch/ratio, so its sensitivity to the ratio is diameter/ratio (GUM 5.1.3).
func (f Found) across(pitch float64) (*Estimate, float64) {
	if f.Ratio == nil {
		return f.Diameter, 1
	}
	by := f.Ratio.Scaled(pitch / (f.Ratio.Value * f.Ratio.Value))
	by.U = math.Hypot(by.U, PitchShare*by.Value)
	per := by.Value / f.Ratio.Value
	if f.Diameter == nil {
		return &by, per
	}
	mean, u, _ := weighted([]Estimate{*f.Diameter, by})
	dof, apart := math.Min(f.Diameter.DOF, by.DOF), math.Hypot(f.Diameter.U, by.U)
	return &Estimate{Value: mean, U: u, DOF: dof}, per * density((f.Diameter.Value-by.Value)/apart, dof) / apart
}
