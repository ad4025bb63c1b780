package standing

// This file finds the gauge that tells two threads apart, among those that lie in drawers already.

import (
	"fmt"
	"path"
	"slices"

	"tryring/internal/fit"
	"tryring/internal/gauge"
	"tryring/internal/job"
	"tryring/internal/ring"
	"tryring/internal/thread"
	"tryring/internal/unit"
)

// drawer is a drawer of gauges, and the folder that it lies in.
type drawer struct {
	folder string
	gauge.DrawerResult
}

// place says where in the drawer a gauge lies.
func (d drawer) place(g gauge.Result) string {
	for _, tray := range d.Trays {
		for _, well := range tray.Wells {
			if well.Name == g.Name {
				return fmt.Sprintf("row %d, place %d of %s in %s", well.Row, well.Column, tray.File, d.folder)
			}
		}
	}
	return "in " + d.folder
}

// kindFor is the kind of gauge that meets the thread of a side.
func kindFor(side string) ring.GaugeKind {
	if side == job.Stays {
		return ring.PlugGauge
	}
	return ring.RingGauge
}

// settles is the least share of what is open between two threads that a gauge is to settle.
const settles = 0.5

// gauge is the one that tells the two leading threads of a side best, nil when none settles enough.
func (s *Standing) gauge(side Side) *Step {
	a := *side.Answer
	n := a.Next()
	if n == nil {
		return nil
	}
	var best *Step
	gain := settles * n.OpenBits
	for _, d := range s.drawers {
		for _, g := range d.Gauges {
			tried := slices.ContainsFunc(side.Tries, func(t job.Try) bool { return t.Ring == g.Name })
			if tried || g.Kind != kindFor(side.Name) || g.Limit != ring.Go {
				continue
			}
			own, err := s.around.Tables.Parse(g.Designation)
			if err != nil {
				continue // a thread of somebody's own that is not at hand now
			}
			var goes [2]float64
			for i, c := range a.Candidates[:2] {
				if goes[i], err = goesWith(g, own, *c.Thread); err != nil {
					break
				}
			}
			bits := a.TellsApart(goes)
			if err != nil || !(bits > gain) {
				continue
			}
			on, off := 0, 1
			if goes[0] < goes[1] {
				on, off = 1, 0
			}
			gain = bits
			best = &Step{
				Action: TryGauge, Side: side.Name, Gauge: path.Join(d.folder, g.Name),
				Text: fmt.Sprintf("try the gauge %s from the drawer (%s) on %s: it goes with %s and stops on %s",
					g.Label, d.place(g), words[side.Name], n.Between[on], n.Between[off]),
			}
		}
	}
	return best
}

// goesWith is the chance that g, which has the thread own, can be turned all the way with a thread.
func goesWith(g gauge.Result, own, with thread.Thread) (float64, error) {
	printed := fit.Side{Given: &g.Printed, U: unit.MM(g.Decision.UMM / expanded)}
	opt := fit.Options{Engaged: unit.MM(g.ZMM[1] - g.ZMM[0])}
	external, internal := with, own
	if opt.Internal = printed; g.Kind == ring.PlugGauge {
		external, internal, opt.External, opt.Internal = own, with, printed, fit.Side{}
	}
	r, err := fit.Judge(external, internal, opt)
	return r.ChanceOf(fit.Snug) + r.ChanceOf(fit.Goes) + r.ChanceOf(fit.Loose), err
}

// expanded is the coverage factor of an expanded uncertainty of 95 % (GUM 6.2.1).
const expanded = 2
