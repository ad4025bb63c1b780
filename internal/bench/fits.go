package bench

// This file answers how the printed ring will go together with both parts.

import (
	"bytes"

	"tryring/internal/draw"
	"tryring/internal/fit"
	"tryring/internal/ring"
	"tryring/internal/unit"
)

// fitView is how one of the ring's threads goes with its part, in the middle of the part's limits of size.
type fitView struct {
	What    string      `json:"what"`
	Verdict fit.Verdict `json:"verdict"`
	Chance  float64     `json:"chance"`
	Why     string      `json:"why"`
	SVG     string      `json:"svg"`
}

// fits judges both threads of p as they will be printed. One that cannot be judged is left out.
func (s *site) fits(p ring.Plan) []fitView {
	out := []fitView{}
	for _, side := range []struct {
		what string
		of   ring.Side
		u    unit.Length
		data func(fit.Side) fit.Options
	}{
		{"The part that goes in, in the ring", p.Inner, p.Printer.InsideU, func(x fit.Side) fit.Options { return fit.Options{Internal: x} }},
		{"The ring, in the part that stays", p.Outer, p.Printer.OutsideU, func(x fit.Side) fit.Options { return fit.Options{External: x} }},
	} {
		wanted := side.of.Wanted
		o := side.data(fit.Side{Given: &wanted, U: side.u})
		o.Tables = s.tables
		t := side.of.Thread
		if t.Taper <= 0 {
			o.Engaged = min(side.of.Engagement, unit.MM(side.of.FullMM[1]-side.of.FullMM[0]))
		}
		r, err := fit.Judge(t, t, o)
		if err != nil {
			continue
		}
		var svg bytes.Buffer
		if err := draw.FitView(&svg, draw.FitData{External: t, Internal: t, Options: o, Result: r}); err != nil {
			svg.Reset() // the words stay
		}
		out = append(out, fitView{side.what, r.Verdict, r.Chance, r.Why, svg.String()})
	}
	return out
}
