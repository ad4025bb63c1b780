package reading

// This file says which further reading would best tell the leading two threads apart: the expected gain of information
// of each, by quadrature over what it could show.

import (
	"fmt"
	"math"
	"strings"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Further is a reading that could be taken next.
type Further struct {
	// What tells it as an instruction.
	What string `json:"what"`
	// Fields are those of a Record that take what it shows; Otherwise is the key that takes the place of the only one where
	// it shows no, as of a leaf that does not seat.
	Fields    []Field `json:"fields"`
	Otherwise string  `json:"-"`
	// GainBits is the information it is expected to bring on which of the two it is, in bits: 0 none, 1 all there can be.
	GainBits float64 `json:"gain_bits"`
}

// Field is a key of a Record with its text, "" where the reading is to show it.
type Field struct {
	Key  string `json:"key"`
	Text string `json:"text"`
}

// Next is advice on what to read next.
type Next struct {
	// Between are the designations of the leading two.
	Between [2]string `json:"between"`
	// OpenBits is how much is open between the two, in bits: 1 when both are equally likely, 0 when it is settled.
	OpenBits float64 `json:"open_bits"`
	// Best is the reading to take, nil when none is expected to tell.
	Best *Further `json:"best"`
	// Others are the other readings that were weighed, in the order in which they are easy to take.
	Others []Further `json:"others"`
}

const (
	// worthwhileBits is the least gain that is worth a reading.
	worthwhileBits = 0.02
	// asGoodBits is how much less a reading may bring and still be taken for as good, when it is easier.
	asGoodBits = 0.02
)

// counted are the lengths over which crests may be counted, mm.
var counted = []float64{10, 20, 40}

// usualInstrument is what advice assumes.
func usualInstrument() Instrument { return instruments[0] }

// Next weighs the further readings between the leading two threads; nil when there are not two.
func (a Answer) Next() *Next {
	if len(a.Candidates) < 3 {
		return nil
	}
	first, second := a.Candidates[0], a.Candidates[1]
	both := pair{a: first.candidate, b: second.candidate, p: first.Weight / (first.Weight + second.Weight), answer: a}
	n := &Next{Between: [2]string{first.Designation, second.Designation}, OpenBits: unit.Round(entropyBits(both.p, 1-both.p)), Others: []Further{}}
	all := both.further()
	best := -1
	for i, f := range all {
		if f.GainBits >= worthwhileBits && (best < 0 || f.GainBits > all[best].GainBits+asGoodBits) {
			best = i
		}
	}
	for i := range all {
		if i == best {
			n.Best = &all[i]
		} else {
			n.Others = append(n.Others, all[i])
		}
	}
	return n
}

// TellsApart is the gain of a test that says yes with the given chances on each of the leading two threads, in bits; 0 where
// there are not two.
func (a Answer) TellsApart(yes [2]float64) float64 {
	if len(a.Candidates) < 3 {
		return 0
	}
	first, second := a.Candidates[0].Weight, a.Candidates[1].Weight
	return pair{p: first / (first + second)}.yesNo(yes[0], yes[1])
}

// pair are two candidates; p is the chance of a when it is one of them.
type pair struct {
	a, b   candidate
	p      float64
	answer Answer
}

// further lists the readings that could be taken, the easiest first, with their gains.
func (x pair) further() []Further {
	s := x.answer.Set
	f := s.Find() // what was read, and not what slips would make of it
	caliper := usualInstrument()
	var out []Further
	add := func(gain float64, what string, fields ...Field) {
		out = append(out, Further{What: what, Fields: fields, GainBits: unit.Round(gain)})
	}
	pa, pb := x.a.thread.Pitch.MM(), x.b.thread.Pitch.MM()
	for _, l := range []float64{pa, pb} {
		leaf := Leaf{Pitch: unit.MM(l), Matches: true}
		t := x.ofPitch(l)
		add(x.yesNo(leaf.chance(pa), leaf.chance(pb)), fmt.Sprintf("try a %s pitch leaf", PitchName(t)), Field{"leaf", PitchText(t)})
		out[len(out)-1].Otherwise = "no_leaf"
	}
	for _, length := range counted {
		if f.Length != nil && length > f.Length.Value {
			continue
		}
		u := Reading{Value: unit.MM(length), Instrument: caliper}.estimate(true).U / length
		blur := func(p float64) outcome { return outcome{madePitch(p), u * p} }
		add(x.continuous(blur(pa), blur(pb)), fmt.Sprintf("count the crests over %s mm (%s in)", unit.Short(length), unit.Short(math.Round(10*length/unit.MMPerInch)/10)),
			Field{Key: "count"}, Field{"over", unit.Short(length) + "mm"})
	}
	if s.AngleDeg <= 0 {
		add(x.yesNo(angleChance(55, x.a.thread), angleChance(55, x.b.thread)), "try a 55 degree leaf against a 60 degree one", Field{Key: "angle"})
	}
	u := Reading{Value: 50, Instrument: caliper}.estimate(false).U
	name, key := "bore, crest to crest,", "bore"
	if s.External() {
		name, key = "outside diameter", "outside"
	}
	switch {
	case f.Diameter == nil:
		add(x.continuous(x.a.sized(nil, u, s), x.b.sized(nil, u, s)), fmt.Sprintf("read the %s with a caliper", name), Field{Key: key})
	case f.Diameter.U > againFactor*u:
		add(x.continuous(x.a.sized(f.Diameter, u, s), x.b.sized(f.Diameter, u, s)), fmt.Sprintf("read the %s again, with a caliper", name), Field{Key: key})
	}
	taper := func(c candidate) outcome {
		grows := c.thread.Taper * taperSpanMM
		return outcome{[]piece{{grows, grows, 1, 0}}, u * math.Sqrt2}
	}
	if s.Tapers == nil {
		add(x.continuous(taper(x.a), taper(x.b)), fmt.Sprintf("read the %s at two places %s mm apart along the thread, to see whether it tapers", name, unit.Short(taperSpanMM)), Field{Key: "tapers"})
	}
	if f.Throat == nil {
		add(x.continuous(outcome{x.a.throats(), u}, outcome{x.b.throats(), u}), "read the throat, the smooth opening", Field{Key: "throat"})
	}
	if s.External() && len(s.Wires) == 0 && x.a.pitchHigh > 0 && x.b.pitchHigh > 0 {
		wire := BestWire(pa, x.a.thread.Form.FlankRad)
		add(x.continuous(outcome{x.a.overWires(wire), u}, outcome{x.b.overWires(wire), u}), fmt.Sprintf("read the pitch diameter over three wires of %.2f mm", wire),
			Field{Key: "over_wires"}, Field{"wire", fmt.Sprintf("%.2fmm", wire)})
	}
	return out
}

const (
	// againFactor is how many times less certain than a caliper a diameter must be known to be worth reading again.
	againFactor = 1.3
	// taperSpanMM is how far apart two diameters are read to see a taper.
	taperSpanMM = 10
)

// ofPitch is the one of the two whose pitch that is.
func (x pair) ofPitch(pitchMM float64) thread.Thread {
	if math.Abs(x.a.thread.Pitch.MM()-pitchMM) > math.Abs(x.b.thread.Pitch.MM()-pitchMM) {
		return x.b.thread
	}
	return x.a.thread
}

// PitchName names the pitch of t as pitch gauges do: "1.5 mm" for metric threads, "14 to the inch" for the others.
func PitchName(t thread.Thread) string { return pitchIn(t, " mm", " to the inch") }

// PitchText is the pitch of t as a Record holds it: "1.5mm", "14tpi".
func PitchText(t thread.Thread) string { return pitchIn(t, "mm", "tpi") }

func pitchIn(t thread.Thread, mm, toTheInch string) string {
	perInch := unit.MMPerInch / t.Pitch.MM()
	spoken := !t.Metric() || strings.Contains(t.Designation, "tpi") // of a free thread as it was written
	if half := math.Round(2*perInch) / 2; spoken && math.Abs(perInch-half) < 0.01 {
		return unit.Short(half) + toTheInch
	}
	return unit.Short(math.Round(1000*t.Pitch.MM())/1000) + mm
}

// entropyBits is the entropy of chances that sum to 1, in bits.
func entropyBits(chances ...float64) float64 {
	var h float64
	for _, p := range chances {
		if p > 0 {
			h -= p * math.Log2(p)
		}
	}
	return h
}

// yesNo is the gain of a reading that says yes with chance qa on a and qb on b.
func (x pair) yesNo(qa, qb float64) float64 {
	yes := x.p*qa + (1-x.p)*qb
	return math.Max(0, entropyBits(yes, 1-yes)-x.p*entropyBits(qa, 1-qa)-(1-x.p)*entropyBits(qb, 1-qb))
}

// outcome is what a continuous reading would show: where the true size lies, blurred by u.
type outcome struct {
	pieces []piece
	u      float64
}

func (o outcome) at(y float64) float64 {
	return blurred(Estimate{Value: y, U: o.u, DOF: math.Inf(1)}, o.pieces)
}

// span is the range in which all but nothing of it lies.
func (o outcome) span() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range o.pieces {
		beyond := spanU * math.Hypot(o.u, p.spread)
		low, high = math.Min(low, p.low-beyond), math.Max(high, p.high+beyond)
	}
	return low, high
}

// spanU is how many standard uncertainties around a piece are looked at; beyond lies less than 1 part in 10^6.
const spanU = 5

// quadratureSteps is the number of steps of the quadrature: with 600 over both spans the gain is right to 0.001 bit as long
// as no density is narrower than a hundredth of them.
const quadratureSteps = 600

// continuous is the gain of a reading that shows outcome oa on a and ob on b: the sum over all y of p fa log2(fa/f) +
// (1-p) fb log2(fb/f), with f = p fa + (1-p) fb.
func (x pair) continuous(oa, ob outcome) float64 {
	la, ha := oa.span()
	lb, hb := ob.span()
	if ha < lb || hb < la { // they never show the same
		return entropyBits(x.p, 1-x.p)
	}
	low, high := math.Min(la, lb), math.Max(ha, hb)
	step := (high - low) / quadratureSteps
	var gain, wholeA, wholeB float64
	part := func(p, f, all float64) float64 {
		if !(p*f > 0) { // far out in the tails the product falls below the least float64 while f does not
			return 0
		}
		return p * f * math.Log2(f/all)
	}
	for i := range quadratureSteps {
		y := low + (float64(i)+0.5)*step
		fa, fb := oa.at(y), ob.at(y)
		all := x.p*fa + (1-x.p)*fb
		gain += part(x.p, fa, all) + part(1-x.p, fb, all)
		wholeA += fa
		wholeB += fb
	}
	if wholeA > 0 && wholeB > 0 {
		gain *= step
	}
	return math.Min(entropyBits(x.p, 1-x.p), math.Max(0, gain))
}

// sizeSteps is into how many steps the true size is cut to take in what was read already.
const sizeSteps = 32

// sized is what a diameter read with uncertainty u would show on c, given what was read already.
func (c candidate) sized(already *Estimate, u float64, s Set) outcome {
	pieces := c.sizes(s)
	if already == nil {
		return outcome{pieces, u}
	}
	var cut []piece
	var total float64
	for _, p := range pieces {
		step := (p.high - p.low) / sizeSteps
		for i := range sizeSteps {
			low := p.low + float64(i)*step
			share := p.share / sizeSteps * density((already.Value-low-step/2)/already.U, already.DOF)
			cut = append(cut, piece{low, low + step, share, 0})
			total += share
		}
	}
	if !(total > 0) {
		return outcome{pieces, u}
	}
	for i := range cut {
		cut[i].share /= total
	}
	return outcome{cut, u}
}
