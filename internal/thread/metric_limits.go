package thread

// This file holds the limits of size of metric threads, by the formulas and tables of ISO 965-1.

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"sort"

	"tryring/internal/unit"
)

// toleranceRow holds the figures of ISO 965-1 that depend on the pitch alone; micrometres but for the pitch.
type toleranceRow struct {
	Pitch float64 `toml:"pitch"`
	DevG  float64 `toml:"dev_g"`
	DevF  float64 `toml:"dev_f"`
	DevE  float64 `toml:"dev_e"`
	// MajorTol is T_d and MinorTol T_D1, both of grade 6.
	MajorTol float64 `toml:"major_tol"`
	MinorTol float64 `toml:"minor_tol"`
	// PitchDiaTol is T_d2 of grade 6 where the formula does not give the published figure.
	PitchDiaTol []struct {
		Over float64 `toml:"over"`
		Tol  float64 `toml:"tol"`
	} `toml:"pitch_dia_tol"`
	// MajorTol8 is T_d of grade 8 where it is not eight steps above grade 6.
	MajorTol8 float64 `toml:"major_tol_8"`
	// MostInternal and MostExternal are the coarsest grades of the pitch diameter; the coarsest ones there are when left out.
	MostInternal int `toml:"most_internal"`
	MostExternal int `toml:"most_external"`
}

// toleranceFor returns the figures of a pitch.
func toleranceFor(pitch float64) (toleranceRow, error) {
	for _, r := range metricTolerances().Rows {
		if nearly(r.Pitch, pitch) {
			return r, nil
		}
	}
	return toleranceRow{}, fmt.Errorf("ISO 965-1 has no pitch of %s mm", unit.Short(pitch))
}

// metricClass is a tolerance class: grade and position of the pitch diameter and of the crest diameter.
type metricClass struct {
	pitchGrade, crestGrade       int
	pitchPosition, crestPosition byte
}

func (c metricClass) external() bool { return c.pitchPosition >= 'a' }

var metricClassForm = regexp.MustCompile(`^([3-9])([efghGH])(?:([4-8])([efghGH]))?$`)

// readMetricClass reads "6g", "6H" or "5g6g".
func readMetricClass(class string) (metricClass, error) {
	s := metricClassForm.FindStringSubmatch(class)
	if s == nil {
		return metricClass{}, fmt.Errorf("class %q is not of ISO 965-1; write one like 6g, 6h, 6e or 5g6g outside, 6H, 6G or 5H inside", class)
	}
	c := metricClass{int(s[1][0] - '0'), int(s[1][0] - '0'), s[2][0], s[2][0]}
	if s[3] != "" {
		c.crestGrade, c.crestPosition = int(s[3][0]-'0'), s[4][0]
	}
	crestExternal := c.crestPosition >= 'a'
	switch {
	case c.external() != crestExternal:
		return c, fmt.Errorf("class %q mixes an external and an internal position", class)
	case c.external() && !slices.Contains([]int{4, 6, 8}, c.crestGrade):
		return c, fmt.Errorf("class %q: ISO 965-1 has grades 4, 6 and 8 for the major diameter of an external thread; write both grades, like %s6%c",
			class, class[:2], c.crestPosition)
	case !c.external() && (c.pitchGrade < 4 || c.pitchGrade > 8):
		return c, fmt.Errorf("class %q: ISO 965-1 has grades 4 to 8 for internal threads", class)
	}
	return c, nil
}

// The coarsest grades of ISO 965-1 for the pitch diameter, external and internal, and the pitch from which they are
// given (from memory).
const (
	coarsestExternal, coarsestInternal = 9, 8
)

// has refuses a class with a grade that the standard does not give for the pitch.
func (r toleranceRow) has(c metricClass) error {
	most, side := cmp.Or(r.MostInternal, coarsestInternal), "internal"
	grade := max(c.pitchGrade, c.crestGrade)
	if c.external() {
		most, side, grade = cmp.Or(r.MostExternal, coarsestExternal), "external", c.pitchGrade
		if most < coarsestExternal && c.crestGrade > 6 {
			return fmt.Errorf("ISO 965-1 has grades 4 and 6 for the major diameter at a pitch of %s mm, not %d", unit.Short(r.Pitch), c.crestGrade)
		}
	}
	if grade > most {
		return fmt.Errorf("ISO 965-1 goes to grade %d for %s threads with a pitch of %s mm, not to %d", most, side, unit.Short(r.Pitch), grade)
	}
	return nil
}

// majorTol is T_d of a grade, micrometres.
func (r toleranceRow) majorTol(grade int) float64 {
	if grade == 8 && r.MajorTol8 > 0 {
		return r.MajorTol8
	}
	return preferredNear(r.MajorTol, gradeSteps(grade))
}

// fineSize is the largest size, mm, whose usual classes are 5H and 6h (ISO 965-1, M1 to M1.4).
const fineSize = 1.4

// usualClass is 6g or 6H, but 6h and 5H up to M1.4 and where the pitch has no grade 6 inside, down to the grade that
// it has.
func (r toleranceRow) usualClass(size float64, external bool) string {
	fine := size <= fineSize || r.MostInternal > 0 && r.MostInternal < 6
	switch {
	case fine && external:
		return "6h"
	case fine:
		return fmt.Sprintf("%dH", min(5, cmp.Or(r.MostInternal, 5)))
	case external:
		return "6g"
	}
	return "6H"
}

// deviation returns the distance of the tolerance zone from the basic profile, micrometres.
func (r toleranceRow) deviation(position byte) (float64, error) {
	dev := map[byte]float64{'g': r.DevG, 'G': r.DevG, 'f': r.DevF, 'e': r.DevE}[position]
	if dev == 0 && position != 'h' && position != 'H' {
		return 0, fmt.Errorf("ISO 965-1 has no position %c for a pitch of %s mm", position, unit.Short(r.Pitch))
	}
	return dev, nil
}

// preferred are the numbers of the R 40 series of ISO 3 rounded as ISO 965-1 uses them, one decade.
var preferred = []float64{
	100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300,
	315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950,
}

// preferredNear returns the preferred number from 10 to 9500 that is nearest to x micrometres in ratio, then steps further on, to a
// whole micrometre; halves to the even one: 42.5 is published as 42, 37.5 as 38.
func preferredNear(x float64, steps int) float64 {
	at := sort.Search(3*len(preferred)-1, func(i int) bool { return x*x <= preferredAt(i)*preferredAt(i+1) })
	return math.RoundToEven(preferredAt(at + steps))
}

// preferredAt returns number i of the series from 10 on.
func preferredAt(i int) float64 {
	n := len(preferred)
	decade := math.Floor(float64(i) / float64(n))
	return preferred[i-int(decade)*n] * math.Pow(10, decade-1)
}

// gradeSteps are the factors between the tolerance grades and grade 6 of the external pitch diameter (ISO 965-1 clause 13:
// 0.5, 0.63, 0.8, 1, 1.25, 1.6, 2), as steps of the R 40 series: four to a grade.
func gradeSteps(grade int) int { return 4 * (grade - 6) }

// internalPitchSteps is the factor 1.32 between T_D2 and T_d2 of one grade (ISO 965-1 clause 13) as steps of the R 40
// series.
const internalPitchSteps = 5

// diameterRanges are the ends of the ranges of basic diameters in ISO 965-1, mm.
var diameterRanges = []float64{0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45, 90, 180, 355}

// diameterRange returns the index of the end above the range that holds size: over [i-1], up to and with [i].
func diameterRange(size float64) (int, error) {
	i, _ := slices.BinarySearch(diameterRanges, size)
	if i == 0 || i == len(diameterRanges) {
		return 0, fmt.Errorf("ISO 965-1 covers diameters over %v up to %v mm, not %s mm", diameterRanges[0], diameterRanges[len(diameterRanges)-1], unit.Short(size))
	}
	return i, nil
}

// pitchTolerance6 is T_d2 of grade 6, micrometres: 90 P^0.4 d^0.1 with d the geometric mean of the ends of the diameter
// range (ISO 965-1 clause 13), to the nearest preferred number, or the published figure where that differs.
func (r toleranceRow) pitchTolerance6(size float64) (float64, error) {
	i, err := diameterRange(size)
	if err != nil {
		return 0, err
	}
	for _, x := range r.PitchDiaTol {
		if nearly(x.Over, diameterRanges[i-1]) {
			return x.Tol, nil
		}
	}
	d := math.Sqrt(diameterRanges[i-1] * diameterRanges[i])
	return preferredNear(90*math.Pow(r.Pitch, 0.4)*math.Pow(d, 0.1), 0), nil
}

// Limits returns the limits of size of ISO 965-1 for t, to 0.001 mm; the usual class when class is "" or is of the
// other side.
//
// MinorMax of an external thread is that of the basic profile less the deviation: the root, flat or rounded (ISO
// 965-1 asks for a radius of at least 0.125 P from property class 8.8 on), must not pass it. The standard leaves
// MinorMin external and MajorMax internal open.
func (m Metric) Limits(t Thread, class string, external bool) (Limits, error) {
	r, err := toleranceFor(t.Pitch.MM())
	if err != nil {
		return Limits{}, err
	}
	if _, err := readMetricClass(class); class != "" && err != nil {
		return Limits{}, err
	}
	c, _ := readMetricClass(m.classOf(t, class, external))
	if err := r.has(c); err != nil {
		return Limits{}, fmt.Errorf("class %q: %w", class, err)
	}
	pitchTol, noTol := r.pitchTolerance6(t.Basic.Major.MM())
	pitchDev, noPitch := r.deviation(c.pitchPosition)
	crestDev, noCrest := r.deviation(c.crestPosition)
	if err := cmp.Or(noTol, noPitch, noCrest); err != nil {
		return Limits{}, err
	}
	major, pitch, minor := toMicrons(t.Basic.Major), toMicrons(t.Basic.Pitch), toMicrons(t.Basic.Minor)
	if external {
		return Limits{
			MajorMax: fromMicrons(major - crestDev), MajorMin: fromMicrons(major - crestDev - r.majorTol(c.crestGrade)),
			PitchMax: fromMicrons(pitch - pitchDev), PitchMin: fromMicrons(pitch - pitchDev - preferredNear(pitchTol, gradeSteps(c.pitchGrade))),
			MinorMax: fromMicrons(minor - pitchDev),
		}, nil
	}
	return Limits{
		MajorMin: fromMicrons(major + pitchDev),
		PitchMax: fromMicrons(pitch + pitchDev + preferredNear(pitchTol, internalPitchSteps+gradeSteps(c.pitchGrade))), PitchMin: fromMicrons(pitch + pitchDev),
		MinorMax: fromMicrons(minor + crestDev + preferredNear(r.MinorTol, gradeSteps(c.crestGrade))), MinorMin: fromMicrons(minor + crestDev),
	}, nil
}

// toMicrons rounds to whole micrometres, the last digit that ISO 965 publishes.
func toMicrons(l unit.Length) float64 { return math.Round(l.MM() * 1000) }

func fromMicrons(x float64) *unit.Length { return new(unit.MM(x / 1000)) }
