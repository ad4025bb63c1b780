package photo

// This file holds what a picture says.

import (
	"fmt"
	"math"

	"tryring/internal/reading"
	"tryring/internal/unit"
)

// Result is what a picture says. Where Answered is false the figures may be wrong and Refusals say why; they are there for
// the overlay only.
type Result struct {
	// Width and Height are those of the upright picture, in pixels.
	Width, Height int
	Answered      bool
	Refusals      []Refusal
	// Ratio is pitch over outside diameter.
	Ratio reading.Estimate
	// Pitch is in mm; nil without a scale.
	Pitch *reading.Estimate
	// Sheet is nil where no sheet with marks lies under the part. With one, Diameter is that over the crests in mm, nil where it is
	// not told, and Common the correlation of diameter and pitch.
	Sheet    *Sheet
	Diameter *reading.Estimate
	Common   float64
	// Outlines are the left and the right one, upper and lower on a part that lies; none where no ripple was found.
	Outlines []Outline
	// Traced are the two edges as they were followed, whatever came of it; none where nothing was taken for a part.
	Traced [][]Mark
	// PeriodPixels is the pitch on the picture.
	PeriodPixels float64
	// Hand is "right", "left" or "not told"; Tapers "yes", "no" or "not told".
	Hand, Tapers string
	// Taper is the growth of the diameter along the axis as a share, whichever end is larger.
	Taper reading.Estimate
	// AngleDeg is that between the flanks, nil where the picture is not sharp enough.
	AngleDeg *reading.Estimate
	// LeftOut says in words what was not counted, and Known how the camera's place was known.
	LeftOut []string
	Known   string
	// Notes are what else is to be known about the answer.
	Notes []string
}

// Refusal says why a picture gives no answer, and what would.
type Refusal struct {
	Why  string `json:"why"`
	Mend string `json:"mend"`
}

// Outline are the crests on one edge of the part.
type Outline struct {
	Side string `json:"side"`
	// Crests are the full crests' tops on the upright picture, in its pixels, numbered from 1 along the axis: upward, or to
	// the right on a part that lies.
	Crests []Mark `json:"crests"`
	// PeriodPixels is their distance along the axis.
	PeriodPixels float64 `json:"period_px"`
	// LineFrom and LineTo are the ends of the crest line, RootFrom and RootTo those of the root line.
	LineFrom Mark `json:"-"`
	LineTo   Mark `json:"-"`
	RootFrom Mark `json:"-"`
	RootTo   Mark `json:"-"`
}

// Mark is a place on the upright picture, in pixels.
type Mark struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
}

// Crests is the number of full crests: the most that either outline shows.
func (r *Result) Crests() int {
	n := 0
	for _, o := range r.Outlines {
		n = max(n, len(o.Crests))
	}
	return n
}

// TPI returns threads to the inch with the ends of the 95 % interval; ok is false without a scale.
func (r *Result) TPI() (tpi, low, high float64, ok bool) {
	if r.Pitch == nil {
		return 0, 0, 0, false
	}
	from, to := r.Pitch.Interval()
	if from <= 0 {
		return 0, 0, 0, false
	}
	return unit.MMPerInch / r.Pitch.Value, unit.MMPerInch / to, unit.MMPerInch / from, true
}

// PitchReading is the pitch as a reading is written, "" for none. What stands behind ± is taken for half of a range, which is
// the root of 3 standard uncertainties.
func (r *Result) PitchReading() string {
	if r.Pitch == nil {
		return ""
	}
	return fmt.Sprintf("%.4f +- %.4f mm", r.Pitch.Value, math.Sqrt(3)*r.Pitch.U)
}

// RatioReading is the pitch over the outside diameter as a reading is written, like PitchReading.
func (r *Result) RatioReading() string {
	return fmt.Sprintf("%.5f +- %.5f", r.Ratio.Value, math.Sqrt(3)*r.Ratio.U)
}

// DiameterReading is the diameter as a reading is written, "" for none.
func (r *Result) DiameterReading() string {
	if r.Diameter == nil {
		return ""
	}
	return fmt.Sprintf("%.3f +- %.3f mm", r.Diameter.Value, math.Sqrt(3)*r.Diameter.U)
}

// Words tell the pitch, or what it is over the diameter, with the ends of the 95 % interval.
func (r *Result) Words() (text string) {
	if r.Diameter != nil {
		from, to := r.Diameter.Interval()
		defer func() { text += fmt.Sprintf("; outside diameter %.2f mm (%.2f to %.2f)", r.Diameter.Value, from, to) }()
	}
	if tpi, low, high, ok := r.TPI(); ok {
		from, to := r.Pitch.Interval()
		return fmt.Sprintf("pitch %.3f mm (%.3f to %.3f), %.2f to the inch (%.2f to %.2f)", r.Pitch.Value, from, to, tpi, low, high)
	}
	low, high := r.Ratio.Interval()
	return fmt.Sprintf("pitch / diameter %.4f (%.4f to %.4f)", r.Ratio.Value, low, high)
}

func (r *Result) refuse(why, mend string) {
	r.Answered = false
	r.Refusals = append(r.Refusals, Refusal{why, mend})
}

// answer fills in the figures, which were read off source.
func (r *Result) answer(m *measured, source string) {
	r.Answered = true
	r.Ratio, r.Pitch, r.Known = m.ratio, m.pitch, m.view.known
	r.PeriodPixels = m.period * float64(m.shrink)
	r.Hand = map[int]string{1: "right", -1: "left", 0: "not told"}[m.hand()]
	r.Tapers = m.tapers()
	r.Taper = reading.Combine(math.Abs(m.taper), reading.Part{What: "crest lines and tilt", Source: source, U: m.uTaper, DOF: math.Inf(1)})
}

// tell fills in what was measured on a picture; judgements follow.
func (r *Result) tell(m *measured) {
	r.answer(m, "the picture")
	if m.angleDeg > 0 {
		e := reading.Combine(m.angleDeg, reading.Part{What: "tilt and blur", Source: "common practice, no published source", U: uAngleDeg, DOF: math.Inf(1)})
		r.AngleDeg = &e
	}
	if m.uShift > sureShift && !m.options.oneEdge() {
		r.Notes = append(r.Notes, "the part is too wide for so fine a ripple to tell one start from two, or a thread from rings: see that the crests climb")
	}
	trains := []train{m.a, m.b}
	if m.options.oneEdge() {
		trains = trains[:1]
	}
	if m.options.Cast != nil {
		r.Notes = append(r.Notes, "the cast screws into the hole, so its hand is the hole's, and its outside the hole's largest diameter")
	}
	for _, t := range trains {
		r.Outlines = append(r.Outlines, m.outline(t))
		r.LeftOut = append(r.LeftOut, m.leftOut(t)...)
	}
}

// mark turns a row and a distance from the axis into a place on the original picture.
func (m *measured) mark(side side, row, out float64) Mark {
	x, y := m.outlines.frame.at(m.outlines.s0+row+0.5, float64(side)*out)
	k := float64(m.shrink)
	return Mark{round2((x+0.5)*k - 0.5), round2((y+0.5)*k - 0.5)}
}

// round2 rounds to a hundredth of a pixel, finer than any edge is known.
func round2(x float64) float64 { return math.Round(x*100) / 100 }

func (m *measured) outline(t train) Outline {
	o := Outline{Side: m.outlines.edgeName(t.side), PeriodPixels: t.period * float64(m.shrink)}
	for _, c := range t.crests {
		o.Crests = append(o.Crests, m.mark(t.side, c.row, c.out))
	}
	from, to := t.ends()
	from, to = from-t.period/2, to+t.period/2
	o.LineFrom, o.LineTo = m.mark(t.side, from, t.lineAt(from)), m.mark(t.side, to, t.lineAt(to))
	o.RootFrom, o.RootTo = m.mark(t.side, from, t.lineAt(from)-t.depth), m.mark(t.side, to, t.lineAt(to)-t.depth)
	return o
}

// leftOut says what lies beyond the full crests of an outline.
func (m *measured) leftOut(t train) []string {
	upper, lower := "upper", "lower"
	if f := m.outlines.frame; math.Abs(f.ux) > math.Abs(f.uy) {
		upper, lower = "right-hand", "left-hand"
	}
	name := m.outlines.edgeName(t.side)
	first, last := t.ends()
	var out []string
	for _, end := range []struct {
		name string
		low  int
		rows float64
	}{{lower, t.lowBefore, first}, {upper, t.lowAfter, float64(len(m.outlines.left.out)) - last}} {
		if end.low > 0 {
			out = append(out, fmt.Sprintf("%s outline, %s end: %s lower than the others (run-out or chamfer)", name, end.name, crestsWord(end.low)))
		}
		if rest := end.rows/t.period - 0.5 - float64(end.low); rest >= 1 {
			out = append(out, fmt.Sprintf("%s outline, %s end: a length of %.1f pitches that shows no even ripple", name, end.name, rest))
		}
	}
	return out
}

// edgeName is how a person sees an outline on the picture.
func (o outlines) edgeName(s side) string {
	if math.Abs(o.frame.ux) <= math.Abs(o.frame.uy) {
		return s.String()
	}
	// The part lies, s runs to the right, and t down.
	if s == right {
		return "lower"
	}
	return "upper"
}

func crestsWord(n int) string {
	if n == 1 {
		return "1 crest"
	}
	return fmt.Sprintf("%d crests", n)
}

// Away is the direction on the picture that leads from the other outline's crest line to this one's: out of the part.
func (o Outline) Away(other Outline) (x, y float64) {
	if o.LineFrom == other.LineFrom {
		other.LineFrom = o.RootFrom // a single one
	}
	x, y = o.LineFrom.X-other.LineFrom.X, o.LineFrom.Y-other.LineFrom.Y
	length := math.Hypot(x, y)
	if length == 0 {
		return 0, 0
	}
	return x / length, y / length
}
