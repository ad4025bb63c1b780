package thread

// This file holds the limits of size of Unified threads, by the formulas of ASME B1.1.

import (
	"math"
	"strings"

	"tryring/internal/unit"
)

// tenThou counts ten-thousandths of an inch, the last digit that ASME B1.1 publishes.
type tenThou int

// toTenThou rounds inches to ten-thousandths, halves to the even digit: 5/8-11 UNC-2A has an allowance of 0.0016 from
// 0.00165, 1 1/8-7 UNC-2A a tolerance of 0.0072 from 0.00725.
func toTenThou(inches float64) tenThou {
	const clean = 1e6 // millionths of a ten-thousandth and below are float64 noise
	return tenThou(math.RoundToEven(math.Round(inches*1e4*clean) / clean))
}

// thousandths rounds to thousandths of an inch, halves to the even digit: 7/8-14 UNF-2B has a greatest minor diameter of
// 0.814 from 0.8135, 1-14 UNS-2B one of 0.938 from 0.9385 (from memory).
func (n tenThou) thousandths() tenThou { return tenThou(math.RoundToEven(float64(n)/10)) * 10 }

// leastInThousandths is the size from which minor diameters of internal threads are published to 0.001 in: that of #6.
// Smaller ones have four decimals, such as 0.0465 to 0.0514 for #0-80 UNF-2B (from memory).
const leastInThousandths = tenThou(1380)

func (n tenThou) length() *unit.Length { return new(unit.Inches(float64(n) / 1e4)) }

// engagementInches is the length of engagement LE on which the pitch-diameter tolerance rests (ASME B1.1 section 5):
// the basic diameter for UNC, UNF, 4-UN, 6-UN and 8-UN, and 9 pitches for all others but 1-14 UNS, which was of the fine
// series once and kept its tolerances.
func (Unified) engagementInches(t Thread) (length float64, rule string) {
	perInch := 1 / t.Pitch.Inches()
	coarse := t.Series == seriesConstant && (nearly(perInch, 4) || nearly(perInch, 6) || nearly(perInch, 8))
	if coarse || t.Series == seriesCoarse || t.Series == seriesFine {
		return t.Basic.Major.Inches(), "one basic diameter (ASME B1.1 section 5: UNC, UNF, 4-UN, 6-UN and 8-UN)"
	}
	if nearly(t.Basic.Major.Inches(), 1) && nearly(perInch, 14) {
		return t.Basic.Major.Inches(), "one basic diameter (ASME B1.1: 1-14 UNS keeps the tolerances of the fine series; from memory)"
	}
	return 9 * t.Pitch.Inches(), "9 pitches (ASME B1.1 section 5: UNEF, UNS and the constant-pitch series finer than 8-UN)"
}

func (u Unified) engagement(t Thread) (unit.Length, string) {
	inches, rule := u.engagementInches(t)
	return unit.Inches(inches), rule
}

// tolerance2A is the pitch-diameter tolerance of class 2A in inches, unrounded (ASME B1.1 section 5):
// 0.0015 D^(1/3) + 0.0015 LE^(1/2) + 0.015 P^(2/3). All other tolerances and the allowance are multiples of it.
func (u Unified) tolerance2A(t Thread) float64 {
	d, p := t.Basic.Major.Inches(), t.Pitch.Inches()
	le, _ := u.engagementInches(t)
	if r := unifiedAt(d); r != nil && r.ToleranceSize > 0 {
		d = r.ToleranceSize
	}
	return 0.0015*math.Cbrt(d) + 0.0015*math.Sqrt(le) + 0.015*math.Pow(p, 2.0/3)
}

// pitchTolerance is that of a class, which rests on the tolerance of class 2A to six decimals: 1.3 times 0.003731
// makes the published 0.0049 of 1/4-20 UNC-2B, 1.3 times 0.00373075 would not. That of class 3B rests on five, which
// makes the 0.0027 of #6-32 UNC-3B (from memory) and moves no other thread of the tables.
func (u Unified) pitchTolerance(t Thread, class string) tenThou {
	basis := rounded(u.tolerance2A(t))
	if class == "3B" {
		basis = math.Round(u.tolerance2A(t)*1e5) / 1e5
	}
	return toTenThou(pitchToleranceShare[class] * basis)
}

// allowance is 0.3 times the tolerance of class 2A to five decimals, for classes 1A and 2A (ASME B1.1 section 5). Of
// the ways of rounding it, this one gives all the published allowances of UNC, UNF and the numbered sizes.
func (u Unified) allowance(t Thread) tenThou {
	return toTenThou(0.3 * math.Round(u.tolerance2A(t)*1e5) / 1e5)
}

// pitchToleranceShare is the pitch-diameter tolerance of each class as a multiple of class 2A (ASME B1.1 section 5).
var pitchToleranceShare = map[string]float64{"1A": 1.5, "2A": 1, "3A": 0.75, "1B": 1.95, "2B": 1.3, "3B": 0.975}

// minorTolerance is the minor-diameter tolerance of an internal thread in inches (ASME B1.1 section 5).
//
// Classes 1B and 2B: 0.25 P - 0.40 P^2 from D = 0.25 in on, 0.15 P if coarser than 4 threads per inch; below 0.25 in
// 0.05 P^(2/3) + 0.03 P/D - 0.002, at most 0.394 P and at least 0.25 P - 0.40 P^2.
// Class 3B: 0.05 P^(2/3) + 0.03 P/D - 0.002, at most 0.394 P and at least 0.23 P - 1.5 P^2, or 0.120 P for 12 threads
// per inch and coarser. From memory but for the first.
func minorTolerance(d, p float64, grade byte) float64 {
	fine := 0.05*math.Pow(p, 2.0/3) + 0.03*p/d - 0.002
	if grade == '3' {
		least := 0.23*p - 1.5*p*p
		if p >= 1.0/12-1e-9 { // 1e-9 in: float64 noise of 1/12
			least = 0.120 * p
		}
		return math.Max(least, math.Min(fine, 0.394*p))
	}
	common := 0.25*p - 0.40*p*p
	if p > 0.25+1e-9 { // coarser than 4 threads per inch
		common = 0.15 * p
	}
	if d < 0.25-1e-9 {
		return math.Max(common, math.Min(fine, 0.394*p))
	}
	return common
}

// Limits returns the limits of size of ASME B1.1 for t: its grade (1, 2 or 3) is that of class, or 2, and its side, A or B,
// follows external. Sizes are rounded as published, to 0.0001 in, minor diameters of internal threads from #6 on to
// 0.001 in (the greatest one of class 3B to 0.0001 in); allowance and tolerances are rounded before they are taken off.
//
// MinorMax of an external thread is that of the basic profile less the allowance: what a flat root must not pass. A root
// rounded as UNR threads have it lies inside that. The standard leaves MinorMin external and MajorMax internal open.
func (u Unified) Limits(t Thread, class string, external bool) (Limits, error) {
	if class != "" && !unifiedClass.MatchString(strings.ToUpper(class)) {
		return Limits{}, notUnifiedClass(class)
	}
	grade := u.classOf(t, class, external)[0]
	d, p := t.Basic.Major.Inches(), t.Pitch.Inches()
	major, pitch, minor := toTenThou(d), toTenThou(t.Basic.Pitch.Inches()), toTenThou(t.Basic.Minor.Inches())
	if external {
		var allowance tenThou
		if grade != '3' {
			allowance = u.allowance(t)
		}
		majorTolerance := 0.060 * math.Pow(p, 2.0/3)
		if grade == '1' {
			majorTolerance *= 1.5
		}
		return Limits{
			MajorMax: (major - allowance).length(),
			MajorMin: (major - allowance - toTenThou(majorTolerance)).length(),
			PitchMax: (pitch - allowance).length(),
			PitchMin: (pitch - allowance - u.pitchTolerance(t, string(grade)+"A")).length(),
			MinorMax: (minor - allowance).length(),
		}, nil
	}
	minorMin, minorMax := minor, minor+toTenThou(minorTolerance(d, p, grade))
	if major >= leastInThousandths {
		minorMin = minorMin.thousandths()
		if grade != '3' {
			minorMax = minorMax.thousandths()
		}
	}
	return Limits{
		MajorMin: major.length(),
		PitchMax: (pitch + u.pitchTolerance(t, string(grade)+"B")).length(),
		PitchMin: pitch.length(),
		MinorMax: minorMax.length(),
		MinorMin: minorMin.length(),
	}, nil
}
