package thread

// This file holds the Unified inch threads of ASME B1.1: sizes, series and how their names are understood.

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// Unified are the inch threads of ASME B1.1: UNC, UNF, UNEF, the constant-pitch series UN, and any other combination of
// diameter and pitch, UNS, by the standard's formulas.
type Unified struct{}

var _ family = Unified{}

const (
	seriesCoarse    = "UNC"
	seriesFine      = "UNF"
	seriesExtraFine = "UNEF"
	seriesConstant  = "UN"
	seriesSpecial   = "UNS"

	unifiedUsualGrade = "2"
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
	unified = sync.OnceValue(func() *table[unifiedRow] { return formula[unifiedRow]("unified.toml", Unified{}) })
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

// sizeWord writes a basic major diameter as the standard does: a numbered size or a fraction where there is one, else
// decimals.
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
	return unifiedRowAt(slices.IndexFunc(unifiedDiameters(), func(d float64) bool { return nearly(d, inches) }))
}

func unifiedRowAt(i int) *unifiedRow {
	if i < 0 {
		return nil
	}
	return &unified().Rows[i]
}

func (Unified) tableHead() *TableHead { return &unified().TableHead }

func (Unified) sideOf(class string) (external, ok bool) {
	class = strings.ToUpper(class)
	return strings.HasSuffix(class, "A"), unifiedClass.MatchString(class)
}

func (Unified) classOf(_ Thread, asked string, external bool) string {
	grade := unifiedUsualGrade
	if asked = strings.ToUpper(asked); unifiedClass.MatchString(asked) {
		grade = asked[:1]
	}
	if external {
		return grade + "A"
	}
	return grade + "B"
}

// Source says where the figures of t are from.
func (Unified) Source(t Thread) string {
	if strings.HasSuffix(t.Standard, byFormula) {
		return t.Standard
	}
	return unified().source("", "")
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
		Standard: unified().name(), Series: series, series: unified().series(series),
		Form: Form60, Pitch: pitch, Starts: 1, Hand: Right, Basic: basicOf(Form60, unit.Inches(inches), pitch),
	}
	if series == seriesSpecial {
		t.Standard += byFormula
	}
	return t.called(sizeWord(inches, row)+"-"+unit.Short(perInch)+" "+series, class)
}

var unifiedClass = regexp.MustCompile(`^[123][AB]$`)

func notUnifiedClass(class string) error {
	return fmt.Errorf("class %q is not of ASME B1.1; it has 1A, 2A, 3A outside and 1B, 2B, 3B inside", class)
}

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
		return Thread{}, true, errors.New(`a size in mm with threads per inch is written like "44.4mm x 12tpi"`)
	}
	class := strings.ToUpper(n.Class)
	if class != "" && !unifiedClass.MatchString(class) {
		if n.Series == "" {
			return Thread{}, false, nil
		}
		return Thread{}, true, notUnifiedClass(n.Class)
	}
	inches, err := unifiedInches(n.Size)
	if err != nil {
		return Thread{}, true, fmt.Errorf("size: %w", err)
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
			return Thread{}, true, fmt.Errorf("no single thread is meant by size %s in series %s; write the threads per inch, like %s-12 %s", n.Size, n.Series, n.Size, n.Series)
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
		return Thread{}, true, meant(fmt.Errorf("%s %s has %s threads per inch, not %s", row.Size, n.Series,
			unit.Short(row.perInch(n.Series)), unit.Short(perInch)), u.thread(inches, row.perInch(n.Series), n.Series, row, class))
	case series == "":
		return Thread{}, true, meant(fmt.Errorf("ASME B1.1 has no such %s thread", n.Series),
			u.thread(inches, perInch, seriesSpecial, row, class))
	case n.Series != "" && n.Series != series && n.Series != seriesConstant && n.Series != seriesSpecial:
		return Thread{}, true, meant(fmt.Errorf("%s-%s is in series %s, not %s", row.Size, unit.Short(perInch), series, n.Series),
			u.thread(inches, perInch, series, row, class))
	}
	t := u.thread(inches, perInch, series, row, class)
	if err := t.sane(); err != nil {
		return Thread{}, true, err
	}
	return t, true, nil
}

// unifiedNumbered returns the numbered size that a bare whole number may stand for, nil for none.
func unifiedNumbered(size string) *unifiedRow {
	return unifiedRowAt(slices.IndexFunc(unified().Rows, func(r unifiedRow) bool { return r.Size == "#"+size }))
}
