package thread

// This file holds the ISO metric threads: the pitches of ISO 261 and how their names are understood.

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"tryring/internal/unit"
)

// Metric are the metric threads M of ISO 261, coarse and fine, and other combinations of diameter and pitch by the
// formulas of ISO 965-1.
type Metric struct{}

var _ Sourced = Metric{}

// metricRow is a diameter and its pitches, mm; Coarse is 0 where it has none.
type metricRow struct {
	Size   float64   `toml:"size"`
	Coarse float64   `toml:"coarse"`
	Fine   []float64 `toml:"fine"`
}

func (r metricRow) name() string { return unit.Short(r.Size) }

func (r metricRow) check(TableHead) error {
	if len(r.pitches()) == 0 {
		return errors.New("no pitch")
	}
	last := math.Inf(1)
	for _, p := range r.pitches() {
		if !(p > 0 && p < r.Size/2) {
			return fmt.Errorf("pitch %v must be above 0 and below half the size", p)
		}
		if !(p < last) {
			return fmt.Errorf("pitch %v must be below the one before it", p)
		}
		last = p
	}
	return nil
}

// pitches lists the pitches of the row, coarse first.
func (r metricRow) pitches() []float64 {
	if r.Coarse == 0 {
		return r.Fine
	}
	return append([]float64{r.Coarse}, r.Fine...)
}

var (
	metric           = sync.OnceValue(func() *table[metricRow] { return embedded[metricRow]("metric.toml") })
	metricTolerances = sync.OnceValue(func() *table[toleranceRow] { return embedded[toleranceRow]("metric-tolerances.toml") })
)

// Standard returns "ISO 261:1998, ISO 965-1:2013".
func (Metric) Standard() string { return "ISO 261:1998, ISO 965-1:2013" }

// Series returns "M".
func (Metric) Series() []string { return []string{"M"} }

// Source says where the figures of t are from.
func (Metric) Source(t Thread) string {
	if strings.HasSuffix(t.Standard, byFormula) {
		return metricTolerances().source("")
	}
	return metric().source("") + "; " + metricTolerances().source("")
}

// Threads lists ISO 261, size by size, coarse first.
func (m Metric) Threads() []Thread {
	var out []Thread
	for _, r := range metric().Rows {
		for _, p := range r.pitches() {
			out = append(out, m.thread(r.Size, p, "", true))
		}
	}
	return out
}

func (m Metric) thread(size, pitch float64, class string, listed bool) Thread {
	t := Thread{
		Designation: "M" + unit.Short(size) + "x" + unit.Short(pitch),
		Standard:    m.Standard(), Series: "M", Class: class,
		Form: Form60, Pitch: unit.MM(pitch), Starts: 1, Hand: Right,
		Basic: basicOf(Form60, unit.MM(size), unit.MM(pitch)),
	}
	if !listed {
		t.Standard += byFormula
	}
	if class != "" {
		t.Designation += "-" + class
	}
	return t
}

// Find understands "M" sizes, with a pitch or coarse without one, and the classes of ISO 965-1.
func (m Metric) Find(n Name) (Thread, bool, error) {
	if n.Series != "M" {
		return Thread{}, false, nil
	}
	if n.Class != "" {
		if _, err := readMetricClass(n.Class); err != nil {
			return Thread{}, true, fmt.Errorf("thread %q: %w", n.Text, err)
		}
	}
	size, err := unit.ParseNumber(n.Size)
	if err != nil {
		return Thread{}, true, fmt.Errorf("thread %q: size: %w", n.Text, err)
	}
	size = rounded(size)
	var row metricRow
	for _, r := range metric().Rows {
		if nearly(r.Size, size) {
			row = r
		}
	}
	pitch := rounded(n.Pitch.MM())
	if pitch == 0 {
		if row.Coarse == 0 {
			err := fmt.Errorf("thread %q: ISO 261 has no coarse pitch for M%s; write one, like M%sx1.5", n.Text, n.Size, n.Size)
			if len(row.Fine) > 0 {
				return Thread{}, true, meant(err, m.thread(size, row.Fine[0], n.Class, true))
			}
			return Thread{}, true, err
		}
		pitch = row.Coarse
	}
	if _, err := toleranceFor(pitch); err != nil {
		return Thread{}, true, fmt.Errorf(`thread %q: %w; a thread outside it is written like "%smm x %smm"`, n.Text, err, n.Size, unit.Short(pitch))
	}
	t := m.thread(size, pitch, n.Class, slices.ContainsFunc(row.pitches(), func(p float64) bool { return nearly(p, pitch) }))
	if err := t.sane(n.Text); err != nil {
		return Thread{}, true, err
	}
	if _, err := diameterRange(size); err != nil {
		return Thread{}, true, fmt.Errorf("thread %q: %w", n.Text, err)
	}
	return t, true, nil
}
