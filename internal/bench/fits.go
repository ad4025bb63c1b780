package bench

// This file answers how the printed ring will go together with both parts.

import (
	"bytes"
	"fmt"

	"tryring/internal/draw"
	"tryring/internal/fit"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// fitView is how one of the ring's threads goes with its part, in the middle of the part's limits of size. GET /api/fit draws it.
type fitView struct {
	// Side is inner or outer: the ring's thread that meets the part.
	Side string `json:"side"`
	What string `json:"what"`
	fit.Result
}

// judgeable are both threads of a ring, with what is said of each meeting.
var judgeable = []struct{ side, what string }{
	{"inner", "The part that goes in, in the ring"},
	{"outer", "The ring, in the fitting that stays"},
}

// fits judges both threads of p as they will be printed. One that cannot be judged is left out.
func (s *site) fits(p ring.Plan) []fitView {
	out := []fitView{}
	for _, j := range judgeable {
		if d, err := s.judge(p, j.side); err == nil {
			out = append(out, fitView{j.side, j.what, d.Result})
		}
	}
	return out
}

// judge judges one thread of p against a part in the middle of its limits of size.
func (s *site) judge(p ring.Plan, side string) (d draw.FitData, err error) {
	of := p.Inner
	if side == "outer" {
		of = p.Outer
	}
	printed := fit.Side{Given: &of.Printed, U: of.PrintedU.Pitch}
	d.External, d.Internal = of.Thread, of.Thread
	d.Options = fit.Options{Internal: printed}
	if side == "outer" {
		d.Options = fit.Options{External: printed}
	}
	if of.Thread.Taper <= 0 {
		d.Options.Engaged = min(of.Engagement, unit.MM(of.FullMM[1]-of.FullMM[0]))
	}
	d.Result, err = fit.Judge(d.External, d.Internal, d.Options)
	return d, err
}

// fit answers GET /api/fit?side=inner|outer|both: how that thread and its part lie over one another, or the whole job, apart and screwed home.
// It is asked for when the ring is shown, so that no key press waits for it. With faults the answer is empty; /api/ring tells them.
func (s *site) fit(r Request) Answer {
	side := r.Query.Get("side")
	if side != "inner" && side != "outer" && side != "both" {
		return says(badRequest, fmt.Sprintf("side %q; it is inner, outer or both", side))
	}
	f, faults := readForm(r.Query)
	_, p, more := s.settle(f)
	if len(faults)+len(more) > 0 {
		return Answer{Status: noContent}
	}
	var svg bytes.Buffer
	var err error
	if side == "both" {
		err = draw.JobView(&svg, p)
	} else if d, cannot := s.judge(p, side); cannot != nil {
		return Answer{Status: noContent}
	} else {
		err = draw.FitView(&svg, d)
	}
	if err != nil {
		return says(unprocessable, fmt.Sprintf("this fit cannot be drawn: %v", err))
	}
	return shown("image/svg+xml", svg.Bytes())
}
