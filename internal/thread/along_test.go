package thread

// This file says what the rows of the tables that come along must hold. Only tests ask: what comes along does not change.

import (
	"errors"
	"fmt"
	"math"

	"tryring/internal/unit"
)

func (r askedRow) called() string { return r.Word }

func (r askedRow) check(*TableHead) error {
	if plainText(r.Why) == "" || len(r.Offers) == 0 {
		return errors.New("why or offers are missing")
	}
	return nil
}

func (r metricRow) called() string { return unit.Short(r.Size) }

func (r metricRow) check(*TableHead) error {
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

func (r toleranceRow) called() string { return unit.Short(r.Pitch) }

func (r toleranceRow) check(*TableHead) error {
	var w wrongs
	w.unless(r.Pitch > 0 && r.DevG > 0 && r.MajorTol > 0 && r.MinorTol > 0, "pitch = %v, dev_g = %v, major_tol = %v and minor_tol = %v must be above 0",
		r.Pitch, r.DevG, r.MajorTol, r.MinorTol)
	return w.err()
}

func (r unifiedRow) called() string { return r.Size }

func (r unifiedRow) check(*TableHead) error {
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

// called is thread and use together: one thread may have several uses.
func (r useRow) called() string { return r.Designation + ": " + r.What }

func (r useRow) check(h *TableHead) error {
	var w wrongs
	w.also(r.handling.check())
	w.unless(plainText(r.Designation) != "", "thread is missing")
	w.unless(plainText(r.What) != "", "what is missing")
	mm := h.length(r.Wide).MM()
	w.unless(mm >= 0 && mm <= maxDiameterMM, "throat = %v %s, must be at most %v mm", r.Wide, h.Units, float64(maxDiameterMM))
	return w.err()
}

// checkPerInch refuses a count of threads in an inch that gives no sane pitch.
func checkPerInch(tpi float64) error {
	if p := unit.MMPerInch / tpi; !(p >= minPitchMM && p <= maxPitchMM) {
		return fmt.Errorf("tpi = %v, must be 1 to %v", tpi, unit.MMPerInch/minPitchMM)
	}
	return nil
}
