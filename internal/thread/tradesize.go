package thread

// This file finds pipe and hose threads by their trade size, for the families whose rows have one.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/unit"
)

// sizedRow is a row that is named by a trade size and its threads in an inch.
type sizedRow interface {
	row
	perInch() float64
	// otherSizes are further trade sizes that carry the same thread.
	otherSizes() []string
	basic() Diameters
}

// findSize returns the row that n names by its size. Errors say which size, count or angle would be right.
func findSize[R sizedRow](series string, t *table[R], n Name) (R, error) {
	var none R
	if n.SizeUnit == unit.Millimetre {
		return none, fmt.Errorf("thread %q: %s sizes are trade sizes in inches, not %s mm; write one of %s", n.Text, series, n.Size, sizes(t))
	}
	want, ok := sixtyFourths(n.Size)
	if !ok {
		return none, fmt.Errorf("thread %q: %s has no size %q; the sizes are %s", n.Text, series, n.Size, sizes(t))
	}
	for _, r := range t.Rows {
		match := false
		for _, s := range append([]string{r.name()}, r.otherSizes()...) {
			have, _ := sixtyFourths(s)
			match = match || have == want
		}
		if !match {
			continue
		}
		thread := series + " " + r.name()
		if n.PerInch != 0 && math.Abs(n.PerInch-r.perInch()) > perInchTol {
			return none, fmt.Errorf("thread %q: %s has %s threads per inch, not %s", n.Text, thread, unit.Short(r.perInch()), unit.Short(n.PerInch))
		}
		if p := perInchPitch(r.perInch()); n.Pitch != 0 && math.Abs(float64(n.Pitch-p)) > pitchTolMM {
			return none, fmt.Errorf("thread %q: %s has %s threads per inch, a pitch of %.3f mm, not %.3f mm", n.Text, thread, unit.Short(r.perInch()), p.MM(), n.Pitch.MM())
		}
		if n.AngleDeg != 0 && math.Abs(n.AngleDeg-t.AngleDeg) > angleTolDeg {
			return none, fmt.Errorf("thread %q: %s has a thread angle of %s degrees, not %s", n.Text, thread, unit.Short(t.AngleDeg), unit.Short(n.AngleDeg))
		}
		if n.Starts > 1 {
			return none, fmt.Errorf("thread %q: %s has one start, not %d", n.Text, thread, n.Starts)
		}
		return r, nil
	}
	return none, fmt.Errorf("thread %q: %s has no size %q; the sizes are %s", n.Text, series, n.Size, sizes(t))
}

const (
	// perInchTol is how far a written count may be off: less than any two counts of one size differ.
	perInchTol = 0.01
	// pitchTolMM is how far a written pitch may be off: people round it to 0.01 mm.
	pitchTolMM = 0.006
	// sameDiameterMM is how far two diameters of one row may differ: rounding alone.
	sameDiameterMM = 1e-6
)

// rowOf returns the row that t was made from.
func rowOf[R sizedRow](series string, rows []R, t Thread) (R, error) {
	for _, r := range rows {
		if t.Series == series && math.Abs(float64(t.Basic.Pitch-r.basic().Pitch)) < sameDiameterMM {
			return r, nil
		}
	}
	var none R
	return none, fmt.Errorf("%s is not a tabulated %s thread", t.Designation, series)
}

// threadsOf makes the thread of every row.
func threadsOf[R row](rows []R, thread func(R) Thread) []Thread {
	var out []Thread
	for _, r := range rows {
		out = append(out, thread(r))
	}
	return out
}

// findWithoutClass is Family.Find for a table of trade sizes whose threads have no classes; thread makes that of a row.
func findWithoutClass[R sizedRow](series string, table *table[R], n Name, thread func(R) Thread) (Thread, bool, error) {
	if n.Series != series {
		return Thread{}, false, nil
	}
	r, err := findSize(series, table, n)
	if err != nil {
		return Thread{}, true, err
	}
	t := thread(r)
	if err := noClass(n, t.Designation); err != nil {
		return Thread{}, true, err
	}
	return t.named("", n.Hand), true, nil
}

// rowWithoutClass returns the row that t was made from, when class is "".
func rowWithoutClass[R sizedRow](series string, rows []R, t Thread, class string) (R, error) {
	r, err := rowOf(series, rows, t)
	if err != nil {
		return r, err
	}
	return r, noClass(Name{Class: class}, t.Designation)
}

// named returns t with its class and hand, both also in its designation.
func (t Thread) named(class string, hand Hand) Thread {
	if class != "" {
		t.Class = class
		t.Designation += " " + class
	}
	if hand == Left {
		t.Hand = Left
		t.Designation += " LH"
	}
	return t
}

// noClass refuses a class for threads that have none.
func noClass(n Name, thread string) error {
	if n.Class == "" {
		return nil
	}
	if n.Text != "" {
		return fmt.Errorf("thread %q: %s has no tolerance classes; leave out %q", n.Text, thread, n.Class)
	}
	return fmt.Errorf("%s has no tolerance classes; leave out %q", thread, n.Class)
}

// sizes lists the sizes of a table for an error.
func sizes[R sizedRow](t *table[R]) string {
	var all []string
	for _, r := range t.Rows {
		all = append(all, r.name())
	}
	return strings.Join(all, ", ")
}

// checkSize refuses a size that is no number of inches, or a count that gives no pitch.
func checkSize(size string, tpi float64) error {
	if _, ok := sixtyFourths(size); !ok {
		return fmt.Errorf(`size = %q, must be inches such as "1 1/2"`, size)
	}
	return checkPerInch(tpi)
}

// sixtyFourths reads a trade size ("1 1/2", "3/4", "1.5") as a whole number of 1/64 in.
func sixtyFourths(size string) (int, bool) {
	x, err := unit.ParseNumber(size)
	n := math.Round(64 * x)
	// A size is written exactly; 0.01 of 1/64 in covers decimals such as 0.1563.
	if err != nil || !(n >= 1 && n <= 64*maxDiameterMM/unit.MMPerInch) || math.Abs(64*x-n) > 0.01 {
		return 0, false
	}
	return int(n), true
}

// perInchPitch returns the pitch of a thread with tpi threads in an inch.
func perInchPitch(tpi float64) unit.Length { return unit.Inches(1 / tpi) }

// diametersMM puts three diameters in mm together.
func diametersMM(major, pitch, minor float64) Diameters {
	return Diameters{unit.MM(major), unit.MM(pitch), unit.MM(minor)}
}

// mm3 rounds x mm to the three decimals that the ISO pipe tables publish.
func mm3(x float64) *unit.Length { return new(unit.MM(math.Round(x*1000) / 1000)) }
