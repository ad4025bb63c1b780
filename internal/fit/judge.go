package fit

// This file judges a pair of threads and weighs what is uncertain about them.

import (
	"encoding/json"
	"fmt"
	"math"

	"tryring/internal/thread"
	"tryring/internal/unit"
)

// Options are what Judge takes beside the two threads. The zero value judges both in the middle of their limits.
type Options struct {
	External, Internal Side
	// Engaged is the length of engagement; 0 takes the shorter of what the two threads need (thread.Thread.Engagement).
	Engaged unit.Length
}

// Result is how two threads go together, as scripts read it too. Lengths are on the diameter unless they say axial.
type Result struct {
	// External and Internal are the designations of the two.
	External string  `json:"external"`
	Internal string  `json:"internal"`
	Verdict  Verdict `json:"verdict"`
	// Turns is how many turns go before no axial position is left without overlap, on a taper pair the turns to hand-tight;
	// nil when straight threads of one lead never come to that, or do not meet at all.
	Turns *float64 `json:"turns"`
	// PitchClearance is the internal pitch diameter less the external one (on a taper, at the small end and the face).
	PitchClearance unit.Length `json:"pitch_clearance_mm"`
	// Pitch95 is the range that holds the pitch clearance with 95 % chance, over all that is uncertain: limits of size, crests that
	// were read and given uncertainties together.
	Pitch95 [2]unit.Length `json:"pitch_clearance_95_mm"`
	// CrestClearance and RootClearance are the same for the major and for the minor diameters.
	CrestClearance unit.Length `json:"crest_clearance_mm"`
	RootClearance  unit.Length `json:"root_clearance_mm"`
	// AxialPlay is the whole axial travel of one ridge in its groove, nil when the threads do not reach each other. Below
	// zero they overlap.
	AxialPlay *unit.Length `json:"axial_play_mm"`
	// EngagementPercent is the flank engagement as a percentage of full depth.
	EngagementPercent float64 `json:"engagement_percent"`
	// EngagedTurns is the length of engagement that was judged, in turns.
	EngagedTurns float64 `json:"engaged_turns"`
	// Chances are those of the verdicts over limits of size and uncertainties; they sum to 1.
	Chances Chances `json:"chances"`
	// Chance is the chance that the two can be turned together by hand and hold: goes or snug, or loose with enough that holds.
	Chance float64 `json:"chance"`
	// Why is the reason in words, with the figures.
	Why string `json:"why"`
}

// Chances are those of the verdicts, in the order of Verdicts.
type Chances [5]float64

// MarshalJSON names the verdicts.
func (c Chances) MarshalJSON() ([]byte, error) {
	named := map[Verdict]float64{}
	for k, v := range Verdicts {
		named[v] = c[k]
	}
	return json.Marshal(named)
}

// UnmarshalJSON reads them back.
func (c *Chances) UnmarshalJSON(text []byte) error {
	named := map[Verdict]float64{}
	err := json.Unmarshal(text, &named)
	for k, v := range Verdicts {
		c[k] = named[v]
	}
	return err
}

// ChanceOf returns the chance of one verdict.
func (r Result) ChanceOf(v Verdict) float64 {
	for k, w := range Verdicts {
		if w == v {
			return r.Chances[k]
		}
	}
	return 0
}

// Judge says how external goes into internal. Errors name the thread whose limits or given diameters cannot be.
func Judge(external, internal thread.Thread, opt Options) (Result, error) {
	for _, l := range []unit.Length{opt.External.U, opt.External.UPitch, opt.Internal.U, opt.Internal.UPitch, opt.External.CrestU, opt.Internal.CrestU, opt.Engaged} {
		if !(l >= 0) || math.IsInf(l.MM(), 1) {
			return Result{}, fmt.Errorf("uncertainties and length of engagement must be 0 or more, one is %v mm", l.MM())
		}
	}
	if why := unlike(external, internal); why != "" {
		return neverMeet(external, internal, why), nil
	}
	m, err := newMatch(external, internal, opt)
	if err != nil {
		return Result{}, err
	}
	j, e, i := m.joint, m.e, m.i
	o := j.outcome(m.pair)
	r := o.result()
	r.External, r.Internal = external.Designation, internal.Designation
	r.EngagedTurns = j.engaged / j.lead()
	if err := r.weigh(j, e, i); err != nil {
		return Result{}, err
	}
	r.Why = words(j, o, e.Thread, i.Thread) + e.doubts("outside") + i.doubts("inside")
	return r, nil
}

// match is a pair at the point of its limits that is judged.
type match struct {
	joint joint
	e, i  sized
	pair  pair
}

// newMatch looks both threads up.
func newMatch(external, internal thread.Thread, opt Options) (m match, err error) {
	if m.e, err = newSized(external, true, opt.External); err != nil {
		return m, fmt.Errorf("external thread: %w", err)
	}
	if m.i, err = newSized(internal, false, opt.Internal); err != nil {
		return m, fmt.Errorf("internal thread: %w", err)
	}
	m.joint = newJoint(m.e, m.i, opt.Engaged.MM())
	e, err := m.e.place(opt.External.At)
	if err != nil {
		return m, fmt.Errorf("external thread: %w", err)
	}
	i, err := m.i.place(opt.Internal.At)
	if err != nil {
		return m, fmt.Errorf("internal thread: %w", err)
	}
	m.pair = pair{e: e.form, i: i.form, clearance: i.pitch - e.pitch}
	return m, nil
}

// unlike says why threads of unlike hand or starts cannot start; "" when they are alike.
func unlike(e, i thread.Thread) string {
	if e.Hand != i.Hand {
		return fmt.Sprintf("the external thread is %s-hand and the internal one %s-hand, so they turn apart", e.Hand, i.Hand)
	}
	if e.Starts != i.Starts {
		return fmt.Sprintf("%s outside against %s inside: the leads are %s and %s a turn", starts(e.Starts), starts(i.Starts),
			e.Lead().TextMM(), i.Lead().TextMM())
	}
	return ""
}

func starts(n int) string {
	if n == 1 {
		return "1 start"
	}
	return fmt.Sprintf("%d starts", n)
}

// neverMeet is what is said of a pair that is not judged further, with its basic clearances.
func neverMeet(e, i thread.Thread, why string) Result {
	clearance := i.Basic.Pitch - e.Basic.Pitch
	return Result{
		External: e.Designation, Internal: i.Designation, Verdict: WillNotStart, Turns: new(0.0), Chances: Chances{1}, Why: why,
		PitchClearance: clearance, Pitch95: [2]unit.Length{clearance, clearance},
		CrestClearance: i.Basic.Major - e.Basic.Major, RootClearance: i.Basic.Minor - e.Basic.Minor,
	}
}

// place is a thread of exact size.
type place struct {
	form
	// share is how likely it is beside others.
	pitch, share float64
}

func (s sized) place(p Point) (place, error) {
	return s.placeOf(s.inHand(p))
}

func (s sized) placeOf(d thread.Diameters) (place, error) {
	f, err := newForm(s.Thread, d)
	return place{form: f, pitch: d.Pitch.MM()}, err
}

func (o outcome) result() Result {
	r := Result{
		Verdict: o.verdict, PitchClearance: unit.MM(o.pitchClearance),
		CrestClearance: unit.MM(2 * o.room.crest), RootClearance: unit.MM(2 * o.room.root),
		EngagementPercent: o.engagement,
	}
	if play := o.room.play(); !math.IsInf(play, 0) {
		r.AxialPlay = new(unit.MM(play))
	}
	if !math.IsInf(o.turns, 0) {
		r.Turns = new(o.turns)
	}
	return r
}

// Rectangular returns the standard uncertainty of a quantity that surely lies within half of its value, JCGM 100:2008 4.3.7.
func Rectangular(half unit.Length) unit.Length { return half / unit.Length(math.Sqrt(3)) }
