package thread

// This file holds the ISO metric threads: the pitches of ISO 261 and how their names are understood.

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// Metric are the metric threads M of ISO 261, coarse and fine, and other combinations of diameter and pitch by the
// formulas of ISO 965-1.
type Metric struct{}

var _ family = Metric{}

// metricRow is a diameter and its pitches, mm; Coarse is 0 where it has none.
type metricRow struct {
	Size   float64   `toml:"size"`
	Coarse float64   `toml:"coarse"`
	Fine   []float64 `toml:"fine"`
}

// pitches lists the pitches of the row, coarse first.
func (r metricRow) pitches() []float64 {
	if r.Coarse == 0 {
		return r.Fine
	}
	return append([]float64{r.Coarse}, r.Fine...)
}

var (
	metric           = sync.OnceValue(func() *table[metricRow] { return formula[metricRow]("metric.toml", Metric{}) })
	metricTolerances = sync.OnceValue(func() *table[toleranceRow] { return formula[toleranceRow]("metric-tolerances.toml", Metric{}) })
)

func (Metric) tableHead() *TableHead { return &metric().TableHead }

// standard returns "ISO 261:1998, ISO 965-1:2013".
func (Metric) standard() string { return metric().name() + ", " + metricTolerances().name() }

// Source says where the figures of t are from.
func (Metric) Source(t Thread) string {
	if strings.HasSuffix(t.Standard, byFormula) {
		return metricTolerances().source("", "")
	}
	return metric().source("", "") + "; " + metricTolerances().source("", "")
}

// Threads lists ISO 261, size by size, coarse first.
func (m Metric) Threads() []Thread {
	var out []Thread
	for _, r := range metric().Rows {
		for _, p := range r.pitches() {
			out = append(out, m.thread(r, p, ""))
		}
	}
	return out
}

// thread makes the thread of a row, or by formula where the row has no such pitch.
func (m Metric) thread(r metricRow, pitch float64, class string) Thread {
	t := Thread{
		Standard: m.standard(), Series: seriesMetric, series: metric().series(seriesMetric),
		Form: Form60, Pitch: unit.MM(pitch), Starts: 1, Hand: Right, Basic: basicOf(Form60, unit.MM(r.Size), unit.MM(pitch)),
	}
	switch at := slices.IndexFunc(r.pitches(), func(p float64) bool { return nearly(p, pitch) }); {
	case at < 0:
		t.Standard += byFormula
	case at == 0: // the coarse one, or the coarsest where the size has none
		t.coarse = true
	}
	return t.called("M"+unit.Short(r.Size)+"x"+unit.Short(pitch), class)
}

const seriesMetric = "M"

func (Metric) sideOf(class string) (external, ok bool) {
	c, err := readMetricClass(class)
	return c.external(), err == nil
}

func (Metric) classOf(t Thread, asked string, external bool) string {
	if c, err := readMetricClass(asked); err == nil && c.external() == external {
		return asked
	}
	r, err := toleranceFor(t.Pitch.MM())
	if err != nil {
		return ""
	}
	return r.usualClass(t.Basic.Major.MM(), external)
}

// Find understands "M" sizes, with a pitch or coarse without one, and the classes of ISO 965-1.
func (m Metric) Find(n Name) (Thread, bool, error) {
	if n.Series != seriesMetric {
		return Thread{}, false, nil
	}
	if n.PerInch != 0 {
		return Thread{}, true, fmt.Errorf("metric threads have a pitch in mm, not %s threads per inch; write it like M%sx1.5", unit.Short(n.PerInch), n.Size)
	}
	if n.Class != "" {
		if _, err := readMetricClass(n.Class); err != nil {
			return Thread{}, true, err
		}
	}
	size, err := unit.ParseNumber(n.Size)
	if err != nil {
		return Thread{}, true, fmt.Errorf("size: %w", err)
	}
	size = rounded(size)
	row := metricRow{Size: size}
	for _, r := range metric().Rows {
		if nearly(r.Size, size) {
			row = r
		}
	}
	pitch := rounded(n.Pitch.MM())
	if pitch == 0 {
		if row.Coarse == 0 {
			err := fmt.Errorf("ISO 261 has no coarse pitch for M%s; write one, like M%sx1.5", n.Size, n.Size)
			if len(row.Fine) > 0 {
				return Thread{}, true, meant(err, m.thread(row, row.Fine[0], n.Class))
			}
			return Thread{}, true, err
		}
		pitch = row.Coarse
	}
	if _, err := toleranceFor(pitch); err != nil {
		return Thread{}, true, fmt.Errorf(`%w; a thread outside it is written like "%smm x %smm"`, err, n.Size, unit.Short(pitch))
	}
	t := m.thread(row, pitch, n.Class)
	if err := t.sane(); err != nil {
		return Thread{}, true, err
	}
	if _, err := diameterRange(size); err != nil {
		return Thread{}, true, err
	}
	return t, true, nil
}

// metricInFull refuses a metric thread in a form that would leave out its fraction, its inches or its second number:
// "M24/1" is not M24.
func (n *written) metricInFull() error {
	if n.Series != seriesMetric {
		return nil
	}
	return errors.New(`it is not a metric size and a pitch in mm; write one like "M24x1" or "24mm x 1mm"`)
}
