package thread

// This file holds the Unified inch threads of ASME B1.1: series, classes and limits of size.

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// Unified are the inch threads of ASME B1.1: UNC, UNF, UNEF, the constant-pitch series UN, and any other combination of
// diameter and pitch, UNS, by the standard's formulas.
type Unified struct{}

var _ Sourced = Unified{}

const (
	seriesCoarse    = "UNC"
	seriesFine      = "UNF"
	seriesExtraFine = "UNEF"
	seriesConstant  = "UN"
	seriesSpecial   = "UNS"

	unifiedUsualGrade = '2'
	// byFormula follows the name of a standard where the combination is not in its tables.
	byFormula = ", by formula"
)

// unifiedRow is a size and its threads per inch in each series; 0 where it has none.
type unifiedRow struct {
	Size string    `toml:"size"`
	UNC  float64   `toml:"unc"`
	UNF  float64   `toml:"unf"`
	UNEF float64   `toml:"unef"`
	UN   []float64 `toml:"un"`
	// ToleranceSize is the basic diameter, inches, for which the published tolerances of the size hold; 0: its own.
	ToleranceSize float64 `toml:"tolerance_size"`
}

func (r unifiedRow) name() string { return r.Size }

func (r unifiedRow) check(TableHead) error {
	if _, err := unifiedInches(r.Size); err != nil {
		return err
	}
	seen := map[float64]bool{}
	for _, c := range r.counts() {
		if err := checkPerInch(c.perInch); err != nil {
			return err
		}
		if seen[c.perInch] {
			return fmt.Errorf("%v threads per inch stand in two series", c.perInch)
		}
		seen[c.perInch] = true
	}
	if !(r.ToleranceSize >= 0 && r.ToleranceSize < 2*maxDiameterMM/unit.MMPerInch) {
		return fmt.Errorf("tolerance_size = %v, must be a diameter in inches", r.ToleranceSize)
	}
	if len(seen) == 0 {
		return errors.New("no threads per inch")
	}
	return nil
}

// count is a number of threads per inch and the series it makes with its size.
type count struct {
	series  string
	perInch float64
}

func (r unifiedRow) counts() []count {
	var out []count
	for _, c := range []count{{seriesCoarse, r.UNC}, {seriesFine, r.UNF}, {seriesExtraFine, r.UNEF}} {
		if c.perInch != 0 {
			out = append(out, c)
		}
	}
	for _, n := range r.UN {
		out = append(out, count{seriesConstant, n})
	}
	return out
}

// series returns the series in which the row has perInch threads to the inch, "" for none.
func (r unifiedRow) series(perInch float64) string {
	for _, c := range r.counts() {
		if nearly(c.perInch, perInch) {
			return c.series
		}
	}
	return ""
}

// perInch returns the threads per inch of the row in UNC, UNF or UNEF, 0 for none.
func (r unifiedRow) perInch(series string) float64 {
	return map[string]float64{seriesCoarse: r.UNC, seriesFine: r.UNF, seriesExtraFine: r.UNEF}[series]
}

var (
	unified = sync.OnceValue(func() *table[unifiedRow] { return embedded[unifiedRow]("unified.toml") })
	// unifiedDiameters are the basic major diameters of the rows, inches.
	unifiedDiameters = sync.OnceValue(func() []float64 {
		var out []float64
		for _, r := range unified().Rows {
			d, _ := unifiedInches(r.Size) // every row passed its check when the table was read
			out = append(out, d)
		}
		return out
	})
)

// unifiedInches returns the basic major diameter of a size, in inches: "1 3/4", "1.75", or "#10", which is
// 0.060 + 0.013 x 10 (ASME B1.1, numbered sizes).
func unifiedInches(size string) (float64, error) {
	number, numbered := strings.CutPrefix(size, "#")
	x, err := unit.ParseNumber(number)
	if err != nil {
		return 0, err
	}
	if numbered {
		return rounded(0.060 + 0.013*x), nil
	}
	return rounded(x), nil
}

// sizeWord writes a basic major diameter as the standard does: a numbered size or a fraction where there is one, else decimals.
func sizeWord(inches float64, row *unifiedRow) string {
	if row != nil {
		return row.Size
	}
	if text, exact := unit.Inches(inches).Fraction(); exact {
		return strings.TrimSuffix(text, " in")
	}
	return unit.Short(inches)
}

// unifiedAt returns the row with that basic major diameter, nil for none.
func unifiedAt(inches float64) *unifiedRow {
	for i, d := range unifiedDiameters() {
		if nearly(d, inches) {
			return &unified().Rows[i]
		}
	}
	return nil
}

// Standard returns "ASME B1.1-2019".
func (Unified) Standard() string { return "ASME B1.1-2019" }

// Series lists the series words of the family.
func (Unified) Series() []string {
	return []string{seriesCoarse, seriesFine, seriesExtraFine, seriesConstant, seriesSpecial}
}

// Source says where the figures of t are from.
func (Unified) Source(t Thread) string {
	if strings.HasSuffix(t.Standard, byFormula) {
		return t.Standard
	}
	return unified().source("")
}

// Threads lists the standard series, size by size.
func (u Unified) Threads() []Thread {
	var out []Thread
	for i := range unified().Rows {
		r := &unified().Rows[i]
		for _, c := range r.counts() {
			out = append(out, u.thread(unifiedDiameters()[i], c.perInch, c.series, r, ""))
		}
	}
	return out
}

func (u Unified) thread(inches, perInch float64, series string, row *unifiedRow, class string) Thread {
	pitch := unit.Inches(1 / perInch)
	t := Thread{
		Designation: sizeWord(inches, row) + "-" + unit.Short(perInch) + " " + series,
		Standard:    u.Standard(), Series: series, Class: class,
		Form: Form60, Pitch: pitch, Starts: 1, Hand: Right,
		Basic: basicOf(Form60, unit.Inches(inches), pitch),
	}
	if series == seriesSpecial {
		t.Standard += byFormula
	}
	if class != "" {
		t.Designation += "-" + class
	}
	return t
}

var unifiedClass = regexp.MustCompile(`^[123][AB]$`)

// Find understands size and threads per inch with UN, UNC, UNF, UNEF, UNS or no series, and the classes 1A to 3B. UN and
// UNS are taken for whatever series has the combination; a combination in none is a special, UNS. Without a series only
// the standard combinations are taken here.
func (u Unified) Find(n Name) (Thread, bool, error) {
	switch n.Series {
	case "", seriesConstant, seriesCoarse, seriesFine, seriesExtraFine, seriesSpecial:
	default:
		return Thread{}, false, nil
	}
	if n.Series == "" && n.PerInch <= 0 {
		return Thread{}, false, nil
	}
	if n.SizeUnit == unit.Millimetre {
		return Thread{}, true, fmt.Errorf(`thread %q: a size in mm with threads per inch is written like "44.4mm x 12tpi"`, n.Text)
	}
	class := strings.ToUpper(n.Class)
	if class != "" && !unifiedClass.MatchString(class) {
		if n.Series == "" {
			return Thread{}, false, nil
		}
		return Thread{}, true, fmt.Errorf("thread %q: class %q is not of ASME B1.1; it has 1A, 2A, 3A outside and 1B, 2B, 3B inside", n.Text, n.Class)
	}
	inches, err := unifiedInches(n.Size)
	if err != nil {
		return Thread{}, true, fmt.Errorf("thread %q: size: %w", n.Text, err)
	}
	perInch := rounded(n.PerInch)
	row := unifiedAt(inches)
	// "10-24" is number 10: no whole inch size has the count of a numbered one.
	if numbered := unifiedNumbered(n.Size); numbered != nil && (row == nil || row.series(perInch) == "") && numbered.series(perInch) != "" {
		row = numbered
		inches, _ = unifiedInches(row.Size)
	}
	if perInch <= 0 {
		if row == nil || row.perInch(n.Series) == 0 {
			return Thread{}, true, fmt.Errorf("thread %q: no single thread is meant by size %s in series %s; write the threads per inch, like %s-12 %s",
				n.Text, n.Size, n.Series, n.Size, n.Series)
		}
		perInch = row.perInch(n.Series)
	}
	series := ""
	if row != nil {
		series = row.series(perInch)
	}
	switch {
	case series == "" && n.Series == "":
		return Thread{}, false, nil
	case series == "" && (n.Series == seriesConstant || n.Series == seriesSpecial):
		series = seriesSpecial
	case series == "" && row != nil && row.perInch(n.Series) != 0:
		return Thread{}, true, meant(fmt.Errorf("thread %q: %s %s has %s threads per inch, not %s", n.Text, row.Size, n.Series,
			unit.Short(row.perInch(n.Series)), unit.Short(perInch)), u.thread(inches, row.perInch(n.Series), n.Series, row, class))
	case series == "":
		return Thread{}, true, meant(fmt.Errorf("thread %q: ASME B1.1 has no such %s thread", n.Text, n.Series),
			u.thread(inches, perInch, seriesSpecial, row, class))
	case n.Series != "" && n.Series != series && n.Series != seriesConstant && n.Series != seriesSpecial:
		return Thread{}, true, meant(fmt.Errorf("thread %q: %s-%s is in series %s, not %s", n.Text, row.Size, unit.Short(perInch), series, n.Series),
			u.thread(inches, perInch, series, row, class))
	}
	t := u.thread(inches, perInch, series, row, class)
	if err := t.sane(n.Text); err != nil {
		return Thread{}, true, err
	}
	return t, true, nil
}

// unifiedNumbered returns the numbered size that a bare whole number may stand for, nil for none.
func unifiedNumbered(size string) *unifiedRow {
	for i := range unified().Rows {
		if unified().Rows[i].Size == "#"+size {
			return &unified().Rows[i]
		}
	}
	return nil
}

// tenThou counts ten-thousandths of an inch, the last digit that ASME B1.1 publishes.
type tenThou int

// toTenThou rounds inches to ten-thousandths, halves to the even digit: 5/8-11 UNC-2A has an allowance of 0.0016 from
// 0.00165, 1 1/8-7 UNC-2A a tolerance of 0.0072 from 0.00725.
func toTenThou(inches float64) tenThou {
	const clean = 1e6 // millionths of a ten-thousandth and below are float64 noise
	return tenThou(math.RoundToEven(math.Round(inches*1e4*clean) / clean))
}

// thousandths rounds to thousandths of an inch, halves up, as minor diameters of internal threads are published.
func (n tenThou) thousandths() tenThou { return (n + 5) / 10 * 10 }

func (n tenThou) length() *unit.Length { return new(unit.Inches(float64(n) / 1e4)) }

// engagementInches is the length of engagement LE on which the pitch-diameter tolerance rests (ASME B1.1 section 5):
// the basic diameter for UNC, UNF, 4-UN, 6-UN and 8-UN, and 9 pitches for all others.
func (Unified) engagementInches(t Thread) (length float64, rule string) {
	perInch := 1 / t.Pitch.Inches()
	coarse := t.Series == seriesConstant && (nearly(perInch, 4) || nearly(perInch, 6) || nearly(perInch, 8))
	if coarse || t.Series == seriesCoarse || t.Series == seriesFine {
		return t.Basic.Major.Inches(), "one basic diameter (ASME B1.1 section 5: UNC, UNF, 4-UN, 6-UN and 8-UN)"
	}
	return 9 * t.Pitch.Inches(), "9 pitches (ASME B1.1 section 5: UNEF, UNS and the constant-pitch series finer than 8-UN)"
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

// pitchTolerance is that of a class, which rests on the tolerance of class 2A to six decimals: 1.3 times 0.003731 makes the
// published 0.0049 of 1/4-20 UNC-2B, 1.3 times 0.00373075 would not.
func (u Unified) pitchTolerance(t Thread, class string) tenThou {
	return toTenThou(pitchToleranceShare[class] * rounded(u.tolerance2A(t)))
}

// allowance is 0.3 times the tolerance of class 2A to five decimals, for classes 1A and 2A (ASME B1.1 section 5). Of the ways
// of rounding it, this one gives all the published allowances of UNC, UNF and the numbered sizes.
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
// follows external. Sizes are rounded as published, to 0.0001 in, minor diameters of internal threads to 0.001 in (the
// greatest one of class 3B to 0.0001 in); allowance and tolerances are rounded before they are taken off.
//
// MinorMax of an external thread is that of the basic profile less the allowance: what a flat root must not pass. A root
// rounded as UNR threads have it lies inside that. The standard leaves MinorMin external and MajorMax internal open.
func (u Unified) Limits(t Thread, class string, external bool) (Limits, error) {
	grade := byte(unifiedUsualGrade)
	if class != "" {
		class = strings.ToUpper(class)
		if !unifiedClass.MatchString(class) {
			return Limits{}, fmt.Errorf("%s: class %q is not of ASME B1.1; it has 1A, 2A, 3A outside and 1B, 2B, 3B inside", t.Designation, class)
		}
		grade = class[0]
	}
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
	minorMax := minor + toTenThou(minorTolerance(d, p, grade))
	if grade != '3' {
		minorMax = minorMax.thousandths()
	}
	return Limits{
		MajorMin: major.length(),
		PitchMax: (pitch + u.pitchTolerance(t, string(grade)+"B")).length(),
		PitchMin: pitch.length(),
		MinorMax: minorMax.length(),
		MinorMin: minor.thousandths().length(),
	}, nil
}
