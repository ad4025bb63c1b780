package reading

// This file combines repeated readings of one length, and several values of one quantity, and says when they
// contradict each other.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/unit"
)

// Reading is one length as it was read.
type Reading struct {
	// Text is what was written.
	Text  string
	Value unit.Length
	// Half is the half width that was written after ±, 0 where the instrument's own figures hold.
	Half       unit.Length
	Instrument Instrument
	// Look is the sitting, picture or scan that it belongs to (see Record), 0 for one of its own.
	Look int
}

// ParseReading reads a reading as people write it ("47.55mm ± 0.05", "1 7/8in"), read with instrument i.
func ParseReading(text string, i Instrument) (Reading, error) {
	value, half, err := unit.ParseReading(text)
	if err != nil {
		return Reading{}, err
	}
	return Reading{Text: text, Value: value, Half: half, Instrument: i}, nil
}

// systematic and handling are the parts of one reading; what was written after ± replaces the instrument's figures.
func (r Reading) systematic(along bool) []Part {
	if r.Half > 0 {
		half := r.Half.MM()
		return []Part{{What: fmt.Sprintf("stated ± %s mm", unit.Short(half)), Source: "GUM 4.3.7", U: UniformU(half), DOF: math.Inf(1)}}
	}
	return r.Instrument.systematic(r.Value.MM(), r.stepMM(along), along)
}

func (r Reading) handling(along bool) Part {
	if r.Half > 0 {
		return Part{What: "handling, in the stated ±", DOF: math.Inf(1)}
	}
	return r.Instrument.handling(along)
}

// estimate is what one reading alone says.
func (r Reading) estimate(along bool) Estimate {
	parts := r.systematic(along)
	if h := r.handling(along); h.U > 0 {
		parts = append(parts, h)
	}
	return Combine(r.Value.MM(), parts...)
}

// Across is what one reading of a diameter says, by a steady or an unsteady hand.
func (r Reading) Across() Estimate {
	return oneOf([]Estimate{r.estimate(false), r.unsteady().estimate(false)}, []float64{1 - unsteadyShare, unsteadyShare})
}

// unsteady is r as read by a hand that holds the tool worse than its figures say.
func (r Reading) unsteady() Reading {
	r.Instrument.Across *= unsteadyTimes
	r.Instrument.Held *= unsteadyTimes
	r.Instrument.Along *= unsteadyAlong
	return r
}

// Contradiction tells of readings that do not go together.
type Contradiction struct {
	// Text says it in words; Again names the reading to take again.
	Text  string `json:"text"`
	Again string `json:"again"`
}

// unlikely is the chance below which disagreement is no longer put down to the uncertainties (common practice of
// statistics: 1 %).
const unlikely = 0.01

// repeats combines repeated readings of one length, called what. Their mean is weighed by 1/u². The scatter (type A) is
// pooled with what handling is known to make; of readings with a stated ±, which holds the scatter, only what goes beyond
// it counts. What is common to all readings is not averaged out: it counts as one over the mean of 1/u², which for equal u
// is u.
func repeats(what string, rs []Reading, along bool) (Estimate, []Contradiction) {
	if len(rs) == 1 {
		return rs[0].estimate(along), nil
	}
	n := float64(len(rs))
	single := make([]Estimate, len(rs))
	names := make([]string, len(rs))
	var common, known float64
	stated := false
	for i, r := range rs {
		single[i], names[i] = r.estimate(along), r.Text
		system := Combine(0, r.systematic(along)...).U
		common += 1 / (system * system)
		hand := r.handling(along).U
		known += hand * hand / n
		stated = stated || r.Half > 0
	}
	mean, _, _ := weighted(single)
	squares := scatter(single, mean)
	part := Part{What: fmt.Sprintf("scatter of %d readings, pooled with what handling makes", len(rs)), Source: "GUM 4.2.4, type A"}
	if stated {
		part.What = fmt.Sprintf("scatter of %d readings beyond the stated ±", len(rs))
		part.U, part.DOF = math.Sqrt(math.Max(0, squares-n/common)/n), n-1
	} else {
		part.DOF = handlingDOF + n - 1
		part.U = math.Sqrt((handlingDOF*known + (n-1)*squares) / part.DOF / n)
	}
	parts := []Part{part}
	if sameParts(rs) {
		parts = append(parts, rs[0].systematic(along)...)
	} else {
		parts = append(parts, Part{What: "instrument, common to all readings", Source: "GUM 5.2.2", U: math.Sqrt(n / common), DOF: math.Inf(1)})
	}
	return Combine(mean, parts...), disagree(what, names, single)
}

// scatter is the variance of values about mean, each weighed by 1/u²; for equal u the experimental variance of GUM
// equation (4).
func scatter(values []Estimate, mean float64) float64 {
	var squares, weights float64
	for _, e := range values {
		w := 1 / (e.U * e.U)
		weights += w
		squares += w * (e.Value - mean) * (e.Value - mean)
	}
	n := float64(len(values))
	return squares / weights * n / (n - 1)
}

// sameParts says whether all readings were made with one instrument and one ±, so that their parts can be told singly.
func sameParts(rs []Reading) bool {
	for _, r := range rs {
		if r.Half > 0 || rs[0].Half > 0 || r.Instrument.Name != rs[0].Instrument.Name || r.Instrument.PerLength > 0 {
			return false
		}
	}
	return true
}

// independent combines values of one quantity that were found in independent ways: the mean weighed by 1/u², with
// u = 1/√(sum of 1/u²), widened by √(chi²/(n-1)) where they scatter more than that allows (common practice of
// laboratories).
func independent(what string, names []string, values []Estimate) (Estimate, []Contradiction) {
	if len(values) == 1 {
		return values[0], nil
	}
	mean, u, chi := weighted(values)
	parts := make([]Part, 0, len(values)+1)
	for i, e := range values {
		parts = append(parts, Part{What: names[i], Source: "combined by 1/u²", U: u * u / e.U, DOF: e.DOF})
	}
	if dof := float64(len(values) - 1); chi > dof {
		parts = append(parts, Part{What: "disagreement of the readings", Source: "type A", U: u * math.Sqrt(chi/dof-1), DOF: dof})
	}
	return Combine(mean, parts...), disagree(what, names, values)
}

// weighted returns the mean weighed by 1/u², its standard uncertainty, and the sum of squared normalised residuals.
func weighted(values []Estimate) (mean, u, chi float64) {
	var weights float64
	for _, e := range values {
		w := 1 / (e.U * e.U)
		weights += w
		mean += w * e.Value
	}
	mean /= weights
	for _, e := range values {
		z := (e.Value - mean) / e.U
		chi += z * z
	}
	return mean, 1 / math.Sqrt(weights), chi
}

// disagree says when values scatter more than their uncertainties explain (chi-square), and which lies farthest from what
// the others say (largest normalised residual). Of two it is the less certain one; two of one kind are both to be taken
// again.
func disagree(what string, names []string, values []Estimate) []Contradiction {
	_, _, chi := weighted(values)
	chance := surprise(chi, len(values)-1)
	if chance >= unlikely {
		return nil
	}
	again, worst := names[0], -1.0
	for i, e := range values {
		others := make([]Estimate, 0, len(values)-1)
		others = append(append(others, values[:i]...), values[i+1:]...)
		mean, u, _ := weighted(others)
		z := math.Abs(e.Value-mean) / math.Hypot(e.U, u)
		if len(values) == 2 {
			z = e.U
		}
		if z > worst {
			again, worst = names[i], z
		}
	}
	if len(values) == 2 && math.Abs(values[0].U-values[1].U) <= sameU*values[0].U {
		again = names[0] + " and " + names[1]
	}
	return []Contradiction{{
		Text:  fmt.Sprintf("%s: %s do not agree within their uncertainties (chance %s)", what, strings.Join(names, ", "), percent(chance)),
		Again: again,
	}}
}

// sameU is the relative difference below which two uncertainties count as equal: no one states them to better than 10 %.
const sameU = 0.1

// percent prints a chance of a half at most for people.
func percent(p float64) string {
	if p < 0.0001 {
		return "below 0.01 %"
	}
	return fmt.Sprintf("%.2g %%", 100*p)
}
